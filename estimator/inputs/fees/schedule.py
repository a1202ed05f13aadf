"""FeeLine, FeeSchedule: a practice's own price list, and the one place that prices a charge."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from enum import StrEnum

from estimator.base.days import parse_day
from estimator.base.fields import KEY
from estimator.base.money import MINOR_UNITS, get_quantum, offer_amount, parse_amount, round_money
from estimator.base.problems import InputError, Problem
from estimator.base.table import CsvRow, CsvTable, check_columns, find_duplicates, restore_formula


class FeeKind(StrEnum):
    """What a fee is for; totals are kept by kind, in this order."""

    VISIT = "visit"
    LABORATORY = "laboratory"
    PART = "part"
    SURGERY = "surgery"
    IMAGING = "imaging"
    AFTERCARE = "aftercare"


class Unit(StrEnum):
    """What a fee is charged per."""

    CASE = "case"
    JAW = "jaw"
    IMPLANT = "implant"
    ATTACHMENT = "attachment"
    BAR_SEGMENT = "bar_segment"
    TOOTH = "tooth"
    SITE = "site"
    VISIT = "visit"
    EVENT = "event"


@dataclass(frozen=True, slots=True, kw_only=True)
class FeeLine:
    """One row of the schedule. `fee_to` stands only where its fee is a range; `row` is its row in the file."""

    key: str
    label: str
    kind: FeeKind
    charged_per: Unit
    fee: Decimal
    fee_to: Decimal | None = None
    practice_cost: Decimal | None = None
    minutes: int = 0
    provider: str = "practice"
    office_code: str = ""
    benefit_class: str = ""
    note: str = ""
    row: int = 0

    @property
    def middle(self) -> Decimal:
        """The fee, or the middle of its range: what is expected where nobody knows more."""
        return self.fee if self.fee_to is None else (self.fee + self.fee_to) / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class FeeTax:
    """What is added to fees, as a share by kind (0.08 is 8 %), and why the other kinds are exempt."""

    rates: tuple[tuple[FeeKind, Decimal], ...] = ()
    reason: str = ""

    def find_rate(self, kind: FeeKind) -> Decimal:
        """The share that is added to fees of a kind, 0 where none is set."""
        return dict(self.rates).get(kind, Decimal(0))

    def add_to(self, fee: Decimal, kind: FeeKind) -> Decimal:
        """A fee with its tax, not rounded; the fee itself where there is none."""
        rate = self.find_rate(kind)
        return fee * (1 + rate) if rate else fee


NO_TAX = FeeTax()


def count_tax(
    lines: Sequence[tuple[FeeKind, Decimal]], find_rate: Callable[[FeeKind], Decimal], quantum: Decimal
) -> tuple[Decimal, ...]:
    """The tax of each line, a kind and an amount of 0 or more: the one rule for estimates and quotes.

    Each line is rounded half up by itself, so that the tax printed beside it is its own and totals are sums of lines.
    """
    nothing = round_money(Decimal(0), quantum)
    rates = {kind: find_rate(kind) for kind in {kind for kind, _ in lines}}
    # Most lines have no tax, and are many: each option of each jaw is priced alone and with each of the other.
    return tuple(round_money(amount * rates[kind], quantum) if rates[kind] else nothing for kind, amount in lines)


@dataclass(frozen=True, slots=True, kw_only=True)
class FeeSchedule:
    """A whole price list in one currency, at the prices of one day: one version of it.

    `effective_from` is the day from which it is used, None where the file does not say. `tax` comes from the settings.
    """

    file: str
    currency: str
    price_date: date
    lines: Mapping[str, FeeLine]
    effective_from: date | None = None
    tax: FeeTax = NO_TAX

    @property
    def quantum(self) -> Decimal:
        """The smallest unit of its currency."""
        return get_quantum(self.currency)

    @property
    def decimals(self) -> int:
        """How many decimals an amount in its currency has."""
        return MINOR_UNITS[self.currency]

    @property
    def invented(self) -> bool:
        """Whether any row says in its note that it is invented: then every sheet says so."""
        return any(line.note.lower().startswith("invented") for line in self.lines.values())

    def get(self, key: str) -> FeeLine:
        """The line of that key."""
        if key not in self.lines:
            raise KeyError(f"'key' must be a line of {self.file} (got '{key}')")
        return self.lines[key]


COLUMNS = (
    "key", "label", "kind", "charged_per", "fee", "practice_cost", "minutes", "provider", "office_code",
    "benefit_class", "currency", "price_date", "note",
)  # fmt: skip
EFFECTIVE = "effective_from"
"""A column that a file may leave out."""
TEXTS = ("label", "provider", "office_code", "benefit_class", "note")
_REQUIRED = ("key", "label", "kind", "charged_per", "fee", "practice_cost", "minutes", "currency", "price_date")
_RANGE = re.compile(r"(.+?)\s*(?:to|\N{EN DASH}|(?<=[0-9])-(?=[0-9]))\s*(.+)")


def read_fees(table: CsvTable) -> FeeSchedule:
    """A fee schedule from a table with the columns of `COLUMNS`. Raises InputError with every problem of the file."""
    problems = check_columns(table, (*COLUMNS, EFFECTIVE), _REQUIRED)
    if not table.rows:
        problems.append(Problem(file=table.file, code="fees.no_rows"))
        raise InputError(problems)
    missing = [name for name in _REQUIRED if name not in table.columns]
    whole = _fill_columns(table)
    currency, price_date = _read_currency(whole, problems), _read_day(whole, "price_date", problems)
    effective = _read_day(whole, EFFECTIVE, problems) if any(row.cells[EFFECTIVE] for row in whole.rows) else None
    lines = [_read_line(whole, row, currency or "USD", problems) for row in whole.rows]
    problems += find_duplicates(whole, "key")
    if problems or currency is None or price_date is None:
        raise InputError(sorted(_drop_missing(problems, missing), key=_find_row))
    found = {line.key: line for line in lines if line is not None}
    return FeeSchedule(file=table.file, currency=currency, price_date=price_date, lines=found, effective_from=effective)


def _fill_columns(table: CsvTable) -> CsvTable:
    """Every known column in every row, empty where the file has none, so that the other columns are still checked."""
    blank = dict.fromkeys((*COLUMNS, EFFECTIVE), "")
    rows = []
    for row in table.rows:
        texts = {name: restore_formula(row.cells[name]) for name in TEXTS if name in row.cells}
        rows.append(replace(row, cells={**blank, **row.cells, **texts}))
    return replace(table, rows=tuple(rows))


def _drop_missing(problems: list[Problem], missing: list[str]) -> list[Problem]:
    """One problem for a column that is not there, not one a row."""
    return [problem for problem in problems if problem.row == 1 or problem.column not in missing]


def _find_row(problem: Problem) -> int:
    return problem.row or 0


def _read_currency(table: CsvTable, problems: list[Problem]) -> str | None:
    first = table.rows[0].cells["currency"]
    if first not in MINOR_UNITS:
        problems.append(table.make_problem(table.rows[0], "currency", "currency"))
        return None
    _check_equal(table, "currency", problems)
    return first


def _read_day(table: CsvTable, column: str, problems: list[Problem]) -> date | None:
    day = parse_day(table.rows[0].cells[column])
    if day is None:
        problems.append(table.make_problem(table.rows[0], column, "fees.date"))
        return None
    _check_equal(table, column, problems)
    return day


def _check_equal(table: CsvTable, column: str, problems: list[Problem]) -> None:
    first = table.rows[0]
    for row in table.rows[1:]:
        if row.cells[column] != first.cells[column]:
            problems.append(
                table.make_problem(row, column, "fees.as_in_row", first=first.cells[column], row=first.number)
            )


def _read_line(table: CsvTable, row: CsvRow, currency: str, problems: list[Problem]) -> FeeLine | None:
    before = len(problems)
    cells = row.cells
    if not KEY.fullmatch(cells["key"]):
        problems.append(table.make_problem(row, "key", "fees.key"))
    _check_texts(table, row, problems)
    for column, kind in (("kind", FeeKind), ("charged_per", Unit)):
        if cells[column] not in tuple(kind):
            problems.append(table.make_problem(row, column, "known", known=tuple(kind)))
    fee, fee_to = _read_fee(table, row, currency, problems)
    cost = _read_cost(table, row, currency, problems)
    minutes = cells["minutes"] or "0"
    if not (minutes.isascii() and minutes.isdigit() and len(minutes) < 4 and int(minutes) <= 600):
        problems.append(table.make_problem(row, "minutes", "fees.minutes"))
    if len(problems) > before:
        return None
    texts = {name: cells[name] for name in ("office_code", "benefit_class", "note")}
    return FeeLine(
        key=cells["key"], label=cells["label"], kind=FeeKind(cells["kind"]), charged_per=Unit(cells["charged_per"]),
        fee=fee, fee_to=fee_to, practice_cost=cost, minutes=int(minutes), provider=cells["provider"] or "practice",
        row=row.number, **texts,
    )  # fmt: skip


def _check_texts(table: CsvTable, row: CsvRow, problems: list[Problem]) -> None:
    if not row.cells["label"] or not row.cells["label"].isprintable():
        problems.append(table.make_problem(row, "label", "fees.label"))
    for column in ("provider", "office_code", "benefit_class"):
        if not row.cells[column].isprintable():
            problems.append(table.make_problem(row, column, "fees.text"))


def _read_fee(table: CsvTable, row: CsvRow, currency: str, problems: list[Problem]) -> tuple[Decimal, Decimal | None]:
    text = table.read_number_text(row, "fee")
    parts = _RANGE.fullmatch(text)
    if parts is None:
        fee = parse_amount(text, currency)
        if fee is None:
            problems.append(_blame_amount(table, row, "fee", text, currency))
        return (Decimal(0) if fee is None else fee), None
    low, high = (parse_amount(p.replace(",", ".") if table.decimal_comma else p, currency) for p in parts.groups())
    if low is None or high is None or low > high:
        problems.append(table.make_problem(row, "fee", "fees.range"))
    return (Decimal(0) if low is None else low), high


def _read_cost(table: CsvTable, row: CsvRow, currency: str, problems: list[Problem]) -> Decimal | None:
    text = table.read_number_text(row, "practice_cost")
    cost = parse_amount(text, currency) if text else None
    if text and cost is None:
        problems.append(_blame_amount(table, row, "practice_cost", text, currency))
    return cost


def _blame_amount(table: CsvTable, row: CsvRow, column: str, text: str, currency: str) -> Problem:
    """What is wrong with the text of a fee or of a cost, which may be left out."""
    letters = tuple(sorted({c for c in text if c.isalpha()}))
    slip = "_letters" if letters and any(c.isdigit() for c in text) else "_comma" if "," in text else ""
    return table.make_problem(row, column, f"fees.{column}{slip}", letters=letters, **offer_amount(currency))
