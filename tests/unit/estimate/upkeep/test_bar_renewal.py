"""New bars: rows found another way, drawn years, and the cost of a loss that takes its bar along."""

import math
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.estimate.upkeep.bar_renewal import add_sometimes, chance_of_loss, expect_new_bars
from estimator.estimate.upkeep.distribution import check_severity, mean_amount, severity_of
from estimator.estimate.upkeep.rates import Rate, gamma_shape
from tests.rows import Row, read_rows

LOST = {
    0.0022: Rate(low=0.0017, value=0.0022, high=0.0027),
    0.02: Rate(low=0.005, value=0.02, high=0.04),
    0.07: Rate(low=0.03, value=0.07, high=0.10),
}
BROKEN = Rate(low=0.002, value=0.006, high=0.02)
SURE = Rate(low=0.05, value=0.05, high=0.05)


@pytest.mark.parametrize("row", read_rows(__file__, "arch_bar_renewal.csv"), ids=lambda row: row["id"])
def test_new_bars_are_those_of_the_row(row: Row) -> None:
    lost = LOST[float(row["lost_per_implant_year"])]
    found = expect_new_bars(
        float(row["years"]), implants=int(row["implants"]), lost=(lost, lost), broken=(BROKEN, BROKEN),
        share=float(row["share_of_losses_that_remake_the_bar"]),
    )  # fmt: skip
    assert found.expected == pytest.approx(float(row["bars_remade_expected"]), abs=float(row["tolerance"]))
    assert found.chance == pytest.approx(float(row["chance_of_one_or_more"]), abs=float(row["tolerance"]))


def test_drawn_years_agree() -> None:
    """A rate is drawn for each patient, then the losses, and of those the ones that take the bar along."""
    generator, draws, share, lost = np.random.default_rng(20261128), 400_000, 0.59, LOST[0.02]
    rates = {rate: generator.gamma(gamma_shape(rate), rate.value / gamma_shape(rate), draws) for rate in (lost, BROKEN)}
    bars = generator.binomial(generator.poisson(10 * 4 * rates[lost]), share) + generator.poisson(10 * rates[BROKEN])
    found = expect_new_bars(10, implants=4, lost=(lost, lost), broken=(BROKEN, BROKEN), share=share)
    assert found.expected == pytest.approx(bars.mean(), abs=5 * bars.std() / math.sqrt(draws))
    assert found.chance == pytest.approx((bars > 0).mean(), abs=5 * 0.5 / math.sqrt(draws))


def test_a_rate_that_is_known_for_certain_follows_the_law_of_rare_events() -> None:
    found = expect_new_bars(10, implants=2, lost=(SURE, SURE), broken=(SURE, SURE), share=1)
    assert found.chance == pytest.approx(1 - math.exp(-1.5))


@given(st.floats(0, 1), st.floats(0, 1), st.integers(1, 8))
def test_the_more_losses_take_the_bar_along_the_more_bars_are_made(one: float, other: float, implants: int) -> None:
    low, high = (
        expect_new_bars(
            10, implants=implants, lost=(LOST[0.02], LOST[0.02]), broken=(BROKEN, BROKEN), share=share
        )
        for share in sorted((one, other))
    )  # fmt: skip
    assert low.expected <= high.expected
    assert low.chance <= high.chance


@pytest.mark.parametrize("share", [-0.1, 1.1])
def test_a_share_that_is_none_is_refused(share: float) -> None:
    with pytest.raises(ValueError, match="'share' must be from 0 to 1"):
        expect_new_bars(10, implants=4, lost=(SURE, SURE), broken=(SURE, SURE), share=share)


def test_the_chance_that_a_reserve_is_needed_is_that_of_losing_any_implant() -> None:
    """1 − (1 + n μ/a)^−a for four upper implants over ten years."""
    shape = gamma_shape(LOST[0.02])
    expected = 1 - (1 + 0.8 / shape) ** -shape
    assert chance_of_loss(10, implants=4, lost=(LOST[0.02], LOST[0.02])) == pytest.approx(expected)


def test_a_loss_that_takes_its_bar_along_six_times_in_ten_costs_so_much_on_average() -> None:
    loss, bar = severity_of(Decimal(1000)), severity_of(Decimal(2000), Decimal(4000))
    both = add_sometimes(loss, bar, 0.6)
    check_severity(both)
    assert mean_amount(both) == pytest.approx(1000 + 0.6 * 3000)
    assert [amount for amount, _ in both] == [1000, 3000, 4000, 5000]


@pytest.mark.parametrize(("share", "amounts"), [(0.0, [1000]), (1.0, [3000])])
def test_a_further_charge_may_never_or_always_come(share: float, amounts: list[int]) -> None:
    both = add_sometimes(severity_of(Decimal(1000)), severity_of(Decimal(2000)), share)
    assert [amount for amount, _ in both] == amounts
