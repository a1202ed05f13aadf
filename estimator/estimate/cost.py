"""Jaw + Option + FeeSchedule become cost lines: quantity times unit fee, and what they cost the practice."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from estimator.base.money import add_up, round_money
from estimator.inputs.case import Jaw
from estimator.inputs.fees import FeeKind, FeeLine, FeeSchedule, Unit
from estimator.inputs.options import Attachments, Charge, Option, Per


@dataclass(frozen=True, slots=True, kw_only=True)
class CostLine:
    """One printed line. `row` is its row in the fee schedule; a unit fee of 0 prints as included."""

    key: str
    label: str
    kind: FeeKind
    charged_per: Unit
    provider: str
    quantity: int
    unit_fee: Decimal
    amount: Decimal
    row: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Fees:
    """The lines of an option and their sums; each total is the sum of its printed lines."""

    lines: tuple[CostLine, ...]
    total: Decimal
    by_kind: tuple[tuple[FeeKind, Decimal], ...]
    by_provider: tuple[tuple[str, Decimal], ...]
    per_case: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class PracticeCost:
    """What an option costs the practice, and what is left of its fees. Never on anything a patient sees.

    None where a chair hour has no price yet.
    """

    cost_total: Decimal | None
    margin: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantities:
    """How many of each unit an option has in a jaw."""

    implants: int
    attachments: int
    bar_segments: int
    teeth: int
    sites: int = 1

    def count(self, unit: Unit) -> int:
        """Quantity of a charge with that unit; case, jaw, visit and event count once."""
        by_unit = {
            Unit.IMPLANT: self.implants,
            Unit.ATTACHMENT: self.attachments,
            Unit.BAR_SEGMENT: self.bar_segments,
            Unit.TOOTH: self.teeth,
            Unit.SITE: self.sites,
        }
        return by_unit.get(unit, 1)


def count_quantities(jaw: Jaw, option: Option) -> Quantities:
    """Units in a jaw: attachments sit on the implants or on the bar; a bar of n implants has n - 1 segments."""
    n = jaw.implants if option.on_implants else 0
    on_bar = option.attachments is Attachments.ON_BAR
    return Quantities(
        implants=n,
        attachments=jaw.attachments_on_bar if on_bar else n,
        bar_segments=max(0, n - 1) if on_bar else 0,
        teeth=jaw.extractions,
        sites=max(1, jaw.graft_sites),
    )


def count_event_quantities(jaw: Jaw, option: Option, per: Per) -> Quantities:
    """Units that one upkeep event concerns: the whole jaw, or one implant with its attachment."""
    whole = count_quantities(jaw, option)
    if per is Per.JAW:
        return whole
    return Quantities(implants=1, attachments=1, bar_segments=whole.bar_segments, teeth=0)


def price_option(jaw: Jaw, option: Option, fees: FeeSchedule) -> Fees:
    """Every line an option charges in a jaw on its route, each fee once with its whole quantity."""
    route, quantities = option.find_route(jaw), count_quantities(jaw, option)
    counts: dict[str, int] = {}
    for charge in _list_first_charges(option, jaw):
        if charge.applies_to(route):
            units = quantities.count(fees.get(charge.fee).charged_per)
            counts[charge.fee] = counts.get(charge.fee, 0) + charge.count * units
    lines = tuple(price_line(fees.get(key), n, fees.quantum) for key, n in counts.items() if n)
    return add_fees(lines, fees.quantum)


def _list_first_charges(option: Option, jaw: Jaw) -> Iterable[Charge]:
    route = option.find_route(jaw)
    for step in option.visits:
        if route in step.weeks:
            yield from (*step.charges, *step.added)
    yield from option.charges


def price_line(line: FeeLine, quantity: int, quantum: Decimal) -> CostLine:
    """Quantity times unit fee, rounded half up once."""
    return CostLine(
        key=line.key,
        label=line.label,
        kind=line.kind,
        charged_per=line.charged_per,
        provider=line.provider,
        quantity=quantity,
        unit_fee=line.fee,
        amount=round_money(line.fee * quantity, quantum),
        row=line.row,
    )


def add_fees(lines: tuple[CostLine, ...], quantum: Decimal) -> Fees:
    """Totals of lines, by kind in the fixed order and by provider in the order they appear."""
    providers = dict.fromkeys(line.provider for line in lines)
    return Fees(
        lines=lines,
        total=add_up((line.amount for line in lines), quantum),
        by_kind=tuple((k, add_up((x.amount for x in lines if x.kind is k), quantum)) for k in FeeKind),
        by_provider=tuple((p, add_up((x.amount for x in lines if x.provider == p), quantum)) for p in providers),
        per_case=add_up((x.amount for x in lines if x.charged_per is Unit.CASE), quantum),
    )


def find_practice_cost(fees: Fees, schedule: FeeSchedule, chair_cost_per_hour: Decimal | None) -> PracticeCost:
    """Cost of parts, laboratory and materials plus minutes of chair time at the practice's hourly cost.

    A line's own practice cost may be empty; its minutes always count.
    """
    if chair_cost_per_hour is None:
        return PracticeCost(cost_total=None, margin=None)
    cost = Decimal(0)
    for line in fees.lines:
        source = schedule.get(line.key)
        chair = Decimal(source.minutes) * chair_cost_per_hour / 60
        cost += round_money(((source.practice_cost or Decimal(0)) + chair) * line.quantity, schedule.quantum)
    return PracticeCost(
        cost_total=cost.quantize(schedule.quantum), margin=(fees.total - cost).quantize(schedule.quantum)
    )
