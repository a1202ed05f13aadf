"""A sanity band: upkeep as a share of cost beside the two shares that trials of overdentures have published."""

from dataclasses import dataclass, replace
from enum import StrEnum

from estimator.base.evidence import Figure
from estimator.estimate.cost.charges import price_option
from estimator.estimate.look_ahead import plan_upkeep
from estimator.estimate.upkeep.years import expect_cost
from estimator.inputs.case.model import DenturePlan, Jaw
from estimator.inputs.options.model import Option
from estimator.inputs.practice_bundle import Practice

FIRST_COST_SHARE = ("maintenance_share_5_years", 5)
TOTAL_SHARE = ("aftercare_share_8_years", 8)
"""Figures, and the years after which each trial looked."""


class Finding(StrEnum):
    """Where a share lies beside the published one."""

    BELOW = "below"
    INSIDE = "inside"
    ABOVE = "above"


@dataclass(frozen=True, slots=True, kw_only=True)
class SanityCheck:
    """One share beside the published `figure`; inside from `low` to `high`, which lie a factor (`width`) around it."""

    figure: Figure
    width: Figure
    years: int
    share: float
    low: float
    high: float

    @property
    def finding(self) -> Finding:
        """Below, inside or above; the ends are inside."""
        if self.share < self.low:
            return Finding.BELOW
        return Finding.ABOVE if self.share > self.high else Finding.INSIDE


def check_sanity(jaw: Jaw, option: Option, practice: Practice) -> tuple[SanityCheck, ...]:
    """Expected upkeep over 5 years by the first cost, and over 8 years by the total; nothing without implants.

    The trials began with no implants and a new denture, so the first cost is taken as if both were still to be made:
    the check is of the practice's numbers, not of this patient's. Upkeep holds recalls and new dentures as well.
    """
    if not option.on_implants:
        return ()
    begun = replace(jaw, implants_present=False, denture=DenturePlan.NEW, extractions=0)
    first_cost = float(price_option(begun, option, practice.fees).total)
    plan = plan_upkeep(begun, option, practice.fees)
    (first_key, first_years), (total_key, total_years) = FIRST_COST_SHARE, TOTAL_SHARE
    early, late = (expect_cost(plan, years=years).total for years in (first_years, total_years))
    if first_cost <= 0:
        return ()
    return (
        _judge(practice, first_key, first_years, early / first_cost),
        _judge(practice, total_key, total_years, late / (first_cost + late)),
    )


def _judge(practice: Practice, key: str, years: int, share: float) -> SanityCheck:
    figure, width = practice.evidence.get(key), practice.evidence.get("sanity_width")
    published, factor = float(figure.value), float(width.value)
    return SanityCheck(
        figure=figure, width=width, years=years, share=share, low=published / factor, high=published * factor
    )
