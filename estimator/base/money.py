"""Decimal amounts: read, round, add up, share out. No float ever touches money."""

import re
from collections.abc import Iterable, Sequence
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

# Active codes and minor units of ISO 4217 (how sure: rule; tests/published/iso4217.csv holds the list of 2026-01-01).
# Left out: funds, metals, units of account between banks.
_MINOR_UNITS = {
    0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF",
    3: "BHD IQD JOD KWD LYD OMR TND",
    2: "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF CNY "
    "COP CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR "
    "IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD "
    "NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC "
    "SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD UYU UZS VED VES WST XCD XCG YER ZAR ZMW ZWG",
}
MINOR_UNITS: dict[str, int] = {code: digits for digits, codes in _MINOR_UNITS.items() for code in codes.split()}

_AMOUNT = re.compile(r"[0-9]{1,8}(?:\.[0-9]{1,3})?")


def get_quantum(currency: str) -> Decimal:
    """The smallest unit of a currency: 0.01 for USD, 1 for JPY, 0.001 for KWD."""
    return Decimal(1).scaleb(-MINOR_UNITS[currency])


def offer_amount(currency: str) -> dict[str, object]:
    """What a problem says that expects an amount in this currency: its decimals and an example."""
    return {"decimals": MINOR_UNITS[currency], "example": Decimal(1250).quantize(get_quantum(currency))}


def parse_amount(text: str, currency: str) -> Decimal | None:
    """An amount from plain ASCII digits with a decimal point; None if the text is anything else.

    The pattern comes first because Decimal would take NaN, 1e999 and digits of other scripts.
    """
    if not _AMOUNT.fullmatch(text):
        return None
    amount = Decimal(text)
    rounded = amount.quantize(get_quantum(currency))
    return rounded if rounded == amount else None


def round_money(amount: Decimal, quantum: Decimal) -> Decimal:
    """Half up to the smallest unit (practice: the rule is printed on every sheet)."""
    return amount.quantize(quantum, rounding=ROUND_HALF_UP)


def add_up(amounts: Iterable[Decimal], quantum: Decimal) -> Decimal:
    """The sum of amounts that are already rounded, so that a total is the sum of its printed lines."""
    return sum(amounts, Decimal(0)).quantize(quantum)


def share_out(amount: Decimal, weights: Sequence[int | Decimal], quantum: Decimal) -> tuple[Decimal, ...]:
    """Share an amount by weight without losing a cent.

    Each exact share is floored; units left over go to the largest fractions, ties to the earlier line.
    """
    whole = sum(weights, Decimal(0))
    if whole <= 0 or any(w < 0 for w in weights):
        raise ValueError(f"'weights' must be 0 or more with a sum above 0 (got {list(weights)})")
    # Decimal would cut the third of 40 one digit sooner than the third of 4, and a tie would be none.
    units = int(amount / quantum)
    exact = [units * Fraction(w) / Fraction(whole) for w in weights]
    floors = [int(share) for share in exact]
    by_fraction = sorted(range(len(weights)), key=lambda i: (floors[i] - exact[i], i))
    for i in by_fraction[: units - sum(floors)]:
        floors[i] += 1
    return tuple(n * quantum for n in floors)
