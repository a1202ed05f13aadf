"""What a self-pay estimate asks for beside the quote, each element a field; problems are listed and nothing is lost."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

import streamlit as st

from estimator import files
from estimator.base.problems import InputError
from estimator.estimate.result import CaseEstimate
from estimator.inputs.payment.jurisdiction import Asked, Profile, Provider
from estimator.inputs.payment.jurisdiction_fields import PROVIDERS
from estimator.inputs.payment.jurisdiction_reader import read_providers
from estimator.quote.change_words import name_arch
from estimator.quote.lines import QuoteLine
from estimator.quote.quote import Quote
from estimator.quote.self_pay.good_faith_estimate import Booking, SeparateItem
from estimator.ui.quote.save_dialog import attempt
from estimator.ui.shell import session
from estimator.ui.shell.parts.declared_widgets import ask_text
from estimator.ui.shell.working_copy import hold, hold_one_of

_LONGEST = 120
_OLDEST = date(1900, 1, 1)
_ASKED = {
    Asked.BOOKED: "the service was booked",
    Asked.ON_REQUEST: "the patient asked for it",
    Asked.SCOPE_CHANGED: "the scope of the care changed",
}
_PROVIDER = tuple(field for field in PROVIDERS.list_fields() if field.key != "key")


@dataclass(frozen=True, slots=True, kw_only=True)
class Clock:
    """What started the clock, and when."""

    asked: Asked
    asked_on: date


def ask_patient() -> None:
    """Name and day of birth, which are the case's own: what is typed here is typed into the case."""
    patient = (session.get_draft() or {}).get("patient", {})
    key = f"patient_{session.get_generation()}"
    row = st.columns(3, gap="medium")
    more: dict[str, Any] = {"on_change": _put_patient, "args": (key,)}
    row[0].text_input("Patient", patient.get("name", ""), max_chars=_LONGEST, key=f"{key}_name", **more)
    row[1].date_input("Born", patient.get("born"), _OLDEST, session.get_today(), key=f"{key}_born",
                      format="YYYY-MM-DD", **more)  # fmt: skip


def _put_patient(key: str) -> None:
    """Into the case, unless the case would have problems with it: then the case stays as it was."""
    before = session.get_draft() or {}
    name, born = st.session_state[f"{key}_name"].strip(), st.session_state[f"{key}_born"]
    problems = session.put_draft({**before, "patient": {"name": name} | ({"born": born} if born else {})})
    if problems:
        session.put_draft(before)
        with attempt("self_pay"):
            raise InputError(problems)


def ask_clock(key: str) -> Clock:
    """What started the clock; today until somebody says otherwise."""
    row = st.columns(3, gap="medium")
    reasons = [reason.value for reason in Asked]
    held = hold_one_of(f"{key}_asked", reasons, reasons[0])
    asked = row[0].selectbox("The estimate is due because", reasons, format_func=lambda one: _ASKED[Asked(one)], **held)
    on = row[1].date_input("On", format="YYYY-MM-DD", **hold(f"{key}_asked_on", session.get_today()))
    return Clock(asked=Asked(asked), asked_on=on if isinstance(on, date) else session.get_today())


def ask_booking(estimate: CaseEstimate, quote: Quote, key: str) -> Booking:
    """Service, day, codes and what is booked separately; empty fields stand for what their grey text says."""
    wording = files.load_wording()
    usual = "; ".join(f"{name} ({name_arch(arch, wording)})" for arch, name in quote.options)
    row = st.columns(3, gap="medium")
    service = row[0].text_input("Primary service in plain words", placeholder=usual, **hold(f"{key}_service", ""))
    day = row[1].date_input("Day of the service", None, format="YYYY-MM-DD", **hold(f"{key}_day"))
    held = hold(f"{key}_diagnosis", "")
    codes = row[2].text_input("Diagnosis codes, where one applies", placeholder="none", **held)
    row = st.columns(3, gap="medium")
    separate = row[0].text_area(
        "Booked separately, one a line: what; who", placeholder="cone-beam scan; imaging centre",
        **hold(f"{key}_separate", ""),
    )  # fmt: skip
    held = hold(f"{key}_where", "")
    where = row[1].text_input("Where a dispute is begun", placeholder="address of a website", **held)
    known = estimate.practice.settings.phone or "number"
    phone = row[2].text_input("Phone", placeholder=known, **hold(f"{key}_phone", ""))
    return Booking(
        patient=estimate.case.patient,
        primary_service=service.strip() or usual,
        service_on=day if isinstance(day, date) else None,
        diagnosis_codes=tuple(code.strip() for code in codes.split(",") if code.strip()),
        separate=tuple(_read_separate(separate)),
        where_to_dispute=where.strip(),
        phone=phone.strip() or estimate.practice.settings.phone,
    )


def _read_separate(text: str) -> Iterable[SeparateItem]:
    for line in text.splitlines():
        what, _, who = line.partition(";")
        if what.strip():
            yield SeparateItem(description=what.strip(), provider=who.strip())


def ask_codes(lines: Sequence[QuoteLine], key: str) -> tuple[QuoteLine, ...]:
    """The lines with the office's own service codes, which start from the column `office_code` of the fees."""
    with st.expander("Service codes of the office"):
        columns = st.columns(3, gap="medium")
        codes = [
            columns[number % 3].text_input(line.label, max_chars=40, **hold(f"{key}_code_{line.key}", line.office_code))
            for number, line in enumerate(lines)
        ]
    return tuple(replace(line, office_code=code.strip()) for line, code in zip(lines, codes, strict=True))


def ask_providers(profile: Profile, lines: Sequence[QuoteLine], key: str) -> tuple[Provider, ...]:
    """Who treats or makes, starting from the profile. Raises InputError for a number that cannot be one."""
    known = [profile.find_provider(name) for name in dict.fromkeys(line.provider for line in lines)]
    with st.expander("Who treats: names and numbers"):
        rows = [_ask_provider(provider, f"{key}_provider_{provider.key}") for provider in known]
    # Keys of a form: a provider in a fee schedule may be called anything.
    document = {"providers": [{"key": f"p{number}", **row} for number, row in enumerate(rows)]}
    read = read_providers(document, file="self-pay estimate")
    return tuple(replace(one, key=provider.key) for one, provider in zip(read, known, strict=True))


def _ask_provider(provider: Provider, key: str) -> dict[str, str]:
    columns = st.columns(len(_PROVIDER), gap="medium")
    typed = {
        field.key: ask_text(
            column, field, label=f"{field.label}, {provider.key}",
            **hold(f"{key}_{field.key}", getattr(provider, field.path)),
        ).strip()
        for column, field in zip(columns, _PROVIDER, strict=True)
    }  # fmt: skip
    return {name: text for name, text in typed.items() if text or name == "name"}
