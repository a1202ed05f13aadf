"""The tornado: each assumption at its low and high, by hand and against estimates made again with moved figures."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from estimator.base.evidence import Figure, HowSure
from estimator.estimate.look_ahead import plan_upkeep
from estimator.estimate.upkeep.distribution import severity_of
from estimator.estimate.upkeep.plan import Lifetime, MeanLife, Settling, UpkeepEvent, UpkeepPlan
from estimator.estimate.upkeep.rates import Rate
from estimator.estimate.upkeep.sensitivity import Swing, Worth, rank_swings
from estimator.estimate.upkeep.years import expect_cost
from tests.builders import find_option, load_demo_practice, make_jaw

CENT = Decimal("0.01")


def build_figure(key: str, low: str, value: str, high: str) -> Figure:
    return Figure(
        key=key, name=key.title(), low=Decimal(low), value=Decimal(value), high=Decimal(high), unit="per year",
        source="ours", place="", how_sure=HowSure.DERIVED,
    )  # fmt: skip


DISCOUNT = build_figure("discount", "0.03", "0.03", "0.05")
INFLATION = build_figure("rise", "0", "0", "0")


def build_rate(figure: str, low: float, value: float, high: float) -> Rate:
    return Rate(low=low, value=value, high=high, figure=figure, name=figure.title())


def build_event(rate: Rate, fee: int, *, units: int = 1, later: Rate | None = None) -> UpkeepEvent:
    return UpkeepEvent(
        key=rate.figure,
        label=rate.figure,
        units=units,
        first_year=rate,
        later=later or rate,
        severity=severity_of(Decimal(fee)),
    )


def build_plan(*events: UpkeepEvent, lifetime: Lifetime | None = None) -> UpkeepPlan:
    return UpkeepPlan(events=events, lifetime=lifetime, recall_fee=Decimal(0))


def rank(first: UpkeepPlan, second: UpkeepPlan, **changes: Any) -> tuple[Swing, ...]:
    known: dict[str, Any] = {
        "years": 10, "discount_rate": DISCOUNT, "inflation": INFLATION, "quantum": CENT,
        "first_costs": (Decimal(0), Decimal(0)),
    }  # fmt: skip
    return rank_swings((first, second), **{**known, **changes})


RELINE = build_rate("reline", 0.03, 0.1, 0.28)
SCREW = build_rate("screw", 0.01, 0.03, 0.08)


def test_a_rate_of_one_option_by_hand() -> None:
    (swing,) = rank(build_plan(build_event(RELINE, 480)), build_plan())
    assert swing == Swing(
        figure="reline", name="Reline", low=0.03, high=0.28, at_low=Decimal("144.00"), at_high=Decimal("1344.00")
    )


def test_a_rate_of_the_second_option_moves_the_difference_the_other_way() -> None:
    (swing,) = rank(build_plan(), build_plan(build_event(RELINE, 480)))
    assert (swing.at_low, swing.at_high) == (Decimal("-144.00"), Decimal("-1344.00"))


def test_a_shared_rate_moves_both_options_at_once() -> None:
    (swing,) = rank(build_plan(build_event(RELINE, 500)), build_plan(build_event(RELINE, 480)))
    assert (swing.at_low, swing.at_high) == (Decimal("6.00"), Decimal("56.00"))


def test_a_shared_figure_moves_each_option_to_the_end_of_its_own_range() -> None:
    """One option's practice has counted for itself, the other's has not."""
    counted = build_rate("reline", 0.08, 0.1, 0.12)
    (swing,) = rank(build_plan(build_event(RELINE, 480)), build_plan(build_event(counted, 480)))
    assert (swing.at_low, swing.at_high) == (Decimal("-240.00"), Decimal("768.00"))


def test_equal_options_have_no_swing_however_wide_the_rate() -> None:
    plan = build_plan(build_event(RELINE, 480))
    assert [swing.size for swing in rank(plan, plan)] == [0]


def test_first_costs_move_every_bar_and_the_others_stay_central() -> None:
    swings = rank(
        build_plan(build_event(RELINE, 480), build_event(SCREW, 90)),
        build_plan(),
        first_costs=(Decimal(3000), Decimal(2000)),
    )
    assert [(s.figure, s.at_low, s.at_high) for s in swings] == [
        ("reline", Decimal("1171.00"), Decimal("2371.00")),
        ("screw", Decimal("1489.00"), Decimal("1552.00")),
    ]


def test_the_largest_swing_comes_first() -> None:
    swings = rank(build_plan(build_event(SCREW, 90), build_event(RELINE, 480)), build_plan())
    assert [swing.figure for swing in swings] == ["reline", "screw"]


def test_one_figure_for_both_periods_is_one_bar_and_two_are_two() -> None:
    first = build_rate("first", 0.3, 0.8, 2.2)
    later = build_rate("later", 0.1, 0.4, 1.7)
    swings = rank(build_plan(build_event(first, 100, later=later)), build_plan())
    assert [(s.figure, s.size) for s in swings] == [("later", Decimal("1440.00")), ("first", Decimal("190.00"))]


def test_a_figure_without_a_range_and_a_rate_without_a_row_have_no_bar() -> None:
    fixed, nameless = build_rate("fixed", 0.1, 0.1, 0.1), build_rate("", 0.1, 0.2, 0.3)
    assert rank(build_plan(build_event(fixed, 100), build_event(nameless, 100)), build_plan()) == ()


def test_a_mean_life_at_its_low_is_certain() -> None:
    life = MeanLife(low=7.0, value=11.0, high=15.0, figure="life", name="Life")
    plan = build_plan(lifetime=Lifetime(mean_years=life, shape=2.4, severity=severity_of(Decimal(3000))))
    short = build_plan(
        lifetime=Lifetime(
            mean_years=MeanLife(low=7.0, value=7.0, high=7.0), shape=2.4, severity=severity_of(Decimal(3000))
        )
    )
    (swing,) = rank(plan, build_plan())
    assert float(swing.at_low) == pytest.approx(expect_cost(short, years=10).total, abs=0.006)
    assert swing.at_low > swing.at_high


def test_visits_that_a_new_denture_brings_move_with_their_rate() -> None:
    """A range of fees meets them point by point: 3 sore spots at 50 to 80 are in the remake of 2150 to 2240."""
    sore = build_rate("sore", 2, 3, 5)
    lifetime = Lifetime(
        mean_years=MeanLife(low=4.0, value=4.0, high=4.0),
        shape=float("inf"),
        severity=severity_of(Decimal(2150), Decimal(2240)),
        settling=Settling(number=sore, severity=severity_of(Decimal(50), Decimal(80))),
    )
    (swing,) = rank(build_plan(build_event(sore, 0), lifetime=lifetime), build_plan(), years=5)
    assert (swing.at_low, swing.at_high) == (Decimal("2130.00"), Decimal("2325.00"))


def test_discounting_matters_only_for_worth_at_delivery() -> None:
    plan, dear = build_plan(build_event(RELINE, 480)), build_figure("rise", "0", "0.02", "0.04")
    assert [s.figure for s in rank(plan, build_plan(), inflation=dear)] == ["reline"]
    at_delivery = rank(plan, build_plan(), inflation=dear, worth=Worth.AT_DELIVERY)
    assert {s.figure for s in at_delivery} == {"reline", "discount", "rise"}


def test_discount_rate_at_its_high_by_its_own_expectation() -> None:
    plan = build_plan(build_event(RELINE, 480))
    swing = next(s for s in rank(plan, build_plan(), worth=Worth.AT_DELIVERY) if s.figure == "discount")
    expected = [expect_cost(plan, years=10, discount_rate=rate).discounted for rate in (0.03, 0.05)]
    assert [float(swing.at_low), float(swing.at_high)] == pytest.approx(expected, abs=0.006)


def find_plans(key: str = "", side: str = "value") -> tuple[UpkeepPlan, UpkeepPlan]:
    """The plans of posts and bar, with one figure of the option files moved to its low or high before planning."""

    def move(figure: Figure) -> Figure:
        return replace(figure, value=getattr(figure, side)) if figure.key == key else figure

    plans = []
    for name in ("individual_attachments", "connecting_bar"):
        option = find_option(name)
        items = tuple(replace(i, first_year=move(i.first_year), later=move(i.later)) for i in option.upkeep)
        plans.append(plan_upkeep(make_jaw(), replace(option, upkeep=items), load_demo_practice().fees))
    return plans[0], plans[1]


SHIPPED = rank(*find_plans())


@pytest.mark.parametrize("side", ["low", "high"])
@pytest.mark.parametrize("swing", [s for s in SHIPPED if s.figure != "life_overdenture"], ids=lambda s: s.figure)
def test_a_shipped_rate_moved_in_its_option_file_gives_the_same_difference(swing: Swing, side: str) -> None:
    first, second = (expect_cost(plan, years=10).total for plan in find_plans(swing.figure, side))
    assert float(getattr(swing, f"at_{side}")) == pytest.approx(first - second, abs=0.006)


def test_every_shipped_assumption_of_two_options_has_a_bar() -> None:
    figures = {swing.figure for swing in SHIPPED}
    used = {f.key for name in ("individual_attachments", "connecting_bar") for i in find_option(name).upkeep
            if i.applies_to(make_jaw()) for f in (i.first_year, i.later)}  # fmt: skip
    assert figures == used | {"life_overdenture"}
