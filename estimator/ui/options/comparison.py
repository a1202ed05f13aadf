"""The comparison of one jaw on a page: three pictures with the same rows, the same in words, the same as a table."""

from collections.abc import Callable
from decimal import Decimal

import pandas as pd
import streamlit as st

from estimator import files
from estimator.base.formats import name_currency
from estimator.estimate.clearance.verdict import Clearance, Verdict
from estimator.estimate.compare import ComparisonRow, list_rows
from estimator.estimate.result import CaseEstimate, JawEstimate
from estimator.inputs.reference.wording import Wording
from estimator.pictures.base.rows import Sizes
from estimator.pictures.options.money import draw_money
from estimator.pictures.options.option_rows import RowWriter, find_measured
from estimator.pictures.options.room import draw_room
from estimator.pictures.options.time import draw_time
from estimator.proposal.offers import state_rows
from estimator.proposal.statement import JawStatement
from estimator.sheets.export.summary import describe_jaw, summarise_rows
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.render import Format, money_format, show_gravest, show_picture, show_table, sign_length

_NOTHING = "\N{EN DASH}"


def show_comparison(estimate: CaseEstimate, jaw: JawEstimate, stated: JawStatement, step: Decimal) -> None:
    """Pictures, sentences and table of one jaw at the prices that are told; estimates are rounded to `step`."""
    wording = files.load_wording()
    names = (wording.get("words.no_treatment.office"), wording.get("words.no_treatment.patient"))
    rows = state_rows(list_rows(jaw, no_treatment=names), stated)
    locale = estimate.practice.settings.locale
    writer = RowWriter(wording, patient=False, locale=locale, step=step)
    currency = name_currency(estimate.practice.fees.currency, locale)
    st.markdown(show_plain(_describe_case(estimate, jaw, rows)))
    show_gravest(stated.list_gravest())
    _show_pictures(rows, writer, currency, estimate.years)
    st.header("The same in words")
    st.markdown(show_plain(" ".join(summarise_rows(rows, wording, years=estimate.years, locale=locale))))
    _show_table(rows, writer, wording, estimate.practice.fees.decimals)
    st.markdown(
        ":small[Room over the usual and over the least stack in mm from the soft tissue; weeks without teeth; "
        f"upkeep and totals over {estimate.years} years in {currency}, the total in a range of 8 chances in 10. "
        "The tool informs; the licensed clinician and the patient decide; local law applies.]"
    )


def _describe_case(estimate: CaseEstimate, jaw: JawEstimate, rows: tuple[ComparisonRow, ...]) -> str:
    invented = ("Demo prices, invented.",) if estimate.practice.fees.invented else ()
    return " ".join((f"Case {estimate.case.reference}.", *describe_jaw(jaw, rows), *invented))


def _show_pictures(rows: tuple[ComparisonRow, ...], writer: RowWriter, currency: str, years: int) -> None:
    sizes, words, measured = Sizes(), writer.key_words(), find_measured(rows)
    room_rows, time_rows = [writer.room_row(row) for row in rows], [writer.time_row(row) for row in rows]
    money_rows = [writer.money_row(row) for row in rows]
    fit, time, money = st.columns([10, 7, 10], gap="medium")
    with fit:
        st.header("Room")
        room, error = (measured.space_mm, measured.error_mm or Decimal(0)) if measured else (None, Decimal(0))
        picture = draw_room(room_rows, sizes, room_mm=room, error_mm=error, words=words)
        show_picture(picture, alt="; ".join(f"{row.name}: {row.finding}" for row in room_rows))
    with time:
        st.header("Time")
        picture = draw_time(time_rows, sizes, words=words)
        show_picture(picture, alt="; ".join(f"{row.name}: {row.finding}, {row.foot}" for row in time_rows))
    with money:
        st.header(f"Cost over {years} years" if years > 1 else "Cost over 1 year")
        picture = draw_money(money_rows, sizes, axis=currency, words=words)
        show_picture(picture, alt="; ".join(f"{row.name}: {row.finding}; {row.foot}" for row in money_rows))


def _show_table(rows: tuple[ComparisonRow, ...], writer: RowWriter, wording: Wording, decimals: int) -> None:
    """Numbers as numbers, because Streamlit aligns columns by their type; the format gives them back their decimals."""
    table = pd.DataFrame([_make_cells(row, wording, writer) for row in rows])
    formats: dict[str, Format] = {
        "Upkeep": _say_about(writer),
        **dict.fromkeys(("Over usual", "Over least"), sign_length),
        **dict.fromkeys(("Trips", "Teeth, week", "Without"), "{:g}"),
        "First cost": money_format(decimals),
    }
    show_table(table, formats)


def _say_about(writer: RowWriter) -> Callable[[float], str]:
    return lambda amount: writer.about(Decimal(str(amount)))


def _make_cells(row: ComparisonRow, wording: Wording, writer: RowWriter) -> dict[str, str | float | None]:
    clearance = row.clearance
    space = clearance.space_mm if clearance else None
    return {
        "Option": row.name,
        "Verdict": _say_verdict(clearance, wording) if clearance else row.reason or _NOTHING,
        "Over usual": float(space - clearance.required_mm) if clearance and space is not None else None,
        "Over least": float(space - clearance.least_mm) if clearance and space is not None else None,
        "Trips": None if row.reason else row.trips,
        "Teeth, week": _to_float(row.weeks_to_teeth),
        "Without": _to_float(row.weeks_without_teeth),
        "First cost": _to_float(row.first_cost),
        "Upkeep": _to_float(row.upkeep[1] if row.upkeep else None),
        "Total": f"{writer.about(row.total[0])} to {writer.about(row.total[2])}" if row.total else _NOTHING,
    }


def _say_verdict(clearance: Clearance, wording: Wording) -> str:
    """A word, and the layer that decides where it is not all of them."""
    word = wording.get(f"words.verdict.{clearance.verdict}")
    return word if clearance.verdict is Verdict.FITS else f"{word}: {clearance.headline.name}"


def _to_float(number: Decimal | None) -> float | None:
    return None if number is None else float(number)
