"""Discounts and adjustments: worked out in their order, shared out over the lines without losing a cent.

Each is worked out on what the ones before it have left. A percentage of lines is rounded half up line by line; one of
the total is rounded once and then shared out by what each line still costs.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.base.money import add_up, share_out
from estimator.base.problems import FieldPath, InputError, Problem
from estimator.inputs.payment.model import Adjustment, Direction, Spread

ORDER = "in_order"
ROUNDING = {Spread.LINES: "rounded_by_line", Spread.TOTAL: "rounded_on_total"}
"""Keys of the wording that state order and rounding on the sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Applied:
    """One adjustment as it came out: what it was worked out on, and what it changes, below 0 for a discount.

    `by_line` has one change a line of the quote, in their order; they sum to `change`. `rounding` names the rule.
    """

    adjustment: Adjustment
    worked_out_on: Decimal
    change: Decimal
    by_line: tuple[Decimal, ...]
    rounding: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjusted:
    """Amounts before, each adjustment in its order, and amounts after; every total is the sum of its lines."""

    before: tuple[Decimal, ...]
    applied: tuple[Applied, ...]
    after: tuple[Decimal, ...]
    total_before: Decimal
    total: Decimal


def apply_adjustments(
    keys: Sequence[str], amounts: Sequence[Decimal], adjustments: Sequence[Adjustment], quantum: Decimal
) -> Adjusted:
    """Apply each adjustment to the lines of these keys and amounts (0 or more, rounded to the quantum).

    Raises InputError where an adjustment names no line of the quote, or takes off more than there is.
    """
    current = tuple(amounts)
    applied: list[Applied] = []
    for number, adjustment in enumerate(adjustments, 1):
        one = _apply(keys, current, adjustment, quantum, path=("adjustments", number))
        current = tuple(a + c for a, c in zip(current, one.by_line, strict=True))
        applied.append(one)
    return Adjusted(
        before=tuple(amounts),
        applied=tuple(applied),
        after=current,
        total_before=add_up(amounts, quantum),
        total=add_up(current, quantum),
    )


def _apply(
    keys: Sequence[str], amounts: tuple[Decimal, ...], adjustment: Adjustment, quantum: Decimal, *, path: FieldPath
) -> Applied:
    chosen = _choose_lines(keys, adjustment, path)
    weights = [amount if key in chosen else Decimal(0) for key, amount in zip(keys, amounts, strict=True)]
    worked_out_on = add_up(weights, quantum)
    portion = adjustment.portion
    if portion.percent is not None and adjustment.spread is Spread.LINES:
        shares = tuple(portion.take_of(weight, quantum) for weight in weights)
    else:
        whole = portion.take_of(worked_out_on, quantum)
        _check_enough(adjustment, whole, worked_out_on, path)
        shares = share_out(whole, weights, quantum) if whole else tuple(Decimal(0) for _ in keys)
    sign = -1 if adjustment.direction is Direction.DISCOUNT else 1
    by_line = tuple((sign * share).quantize(quantum) for share in shares)
    return Applied(
        adjustment=adjustment,
        worked_out_on=worked_out_on,
        change=add_up(by_line, quantum),
        by_line=by_line,
        rounding=ROUNDING[adjustment.spread],
    )


def _choose_lines(keys: Sequence[str], adjustment: Adjustment, path: FieldPath) -> frozenset[str]:
    unknown = [key for key in adjustment.lines if key not in keys]
    if unknown:
        raise InputError([Problem(file="quote", path=(*path, "lines"), code="quote.lines", found=tuple(unknown))])
    return frozenset(adjustment.lines or keys)


def _check_enough(adjustment: Adjustment, whole: Decimal, worked_out_on: Decimal, path: FieldPath) -> None:
    discount = adjustment.direction is Direction.DISCOUNT
    if (whole > worked_out_on and discount) or (whole and not worked_out_on):
        path, most = (*path, "amount"), {"most": worked_out_on}
        raise InputError([Problem(file="quote", path=path, code="quote.amount", found=whole, expected=most)])
