"""A TOML document becomes a BenefitPlan, or the whole list of its problems."""

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from estimator.base.declared import Field, FieldKind, Section, read_declared
from estimator.base.fields import Fields
from estimator.base.money import MINOR_UNITS
from estimator.base.problems import InputError, Problem
from estimator.inputs.case.model import find_repeated
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.inputs.plans.classes import read_classes
from estimator.inputs.plans.declared import (
    ALLOWED,
    ALTERNATES,
    DATED,
    FREQUENCIES,
    LIMITS,
    MISSING_TOOTH,
    PLAN,
    REPLACEMENT,
    SUBSIDIES,
)
from estimator.inputs.plans.fields import check_line, make_line_readers, read_amount
from estimator.inputs.plans.member import USED, read_member, read_used
from estimator.inputs.plans.model import (
    EVERYTHING,
    Alternate,
    BenefitPlan,
    Frequency,
    Limit,
    Member,
    Replacement,
    Scope,
    Subsidy,
)


def read_plan(
    document: Mapping[str, Any], *, file: str, today: date, born: date | None = None, fees: FeeSchedule | None = None
) -> BenefitPlan:
    """A plan from a parsed TOML document, held against the patient's birth and a fee schedule where they are given.

    Raises InputError with every problem of the document.
    """
    problems: list[Problem] = []
    fields = Fields(document, file=file, problems=problems)
    reader = _PlanReader(fields, fees)
    said = read_declared(fields, PLAN, skip=("currency", "percentages_checked"))
    limits: dict[str, Any] = {limit.key: reader.read_limit(limit) for limit in LIMITS}
    plan = BenefitPlan(
        **said | {"in_network": bool(said["in_network"])},
        currency=reader.currency,
        classes=reader.classes,
        allowed=reader.read_allowed(),
        dated=reader.read_scope(DATED) or EVERYTHING,
        **limits,
        missing_tooth=reader.read_scope(MISSING_TOOTH),
        alternates=tuple(Alternate(**values) for values in reader.read_scoped(ALTERNATES)),
        subsidies=tuple(Subsidy(**values) for values in reader.read_scoped(SUBSIDIES)),
        frequencies=tuple(Frequency(**values) for values in reader.read_scoped(FREQUENCIES)),
        replacement=reader.read_replacement(),
        member=reader.read_member("missing_tooth_clause" in fields, today=today, born=born),
    )
    if not (plan.classes or plan.subsidies or plan.yearly_allowance) and not problems:
        fields.add_problem("classes", "plans.no_class")
    fields.refuse_others()
    if problems:
        raise InputError(problems)
    return plan


class _PlanReader:
    """Reads the tables of one plan; knows its currency, its classes and the lines that scopes may name."""

    def __init__(self, fields: Fields, fees: FeeSchedule | None) -> None:
        self.fields = fields
        self.known_lines = tuple(fees.lines) if fees else None
        self.currency = self._read_currency(fees)
        fields.read_flag("percentages_checked", default=False)
        self.classes = read_classes(fields, self.known_lines)
        self.member = fields.read_table("member")
        keys = [found.key for found in self.classes]
        self.readers = make_line_readers(self.known_lines, keys) | {FieldKind.AMOUNT: self._read_amount}

    def _read_currency(self, fees: FeeSchedule | None) -> str:
        value = self.fields.get_raw("currency")
        if not isinstance(value, str) or value not in MINOR_UNITS:
            self.fields.add_problem("currency", "currency")
            return fees.currency if fees else "USD"
        if fees and value != fees.currency:
            self.fields.add_problem("currency", "plans.currency", wanted=fees.currency, fees=fees.file)
        return value

    def _read_amount(self, table: Fields, field: Field, _: object) -> Decimal:
        return read_amount(table, field.key, self.currency)

    def read_allowed(self) -> dict[str, Decimal]:
        """Allowed amounts by line, for one unit."""
        found: list[tuple[str, Decimal]] = []
        for table in self.fields.read_tables("allowed"):
            said = read_declared(table, ALLOWED, readers=self.readers)
            check_line(table, "line", said["line"], self.known_lines)
            found.append((said["line"], said["amount"]))
            table.refuse_others()
        for line in find_repeated(line for line, _ in found):
            self.fields.add_problem("allowed", "plans.allowed_twice", found=line)
        return dict(found)

    def read_limit(self, section: Section) -> Limit | None:
        """A table with an amount; what is used of it stands with the member."""
        name, used = section.key, USED[section.key]
        table = self.fields.read_table(name)
        if table is None:
            if self.member is not None and used in self.member:
                self.member.get_raw(used)
                self.member.add_problem(used, "plans.used_of_nothing", limit=name)
            return None
        words, before = name.replace("_", " "), len(table.problems)
        amount = read_amount(table, "amount", self.currency, below="plans.limit_below_zero", limit=name, words=words)
        known = amount if len(table.problems) == before else None
        said = read_declared(table, section, readers=self.readers, skip=("amount",))
        table.refuse_others()
        taken = read_used(self.member, used, known, self.currency, of=words)
        return Limit(amount=amount, used=taken, scope=Scope(**said))

    def read_scope(self, section: Section) -> Scope | None:
        """A table that only says what it is about; None where there is none."""
        table = self.fields.read_table(section.key)
        if table is None:
            return None
        scope = Scope(**read_declared(table, section, readers=self.readers))
        table.refuse_others()
        return scope

    def read_scoped(self, section: Section) -> Iterator[dict[str, Any]]:
        """The values of each table of a list, all of which must say what they are about."""
        for table in self.fields.read_tables(section.key):
            said = self._read_scoped(table, section)
            if said["scope"] == EVERYTHING and not {"classes", "lines"} & set(table.table):
                table.add_problem("lines", "plans.about_nothing")
            table.refuse_others()
            yield said

    def _read_scoped(self, table: Fields, section: Section) -> dict[str, Any]:
        said = read_declared(table, section, readers=self.readers)
        return said | {"scope": Scope(classes=said.pop("classes"), lines=said.pop("lines"))}

    def read_replacement(self) -> Replacement | None:
        """How long a denture has to serve before the plan pays for another."""
        table = self.fields.read_table(REPLACEMENT.key)
        if table is None:
            return None
        said = self._read_scoped(table, REPLACEMENT)
        table.refuse_others()
        return Replacement(**said)

    def read_member(self, plan_waits: bool, *, today: date, born: date | None) -> Member:
        """The [member] table."""
        waits = plan_waits or any(c.waiting_months for c in self.classes)
        classes = [c.key for c in self.classes]
        return read_member(
            self.member, today=today, born=born, classes=classes, known_lines=self.known_lines, waits=waits
        )
