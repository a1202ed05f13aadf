"""Two options side by side: the chance that one costs more, against every outcome counted out, and the crossing year."""

import math
from collections.abc import Mapping
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from estimator.estimate.upkeep.distribution import (
    CostDistribution,
    Total,
    distribute_total,
    event_cost,
    renewal_cost,
    severity_of,
)
from estimator.estimate.upkeep.pairs import find_chance_of_more, find_crossing_year

Outcomes = Mapping[Decimal, float]
ONE = Decimal(1)


def build_law(outcomes: Outcomes, *, step: Decimal = ONE, certain: Decimal = Decimal(0)) -> CostDistribution:
    """A law on a small grid from totals and their chances, the totals multiples of the step."""
    chances = np.zeros(64)
    for amount, chance in outcomes.items():
        chances[int(amount / step)] += chance
    return CostDistribution(step=step, certain=certain, chances=chances)


def count_out(first: Outcomes, second: Outcomes, ahead: Decimal) -> float:
    """Every pair of outcomes, one by one, in exact amounts."""
    chance = 0.0
    for a, p in first.items():
        for b, q in second.items():
            chance += p * q * (1.0 if a + ahead > b else 0.5 if a + ahead == b else 0.0)
    return chance


@st.composite
def draw_outcomes(draw: st.DrawFn) -> Outcomes:
    weights = draw(st.dictionaries(st.integers(0, 63).map(Decimal), st.integers(1, 9), min_size=1, max_size=6))
    return {amount: weight / sum(weights.values()) for amount, weight in weights.items()}


@given(first=draw_outcomes(), second=draw_outcomes(), ahead=st.decimals(-80, 80, places=1))
def test_chance_agrees_with_every_pair_of_outcomes_counted_out(
    first: Outcomes, second: Outcomes, ahead: Decimal
) -> None:
    found = find_chance_of_more(build_law(first), build_law(second), ahead=ahead, shared=False)
    assert found == pytest.approx(count_out(first, second, ahead), abs=1e-12)


@given(first=draw_outcomes(), second=draw_outcomes(), ahead=st.decimals(-80, 80, places=1))
def test_one_costs_more_or_the_other_does(first: Outcomes, second: Outcomes, ahead: Decimal) -> None:
    a, b = build_law(first), build_law(second)
    there = find_chance_of_more(a, b, ahead=ahead, shared=False)
    back = find_chance_of_more(b, a, ahead=-ahead, shared=False)
    assert there + back == pytest.approx(1.0, abs=1e-12)


def test_recalls_and_first_cost_count_the_same() -> None:
    outcomes = {Decimal(0): 0.4, Decimal(7): 0.6}
    plain = find_chance_of_more(build_law(outcomes), build_law(outcomes), ahead=Decimal(7), shared=False)
    moved = find_chance_of_more(
        build_law(outcomes, certain=Decimal(7)), build_law(outcomes), ahead=Decimal(0), shared=False
    )
    assert plain == moved == pytest.approx(0.6 + 0.4 * (0.4 + 0.6 / 2))


def test_a_tie_that_is_certain_counts_half() -> None:
    law = build_law({Decimal(0): 1.0})
    assert find_chance_of_more(law, law, ahead=Decimal(0), shared=False) == 0.5


def test_a_cent_more_in_first_cost_decides_where_nothing_else_happens() -> None:
    law = build_law({Decimal(0): 1.0}, step=Decimal(5))
    assert find_chance_of_more(law, law, ahead=Decimal("0.01"), shared=False) == 1.0


def test_two_equal_options_are_even() -> None:
    total = Total(parts=(event_cost(2.7, 1.2, severity_of(Decimal("33.33"), Decimal("47.11"))),))
    law = distribute_total(total, Decimal("0.5"))
    assert find_chance_of_more(law, law, ahead=Decimal(0), shared=False) == pytest.approx(0.5, abs=1e-12)


def test_poisson_against_poisson_is_the_skellam_law() -> None:
    first, second = (
        distribute_total(Total(parts=(event_cost(mean, math.inf, severity_of(ONE)),)), ONE) for mean in (2.0, 3.5)
    )
    found = find_chance_of_more(first, second, ahead=ONE, shared=False)
    law = stats.skellam(2.0, 3.5)
    assert found == pytest.approx(law.sf(-1) + law.pmf(-1) / 2, abs=1e-12)


def build_fixed_lives(fee: int) -> CostDistribution:
    """Renewed once, twice or three times, by which of three lives holds."""
    lives = tuple(
        (weight, renewal_cost(np.ones(count), severity_of(Decimal(fee))))
        for weight, count in zip((0.3, 0.4, 0.3), (3, 2, 1), strict=True)
    )
    return distribute_total(Total(parts=(), alternatives=lives), ONE)


def test_a_shared_life_moves_both_totals_together() -> None:
    """Dearer for each life by itself; apart, the dear one may live long while the cheap one does not."""
    dear, cheap = build_fixed_lives(110), build_fixed_lives(100)
    assert find_chance_of_more(dear, cheap, ahead=Decimal(0), shared=True) == pytest.approx(1.0)
    apart = count_out(
        {Decimal(330): 0.3, Decimal(220): 0.4, Decimal(110): 0.3},
        {Decimal(300): 0.3, Decimal(200): 0.4, Decimal(100): 0.3},
        Decimal(0),
    )
    assert find_chance_of_more(dear, cheap, ahead=Decimal(0), shared=False) == pytest.approx(apart)


def test_laws_of_different_steps_are_refused() -> None:
    fine, coarse = build_law({Decimal(0): 1.0}), build_law({Decimal(0): 1.0}, step=Decimal(2))
    with pytest.raises(ValueError, match="must share one step"):
        find_chance_of_more(fine, coarse, ahead=Decimal(0), shared=False)


def test_a_shared_life_that_only_one_of_them_has_is_refused() -> None:
    with pytest.raises(ValueError, match="different alternatives"):
        find_chance_of_more(build_fixed_lives(100), build_law({Decimal(0): 1.0}), ahead=Decimal(0), shared=True)


def test_mixture_over_lives_is_the_law_itself() -> None:
    law = build_fixed_lives(100)
    assert sum(weight * each for weight, each in law.given) == pytest.approx(law.chances)


@pytest.mark.parametrize(
    ("amount", "chance"),
    [("-1", 1.0), ("9.99", 1.0), ("10", 0.6), ("12.99", 0.6), ("13", 0.25), ("17", 0.0), ("9999", 0.0)],
)
def test_chance_above_an_amount_counts_what_lies_above_it(amount: str, chance: float) -> None:
    law = build_law({Decimal(0): 0.4, Decimal(3): 0.35, Decimal(7): 0.25}, certain=Decimal(10))
    assert law.find_chance_above(Decimal(amount)) == pytest.approx(chance)


@given(chance=st.floats(0.01, 0.99))
@settings(max_examples=30)
def test_chance_above_a_quantile_is_what_is_left(chance: float) -> None:
    law = distribute_total(Total(parts=(event_cost(2.7, 1.2, severity_of(Decimal(20), Decimal(80))),)), ONE)
    quantile = law.find_quantile(chance)
    assert law.find_chance_above(quantile) <= 1 - chance + 1e-9
    assert law.find_chance_above(quantile - 1) >= 1 - chance - 1e-9


@pytest.mark.parametrize(
    ("first_costs", "first", "second", "year"),
    [
        ((100, 160), (30, 30, 30), (10, 10, 10), 3),
        ((160, 100), (10, 10, 10), (30, 30, 30), 3),
        ((100, 150), (30, 30, 30), (10, 10, 10), 3),
        ((100, 161), (30, 30, 30), (10, 10, 10), None),
        ((100, 160), (10, 10, 10), (10, 10, 10), None),
        ((100, 105), (10, 0, 0), (0, 20, 0), 1),
        ((100, 100), (10, 10, 10), (20, 20, 20), 0),
    ],
    ids=["meets exactly", "either way round", "crosses within a year", "too late", "side by side", "first of two", "level"],
)  # fmt: skip
def test_lines_cross_at_the_first_year_where_they_meet(
    first_costs: tuple[int, int], first: tuple[int, ...], second: tuple[int, ...], year: int | None
) -> None:
    costs = (Decimal(first_costs[0]), Decimal(first_costs[1]))
    assert find_crossing_year(costs, [Decimal(a) for a in first], [Decimal(b) for b in second]) == year
