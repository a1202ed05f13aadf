"""The set: every sheet there is, with its title, its reader and what makes it. A further sheet is one entry here."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum

from estimator.base.problems import InputError, Problem, offer_names
from estimator.sheets.base.blocks import Sheet
from estimator.sheets.base.context import SheetJob
from estimator.sheets.base.financial_inputs import NO_PAPERS, Need, QuotePapers, find_lack
from estimator.sheets.base.layout import FamilyWords
from estimator.sheets.clinical.care_sheet import make_care_sheet
from estimator.sheets.clinical.consent import write_consent
from estimator.sheets.clinical.office_summary import make_office_summary
from estimator.sheets.clinical.parts_order import make_parts_order
from estimator.sheets.clinical.try_in_approval import make_trial_approval
from estimator.sheets.clinical.work_order import make_work_order
from estimator.sheets.financial.benefit_sheet import write_benefits
from estimator.sheets.financial.payment_plan import write_payment_plan
from estimator.sheets.financial.plan_letter import write_plan_letter
from estimator.sheets.financial.quote_sheet import write_quote
from estimator.sheets.financial.self_pay_sheet import write_self_pay
from estimator.sheets.option_sheet.summary import write_option_sheet


class SheetReader(StrEnum):
    """Whom a sheet is for. Only the office may read what the practice pays."""

    PATIENT = "patient"
    OFFICE = "office"
    LABORATORY = "laboratory"
    PLAN = "plan"


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetKind:
    """One sheet of the set. `file` begins its file name; `by_option`: it can be printed for one option alone.

    `needs` is what it cannot be made without besides the case; then it is about the whole case, not about a jaw.
    """

    key: str
    title: str
    file: str
    reader: SheetReader
    make: Callable[[SheetJob], Sheet]
    by_option: bool = False
    needs: Need | None = None


def _of(family: str, make: Callable[[FamilyWords], Sheet]) -> Callable[[SheetJob], Sheet]:
    return lambda job: make(FamilyWords(job=job, family=family))


KINDS: tuple[SheetKind, ...] = (
    SheetKind(
        key="option", title="Option sheet", file="option_sheet", reader=SheetReader.PATIENT, make=write_option_sheet
    ),
    SheetKind(
        key="consent", title="Consent record", file="consent_record", reader=SheetReader.PATIENT, make=write_consent
    ),
    SheetKind(
        key="care", title="Care and upkeep", file="care_sheet", reader=SheetReader.PATIENT, by_option=True,
        make=_of("care", make_care_sheet),
    ),
    SheetKind(
        key="trial", title="Tooth trial approval", file="trial_approval", reader=SheetReader.PATIENT,
        make=_of("trial", make_trial_approval),
    ),
    SheetKind(
        key="office", title="Office summary", file="office_summary", reader=SheetReader.OFFICE,
        make=_of("office_summary", make_office_summary),
    ),
    SheetKind(
        key="work_order", title="Laboratory work order", file="work_order", reader=SheetReader.LABORATORY,
        by_option=True, make=_of("work_order", make_work_order),
    ),
    SheetKind(
        key="parts", title="Order list of parts", file="parts_order", reader=SheetReader.OFFICE, by_option=True,
        make=_of("parts_order", make_parts_order),
    ),
    SheetKind(
        key="quote", title="Quote", file="quote", reader=SheetReader.PATIENT, make=write_quote, needs=Need.QUOTE,
    ),
    SheetKind(
        key="payment", title="Payment plan", file="payment_plan", reader=SheetReader.PATIENT, make=write_payment_plan,
        needs=Need.PAYMENTS,
    ),
    SheetKind(
        key="benefit", title="Benefit estimate", file="benefit_estimate", reader=SheetReader.PATIENT,
        make=write_benefits, needs=Need.BENEFITS,
    ),
    SheetKind(
        key="self_pay", title="Self-pay estimate", file="self_pay_estimate", reader=SheetReader.PATIENT,
        make=write_self_pay, needs=Need.SELF_PAY,
    ),
    SheetKind(
        key="letter", title="Letter to the plan", file="plan_letter", reader=SheetReader.PLAN, make=write_plan_letter,
        needs=Need.LETTER,
    ),
)  # fmt: skip
"""In the order in which they are offered everywhere."""
JAW_KINDS = tuple(kind for kind in KINDS if kind.needs is None)
"""Those that the case alone is enough for: they can be chosen before there is a quote."""


def find_kinds(keys: tuple[str, ...]) -> tuple[SheetKind, ...]:
    """The sheets of these keys in the order of the set. Raises InputError with every key that is not known."""
    known = {kind.key: kind for kind in KINDS}
    problems = [
        Problem(file="sheets", code="known", found=key, expected=offer_names(key, known))
        for key in keys
        if key not in known
    ]
    if problems:
        raise InputError(problems)
    return tuple(kind for kind in KINDS if kind.key in keys)


def list_possible(papers: QuotePapers | None) -> tuple[SheetKind, ...]:
    """The sheets that can be made: those about a jaw, and those about money that have what they need."""
    return tuple(
        kind for kind in KINDS if kind.needs is None or not find_lack(kind.needs, papers or NO_PAPERS, title=kind.title)
    )


def check_papers(kinds: Iterable[SheetKind], papers: QuotePapers | None) -> None:
    """Raises InputError with what each sheet lacks and where that is made."""
    lacks = (find_lack(kind.needs, papers or NO_PAPERS, title=kind.title) for kind in kinds if kind.needs)
    if problems := [lack for lack in lacks if lack is not None]:
        raise InputError(problems)
