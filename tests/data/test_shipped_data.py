"""Shipped data, entry by entry: complete, consistent, used."""

import csv
import re
from pathlib import Path

import pytest

from estimator import files
from estimator.base.evidence import Figure, HowSure
from estimator.inputs.fees.schedule import FeeKind, FeeLine
from estimator.inputs.fees.versions import LINE_COLUMNS, FeeChangeKind
from estimator.inputs.options.model import Option
from estimator.inputs.reference.cautions import CautionText
from estimator.inputs.reference.published_minima import Minimum
from estimator.quote.changes import ChangeKind
from estimator.quote.discounts import ROUNDING
from tests.builders import CHECKOUT, load_demo_practice

PRACTICE = load_demo_practice()
EVIDENCE = files.load_shipped_evidence()
CAUTIONS = tuple(files.load_cautions().values())
WORDING = files.load_wording()
CODE = re.compile(r"\b[A-Z]\d{4}\b")


@pytest.mark.parametrize("figure", EVIDENCE.figures.values(), ids=lambda f: f.key)
def test_a_figure_has_name_unit_source_and_rising_numbers(figure: Figure) -> None:
    assert figure.name
    assert figure.unit
    assert figure.source in EVIDENCE.sources
    assert figure.low <= figure.value <= figure.high
    assert figure.how_sure is not HowSure.OWN


def test_every_source_is_cited_by_some_figure_minimum_or_arch() -> None:
    cited = {f.source for f in EVIDENCE.figures.values()} | {m.source for m in PRACTICE.minima}
    cited |= {arch.source for arch in PRACTICE.usual_arches.values()}
    assert set(EVIDENCE.sources) == cited


@pytest.mark.parametrize("minimum", PRACTICE.minima, ids=lambda m: m.key)
def test_a_minimum_has_label_source_and_rising_lengths_and_applies_to_some_option(minimum: Minimum) -> None:
    assert minimum.label
    assert minimum.source in EVIDENCE.sources
    assert 0 < minimum.low_mm <= minimum.high_mm
    assert any(option.attachments in minimum.attachments for option in PRACTICE.options)


@pytest.mark.parametrize("way", PRACTICE.ways.values(), ids=lambda w: w.key)
def test_a_way_to_make_room_has_words_for_both_readers_and_a_source(way: CautionText) -> None:
    assert way.text
    assert way.patient_text
    assert way.source


def test_every_figure_is_used_by_an_option_or_by_the_model() -> None:
    used = {f.key for option in PRACTICE.options for f in option.list_figures()}
    code = "\n".join(p.read_text(encoding="utf-8") for p in (CHECKOUT / "estimator" / "estimate").rglob("*.py"))
    by_model = {
        key
        for key in EVIDENCE.figures
        if key in code
        or re.sub(r"_(mandible|maxilla|guided|freehand|light|medium|strong|lowest|highest|step)$", "_", key) in code
    }
    shown = {frame.figure for frame in PRACTICE.chances}
    by_method = {key for key in EVIDENCE.figures if key.startswith("error_")}
    assert set(EVIDENCE.figures) == used | by_model | by_method | shown


@pytest.mark.parametrize("option", PRACTICE.options, ids=lambda o: o.key)
def test_an_option_prices_every_charge_from_the_demo_schedule(option: Option) -> None:
    assert {charge.fee for charge in option.list_charges()} <= set(PRACTICE.fees.lines)


@pytest.mark.parametrize("line", PRACTICE.fees.lines.values(), ids=lambda line: line.key)
def test_a_demo_fee_is_marked_invented_and_holds_no_code(line: FeeLine) -> None:
    assert line.note == "invented"
    assert line.office_code == ""
    assert not CODE.search(line.label)


def test_aftercare_lines_are_priced_only_in_upkeep() -> None:
    for option in PRACTICE.options:
        first = {c.fee for step in option.visits for c in step.charges} | {c.fee for c in option.charges}
        assert not [key for key in first if PRACTICE.fees.get(key).kind is FeeKind.AFTERCARE]


@pytest.mark.parametrize("caution", CAUTIONS, ids=lambda c: c.key)
def test_a_caution_has_a_text_a_source_and_patient_words_without_trade_terms(caution: CautionText) -> None:
    assert caution.text
    assert caution.source
    trade = (
        "overdenture",
        "mandible",
        "maxilla",
        "platform",
        "abutment",
        "restorative",
        "antiresorptive",
        "edentulous",
    )
    assert not [word for word in trade if word in caution.patient_text.lower()]


@pytest.mark.parametrize("key", [k for k in WORDING.texts if k.startswith("option_sheet.") or "patient" in k])
def test_patient_wording_has_no_trade_term(key: str) -> None:
    trade = (
        "overdenture",
        "mandible",
        "maxilla",
        "platform",
        "mucosa",
        "edentulous",
        "clearance",
        "horizon",
        "aftercare",
    )
    assert not [word for word in trade if word in WORDING.get(key).lower()]


def test_every_sheet_text_is_asked_for_by_a_sheet() -> None:
    code = "\n".join(p.read_text(encoding="utf-8") for p in (CHECKOUT / "estimator" / "sheets").rglob("*.py"))
    families = ("numbers.", "room.method_", "room.scale_", "sources.", "time.head_", "numbers_again.", "lines.", "jaw.", "later.calendar_", "room_in_full.then_", "room_in_full.head_", "room_in_full.needs_", "room_in_full.is_", "later.",
                "room.fits", "room.tight", "room.does_not_fit", "room.not_measured")  # fmt: skip
    for key in (k.removeprefix("option_sheet.") for k in WORDING.texts if k.startswith("option_sheet.")):
        assert f'"{re.sub("_(one|other)$", "", key)}"' in code or key.startswith(families), key


def test_the_wheel_and_the_checkout_have_one_demo_schedule() -> None:
    assert files.find_demo_fees() == CHECKOUT / "demo_fees.csv"


def test_the_demo_schedule_has_the_columns_of_the_contract() -> None:
    with Path(CHECKOUT / "demo_fees.csv").open(encoding="utf-8", newline="") as file:
        head = next(csv.reader(file))
    assert head == [
        "key", "label", "kind", "charged_per", "fee", "practice_cost", "minutes", "provider", "office_code",
        "benefit_class", "currency", "price_date", "note",
    ]  # fmt: skip


@pytest.mark.parametrize(
    "key", [*(f"fee_change.office_{kind}" for kind in FeeChangeKind), *(f"fee_column.office_{c}" for c in LINE_COLUMNS)]
)
def test_every_change_of_a_fee_line_has_words(key: str) -> None:
    assert WORDING.get(f"words.{key}")


SET = ("choices", "chances", "consent", "care", "trial", "office_summary", "work_order", "parts_order", "quote_sheet",
       "quote_lines", "quote_changes", "paying", "benefit_sheet", "self_pay_sheet", "plan_letter", "missing")  # fmt: skip


@pytest.mark.parametrize("family", SET)
def test_every_text_of_the_set_is_asked_for(family: str) -> None:
    """By its key, or by the last part of a key whose first part a module puts together."""
    code = "\n".join(p.read_text(encoding="utf-8") for p in (CHECKOUT / "estimator" / "sheets").rglob("*.py"))
    texts = [key.removeprefix(f"{family}.") for key in WORDING.texts if key.startswith(f"{family}.")]
    assert texts
    for key in texts:
        last = re.sub(r"^(head|good|bad|opposing|years|group|count|event|things)_|_open$", "", key.rpartition(".")[2])
        assert f'"{key}"' in code or re.search(rf'["_.]{last}"', code) or last in KINDS_OF_PARTS | set(ChangeKind), key


KINDS_OF_PARTS = {
    "none", "on_implants", "on_bar", "no_treatment", "denture", "teeth", "fixed", "set_up", "mandible", "maxilla",
    *(frame.counted.value for frame in PRACTICE.chances), *(frame.group for frame in PRACTICE.chances),
    *(kind.value for kind in FeeKind), *ROUNDING.values(), "usual_milestones", "usual_in_full",
}  # fmt: skip


MONEY = ("quote_sheet.", "quote_lines.", "quote_changes.", "paying.", "benefit_sheet.", "self_pay_sheet.")


@pytest.mark.parametrize(
    "key",
    [
        k
        for k in WORDING.texts
        if k.startswith(("choices.", "chances.", "decision_aid.", "consent.", "care.", "trial.", *MONEY))
    ],
)
def test_the_set_for_the_patient_has_no_trade_term(key: str) -> None:
    trade = (
        "overdenture",
        "mandible",
        "maxilla",
        "mucosa",
        "edentulous",
        "clearance",
        "abutment",
        "attachment",
        "reline",
    )
    assert not [word for word in trade if word in WORDING.get(key).lower()]


def test_a_verdict_in_one_line_has_a_place_beside_the_pictures() -> None:
    """Longer ones are cut off on the Options page; the longest that can fill a place stand in for it."""
    filled = {"{site}": "46", "{usual}": "79", "{least}": "over 99", "{sites}": "46, 44", "{angle}": "12.3"}
    for layer in PRACTICE.layers.values():
        for word, said in layer.says.items():
            brief = said.brief if "in 100" in said.brief else said.brief.replace("{least}", "4")
            for place, value in filled.items():
                brief = brief.replace(place, value)
            assert len(re.sub(r"\{\w+_mm\}", "0.00 mm", re.sub(r"\{(?!\w+_mm)\w+\}", "4", brief))) <= 54, (
                layer.key,
                word,
            )
