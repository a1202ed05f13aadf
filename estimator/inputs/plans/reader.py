"""A TOML document becomes a BenefitPlan, or the whole list of its problems."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from estimator.base.fields import Fields
from estimator.base.money import MINOR_UNITS
from estimator.base.problems import InputError, Problem, show_found
from estimator.inputs.case.model import find_repeated
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.inputs.plans.classes import read_classes
from estimator.inputs.plans.fields import check_line, read_amount, read_scope
from estimator.inputs.plans.member import read_member, read_used
from estimator.inputs.plans.model import (
    EVERYTHING,
    Alternate,
    BenefitPlan,
    DateRule,
    Frequency,
    Limit,
    Member,
    Replacement,
    Scope,
    SecondRule,
    Subsidy,
)

_NAME = "one line of at most 120 characters"
_LONGEST_MONTHS = 600


def read_plan(
    document: Mapping[str, Any], *, file: str, today: date, born: date | None = None, fees: FeeSchedule | None = None
) -> BenefitPlan:
    """A plan from a parsed TOML document, held against the patient's birth and a fee schedule where they are given.

    Raises InputError with every problem of the document.
    """
    problems: list[Problem] = []
    fields = Fields(document, file=file, place="", problems=problems)
    reader = _PlanReader(fields, fees)
    plan = BenefitPlan(
        key=fields.read_key("key"),
        name=fields.read_line("name", expected=_NAME, required=True),
        currency=reader.currency,
        in_network=fields.read_flag("in_network", default=False),
        classes=reader.classes,
        allowed=reader.read_allowed(),
        year_begins_month=fields.read_whole("year_begins_month", 1, 12, default=1),
        date_rule=fields.read_choice("date_rule", DateRule, default=DateRule.DELIVERY),
        dated=reader.read_dated(),
        as_second=fields.read_choice("as_second", SecondRule, default=SecondRule.STANDARD),
        deductible=reader.read_limit("deductible", "deductible_used"),
        annual_maximum=reader.read_limit("annual_maximum", "annual_used"),
        lifetime_maximum=reader.read_limit("lifetime_maximum", "lifetime_used"),
        yearly_allowance=reader.read_limit("yearly_allowance", "allowance_used"),
        missing_tooth=reader.read_missing_tooth(),
        alternates=tuple(reader.read_alternate(table) for table in fields.read_tables("alternates")),
        subsidies=tuple(reader.read_subsidy(table) for table in fields.read_tables("subsidies")),
        frequencies=tuple(reader.read_frequency(table) for table in fields.read_tables("frequencies")),
        replacement=reader.read_replacement(),
        member=reader.read_member("missing_tooth_clause" in fields, today=today, born=born),
        invented=fields.read_flag("invented", default=False),
    )
    if not (plan.classes or plan.subsidies or plan.yearly_allowance) and not problems:
        fields.add_problem("classes", "a [[classes]] table for each benefit class, with plan_pays_percent")
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
        if "in_network" not in fields:
            fields.add_problem("in_network", "true where the practice has a contract with the plan, else false")
        self.classes = read_classes(fields, self.known_lines)
        self.member = fields.read_table("member")

    def _read_currency(self, fees: FeeSchedule | None) -> str:
        value = self.fields.get_raw("currency")
        if not isinstance(value, str) or value not in MINOR_UNITS:
            self.fields.add_problem("currency", "a three-letter ISO 4217 code, such as USD")
            return fees.currency if fees else "USD"
        if fees and value != fees.currency:
            self.fields.add_problem(
                "currency", f"{fees.currency}, the currency of {fees.file}: amounts are never converted"
            )
        return value

    def read_allowed(self) -> dict[str, Decimal]:
        """Allowed amounts by line, for one unit."""
        found: list[tuple[str, Decimal]] = []
        for table in self.fields.read_tables("allowed"):
            line = table.read_line("line", expected="the key of a fee line", required=True)
            check_line(table, "line", line, self.known_lines)
            found.append((line, read_amount(table, "amount", self.currency)))
            table.refuse_others()
        for line in find_repeated(line for line, _ in found):
            self.fields.add_problem("allowed", "each line once", found=f"{show_found(line)} more than once")
        return dict(found)

    def read_dated(self) -> Scope:
        """The lines that the date rule is about."""
        table = self.fields.read_table("dated")
        return EVERYTHING if table is None else self._close(table)

    def read_limit(self, name: str, used: str) -> Limit | None:
        """A table with an amount; what is used of it stands with the member."""
        table = self.fields.read_table(name)
        if table is None:
            if self.member is not None and used in self.member:
                self.member.get_raw(used)
                self.member.add_problem(used, f"nothing, or a table [{name}] that it is used from")
            return None
        words, before = name.replace("_", " "), len(table.problems)
        amount = read_amount(table, "amount", self.currency, why=f"leave [{name}] out where the plan has no {words}")
        known = amount if len(table.problems) == before else None
        taken = read_used(self.member, used, known, self.currency, of=words)
        return Limit(amount=amount, used=taken, scope=self._close(table))

    def read_missing_tooth(self) -> Scope | None:
        """The lines for which teeth lost before cover count against the patient."""
        table = self.fields.read_table("missing_tooth_clause")
        return None if table is None else self._close(table)

    def read_alternate(self, table: Fields) -> Alternate:
        """A cheaper service whose allowance the benefit is computed on."""
        instead = table.read_line("instead", expected="the cheaper service, such as full denture", required=True)
        amount = read_amount(table, "amount", self.currency)
        return Alternate(instead=instead, amount=amount, scope=self._close(table, named=True))

    def read_subsidy(self, table: Fields) -> Subsidy:
        """A fixed amount for a finding."""
        finding = table.read_line(
            "finding", expected="what the amount is for, such as jaw without teeth", required=True
        )
        amount = read_amount(table, "amount", self.currency)
        return Subsidy(finding=finding, amount=amount, scope=self._close(table, named=True))

    def read_frequency(self, table: Fields) -> Frequency:
        """So many times in so many months."""
        times, months = table.read_whole("times", 1, 100), table.read_whole("months", 1, _LONGEST_MONTHS)
        return Frequency(times=times, months=months, scope=self._close(table, named=True))

    def read_replacement(self) -> Replacement | None:
        """How long a denture has to serve before the plan pays for another."""
        table = self.fields.read_table("replacement")
        if table is None:
            return None
        return Replacement(months=table.read_whole("months", 1, _LONGEST_MONTHS), scope=self._close(table))

    def read_member(self, plan_waits: bool, *, today: date, born: date | None) -> Member:
        """The [member] table."""
        waits = plan_waits or any(c.waiting_months for c in self.classes)
        classes = [c.key for c in self.classes]
        return read_member(
            self.member, today=today, born=born, classes=classes, known_lines=self.known_lines, waits=waits
        )

    def _close(self, table: Fields, *, named: bool = False) -> Scope:
        """The scope of a table, which nothing else may stand in."""
        scope = read_scope(table, classes=[c.key for c in self.classes], lines=self.known_lines)
        if named and not (scope.classes or scope.lines) and not {"classes", "lines"} & set(table.table):
            table.add_problem("lines", 'what it is about: lines = ["…"] or classes = ["…"]')
        table.refuse_others()
        return scope
