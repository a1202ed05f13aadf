"""Money over time: yearly factor, annuity factor, equivalent annual cost."""

import math
from decimal import ROUND_HALF_UP, Decimal

CENT = Decimal("0.01")


def annuity_factor(rate: float, years: int) -> float:
    """Return the present value of 1 at the end of each year; the number of years where the rate is 0."""
    check_yearly("rate", rate)
    if years < 1:
        raise ValueError(f"'years' must be 1 or more (got {years})")
    return years if rate == 0 else -math.expm1(-years * math.log1p(rate)) / rate


def equivalent_annual_cost(
    first_cost: Decimal, discounted: Decimal, rate: float, years: int, *, quantum: Decimal = CENT
) -> Decimal:
    """Return the level yearly amount that is worth as much as the first cost and the discounted upkeep together."""
    return round_amount(float(first_cost + discounted) / annuity_factor(rate, years), quantum)


def find_yearly_factor(discount_rate: float, inflation: float) -> float:
    """Return what an amount a year later is worth at delivery: (1 + inflation)/(1 + discount rate)."""
    check_yearly("discount_rate", discount_rate)
    check_yearly("inflation", inflation)
    return (1 + inflation) / (1 + discount_rate)


def round_amount(amount: float | Decimal, quantum: Decimal) -> Decimal:
    """Return an amount rounded half up to a multiple of `quantum`."""
    # Twelve digits of a float are the amount; the rest is noise of binary sums, which must not decide a half cent.
    exact = amount if isinstance(amount, Decimal) else Decimal(f"{amount:.12g}")
    return (exact / quantum).to_integral_value(ROUND_HALF_UP) * quantum


def check_yearly(name: str, rate: float) -> None:
    """Raise ValueError unless a yearly rate of growth is finite and above -1."""
    if not (math.isfinite(rate) and rate > -1):
        raise ValueError(f"'{name}' must be above -1 (got {rate:g})")
