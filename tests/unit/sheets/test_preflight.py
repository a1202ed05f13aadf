"""What is missing before sheets are printed: said where it matters, not said where it does not."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from estimator import files
from estimator.base.evidence import Confirmation, Figure
from estimator.estimate.result import CaseEstimate
from estimator.inputs.case.model import Arch, Landmark, Measurement, Method, Patient
from estimator.inputs.practice.guarantees import Terms
from estimator.inputs.practice.settings import Settings
from estimator.sheets.base.wording_approval import mark_wording
from estimator.sheets.preflight import Missing, Printing, Severity, find_missing
from estimator.sheets.registry import JAW_KINDS, find_kinds
from estimator.ui.shell.navigation import PAGES
from tests.builders import TODAY, estimate_all, load_demo_practice, make_jaw

WORDING = files.load_wording()
PATIENT = Patient(name="A. Example (invented)", born=date(1951, 5, 2))
TERMS = Terms(
    guarantee=(("conventional_denture", "x"), ("individual_attachments", "x"), ("connecting_bar", "x")),
    remake=(("conventional_denture", "x"), ("individual_attachments", "x"), ("connecting_bar", "x")),
    void="x",
    implant_fails="x",
)
SETTINGS = Settings(practice_name="Harbor Row (invented)", phone="555-0142", emergency_phone="555-0143", terms=TERMS)


def make_whole(**changes: Any) -> CaseEstimate:
    """A case and a practice that lack nothing, with changes to the settings."""
    known = load_demo_practice()
    confirmed = {key: _confirm(figure) for key, figure in known.evidence.figures.items()}
    lines = {key: replace(line, note="") for key, line in known.fees.lines.items()}
    fees = replace(known.fees, lines=lines, price_date=TODAY)
    practice = replace(known, settings=replace(SETTINGS, **changes), fees=fees)
    mark = mark_wording(practice, WORDING)
    approved = {"approved_by": "A. Example", "approved_on": TODAY, "approved_text": mark}
    settings = replace(practice.settings, **{**approved, **changes})
    practice = replace(practice, settings=settings, evidence=replace(known.evidence, figures=confirmed))
    practice = replace(practice, options=tuple(option.change_figures(_confirm) for option in practice.options))
    return estimate_all(make_jaw("11.5"), practice=practice, patient=PATIENT)


def _confirm(figure: Figure) -> Figure:
    said = Confirmation(points=figure.points, confirmed_by="A. Example", confirmed_on=TODAY)
    return replace(figure, confirmation=said)


WHOLE = make_whole()


def look(
    estimate: CaseEstimate = WHOLE,
    *keys: str,
    jaws: tuple[int, ...] = (0,),
    chosen: str = "connecting_bar",
    today: date = TODAY,
    **more: Any,
) -> dict[str, Missing]:
    printing = Printing(
        estimate=estimate, kinds=find_kinds(keys) if keys else JAW_KINDS, jaws=jaws, chosen=(chosen,) * len(jaws),
        wording=WORDING, today=today, **more,
    )  # fmt: skip
    return {missing.key: missing for missing in find_missing(printing)}


def test_nothing_is_missing_from_a_case_that_has_everything() -> None:
    assert look() == {}


def test_without_a_sheet_nothing_is_missing() -> None:
    bare = estimate_all(make_jaw())
    printing = Printing(estimate=bare, kinds=(), jaws=(0,), chosen=("",), wording=WORDING, today=TODAY)
    assert find_missing(printing) == ()


@pytest.mark.parametrize(("patient", "key", "sheets"), [
    (replace(PATIENT, name=""), "patient_name", "trial"),
    (replace(PATIENT, born=None), "born", "trial"),
])  # fmt: skip
def test_the_patient_is_asked_for_where_a_patient_gets_the_sheet(patient: Patient, key: str, sheets: str) -> None:
    estimate = replace(WHOLE, case=replace(WHOLE.case, patient=patient))
    assert look(estimate, sheets)[key].page == "case"
    assert key not in look(estimate, "work_order", "office")


def test_a_date_of_birth_must_stand_on_the_consent_record_only() -> None:
    estimate = replace(WHOLE, case=replace(WHOLE.case, patient=replace(PATIENT, born=None)))
    assert look(estimate, "consent")["born"].severity is Severity.MUST
    assert look(estimate, "care")["born"].severity is Severity.BETTER


@pytest.mark.parametrize(("changes", "key", "sheets", "silent"), [
    ({"practice_name": ""}, "practice_name", "option", "office"),
    ({"phone": ""}, "phone", "care", "work_order"),
    ({"emergency_phone": ""}, "emergency_phone", "care", "option"),
    ({"emergency_phone": ""}, "emergency_phone", "consent", "trial"),
    ({"terms": replace(TERMS, implant_fails="")}, "implant_fails", "consent", "option"),
    ({"terms": replace(TERMS, remake=TERMS.remake[:1])}, "terms", "consent", "care"),
])  # fmt: skip
def test_the_settings_are_asked_for_what_a_sheet_prints_of_them(
    changes: dict[str, Any], key: str, sheets: str, silent: str
) -> None:
    estimate = make_whole(**changes)
    assert look(estimate, sheets)[key].page == "sheets"
    assert key not in look(estimate, silent)


def test_terms_are_counted_by_option() -> None:
    found = look(make_whole(terms=replace(TERMS, remake=TERMS.remake[:1])), "consent")["terms"]
    assert found.text.startswith("Guarantee or remake is not filled in for 2 of 3 options, lower jaw")


@pytest.mark.parametrize(("mark", "words"), [("", "nobody in this practice"), ("00000000", "since A. Example")])
def test_words_that_are_not_approved_come_first(mark: str, words: str) -> None:
    found = look(make_whole(approved_text=mark, phone=""))
    assert next(iter(found)) == "words"
    assert words in found["words"].text
    assert "words" not in look(make_whole(approved_text=mark), "work_order", "parts")


def test_what_matters_most_comes_first() -> None:
    found = list(look(make_whole(terms=Terms(), emergency_phone="", approved_text="")).values())
    weights = [missing.severity for missing in found]
    assert weights == sorted(weights, key=lambda severity: severity is not Severity.MUST)
    assert set(weights) == set(Severity)


def test_a_jaw_that_is_not_measured_is_said_on_sheets_that_tell_its_room() -> None:
    bare = estimate_all(make_jaw(), practice=WHOLE.practice, patient=PATIENT)
    found = look(bare, "option")["not_measured"]
    assert (found.page, found.severity) == ("clearance", Severity.MUST)
    assert "not_measured" not in look(bare, "care", "trial")


def test_a_set_up_that_is_not_accepted_is_said() -> None:
    waxed = Measurement(
        method=Method.MOUNTED_CASTS, landmark=Landmark.SOFT_TISSUE_CREST, set_up_accepted=False, error_mm=Decimal("0.5")
    )
    estimate = estimate_all(make_jaw("11.5", measurement=waxed), practice=WHOLE.practice, patient=PATIENT)
    assert look(estimate, "option")["set_up"].severity is Severity.BETTER


def test_the_option_is_asked_for_where_a_sheet_is_made_for_one() -> None:
    assert "Care and upkeep, Laboratory work order" in look(WHOLE, "care", "work_order", chosen="")["option"].text
    assert "option" not in look(WHOLE, "option", "consent", chosen="")


def test_invented_prices_are_said_on_sheets_with_prices() -> None:
    estimate = replace(WHOLE, practice=replace(WHOLE.practice, fees=load_demo_practice().fees))
    assert look(estimate, "option")["invented"].page == "fees"
    assert "invented" not in look(estimate, "care", "trial", "parts")


@pytest.mark.parametrize(("days", "old"), [(365, False), (366, True)])
def test_prices_are_old_after_a_year(days: int, old: bool) -> None:
    assert ("prices_old" in look(WHOLE, today=TODAY + timedelta(days=days))) == old


@pytest.mark.parametrize(("days", "ended"), [(0, False), (1, True)])
def test_a_quote_holds_until_its_last_day(days: int, ended: bool) -> None:
    assert ("quote_ended" in look(WHOLE, quote_ends=TODAY - timedelta(days=days))) == ended


def test_assumptions_are_counted_where_figures_are_used() -> None:
    estimate = estimate_all(make_jaw("11.5"))
    count = len({figure.key for figure in estimate.basis if figure.assumption})
    assert count > 1
    assert look(estimate, "option")["assumptions"].text.startswith(f"{count} figures are assumptions")
    assert "assumptions" not in look(estimate, "trial")


def test_a_translation_that_nobody_reviewed_is_said() -> None:
    assert look(WHOLE, "care", reviewed=False)["translation"].severity is Severity.MUST


def test_each_jaw_is_looked_at_for_itself() -> None:
    both = estimate_all(make_jaw("11.5"), make_jaw(arch=Arch.MAXILLA), practice=WHOLE.practice, patient=PATIENT)
    assert "not_measured" not in look(both, "option", jaws=(0,), chosen="")
    found = look(both, "option", jaws=(0, 1), chosen="")["not_measured"]
    assert found.text == "No room is measured, upper jaw."


def test_every_page_that_is_named_is_a_page() -> None:
    pages = {
        missing.page for missing in look(estimate_all(make_jaw()), chosen="", quote_ends=date(2020, 1, 1)).values()
    }
    assert pages <= {page.key for page in PAGES}
