"""Which assumption matters: the difference of two options with each assumption at its low and at its high in turn."""

from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from estimator.base.evidence import Figure
from estimator.estimate.upkeep.discounting import round_amount
from estimator.estimate.upkeep.plan import Lifetime, MeanLife, UpkeepPlan
from estimator.estimate.upkeep.rates import Rate
from estimator.estimate.upkeep.years import expect_cost


class Worth(StrEnum):
    """How the years are added up: in today's money, or as worth at delivery, where discounting and inflation matter."""

    TODAYS_MONEY = "todays_money"
    AT_DELIVERY = "at_delivery"


class End(StrEnum):
    """The end of its range that an assumption is moved to."""

    LOW = "low"
    HIGH = "high"


@dataclass(frozen=True, slots=True, kw_only=True)
class Swing:
    """The first option's expected total less the second's, one figure at its low and at its high, all else central.

    A figure that both options rest on moves in both, in each to the end of its own range.
    """

    figure: str
    name: str
    low: float
    high: float
    at_low: Decimal
    at_high: Decimal

    @property
    def size(self) -> Decimal:
        """How far the difference moves."""
        return abs(self.at_high - self.at_low)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Assumption:
    """A figure with a range."""

    figure: str
    name: str
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ground:
    """All that the difference rests on; `ahead` is how much more the first option costs at the start."""

    plans: tuple[UpkeepPlan, UpkeepPlan]
    years: int
    discount_rate: Figure
    inflation: Figure
    ahead: float

    def expect(self, worth: Worth) -> float:
        """Expected total of the first option less that of the second."""
        first, second = (
            expect_cost(
                plan,
                years=self.years,
                discount_rate=float(self.discount_rate.value),
                inflation=float(self.inflation.value),
            )
            for plan in self.plans
        )
        if worth is Worth.AT_DELIVERY:
            return self.ahead + first.discounted - second.discounted
        return self.ahead + first.total - second.total


def rank_swings(
    plans: tuple[UpkeepPlan, UpkeepPlan],
    *,
    years: int,
    discount_rate: Figure,
    inflation: Figure,
    quantum: Decimal,
    first_costs: tuple[Decimal, Decimal],
    worth: Worth = Worth.TODAYS_MONEY,
) -> tuple[Swing, ...]:
    """Return a swing for each assumption that has a range, the largest first, those of equal size in order of use.

    Discount rate and inflation are among them only where the worth at delivery is asked for. A mean life at its low
    or high is certain; centrally it is mixed from all three.
    """
    ahead = float(first_costs[0] - first_costs[1])
    ground = _Ground(plans=plans, years=years, discount_rate=discount_rate, inflation=inflation, ahead=ahead)
    assumptions = _list_assumptions(plans)
    if worth is Worth.AT_DELIVERY:
        assumptions += (_assume(discount_rate), _assume(inflation))
    swings = [_swing(ground, a, worth, quantum) for a in assumptions if a.low < a.high]
    return tuple(sorted(swings, key=lambda swing: -swing.size))


def _swing(ground: _Ground, assumption: _Assumption, worth: Worth, quantum: Decimal) -> Swing:
    at_low, at_high = (round_amount(_move(ground, assumption.figure, end).expect(worth), quantum) for end in End)
    return Swing(
        figure=assumption.figure,
        name=assumption.name,
        low=assumption.low,
        high=assumption.high,
        at_low=at_low,
        at_high=at_high,
    )


def _assume(figure: Figure) -> _Assumption:
    return _Assumption(figure=figure.key, name=figure.name, low=float(figure.low), high=float(figure.high))


def _list_assumptions(plans: tuple[UpkeepPlan, ...]) -> tuple[_Assumption, ...]:
    """Every rate and mean life that comes from a row of the evidence, each once, in order of use."""
    used: list[Rate | MeanLife] = []
    for plan in plans:
        used += [rate for event in plan.events for rate in (event.first_year, event.later)]
        if plan.lifetime is not None:
            used.append(plan.lifetime.mean_years)
    found: dict[str, _Assumption] = {}
    for u in used:
        if u.figure:
            found.setdefault(u.figure, _Assumption(figure=u.figure, name=u.name, low=u.low, high=u.high))
    return tuple(found.values())


def _find_end(ranged: Rate | MeanLife, end: End) -> float:
    return ranged.low if end is End.LOW else ranged.high


def _move(ground: _Ground, figure: str, end: End) -> _Ground:
    """The same ground with one figure at an end of its range, wherever it is used."""
    first, second = (_move_plan(plan, figure, end) for plan in ground.plans)
    return replace(
        ground,
        plans=(first, second),
        discount_rate=_move_yearly(ground.discount_rate, figure, end),
        inflation=_move_yearly(ground.inflation, figure, end),
    )


def _move_yearly(yearly: Figure, figure: str, end: End) -> Figure:
    return replace(yearly, value=yearly.low if end is End.LOW else yearly.high) if yearly.key == figure else yearly


def _move_plan(plan: UpkeepPlan, figure: str, end: End) -> UpkeepPlan:
    events = tuple(
        replace(e, first_year=_move_rate(e.first_year, figure, end), later=_move_rate(e.later, figure, end))
        for e in plan.events
    )
    lifetime = None if plan.lifetime is None else _move_lifetime(plan.lifetime, figure, end)
    return replace(plan, events=events, lifetime=lifetime)


def _move_rate(rate: Rate, figure: str, end: End) -> Rate:
    return replace(rate, value=_find_end(rate, end)) if rate.figure == figure else rate


def _move_lifetime(lifetime: Lifetime, figure: str, end: End) -> Lifetime:
    """A mean life becomes certain; visits that a new denture brings once more change what a new one costs."""
    life, settling = lifetime.mean_years, lifetime.settling
    if life.figure == figure:
        years = _find_end(life, end)
        return replace(lifetime, mean_years=replace(life, low=years, value=years, high=years))
    if settling is None or settling.number.figure != figure:
        return lifetime
    more = Decimal(str(_find_end(settling.number, end))) - Decimal(str(settling.number.value))
    visits = settling.severity if len(settling.severity) > 1 else settling.severity * len(lifetime.severity)
    severity = tuple(
        (amount + more * visit, weight) for (amount, weight), (visit, _) in zip(lifetime.severity, visits, strict=True)
    )
    return replace(lifetime, severity=severity)
