"""Annuity factor and equivalent annual cost at their edges."""

from decimal import Decimal

import pytest

from estimator.estimate.upkeep.discounting import annuity_factor, equivalent_annual_cost


def test_annuity_factor_at_rate_zero_is_the_number_of_years() -> None:
    assert annuity_factor(0.0, 10) == 10


def test_annuity_factor_is_continuous_at_rate_zero() -> None:
    assert annuity_factor(1e-12, 10) == pytest.approx(10)


def test_annuity_of_no_years_is_refused() -> None:
    with pytest.raises(ValueError, match="'years' must be 1 or more"):
        annuity_factor(0.03, 0)


def test_equivalent_annual_cost_at_rate_zero_shares_the_total_equally() -> None:
    assert equivalent_annual_cost(Decimal(9000), Decimal(1000), 0.0, 10) == Decimal("1000.00")
