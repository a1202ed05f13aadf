"""Jaw + Option + FeeSchedule become cost lines: quantity times unit fee, with the rule that says how many."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.base.money import add_up, round_money
from estimator.inputs.case.model import Jaw
from estimator.inputs.fees.schedule import NO_TAX, FeeKind, FeeLine, FeeSchedule, FeeTax, Unit, count_tax
from estimator.inputs.options.model import Attachments, Charge, Option, Per


@dataclass(frozen=True, slots=True, kw_only=True)
class CostLine:
    """One printed line. `row` is its row in the fee schedule; a unit fee of 0 prints as included.

    `units` is how many of what it is charged per there are; a line that is charged twice for each has twice as many.
    Where the fee is a range, fee and amount are its middle, and `amount_range` is the amount from its low to its high.
    """

    key: str
    label: str
    kind: FeeKind
    charged_per: Unit
    provider: str
    quantity: int
    unit_fee: Decimal
    amount: Decimal
    row: int
    units: int = 1
    amount_range: tuple[Decimal, Decimal] | None = None

    @property
    def rule(self) -> str:
        """How its quantity comes about: 4 implants, 1 case, 2 × 4 implants."""
        if self.charged_per in (Unit.VISIT, Unit.EVENT) or self.quantity % self.units:
            return _count_units(self.quantity, self.charged_per)
        times = self.quantity // self.units
        counted = _count_units(self.units, self.charged_per)
        return counted if times == 1 else f"{times} × {counted}"


def _count_units(number: int, unit: Unit) -> str:
    name = unit.value.replace("_", " ")
    if number == 1:
        return f"1 {name}"
    return f"{number} {'teeth' if unit is Unit.TOOTH else f'{name}s'}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fees:
    """The lines of an option and their sums, each the sum of its printed lines.

    `total` is what is to be paid: the lines and their tax. Kinds, providers and `per_case` are without tax.
    `total_range` is the total with every range at its low and at its high, None where no fee is one.
    """

    lines: tuple[CostLine, ...]
    total: Decimal
    by_kind: tuple[tuple[FeeKind, Decimal], ...]
    by_provider: tuple[tuple[str, Decimal], ...]
    per_case: Decimal
    tax_total: Decimal = Decimal(0)
    total_range: tuple[Decimal, Decimal] | None = None

    @property
    def before_tax(self) -> Decimal:
        """The sum of the lines."""
        return self.total - self.tax_total


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
        attachments=jaw.bar_attachments if on_bar else n,
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
    units_of: dict[str, int] = {}
    for charge in _list_first_charges(option, jaw):
        if charge.applies_to(route):
            units = quantities.count(fees.get(charge.fee).charged_per)
            counts[charge.fee] = counts.get(charge.fee, 0) + charge.count * units
            units_of[charge.fee] = units
    lines = tuple(price_line(fees.get(k), n, fees.quantum, units=units_of[k]) for k, n in counts.items() if n)
    return add_fees(lines, fees.quantum, fees.tax)


def _list_first_charges(option: Option, jaw: Jaw) -> Iterable[Charge]:
    route = option.find_route(jaw)
    for step in option.visits:
        if route in step.weeks:
            yield from (*step.charges, *step.added)
    if option.removal and route in option.removal.routes:
        yield from option.removal.step.charges
    yield from option.charges


def price_line(line: FeeLine, quantity: int, quantum: Decimal, *, units: int = 1) -> CostLine:
    """Quantity times unit fee, rounded half up once; a range counts with its middle."""
    unit_fee = round_money(line.middle, quantum)
    ends = None if line.fee_to is None else (line.fee * quantity, line.fee_to * quantity)
    return CostLine(
        key=line.key,
        label=line.label,
        kind=line.kind,
        charged_per=line.charged_per,
        provider=line.provider,
        quantity=quantity,
        unit_fee=unit_fee,
        amount=round_money(unit_fee * quantity, quantum),
        row=line.row,
        units=max(1, units),
        amount_range=ends and (round_money(ends[0], quantum), round_money(ends[1], quantum)),
    )


def trace_line(line: CostLine, schedule: FeeSchedule) -> str:
    """Where a line comes from: the rule of its quantity, its row, the file and the version."""
    return f"{line.rule}; row {line.row} of {schedule.file}, prices of {schedule.price_date.isoformat()}"


def add_fees(lines: tuple[CostLine, ...], quantum: Decimal, tax: FeeTax = NO_TAX) -> Fees:
    """Totals of lines, by kind in the fixed order and by provider in the order they appear.

    Tax is that of `count_tax`, as in a quote.
    """
    providers = dict.fromkeys(line.provider for line in lines)
    by_kind = tuple((k, add_up((x.amount for x in lines if x.kind is k), quantum)) for k in FeeKind)
    tax_total = _add_tax([(line.kind, line.amount) for line in lines], tax, quantum)
    return Fees(
        lines=lines,
        total=add_up((line.amount for line in lines), quantum) + tax_total,
        by_kind=by_kind,
        by_provider=tuple((p, add_up((x.amount for x in lines if x.provider == p), quantum)) for p in providers),
        per_case=add_up((x.amount for x in lines if x.charged_per is Unit.CASE), quantum),
        tax_total=tax_total,
        total_range=_find_range(lines, quantum, tax),
    )


def _add_tax(amounts: Sequence[tuple[FeeKind, Decimal]], tax: FeeTax, quantum: Decimal) -> Decimal:
    return add_up(count_tax(amounts, tax.find_rate, quantum), quantum) if tax.rates else Decimal(0).quantize(quantum)


def _find_range(lines: tuple[CostLine, ...], quantum: Decimal, tax: FeeTax) -> tuple[Decimal, Decimal] | None:
    if all(line.amount_range is None for line in lines):
        return None
    ends = []
    for end in (0, 1):
        amounts = [(line.kind, line.amount_range[end] if line.amount_range else line.amount) for line in lines]
        ends.append(add_up((amount for _, amount in amounts), quantum) + _add_tax(amounts, tax, quantum))
    return ends[0], ends[1]


def join_jaws(parts: Iterable[Fees], schedule: FeeSchedule) -> Fees:
    """The fees of both jaws together: what is charged once a case stands in each and is paid once."""
    lines: list[CostLine] = []
    shared: dict[str, CostLine] = {}
    for line in (line for fees in parts for line in fees.lines):
        if line.charged_per is not Unit.CASE:
            lines.append(line)
        elif line.key not in shared or line.quantity > shared[line.key].quantity:
            shared[line.key] = line
    return add_fees((*shared.values(), *lines), schedule.quantum, schedule.tax)
