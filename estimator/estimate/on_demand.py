"""What takes too long for every estimate and is asked for one at a time: the tornado, and the check by simulation."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from estimator.estimate.look_ahead import plan_upkeep
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate
from estimator.estimate.upkeep.plan import UpkeepPlan
from estimator.estimate.upkeep.sensitivity import Swing, Worth, rank_swings
from estimator.estimate.upkeep.simulation import QuantileCheck, check_quantiles, simulate_upkeep


@dataclass(frozen=True, slots=True, kw_only=True)
class OptionCheck:
    """The points of one option's upkeep beside those of the simulated people."""

    key: str
    points: tuple[QuantileCheck, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PairCheck:
    """The chance that the first option costs more than the second beside how often it did."""

    first: str
    second: str
    exact: float
    simulated: float
    errors: float


@dataclass(frozen=True, slots=True, kw_only=True)
class JawCheck:
    """All options and pairs of a jaw checked on so many simulated people."""

    people: int
    options: tuple[OptionCheck, ...]
    pairs: tuple[PairCheck, ...]

    @property
    def most_errors(self) -> float:
        """The largest distance [standard errors]; a sound model stays below 4."""
        found = [point.errors for option in self.options for point in option.points]
        return max([*found, *(pair.errors for pair in self.pairs)], default=0.0)


def list_swings(
    estimate: CaseEstimate,
    jaw: JawEstimate,
    first: str,
    second: str,
    *,
    first_costs: Mapping[str, Decimal],
    worth: Worth = Worth.TODAYS_MONEY,
) -> tuple[Swing, ...]:
    """The tornado of two options of a jaw by their keys, each from its first cost on.

    Raises KeyError for an option that does not apply there.
    """
    for key in (first, second):
        _find_estimate(jaw, key)
    evidence = estimate.practice.evidence
    return rank_swings(
        (_plan(estimate, jaw, first), _plan(estimate, jaw, second)),
        years=estimate.years,
        discount_rate=evidence.get("discount_rate"),
        inflation=evidence.get("inflation"),
        quantum=estimate.practice.fees.quantum,
        first_costs=(first_costs[first], first_costs[second]),
        worth=worth,
    )


def check_by_simulation(
    estimate: CaseEstimate, jaw: JawEstimate, *, people: int, generator: np.random.Generator
) -> JawCheck:
    """Simulate people with every option of a jaw, and set what they paid beside the exact law."""
    plans = tuple(_plan(estimate, jaw, option.key) for option in jaw.estimates)
    upkeep = simulate_upkeep(plans, years=estimate.years, people=people, generator=generator)
    paid = {option.key: each for option, each in zip(jaw.estimates, upkeep, strict=True)}
    options = tuple(OptionCheck(key=o.key, points=check_quantiles(o.upkeep.law, paid[o.key])) for o in jaw.estimates)
    pairs = []
    for pair in jaw.pairs:
        ahead = _find_estimate(jaw, pair.first).fees.total - _find_estimate(jaw, pair.second).fees.total
        # Drawn amounts are sums of floats: what is closer than a hundredth of the smallest coin is a tie.
        apart = paid[pair.first] + float(ahead) - paid[pair.second]
        tie = np.abs(apart) < float(estimate.practice.fees.quantum) / 100
        simulated = float(np.mean(np.where(tie, 0.5, apart > 0)))
        error = math.sqrt(max(pair.chance * (1 - pair.chance), 1 / people) / people)
        pairs.append(
            PairCheck(
                first=pair.first,
                second=pair.second,
                exact=pair.chance,
                simulated=simulated,
                errors=abs(simulated - pair.chance) / error,
            )
        )
    return JawCheck(people=people, options=options, pairs=tuple(pairs))


def _find_estimate(jaw: JawEstimate, key: str) -> Estimate:
    found = next((option for option in jaw.estimates if option.key == key), None)
    if found is None:
        raise KeyError(f"'key' must be an option that applies in this jaw (got '{key}')")
    return found


def _plan(estimate: CaseEstimate, jaw: JawEstimate, key: str) -> UpkeepPlan:
    option = next(option for option in estimate.practice.options if option.key == key)
    return plan_upkeep(jaw.jaw, option, estimate.practice.fees)
