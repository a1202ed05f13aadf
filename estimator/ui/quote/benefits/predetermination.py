"""The letter that asks a plan for its decision, and the plan's answer beside the estimate, on the Quote page."""

from collections.abc import Sequence
from datetime import date

import pandas as pd
import streamlit as st
import tomli_w

from estimator import files
from estimator.base.formats import format_amount
from estimator.base.money import MINOR_UNITS
from estimator.base.problems import InputError
from estimator.estimate.result import CaseEstimate
from estimator.files.practice.plans import read_answer_text
from estimator.inputs.case.writer import Document
from estimator.inputs.plans.model import BenefitPlan
from estimator.inputs.plans.predetermination import Decision, PlanAnswer, read_plan_answer
from estimator.inputs.plans.writer import make_answer_document
from estimator.quote.benefits.claim import ClaimLine
from estimator.quote.benefits.estimate import BenefitEstimate
from estimator.quote.benefits.predetermination_letter import (
    AnsweredLine,
    compare_answer,
    find_answer_problems,
    say_letter,
    write_letter,
)
from estimator.quote.change_words import name_arch
from estimator.quote.lines import QuoteLine
from estimator.ui.quote.benefits.plan_files import open_text
from estimator.ui.quote.unfinished import show_unfinished
from estimator.ui.shell import session
from estimator.ui.shell.ask import ask_amount, ask_day
from estimator.ui.shell.markup import show_plain, to_decimal
from estimator.ui.shell.offer import get_help
from estimator.ui.shell.render import show_table
from estimator.ui.shell.working_copy import get_note, hold, hold_one_of, put_note

_NONE, _FILE, _FORM = "none", "file", "form"
_COUNT = "Count what the plan answered in place of the estimate"
_COUNT_HELP = (
    "Lines that it did not answer stay estimated, after what it answered. An answer is no guarantee of payment."
)
_WAYS = {_NONE: "No answer yet", _FILE: "An answer file", _FORM: "Typed in here"}


def offer_letters(estimate: CaseEstimate, made: BenefitEstimate) -> None:
    """A letter to each plan, to read here and to download; it names only what the plan needs to know the patient."""
    wording, today = files.load_wording(), session.get_today()
    for number, plan in enumerate(made.plans):
        letter = write_letter(made, number, estimate.case, estimate.practice.settings, wording, day=today)
        text = say_letter(letter)
        with st.expander(f"Letter that asks {show_plain(plan.name)} for its decision"):
            st.code(text, language=None, wrap_lines=True)
            st.download_button(
                "Download the letter (text)", text.encode(), f"request_{estimate.case.reference}_{plan.key}.txt",
                "text/plain", key=f"letter_{number}_{session.get_generation()}",
            )  # fmt: skip


def ask_answer(estimate: CaseEstimate, plans: Sequence[BenefitPlan], lines: Sequence[QuoteLine]) -> PlanAnswer | None:
    """The plan's answer from its file or as typed; None while there is none or it has problems."""
    st.subheader("The plan's answer", anchor=False)
    ways = list(_WAYS)
    start = _NONE if get_note("answer_way") in ways else _find_start()
    way = st.radio("Answer", ways, **hold_one_of("answer_way", ways, start), horizontal=True,
                   format_func=_WAYS.__getitem__, label_visibility="collapsed")  # fmt: skip
    today = session.get_today()
    try:
        if way == _FILE:
            opened = open_text("An answer file (TOML)", "answer")
            return read_answer_text(opened[1], opened[0], today=today) if opened else None
        if way == _FORM:
            document = _edit_answer(estimate.case.reference, plans, lines, today)
            return read_plan_answer(document, file="answer", today=today)
    except InputError as error:
        show_unfinished("This answer cannot be used", error.problems, note="The estimate stands; what you typed stays.")
    return None


def _find_start() -> str:
    """An answer that the case itself holds is taken as a file that was opened."""
    answer = get_help().get("answer")
    if answer is None:
        return _NONE
    put_note("answer_text", [str(answer.get("plan", "")), tomli_w.dumps(answer)])
    return _FILE


def _edit_answer(reference: str, plans: Sequence[BenefitPlan], lines: Sequence[QuoteLine], today: date) -> Document:
    row = st.columns(3, gap="medium")
    names = {plan.key: plan.name for plan in plans}
    keys = list(names)
    plan = row[0].selectbox(
        "Answer of", keys, **hold_one_of("answer_plan", keys, keys[0]), format_func=names.__getitem__
    )
    decisions = [decision.value for decision in Decision]
    decision = row[1].selectbox(
        "Decision", decisions, **hold_one_of("answer_decision", decisions, decisions[0]), format_func=_say_decision
    )
    number = row[2].text_input("The plan's own number", **hold("answer_number", ""))
    currency = next(one.currency for one in plans if one.key == plan)
    days = {
        "asked_on": ask_day(row[0], "Asked on", "answer_asked", start=today),
        "answered_on": ask_day(row[1], "Answered on", "answer_answered", start=today),
        "valid_until": ask_day(row[2], "Valid until", "answer_valid"),
    }
    st.markdown(":small[What the plan says it would pay of each line. Leave a line empty that it did not answer.]")
    document: Document = {
        "plan": plan,
        "reference": reference,
        "currency": currency,
        "decision": decision,
        "plan_reference": number,
        "lines": _edit_lines(lines, MINOR_UNITS[currency]),
    }
    return document | {name: day for name, day in days.items() if day is not None}


def _say_decision(decision: str) -> str:
    return files.load_wording().get(f"benefits.answer.{decision}")


def _edit_lines(lines: Sequence[QuoteLine], decimals: int) -> list[Document]:
    columns, wording = st.columns(3, gap="medium"), files.load_wording()
    found = []
    for index, line in enumerate(one for one in lines if one.amount):
        jaw = f", {name_arch(line.arch, wording)}" if line.arch else ""
        amount = to_decimal(ask_amount(columns[index % 3], f"{line.label}{jaw}", f"answer_{line.key}", decimals))
        if amount is not None:
            found.append({"line": line.fee_key, "plan_pays": amount} | ({"jaw": line.arch} if line.arch else {}))
    return found


def is_counted(answer: PlanAnswer) -> bool:
    """Whether the office chose to count that answer in place of the estimate."""
    return bool(get_note(_name_count(answer), _count_before(answer)))


def _name_count(answer: PlanAnswer) -> str:
    """Each answer is chosen for itself: another one, or the same plan asked again, begins with the estimate."""
    return f"answer_counted_{answer.plan}_{answer.answered_on.isoformat()}"


def _count_before(answer: PlanAnswer) -> bool:
    held = get_help()
    return bool(held.get("counted")) and held.get("answer") == make_answer_document(answer)


def show_answer(made: BenefitEstimate, answer: PlanAnswer, estimate: CaseEstimate) -> bool:
    """Each line as estimated and as answered; whether it may be counted, which the office chooses here."""
    problems = find_answer_problems(made, answer, file="answer", reference=estimate.case.reference)
    if problems:
        show_unfinished("This answer is not about this estimate", problems, note="The estimate stands.")
        return False
    _show_compared(made, answer, estimate)
    if not (answer.lines or answer.decision is Decision.REFUSED):
        return False
    return st.checkbox(_COUNT, help=_COUNT_HELP, **hold(_name_count(answer), _count_before(answer)))


def _show_compared(made: BenefitEstimate, answer: PlanAnswer, estimate: CaseEstimate) -> None:
    locale, decimals = estimate.practice.settings.locale, MINOR_UNITS[answer.currency]
    compared = [one for one in compare_answer(made, answer) if one.line.fee]
    show_table(pd.DataFrame([_make_row(one, locale, decimals) for one in compared]))
    until = f", valid until {answer.valid_until.isoformat()}" if answer.valid_until else ""
    number = f", number {show_plain(answer.plan_reference)}" if answer.plan_reference else ""
    st.markdown(
        f"**{_say_decision(answer.decision).capitalize()}** on {answer.answered_on.isoformat()}{number}{until}. "
        ":small[The quote counts the estimate until you choose otherwise.]"
    )


def _make_row(one: AnsweredLine, locale: str, decimals: int) -> dict[str, str]:
    shown = [
        "" if amount is None else format_amount(amount, locale, decimals=decimals)
        for amount in (one.estimated, one.answered)
    ]
    return {
        "Line": name_answer_line(one.line),
        "Estimated": shown[0],
        "Answered": shown[1] or "\N{EN DASH}",
        "Difference": _say_difference(one, locale, decimals),
    }


def _say_difference(one: AnsweredLine, locale: str, decimals: int) -> str:
    wording = files.load_wording()
    if one.difference is None:
        return wording.get("benefits.answer.not_answered")
    if not one.difference:
        return wording.get("benefits.answer.as_estimated")
    side = "more" if one.difference > 0 else "less"
    amount = format_amount(abs(one.difference), locale, decimals=decimals)
    return wording.say(f"benefits.answer.{side}", amount=amount)


def name_answer_line(line: ClaimLine) -> str:
    """A line with its jaw; what is charged once a case has none."""
    return f"{line.label}, {name_arch(line.arch, files.load_wording())}" if line.arch else line.label
