"""The [member] table of a plan file: how this patient stands in the plan."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from estimator.base.fields import Fields
from estimator.base.problems import suggest_name
from estimator.inputs.case.model import Arch
from estimator.inputs.plans.fields import check_line, read_amount, read_past_day
from estimator.inputs.plans.model import Member, PastService

_IN_A_YEAR = ("deductible_used", "annual_used", "allowance_used")


def read_used(member: Fields | None, name: str, amount: Decimal | None, currency: str, *, of: str) -> Decimal:
    """How much of an amount is used to date, at most all of it; `amount` None where that could not be read."""
    if member is None or name not in member:
        return Decimal(0)
    used = read_amount(member, name, currency)
    if amount is not None and used > amount:
        member.add_problem(name, f"at most {amount}, the whole {of}")
    return used


def read_member(
    table: Fields | None,
    *,
    today: date,
    born: date | None,
    classes: Sequence[str],
    known_lines: Sequence[str] | None,
    waits: bool,
) -> Member:
    """The member's days. `waits` where a waiting period or missing tooth clause counts from the day cover began."""
    if table is None:
        return Member()
    born = _read_born(table, today, born)
    since = read_past_day(table, "covered_since", today=today, born=born, expected="the day the cover began")
    if waits and "covered_since" not in table:
        expected = "the day the cover began: a waiting period or the missing tooth clause counts from it"
        table.add_problem("covered_since", expected)
    member = Member(
        covered_since=since,
        as_of=_read_as_of(table, today, born, since),
        teeth_lost_on=read_past_day(
            table, "teeth_lost_on", today=today, born=born, expected="the day the last teeth were lost"
        ),
        dentures=_read_dentures(table, today, born),
        past=tuple(_read_service(t, today, born, classes, known_lines) for t in table.read_tables("past")),
    )
    table.refuse_others()
    return member


def _read_born(table: Fields, today: date, born: date | None) -> date | None:
    """The date of birth, from the plan file or from the case; where both have it, they agree."""
    written = read_past_day(table, "born", today=today, born=None, expected="a date of birth")
    if written is not None and born is not None and written != born:
        table.add_problem("born", f"{born.isoformat()}, as the case says; leave it out here")
    return born or written


def _read_as_of(table: Fields, today: date, born: date | None, since: date | None) -> date | None:
    expected = "the day the used amounts were told for"
    day = read_past_day(table, "as_of", today=today, born=born, expected=expected)
    if "as_of" not in table and any(table.table.get(name) for name in _IN_A_YEAR):
        table.add_problem(
            "as_of", f"{expected}: they count in the benefit year of that day, such as {today.isoformat()}"
        )
    if day is not None and since is not None and day < since:
        table.add_problem("as_of", f"{expected}, not before the plan began for this patient, {since.isoformat()}")
    return day


def _read_dentures(table: Fields, today: date, born: date | None) -> dict[Arch, date]:
    """The day each present denture was delivered, by arch."""
    by_arch = table.read_table("present_denture")
    if by_arch is None:
        return {}
    expected = "the day the present denture was delivered"
    days = {arch: read_past_day(by_arch, arch.value, today=today, born=born, expected=expected) for arch in Arch}
    by_arch.refuse_others()
    return {arch: day for arch, day in days.items() if day is not None}


def _read_service(
    table: Fields, today: date, born: date | None, classes: Sequence[str], known_lines: Sequence[str] | None
) -> PastService:
    line = table.read_line("line", expected="the key of a fee line", required=True)
    check_line(table, "line", line, known_lines)
    if "on" not in table:
        table.add_problem("on", "the day of the service, such as 2024-03-12")
    day = read_past_day(table, "on", today=today, born=born, expected="the day of the service")
    benefit_class = table.read_line("benefit_class", expected="the key of a class")
    if benefit_class and benefit_class not in classes:
        table.add_problem("benefit_class", suggest_name(benefit_class, classes))
    table.refuse_others()
    return PastService(line=line, on=day or today, benefit_class=benefit_class)
