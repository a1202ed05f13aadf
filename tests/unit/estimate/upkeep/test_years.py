"""Upkeep over the years: expectation, spread, discounting, and the properties a patient would take for granted."""

import math
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.estimate.upkeep.discounting import annuity_factor
from estimator.estimate.upkeep.distribution import severity_of
from estimator.estimate.upkeep.plan import Lifetime, MeanLife, UpkeepEvent, UpkeepPlan
from estimator.estimate.upkeep.rates import Rate
from estimator.estimate.upkeep.renewal import expect_renewals_by_year, weibull_cdf
from estimator.estimate.upkeep.years import Upkeep, build_total, estimate_upkeep, expect_cost

CENT = Decimal("0.01")
ZERO = Decimal(0)
MEAN_LIFE = MeanLife(low=7.0, value=11.0, high=15.0)


def build_rate(value: float, spread: float = 3.0) -> Rate:
    return Rate(low=value / spread, value=value, high=value * spread)


def build_event(key: str = "retention", **changes: object) -> UpkeepEvent:
    event = UpkeepEvent(
        key=key,
        label=key.title(),
        units=1,
        first_year=build_rate(0.8),
        later=build_rate(0.4),
        severity=severity_of(Decimal(120)),
    )
    return replace(event, **changes)  # type: ignore[arg-type]


def build_lifetime(**changes: object) -> Lifetime:
    lifetime = Lifetime(mean_years=MEAN_LIFE, shape=2.4, severity=severity_of(Decimal(2600), Decimal(3100)))
    return replace(lifetime, **changes)  # type: ignore[arg-type]


def build_plan(*events: UpkeepEvent, lifetime: Lifetime | None = None, recall_fee: Decimal = Decimal(95)) -> UpkeepPlan:
    return UpkeepPlan(events=events, lifetime=lifetime, recall_fee=recall_fee)


def run(
    plan: UpkeepPlan, years: int = 10, *, rate: float = 0.03, inflation: float = 0.0, quantum: Decimal = CENT
) -> Upkeep:
    return estimate_upkeep((plan,), years=years, discount_rate=rate, inflation=inflation, quantum=quantum)[0]


RELINE = build_event(
    "reline", first_year=build_rate(0.1), later=build_rate(0.1), severity=severity_of(Decimal(310), Decimal(425))
)
LOSS = build_event(
    "implant_lost",
    units=4,
    first_year=build_rate(0.02, 1.3),
    later=build_rate(0.02, 1.3),
    severity=severity_of(Decimal(2500)),
)
PLAN = build_plan(build_event(), RELINE, LOSS, lifetime=build_lifetime())


@st.composite
def draw_plans(draw: st.DrawFn) -> UpkeepPlan:
    fees = st.decimals(0, 3000, places=2)
    rates = st.builds(build_rate, st.one_of(st.just(0.0), st.floats(1e-4, 3.0)), st.floats(1.0, 5.0))
    events = st.builds(
        build_event, first_year=rates, later=rates, severity=fees.map(severity_of), units=st.integers(0, 6)
    )
    lives = st.builds(
        lambda mean, spread: MeanLife(low=mean / spread, value=mean, high=mean * spread),
        st.floats(2.0, 25.0),
        st.floats(1.0, 2.0),
    )
    shapes = st.one_of(st.just(math.inf), st.floats(0.5, 50.0))
    lifetimes = st.builds(Lifetime, mean_years=lives, shape=shapes, severity=fees.map(severity_of))
    return UpkeepPlan(
        events=draw(st.lists(events, max_size=3).map(tuple)),
        lifetime=draw(st.one_of(st.none(), lifetimes)),
        recall_fee=draw(fees),
    )


def test_expectation_of_one_event_can_be_checked_by_hand() -> None:
    assert run(build_plan(build_event(), recall_fee=ZERO)).expected == Decimal("528.00")


def test_first_year_uses_the_first_year_rate() -> None:
    assert run(build_plan(build_event())).first_year_expected == Decimal("191.00")


def test_later_years_use_the_later_rate_and_a_recall_each() -> None:
    assert run(build_plan(build_event()), 3).by_year == (Decimal("191.00"), Decimal("143.00"), Decimal("143.00"))


def test_events_of_several_units_add_up() -> None:
    loss = run(build_plan(LOSS, recall_fee=ZERO)).events[0]
    assert loss.count == pytest.approx(4 * 10 * 0.02)


def test_renewals_and_recalls_are_listed_after_the_events() -> None:
    assert [row.key for row in run(PLAN).events] == ["retention", "reline", "implant_lost", "denture_renewal", "recall"]


def test_plan_without_a_lifetime_lists_no_renewal() -> None:
    assert [row.key for row in run(build_plan()).events] == ["recall"]


def test_recall_falls_due_at_each_whole_year() -> None:
    recall = run(build_plan(), 7).events[-1]
    assert (recall.count, recall.cost) == (7.0, Decimal("665.00"))


def test_renewals_mix_the_three_mean_lives() -> None:
    found = run(PLAN, 20).events[-2].count
    lives = ((7.0, 0.3), (11.0, 0.4), (15.0, 0.3))
    expected = sum(weight * expect_renewals_by_year(weibull_cdf(mean, 2.4), 20).by_year[-1] for mean, weight in lives)
    assert found == pytest.approx(expected, abs=1e-6)


def test_fixed_life_charges_at_its_multiples_only() -> None:
    life = MeanLife(low=4.0, value=4.0, high=4.0)
    lifetime = build_lifetime(mean_years=life, shape=math.inf, severity=severity_of(Decimal(1000)))
    found = run(build_plan(lifetime=lifetime, recall_fee=ZERO), 9)
    assert [year for year, amount in enumerate(found.by_year, start=1) if amount] == [4, 8]
    assert found.p10 == found.p90 == found.expected == 2000


def test_recall_alone_has_no_spread_even_off_the_grid() -> None:
    found = run(build_plan(recall_fee=Decimal("3333.33")), 30)
    assert found.p10 == found.p90 == found.expected == Decimal("99999.90")


def test_discounted_events_meet_the_closed_form() -> None:
    found = run(build_plan(build_event(), recall_fee=ZERO))
    force = math.log(1.03)
    yearly = [(0.8 if year == 1 else 0.4) * 120 * (1.03 ** (1 - year) - 1.03**-year) / force for year in range(1, 11)]
    assert float(found.discounted) == pytest.approx(sum(yearly), abs=0.0051)


def test_discounted_recalls_are_an_annuity() -> None:
    found = run(build_plan(recall_fee=Decimal(100)), 10)
    assert float(found.discounted) == pytest.approx(100 * annuity_factor(0.03, 10), abs=0.0051)


@pytest.mark.parametrize("rate", [0.0, 0.03])
def test_inflation_equal_to_the_discount_rate_cancels_out(rate: float) -> None:
    found = run(PLAN, 20, rate=rate, inflation=rate)
    assert found.discounted == found.expected


def test_inflation_above_the_discount_rate_makes_later_years_dearer() -> None:
    assert run(PLAN, rate=0.0, inflation=0.02).discounted > run(PLAN).expected


def test_amounts_are_rounded_half_up_to_the_quantum() -> None:
    steady = Rate(low=0.5, value=0.5, high=0.5)
    event = build_event(first_year=steady, later=steady, severity=severity_of(Decimal("0.25")))
    assert run(build_plan(event, recall_fee=ZERO), 1).expected == Decimal("0.13")


def test_amounts_are_multiples_of_a_quantum_that_is_no_power_of_ten() -> None:
    found = run(PLAN, quantum=Decimal("0.05"))
    assert all(amount % Decimal("0.05") == 0 for amount in (found.expected, found.p90, *found.by_year))


def test_currency_without_minor_units_gets_whole_amounts() -> None:
    assert run(PLAN, quantum=Decimal(1)).expected.as_tuple().exponent == 0


def test_first_costs_enter_only_through_the_common_grid() -> None:
    plain, apart = (
        estimate_upkeep((PLAN,), years=10, discount_rate=0.03, inflation=0.0, quantum=CENT, first_costs=costs)[0]
        for costs in ((), (Decimal(1800), Decimal(900_000)))
    )
    assert plain.expected == apart.expected
    assert plain.p50 != apart.p50


def test_plans_are_answered_in_order() -> None:
    found = estimate_upkeep((build_plan(), PLAN), years=10, discount_rate=0.03, inflation=0.0, quantum=CENT)
    assert [upkeep.expected for upkeep in found] == [run(build_plan()).expected, run(PLAN).expected]


def test_no_plans_give_no_upkeep() -> None:
    assert estimate_upkeep((), years=10, discount_rate=0.03, inflation=0.0, quantum=CENT) == ()


@pytest.mark.parametrize("years", [0, 31, -1])
def test_horizon_outside_1_to_30_is_refused(years: int) -> None:
    with pytest.raises(ValueError, match=rf"^'years' must be from 1 to 30 \(got {years}\)$"):
        run(PLAN, years)


@pytest.mark.parametrize("rate", [-1.0, math.nan, math.inf])
def test_impossible_discount_rate_is_refused(rate: float) -> None:
    with pytest.raises(ValueError, match="'discount_rate' must be above -1"):
        run(PLAN, rate=rate)


def test_impossible_inflation_is_refused() -> None:
    with pytest.raises(ValueError, match="'inflation' must be above -1"):
        run(PLAN, inflation=-2.0)


def test_quantum_of_zero_is_refused() -> None:
    with pytest.raises(ValueError, match="'quantum' must be above 0"):
        run(PLAN, quantum=ZERO)


def test_negative_units_are_refused() -> None:
    with pytest.raises(ValueError, match="'units' must be 0 or more"):
        build_event(units=-1)


def test_mean_life_below_a_year_is_refused() -> None:
    with pytest.raises(ValueError, match="'low' must be 1 year or more"):
        MeanLife(low=0.5, value=1.0, high=2.0)


@pytest.mark.parametrize("shape", [0.1, 1000.0, math.nan])
def test_life_that_the_lattice_cannot_resolve_is_refused(shape: float) -> None:
    with pytest.raises(ValueError, match=r"'shape' must be from 0\.5 to 50, or infinite"):
        build_lifetime(shape=shape)


@given(plan=draw_plans(), years=st.integers(1, 29))
@settings(max_examples=30, deadline=None)
def test_longer_horizon_never_lowers_expected_upkeep(plan: UpkeepPlan, years: int) -> None:
    assert run(plan, years + 1).expected >= run(plan, years).expected


@given(plan=draw_plans(), years=st.integers(1, 30), rise=st.decimals("0.01", 500, places=2))
@settings(max_examples=30, deadline=None)
def test_dearer_fee_never_lowers_expected_upkeep(plan: UpkeepPlan, years: int, rise: Decimal) -> None:
    events = tuple(
        replace(event, severity=tuple((amount + rise, weight) for amount, weight in event.severity))
        for event in plan.events
    )
    assert run(replace(plan, events=events), years).expected >= run(plan, years).expected


@given(plan=draw_plans(), years=st.integers(1, 30))
@settings(max_examples=30, deadline=None)
def test_grid_and_year_by_year_expectation_agree(plan: UpkeepPlan, years: int) -> None:
    assert build_total(plan, years).mean == pytest.approx(float(run(plan, years).expected), rel=5e-3, abs=1.0)


@given(plan=draw_plans(), years=st.integers(1, 30))
@settings(max_examples=30, deadline=None)
def test_quantiles_are_in_order_and_years_add_up_but_for_rounding(plan: UpkeepPlan, years: int) -> None:
    found = run(plan, years)
    assert 0 <= found.p10 <= found.p50 <= found.p90
    assert abs(sum(found.by_year) - found.expected) <= CENT * (years + 1) / 2


@given(plan=draw_plans(), years=st.integers(1, 30), data=st.data())
@settings(max_examples=30, deadline=None)
def test_the_answer_is_the_same_whatever_the_order_of_events(plan: UpkeepPlan, years: int, data: st.DataObject) -> None:
    turned = replace(plan, events=tuple(data.draw(st.permutations(plan.events))))
    found, other = run(plan, years), run(turned, years)
    assert replace(found, events=()) == replace(other, events=())
    assert sorted(found.events, key=repr) == sorted(other.events, key=repr)
    assert other.law.chances == pytest.approx(found.law.chances, abs=1e-12)


@given(plan=draw_plans(), years=st.integers(1, 30))
@settings(max_examples=20, deadline=None)
def test_expected_cost_alone_is_that_of_the_whole_estimate(plan: UpkeepPlan, years: int) -> None:
    alone = expect_cost(plan, years=years, discount_rate=0.03)
    whole = run(plan, years)
    assert (alone.total, alone.discounted) == pytest.approx((float(whole.expected), float(whole.discounted)), abs=0.006)


@pytest.mark.parametrize("years", [1, 30])
def test_nothing_happening_costs_nothing(years: int) -> None:
    nothing = Rate(low=0.0, value=0.0, high=0.0)
    found = run(build_plan(build_event(first_year=nothing, later=nothing), recall_fee=ZERO), years)
    assert {found.expected, found.p10, found.p50, found.p90, found.discounted, *found.by_year} == {ZERO}


@pytest.mark.parametrize("years", [1, 30])
def test_free_service_costs_nothing_but_is_still_counted(years: int) -> None:
    found = run(build_plan(build_event(severity=severity_of(ZERO)), recall_fee=ZERO), years)
    assert found.p90 == found.expected == 0
    assert found.events[0].count == pytest.approx(0.8 + 0.4 * (years - 1))


def test_units_of_zero_cost_nothing() -> None:
    assert run(build_plan(build_event(units=0), recall_fee=ZERO)).p90 == 0


def test_fee_off_the_grid_keeps_the_expectation_to_the_cent() -> None:
    event = build_event(severity=severity_of(Decimal("123.47")))
    assert run(build_plan(event, recall_fee=ZERO)).expected == Decimal("543.27")
