"""What an option costs the practice: chair time, laboratory with remakes, parts. Never on anything a patient sees."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.base.money import add_up, round_money
from estimator.estimate.cost.charges import Fees
from estimator.inputs.fees.schedule import FeeKind, FeeLine, FeeSchedule
from estimator.inputs.practice.settings import Settings


@dataclass(frozen=True, slots=True, kw_only=True)
class LineCost:
    """One line of an option, or one of the schedule, beside what it costs the practice."""

    key: str
    label: str
    amount: Decimal
    cost: Decimal

    @property
    def is_under_cost(self) -> bool:
        """Whether it is charged for, and for less than it costs; what is included is no fee of its own."""
        return 0 < self.amount < self.cost


@dataclass(frozen=True, slots=True, kw_only=True)
class PracticeCost:
    """What an option costs the practice, and what is left of its fees before tax.

    None where a chair hour has no price yet. `margin_per_chair_hour` is None too where the option takes no chair time.
    """

    cost_total: Decimal | None
    margin: Decimal | None
    chair_time_min: int = 0
    margin_per_chair_hour: Decimal | None = None
    lines: tuple[LineCost, ...] = ()

    @property
    def under_cost(self) -> tuple[LineCost, ...]:
        """The lines that are charged for less than they cost."""
        return tuple(line for line in self.lines if line.is_under_cost)

    def leave_of(self, charged: Decimal, quantum: Decimal) -> "PracticeCost":
        """The same where so much is charged before tax, such as after discounts; rounded half up to `quantum`."""
        if self.cost_total is None:
            return self
        margin = charged - self.cost_total
        hourly = round_money(margin * 60 / self.chair_time_min, quantum) if self.chair_time_min else None
        return replace(self, margin=margin, margin_per_chair_hour=hourly)


def find_practice_cost(fees: Fees, schedule: FeeSchedule, settings: Settings) -> PracticeCost:
    """Parts and materials at cost, laboratory work as often as it is made, and minutes at the cost of a chair hour.

    A line's own practice cost may be empty; its minutes always count.
    """
    chair = settings.chair_cost_per_hour
    minutes = sum(schedule.get(line.key).minutes * line.quantity for line in fees.lines)
    if chair is None:
        return PracticeCost(cost_total=None, margin=None, chair_time_min=minutes)
    quantum = schedule.quantum
    lines = tuple(
        LineCost(
            key=line.key,
            label=line.label,
            amount=line.amount,
            cost=round_money(_find_unit_cost(schedule.get(line.key), chair, settings) * line.quantity, quantum),
        )
        for line in fees.lines
    )
    cost = add_up((line.cost for line in lines), quantum)
    made = PracticeCost(cost_total=cost, margin=None, chair_time_min=minutes, lines=lines)
    return made.leave_of(fees.before_tax, quantum)


def _find_unit_cost(line: FeeLine, chair_cost_per_hour: Decimal, settings: Settings) -> Decimal:
    """Not rounded. A share of laboratory work is made again, at the practice's cost: 1 / (1 - share) times in all."""
    own = line.practice_cost or Decimal(0)
    if line.kind is FeeKind.LABORATORY:
        own /= 1 - settings.laboratory_remakes
    return own + Decimal(line.minutes) * chair_cost_per_hour / 60


def find_lines_under_cost(schedule: FeeSchedule, settings: Settings) -> tuple[LineCost, ...]:
    """The lines of a schedule that are charged for less than they cost, once each; the lower end of a range counts."""
    return tuple(line for line in _cost_lines(schedule, settings) if line.is_under_cost)


def _cost_lines(schedule: FeeSchedule, settings: Settings) -> Iterable[LineCost]:
    chair = settings.chair_cost_per_hour
    if chair is None:
        return
    for line in schedule.lines.values():
        cost = round_money(_find_unit_cost(line, chair, settings), schedule.quantum)
        yield LineCost(key=line.key, label=line.label, amount=line.fee, cost=cost)
