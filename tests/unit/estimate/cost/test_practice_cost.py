"""What an option costs the practice: chair time, laboratory with remakes, parts; margin; fees under their cost."""

from dataclasses import replace
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.estimate.cost.charges import price_option
from estimator.estimate.cost.practice_cost import PracticeCost, find_lines_under_cost, find_practice_cost
from estimator.inputs.fees.schedule import FeeKind, FeeTax
from estimator.inputs.practice.settings import Settings
from tests.builders import find_option, load_demo_practice, make_jaw

FEES = load_demo_practice().fees


def find_cost(option: str = "conventional_denture", *, tax: FeeTax | None = None, **given: str) -> PracticeCost:
    schedule = replace(FEES, tax=tax or FeeTax())
    fees = price_option(make_jaw(), find_option(option), schedule)
    return find_practice_cost(fees, schedule, Settings(**{k: Decimal(v) for k, v in given.items()}))  # type: ignore[arg-type]


def test_at_the_textbook_s_chair_hour_the_conventional_denture_loses_money() -> None:
    """300 minutes at 375 an hour are 1 875, film 15, laboratory 435: 2 325 for a fee of 2 250."""
    cost = find_cost(chair_cost_per_hour="375")
    assert (cost.cost_total, cost.margin, cost.chair_time_min) == (Decimal(2325), Decimal(-75), 300)


def test_the_margin_is_told_by_chair_hour() -> None:
    """600 left of five hours."""
    assert find_cost(chair_cost_per_hour="240").margin_per_chair_hour == Decimal("120.00")


def test_a_discount_comes_off_the_margin_and_not_off_the_cost() -> None:
    """225 less of 2 250 leave 375 of five hours."""
    cost = find_cost(chair_cost_per_hour="240")
    less = cost.leave_of(Decimal("2025.00"), Decimal("0.01"))
    assert (less.cost_total, less.margin, less.margin_per_chair_hour) == (cost.cost_total, Decimal(375), Decimal(75))


def test_laboratory_work_that_is_made_again_costs_the_practice_and_nothing_else_moves() -> None:
    """A fifth made again is 1 / (1 - 0.2) = 1.25 times the laboratory's 435."""
    once, again = (find_cost(chair_cost_per_hour="240", laboratory_remakes=share) for share in ("0", "0.2"))
    assert (again.cost_total or 0) - (once.cost_total or 0) == Decimal("435") / 4
    assert again.chair_time_min == once.chair_time_min


def test_a_fee_under_its_cost_is_flagged() -> None:
    """The examination takes 45 minutes: 180 at 240 an hour, for a fee of 140."""
    (line,) = find_cost(chair_cost_per_hour="240").under_cost
    assert (line.key, line.amount, line.cost) == ("examination", Decimal(140), Decimal(180))


def test_what_is_included_is_no_fee_under_its_cost_but_its_cost_counts() -> None:
    cost = find_cost(chair_cost_per_hour="240")
    review = next(line for line in cost.lines if line.key == "review")
    assert (review.amount, review.cost, review.is_under_cost) == (Decimal(0), Decimal(240), False)


def test_the_whole_schedule_can_be_looked_through_for_fees_under_cost() -> None:
    found = [line.key for line in find_lines_under_cost(FEES, Settings(chair_cost_per_hour=Decimal(240)))]
    assert "examination" in found
    assert "delivery_denture" not in found
    assert find_lines_under_cost(FEES, Settings()) == ()


def test_tax_is_not_the_practice_s() -> None:
    tax = FeeTax(rates=((FeeKind.LABORATORY, Decimal("0.1")),))
    assert find_cost(tax=tax, chair_cost_per_hour="240") == find_cost(chair_cost_per_hour="240")


@settings(max_examples=30, deadline=None)
@given(st.decimals(0, 900, places=2), st.decimals(0, 100, places=2), st.sampled_from(["0", "0.04", "0.5"]))
def test_a_dearer_chair_hour_never_costs_less_and_costs_are_the_sum_of_their_lines(
    hour: Decimal, more: Decimal, remakes: str
) -> None:
    low, high = (
        find_cost("connecting_bar", chair_cost_per_hour=str(h), laboratory_remakes=remakes) for h in (hour, hour + more)
    )
    assert (low.cost_total or 0) <= (high.cost_total or 0)
    assert low.cost_total == sum(line.cost for line in low.lines)
