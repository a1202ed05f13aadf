"""The lines of a quote: what options charge in one or both jaws, each charge once."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from itertools import chain

from estimator.estimate.cost.charges import CostLine, Fees
from estimator.inputs.case.model import Arch
from estimator.inputs.fees.schedule import FeeKind, FeeSchedule, Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteLine:
    """One line to be paid: quantity times unit fee. `arch` is empty for what is charged once a case.

    `amount_from` and `amount_to` stand only where a range is quoted; `key` is unique in the quote.
    """

    key: str
    label: str
    kind: FeeKind
    provider: str
    quantity: int
    unit_fee: Decimal
    amount: Decimal
    arch: str = ""
    office_code: str = ""
    benefit_class: str = ""
    amount_to: Decimal | None = None
    amount_from: Decimal | None = None

    @property
    def fee_key(self) -> str:
        """The key of its line in the fee schedule, the same in both jaws."""
        return self.key.removeprefix(f"{self.arch}.") if self.arch else self.key


def list_jaw_lines(arch: Arch, fees: Fees, schedule: FeeSchedule) -> tuple[QuoteLine, ...]:
    """The lines of one option in one jaw."""
    return tuple(_make_line(line, arch, schedule) for line in fees.lines)


def join_lines(jaws: Iterable[Iterable[QuoteLine]]) -> tuple[QuoteLine, ...]:
    """The lines of both jaws, those once a case once."""
    lines: dict[str, QuoteLine] = {}
    for line in chain.from_iterable(jaws):
        if line.key not in lines or line.quantity > lines[line.key].quantity:
            lines[line.key] = line
    return tuple(lines.values())


def _make_line(line: CostLine, arch: Arch, schedule: FeeSchedule) -> QuoteLine:
    per_case = line.charged_per is Unit.CASE
    row = schedule.get(line.key)
    return QuoteLine(
        key=line.key if per_case else f"{arch}.{line.key}",
        label=line.label,
        kind=line.kind,
        provider=line.provider,
        quantity=line.quantity,
        unit_fee=line.unit_fee,
        amount=line.amount,
        arch="" if per_case else arch.value,
        office_code=row.office_code,
        benefit_class=row.benefit_class,
        amount_to=line.amount_range and line.amount_range[1],
        amount_from=line.amount_range and line.amount_range[0],
    )
