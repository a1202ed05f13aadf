"""Help from a benefit plan on the Quote page: what plans pay of each line and why, over the years; never a promise."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

import pandas as pd
import streamlit as st

from estimator import files
from estimator.base.formats import format_day
from estimator.base.money import MINOR_UNITS
from estimator.estimate.result import CaseEstimate
from estimator.inputs.payment.jurisdiction import DocumentKind
from estimator.inputs.plans.model import BenefitPlan
from estimator.inputs.plans.predetermination import PlanAnswer
from estimator.proposal.pricing import settle_profile
from estimator.proposal.statement import Chosen, Statement
from estimator.quote.benefits.claim import Reason
from estimator.quote.benefits.claims import sum_up_answer
from estimator.quote.benefits.estimate import BenefitEstimate, BenefitLine
from estimator.quote.benefits.explanations import Audience, say_phases, say_promise, say_reason
from estimator.quote.benefits.phasing import PhaseComparison
from estimator.quote.lines import QuoteLine
from estimator.ui.quote.benefits.plan_files import ask_plans
from estimator.ui.quote.benefits.predetermination import (
    ask_answer,
    is_counted,
    name_answer_line,
    offer_letters,
    show_answer,
)
from estimator.ui.quote.unfinished import show_unfinished
from estimator.ui.shell.ask import ask_start
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.offer import Offered, put_help, settle_shown
from estimator.ui.shell.render import Format, money_format, show_table
from estimator.ui.shell.working_copy import hold_one_of

_NOT_COMPARED = "The plan answered for these days: what it would pay in another benefit year is not compared."


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedHelp:
    """What a plan answered; `place` is where the estimate stands, `beside` where the answer stands beside it."""

    answer: PlanAnswer | None = None
    place: Any = None
    beside: Any = None


def ask_help(estimate: CaseEstimate, lines: Sequence[QuoteLine]) -> AskedHelp:
    """Plans, first visit, and the plan's answer, as chosen and typed. Without a plan nothing else is asked."""
    st.header("Help from a benefit plan")
    help_ = ask_plans(estimate, {line.fee_key: line.label for line in lines if line.amount})
    if not help_.plans:
        put_help(help_)
        return AskedHelp()
    ask_start()
    place = st.container()
    answer = ask_answer(estimate, help_.plans, lines)
    put_help(replace(help_, answer=answer, counted=answer is not None and is_counted(answer)))
    return AskedHelp(answer=answer, place=place, beside=st.container())


def settle_answered(asked: AskedHelp, estimate: CaseEstimate, chosen: tuple[Chosen, ...]) -> Offered:
    """What is offered, with the plan's answer counted where the office chose so and it goes with the estimate."""
    estimated = settle_shown(estimate, chosen, counted=False)
    if asked.answer is None or not estimated.statement.help:
        return estimated
    (compared,) = estimated.statement.help
    with asked.beside:
        if not show_answer(compared.as_planned, asked.answer, estimate):
            put_help(estimated.proposal.help)
            return estimated
        counted = settle_shown(estimate, chosen, counted=True)
        if problems := counted.statement.problems:
            show_unfinished("This answer cannot be counted", problems, note="The estimate stands.")
            put_help(estimated.proposal.help)
            return estimated
    return counted


def show_help(asked: AskedHelp, estimate: CaseEstimate, statement: Statement) -> None:
    """What plans pay, at its place: line by line, why, and a letter to each plan."""
    for compared in statement.help:
        with asked.place:
            title = settle_profile(estimate.practice)[0].name_document(DocumentKind.BENEFIT)
            st.subheader(show_plain(title), anchor=False)
            _show_estimate(estimate, compared, statement.currency)
            offer_letters(estimate, compared.as_planned)


def _show_estimate(estimate: CaseEstimate, compared: PhaseComparison, currency: str) -> None:
    wording, made = files.load_wording(), compared.as_planned
    locale = estimate.practice.settings.locale
    promise = say_promise(sum_up_answer(made), wording, locale=locale)
    st.markdown(f"**{show_plain(promise)}** {wording.get('benefits.who_decides')}")
    readers = [reader.value for reader in Audience]
    reader = Audience(
        st.radio("Words for", readers, **hold_one_of("help_reader", readers, Audience.OFFICE.value), horizontal=True,
                 format_func={"office": "the office", "patient": "the patient"}.__getitem__)
    )  # fmt: skip
    _show_lines(made, reader, currency)
    told = (wording.get(f"benefits.{key}") for key in ("rounding", "order"))
    st.markdown(f":small[Fees are after discounts, with tax. {' '.join(told)}]")
    with st.expander("Why each line came out so"):
        for line in made.lines:
            st.markdown(_say_why(line, made, reader, locale, currency))
    _show_years(compared, locale, currency)


def _show_lines(made: BenefitEstimate, reader: Audience, currency: str) -> None:
    wording = files.load_wording()
    group = "head_office" if reader is Audience.OFFICE else "head"
    head = {
        name: wording.get(f"benefits.{group}.{name}")
        for name in ("line", "fee", "allowed", "plan_pays", "second_plan_pays", "write_off", "patient_pays", "total")
    }
    rows = [_make_row(line, head) for line in made.lines if line.line.fee]
    rows.append(_make_total(made, head))
    money = money_format(MINOR_UNITS[currency])
    formats: dict[str, Format] = dict.fromkeys(list(rows[0])[1:], money)
    show_table(pd.DataFrame(rows), formats)


def _make_row(line: BenefitLine, head: Mapping[str, str]) -> dict[str, str | float | None]:
    return {
        head["line"]: name_answer_line(line.line),
        head["fee"]: float(line.line.fee),
        head["allowed"]: float(line.shares[0].allowed),
        **_list_paid([share.paid for share in line.shares], head),
        head["write_off"]: float(line.write_off),
        head["patient_pays"]: float(line.patient_pays),
    }


def _make_total(made: BenefitEstimate, head: Mapping[str, str]) -> dict[str, str | float | None]:
    return {
        head["line"]: head["total"],
        head["fee"]: float(made.fee),
        head["allowed"]: None,
        **_list_paid(made.plan_pays, head),
        head["write_off"]: float(made.write_off),
        head["patient_pays"]: float(made.patient_pays),
    }


def _list_paid(paid: Sequence[Decimal], head: Mapping[str, str]) -> dict[str, str | float | None]:
    names = (head["plan_pays"], head["second_plan_pays"])
    return {name: float(amount) for name, amount in zip(names, paid, strict=False)}


def _say_why(line: BenefitLine, made: BenefitEstimate, reader: Audience, locale: str, currency: str) -> str:
    """A line's reasons, plan by plan, then how the rest came out; each as a sentence."""
    wording = files.load_wording()

    def say(reasons: Sequence[Reason]) -> str:
        said = (say_reason(one, wording, reader=reader, locale=locale, currency=currency) for one in reasons)
        return show_plain(" ".join(said))

    told = [f"**{show_plain(name_answer_line(line.line))}**"]
    for plan, share in zip(made.plans, line.shares, strict=True):
        counted = f", counted on {show_plain(format_day(share.counted_on, locale))}" if line.line.fee else ""
        told.append(f"{show_plain(plan.name)}{counted}\\: {say(share.reasons)}")
    return "  \n".join([*told, *([say(line.reasons)] if line.reasons else [])])


def _show_years(compared: PhaseComparison, locale: str, currency: str) -> None:
    """What each plan pays in each of its benefit years, and both ways to count where there is more than one."""
    made, money = compared.as_planned, money_format(MINOR_UNITS[currency])
    rows = [
        {
            "Plan": plan.name,
            "Benefit year from": _name_year(plan, use.year, locale),
            "Deductible taken": money.format(use.deductible),
            "Plan pays": money.format(use.paid),
        }
        for plan, years in zip(made.plans, made.years, strict=True)
        for use in years
    ]
    st.subheader("Benefit years", anchor=False)
    show_table(pd.DataFrame(rows))
    said = say_phases(compared, files.load_wording(), locale=locale, currency=currency)
    whole = _NOT_COMPARED if made.answer is not None else "All lines fall into one benefit year."
    st.markdown("  \n".join(show_plain(sentence) for sentence in said) or whole)


def _name_year(plan: BenefitPlan, year: int, locale: str) -> str:
    return format_day(date(year, plan.year_begins_month, 1), locale)
