"""Discounts and increases: every cent is kept, and order changes only what it may."""

from decimal import Decimal
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.inputs.payment.model import Adjustment, Direction, Portion, Spread
from estimator.quote.discounts import Adjusted, apply_adjustments
from tests.problem_builders import refuses

CENT = Decimal("0.01")
AMOUNTS = st.lists(st.decimals(0, 9999, places=2), min_size=1, max_size=12)
PERCENTS = st.integers(1, 100).map(Decimal)


def percent(number: str, *, spread: Spread = Spread.TOTAL, lines: tuple[str, ...] = ()) -> Adjustment:
    return Adjustment(reason="because", portion=Portion(percent=Decimal(number)), spread=spread, lines=lines)


def amount(number: str, *, spread: Spread = Spread.TOTAL, lines: tuple[str, ...] = (), up: bool = False) -> Adjustment:
    return Adjustment(
        reason="because", portion=Portion(amount=Decimal(number)), spread=spread, lines=lines,
        direction=Direction.INCREASE if up else Direction.DISCOUNT,
    )  # fmt: skip


def apply(amounts: list[str] | list[Decimal], *adjustments: Adjustment) -> Adjusted:
    return apply_adjustments([f"l{n}" for n in range(len(amounts))], [Decimal(a) for a in amounts], adjustments, CENT)


def test_five_percent_of_three_lines_differs_by_a_cent_from_five_percent_of_their_total() -> None:
    lines = ["10.05"] * 3
    assert apply(lines, percent("5", spread=Spread.LINES)).total == Decimal("28.65")
    assert apply(lines, percent("5")).total == Decimal("28.64")


def test_an_amount_off_some_lines_is_shared_by_what_they_cost() -> None:
    found = apply(["100", "50", "25"], amount("10.00", spread=Spread.LINES, lines=("l0", "l2")))
    assert found.after == (Decimal("92.00"), Decimal("50.00"), Decimal("23.00"))


def test_an_increase_is_added_and_shared_out() -> None:
    assert apply(["1.00", "2.00"], amount("1.00", up=True)).after == (Decimal("1.33"), Decimal("2.67"))


def test_the_second_is_worked_out_on_what_the_first_has_left() -> None:
    found = apply(["1000.00"], amount("100.00"), percent("10"))
    assert [one.worked_out_on for one in found.applied] == [Decimal("1000.00"), Decimal("900.00")]
    assert found.total == Decimal("810.00")


def test_each_adjustment_says_how_it_was_rounded() -> None:
    found = apply(["1.00"], percent("10", spread=Spread.LINES), percent("10"))
    assert [one.rounding for one in found.applied] == ["rounded_by_line", "rounded_on_total"]


@given(AMOUNTS, st.lists(st.tuples(PERCENTS, st.sampled_from(Spread)), max_size=4))
def test_no_cent_is_lost_and_no_line_falls_below_zero(
    amounts: list[Decimal], portions: list[tuple[Decimal, Spread]]
) -> None:
    found = apply(amounts, *(percent(f"{p}", spread=spread) for p, spread in portions))
    assert sum(found.after) == found.total == found.total_before + sum(one.change for one in found.applied)
    assert all(sum(one.by_line) == one.change for one in found.applied)
    assert all(0 <= after <= before for before, after in zip(found.before, found.after, strict=True))


@given(AMOUNTS.filter(lambda amounts: sum(amounts) > 0), st.data())
def test_an_amount_comes_off_whole_whatever_the_lines(amounts: list[Decimal], data: st.DataObject) -> None:
    off = data.draw(st.decimals(0, sum(amounts), places=2))
    found = apply(amounts, amount(f"{off}"))
    assert found.total_before - found.total == off
    assert min(found.after) >= 0


@given(AMOUNTS, PERCENTS, st.randoms())
def test_the_order_of_lines_changes_neither_total_nor_any_line_by_more_than_a_cent(
    amounts: list[Decimal], off: Decimal, chance: Random
) -> None:
    order = list(range(len(amounts)))
    chance.shuffle(order)
    plain = apply(amounts, percent(f"{off}"))
    moved = apply([amounts[n] for n in order], percent(f"{off}"))
    assert moved.total == plain.total
    assert all(abs(moved.after[place] - plain.after[n]) <= CENT for place, n in enumerate(order))


@given(AMOUNTS, PERCENTS)
def test_line_by_line_the_order_of_lines_changes_nothing(amounts: list[Decimal], off: Decimal) -> None:
    adjustment = percent(f"{off}", spread=Spread.LINES)
    assert apply(amounts[::-1], adjustment).after[::-1] == apply(amounts, adjustment).after


def test_more_off_than_there_is_gives_a_problem_with_its_place() -> None:
    with refuses(r"adjustments\[2\]\.amount: got 20.00; expected at most 5.00"):
        apply(["10.00"], percent("50"), amount("20.00"))


def test_a_line_that_is_not_there_gives_a_problem_with_its_place() -> None:
    with refuses(r"adjustments\[1\]\.lines: got bar; expected lines of this quote"):
        apply(["10.00"], percent("50", spread=Spread.LINES, lines=("bar",)))


@pytest.mark.parametrize("made", [{}, {"percent": Decimal(5), "amount": Decimal(5)}, {"percent": Decimal("0.8")},
                                  {"percent": Decimal(101)}, {"amount": Decimal(-1)}, {"amount": Decimal("NaN")}])  # fmt: skip
def test_a_portion_that_cannot_be_meant_is_refused(made: dict[str, Decimal]) -> None:
    with pytest.raises(ValueError, match="must be"):
        Portion(**made)
