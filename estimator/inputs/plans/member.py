"""The [member] table of a plan file: how this patient stands in the plan."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from estimator.base.declared import read_declared
from estimator.base.fields import Fields
from estimator.base.problems import offer_names
from estimator.inputs.case.model import Arch
from estimator.inputs.plans.declared import MEMBER, PAST, PRESENT_DENTURE
from estimator.inputs.plans.fields import check_line, make_day_readers, read_amount, read_past_day
from estimator.inputs.plans.model import Member, PastService

USED = {
    "deductible": "deductible_used",
    "annual_maximum": "annual_used",
    "lifetime_maximum": "lifetime_used",
    "yearly_allowance": "allowance_used",
}
"""What is used of each limit, which is read with it."""
_IN_A_YEAR = ("deductible_used", "annual_used", "allowance_used")


def read_used(member: Fields | None, name: str, amount: Decimal | None, currency: str, *, of: str) -> Decimal:
    """How much of an amount is used to date, at most all of it; `amount` None where that could not be read."""
    if member is None or name not in member:
        return Decimal(0)
    used = read_amount(member, name, currency)
    if amount is not None and used > amount:
        member.add_problem(name, "plans.used_above", most=amount, words=of)
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
    days = make_day_readers(today=today, born=born)
    said = read_declared(table, MEMBER, readers=days, skip=("born", *USED.values()))
    if waits and "covered_since" not in table:
        table.add_problem("covered_since", "plans.no_covered_since")
    since: date | None = said["covered_since"]
    member = Member(
        covered_since=since,
        as_of=_check_as_of(table, said["as_of"], today, since),
        teeth_lost_on=said["teeth_lost_on"],
        dentures=_read_dentures(table, today, born),
        past=tuple(_read_service(t, today, born, classes, known_lines) for t in table.read_tables("past")),
    )
    table.refuse_others()
    return member


def _read_born(table: Fields, today: date, born: date | None) -> date | None:
    """The date of birth, from the plan file or from the case; where both have it, they agree."""
    written = read_past_day(table, "born", today=today, born=None, code=MEMBER.get_field("born").code)
    if written is not None and born is not None and written != born:
        table.add_problem("born", "plans.born_otherwise", born=born)
    return born or written


def _check_as_of(table: Fields, day: date | None, today: date, since: date | None) -> date | None:
    if "as_of" not in table and any(table.table.get(name) for name in _IN_A_YEAR):
        table.add_problem("as_of", "plans.no_as_of", today=today)
    if day is not None and since is not None and day < since:
        table.add_problem("as_of", "plans.as_of_early", since=since)
    return day


def _read_dentures(table: Fields, today: date, born: date | None) -> dict[Arch, date]:
    """The day each present denture was delivered, by arch."""
    by_arch = table.read_table("present_denture")
    if by_arch is None:
        return {}
    days = read_declared(by_arch, PRESENT_DENTURE, readers=make_day_readers(today=today, born=born))
    by_arch.refuse_others()
    return {Arch(arch): day for arch, day in days.items() if day is not None}


def _read_service(
    table: Fields, today: date, born: date | None, classes: Sequence[str], known_lines: Sequence[str] | None
) -> PastService:
    said = read_declared(table, PAST, readers=make_day_readers(today=today, born=born))
    check_line(table, "line", said["line"], known_lines)
    if said["benefit_class"] and said["benefit_class"] not in classes:
        table.add_problem("benefit_class", "known", **offer_names(said["benefit_class"], classes))
    table.refuse_others()
    return PastService(**said | {"on": said["on"] or today})
