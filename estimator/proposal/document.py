"""A proposal as a plain document and back: the case file, and one table `proposal` beside what it says of the case."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any, TypeVar

from estimator.base.fields import Fields
from estimator.base.problems import InputError, Problem
from estimator.inputs.case.model import Arch, Case
from estimator.inputs.case.reader import VariantLimits, read_case
from estimator.inputs.case.writer import Document, make_document
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.inputs.payment.model import PaymentTerms
from estimator.inputs.payment.reader import read_payment_terms
from estimator.inputs.payment.writer import make_terms_document
from estimator.proposal.model import MOST_YEARS, USUAL_YEARS, Edition, HelpState, PlanHelp, Proposal

if TYPE_CHECKING:
    from estimator.inputs.plans.model import BenefitPlan
    from estimator.inputs.plans.predetermination import PlanAnswer

OFFER = "proposal"
"""The table of a case file that holds what is offered."""
_TERMS = ("adjustments", "ways")
_MOST_PLANS = 2
_ANY_CURRENCY = "KWD"
"""With three decimals, as many as an amount has where the fee schedule is not known yet."""
Part = TypeVar("Part")


def read_proposal(
    document: Mapping[str, Any],
    *,
    file: str,
    today: date,
    health_flags: Iterable[str],
    variants: Mapping[str, VariantLimits] | None = None,
    languages: tuple[str, ...] = ("en",),
    fees: FeeSchedule | None = None,
) -> Proposal:
    """A proposal from a parsed case file; one without the table `proposal` is the case with nothing chosen.

    Amounts are held against the currency of `fees` and plans against its lines, where they are known. Raises InputError
    with every problem of the case and of the proposal together.
    """
    problems: list[Problem] = []
    rest = leave_out_offer(document)
    case = _read_part(
        problems,
        lambda: read_case(
            rest, file=file, today=today, health_flags=health_flags, variants=variants, languages=languages
        ),
    )
    offered = _read_part(
        problems, lambda: read_offer(document, case, file=file, today=today, languages=languages, fees=fees)
    )
    if problems or offered is None:
        raise InputError(problems)
    return offered


def leave_out_offer(document: Mapping[str, Any]) -> Document:
    """The part of the document that is the case."""
    return {name: value for name, value in document.items() if name != OFFER}


def read_offer(
    document: Mapping[str, Any],
    case: Case | None,
    *,
    file: str,
    today: date,
    languages: tuple[str, ...] = ("en",),
    fees: FeeSchedule | None = None,
) -> Proposal | None:
    """What the table `proposal` offers for a case that is read already; None for a case that could not be read.

    Raises InputError with every problem of the table.
    """
    problems: list[Problem] = []
    fields = _open_offer(Fields(document, file=file, problems=problems))
    terms = _read_terms(fields, today, fees)
    chosen = _read_chosen(fields, case)
    help_ = _read_help(fields, case, today, fees)
    start_on = fields.read_date("start_on")
    years = fields.read_whole("years", 1, MOST_YEARS, default=USUAL_YEARS)
    language = _read_language(fields, languages)
    edition = fields.read_choice("edition", Edition) if "edition" in fields else None
    set_aside = fields.read_texts("set_aside")
    fields.refuse_others()
    if problems:
        raise InputError(problems)
    if case is None:
        return None
    return Proposal(
        case=case,
        chosen=chosen,
        adjustments=terms.adjustments,
        ways=terms.ways if "ways" in fields else None,
        help=help_,
        start_on=start_on,
        years=years,
        language=language,
        edition=edition,
        set_aside=set_aside,
    )


def _open_offer(document: Fields) -> Fields:
    return document.read_table(OFFER) or Fields({}, file=document.file, path=(OFFER,), problems=document.problems)


def _read_language(fields: Fields, languages: tuple[str, ...]) -> str:
    language = fields.read_line("language", code="proposal.language")
    if language and language not in languages:
        fields.add_problem("language", "known", known=languages)
    return language


def _read_part(problems: list[Problem], read: Callable[[], Part], *, fields: Fields | None = None) -> Part | None:
    """A part with a reader of its own; its problems go to those of the whole, placed within `fields` where given."""
    try:
        return read()
    except InputError as error:
        problems += [one if fields is None else _place(one, fields) for one in error.problems]
    return None


def _place(one: Problem, fields: Fields) -> Problem:
    return replace(one, file=fields.file, path=(*fields.path, *one.path))


def _read_terms(fields: Fields, today: date, fees: FeeSchedule | None) -> PaymentTerms:
    """Discounts and ways to pay, under the names and rules they have everywhere."""
    said = {name: fields.get_raw(name) for name in _TERMS if name in fields}
    currency = fees.currency if fees else _ANY_CURRENCY
    terms = _read_part(
        fields.problems,
        lambda: read_payment_terms(said, file=fields.file, currency=currency, signed_on=today),
        fields=fields,
    )
    return terms or PaymentTerms()


def _read_chosen(fields: Fields, case: Case | None) -> tuple[tuple[Arch, str], ...]:
    """An option a jaw, in the order of the jaws of the case."""
    table = fields.read_table("chosen")
    if table is None:
        return ()
    arches = tuple(Arch) if case is None else tuple(jaw.arch for jaw in case.jaws)
    for name in table.table:
        if name not in arches:
            table.add_problem(name, "proposal.jaw", found=name, known=tuple(arches))
    return tuple((arch, table.read_key(arch.value)) for arch in arches if arch.value in table)


def _read_help(fields: Fields, case: Case | None, today: date, fees: FeeSchedule | None) -> PlanHelp:
    table = fields.read_table("help")
    if table is None:
        return PlanHelp()
    state = table.read_choice("state", HelpState)
    tables = table.read_tables("plans")
    if len(tables) > _MOST_PLANS:
        table.add_problem("plans", "proposal.most_plans", found=len(tables), most=_MOST_PLANS)
    elif (state is HelpState.KNOWN) != bool(tables):
        code = "proposal.plans_unasked" if tables else "proposal.plans_missing"
        table.add_problem("plans", code, found=len(tables), known=HelpState.KNOWN)
    plans = tuple(_read_plan(one, case, today, fees) for one in tables)
    help_ = PlanHelp(
        state=state,
        plans=tuple(plan for plan in plans if plan is not None),
        answer=_read_answer(table, today),
        counted=table.read_flag("counted", default=False),
    )
    table.refuse_others()
    return help_


def _read_plan(one: Fields, case: Case | None, today: date, fees: FeeSchedule | None) -> "BenefitPlan | None":
    # Most proposals have no plan yet, and need not wait for how plans are read.
    from estimator.inputs.plans.reader import read_plan

    born = case.patient.born if case is not None else None
    return _read_part(
        one.problems, lambda: read_plan(one.table, file=one.file, today=today, born=born, fees=fees), fields=one
    )


def _read_answer(table: Fields, today: date) -> "PlanAnswer | None":
    one = table.read_table("answer")
    if one is None:
        return None
    from estimator.inputs.plans.predetermination import read_plan_answer

    return _read_part(one.problems, lambda: read_plan_answer(one.table, file=one.file, today=today), fields=one)


def make_proposal_document(proposal: Proposal) -> Document:
    """The proposal as plain TOML values; `read_proposal` makes the same proposal of it again.

    Where nothing is chosen it is the document of the case and nothing else.
    """
    offer = _show_offer(proposal)
    return make_document(proposal.case) | ({OFFER: offer} if offer else {})


def _show_offer(proposal: Proposal) -> Document:
    offer: Document = {}
    if proposal.chosen:
        offer["chosen"] = {arch.value: key for arch, key in proposal.chosen}
    if proposal.start_on is not None:
        offer["start_on"] = proposal.start_on
    if proposal.years != USUAL_YEARS:
        offer["years"] = proposal.years
    if proposal.language:
        offer["language"] = proposal.language
    if proposal.edition is not None:
        offer["edition"] = proposal.edition.value
    if proposal.set_aside:
        offer["set_aside"] = list(proposal.set_aside)
    if help_ := make_help_document(proposal.help):
        offer["help"] = help_
    return offer | make_terms_document(proposal.adjustments, proposal.ways)


def make_help_document(help_: PlanHelp) -> Document:
    """What is known of plans as plain TOML values; nothing where nobody has asked."""
    if help_ == PlanHelp():
        return {}
    from estimator.inputs.plans.writer import make_answer_document, make_plan_document

    shown: Document = {"state": help_.state.value}
    if help_.plans:
        shown["plans"] = [make_plan_document(plan) for plan in help_.plans]
    if help_.answer is not None:
        shown["answer"] = make_answer_document(help_.answer)
    return shown | ({"counted": True} if help_.counted else {})
