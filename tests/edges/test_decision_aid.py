"""The option sheet as a decision aid: mandatory texts are there, detail is equal, the score is honest and small."""

import re
from dataclasses import replace
from functools import cache

import pytest

from estimator import files
from estimator.files.loading import load_decision_aid
from estimator.inputs.practice.settings import Paper
from estimator.inputs.reference.decision_aid import AidGroup, AidItem, read_decision_aid
from estimator.inputs.reference.wording import Wording
from estimator.pdf.print import make_job, make_sheet
from estimator.sheets.base.content_hash import list_texts
from estimator.sheets.base.readability import MEASURES, count_text, find_grade, find_inflesz, list_prose
from estimator.sheets.option_sheet.decision_aid import AidError, check_aid, check_equal_detail, count_points, is_said
from estimator.sheets.registry import KINDS
from tests.builders import TODAY
from tests.edges.test_option_sheet import CASES
from tests.edges.test_sheet_set import read
from tests.problem_builders import refuses

ITEMS = load_decision_aid()
WORDING = files.load_wording()
FAMILIES = ("none", "on_implants", "on_bar", "no_treatment")


def change(key: str, text: str) -> Wording:
    return replace(WORDING, texts={**WORDING.texts, key: text})


@cache
def read_sheet(case: str) -> str:
    return read(make_sheet(KINDS[0], CASES[case], 0, wording=WORDING, today=TODAY, paper=Paper.LETTER))


def test_there_are_six_qualifying_six_certification_and_twenty_three_quality_items() -> None:
    """IPDAS v4.0, Joseph-Williams et al. Med Decis Making 2014;34:699-710 (quoted)."""
    counts = [sum(item.group is group for item in ITEMS) for group in AidGroup]
    assert counts == [6, 6, 23]
    assert all(item.done for item in ITEMS if item.mandatory)


@pytest.mark.parametrize("case", ["demo", "not measured", "nothing fits"])
@pytest.mark.parametrize("item", [item for item in ITEMS if item.done], ids=lambda item: item.id)
def test_the_texts_that_meet_an_item_are_on_the_printed_sheet(item: AidItem, case: str) -> None:
    assert any(is_said(key, WORDING, read_sheet(case)) for key in item.where)


def test_the_score_counts_what_is_done_and_names_what_is_not() -> None:
    text = read_sheet("demo")
    done = sum(item.done for item in ITEMS if not item.mandatory)
    assert (
        f"it does 12 of 12 things that every decision aid must do (IPDAS v4.0, 6 + 6). Of 23 further things it does {done}."
        in text
    )
    not_done = text[text.index("Not done: ") :]
    for item in ITEMS:
        if not item.done:
            assert WORDING.get(f"decision_aid.items.{item.id}") in not_done
    assert text.index("How good is this sheet?") > text.index("Where the numbers come from")


@pytest.mark.parametrize("case", ["demo", "nothing fits"])
@pytest.mark.parametrize(("language", "least", "most", "said"), [
    ("en", 0.0, 6.9, r"How hard it is to read, by our own count: grade (\d\.\d) \(Flesch-Kincaid\)"),
    ("es", 65.0, 100.0, r"Qué tan fácil es de leer, según nuestra cuenta: (\d\d\.\d) puntos \(INFLESZ\)"),
])  # fmt: skip
def test_the_sheet_says_how_hard_its_own_prose_is_to_read(
    language: str, least: float, most: float, said: str, case: str
) -> None:
    wording = files.load_wording(language)
    job = make_job(KINDS[0], CASES[case], 0, wording=wording, today=TODAY, paper=Paper.LETTER)
    blocks = KINDS[0].make(job).blocks
    (level,) = re.findall(said, " ".join(list_texts(blocks)))
    counts = count_text("\n".join(list_prose(blocks)), language, files.load_syllables()[language])
    measured = find_grade(counts) if language == "en" else find_inflesz(counts)
    assert abs(float(level) - measured) <= 0.05
    assert least < float(level) <= most


def test_every_language_that_ships_is_measured_and_another_says_nothing() -> None:
    assert set(files.list_languages()) <= set(MEASURES)
    other = replace(files.load_wording("es"), language="ca")
    job = make_job(KINDS[0], CASES["demo"], 0, wording=other, today=TODAY, paper=Paper.LETTER)
    assert "INFLESZ" not in " ".join(list_texts(KINDS[0].make(job).blocks))


def test_a_sheet_without_a_mandatory_text_is_refused() -> None:
    with pytest.raises(AidError, match="q1, q2"):
        check_aid((), ITEMS, WORDING)


@pytest.mark.parametrize("family", FAMILIES)
def test_every_choice_has_three_good_points_three_bad_points_and_five_topics(family: str) -> None:
    assert count_points(WORDING, family) == (3, 3, 5)


def test_one_point_less_is_allowed_and_two_are_not() -> None:
    one = change("choices.on_bar.good_work", "")
    check_equal_detail(one, FAMILIES)
    two = replace(one, texts={**one.texts, "choices.on_bar.good_use": ""})
    with pytest.raises(AidError, match="choices differ in detail"):
        check_equal_detail(two, FAMILIES)


@pytest.mark.parametrize(("line", "found"), [("done = false", "where"), ("where = []", "where")])
def test_a_mandatory_item_that_is_not_met_is_a_problem(line: str, found: str) -> None:
    text = '[[items]]\nid = "q1"\ngroup = "qualifying"\nhow = "x"\n'
    whole = {"done = false": 'done = false\nwhere = ["a"]\n', "where = []": "done = true\nwhere = []\n"}[line]
    with refuses(found):
        read_decision_aid(files.parse_toml(text + whole, "x.toml"), file="x.toml")


def test_other_ways_are_named_as_not_priced_here() -> None:
    text = read_sheet("demo")
    assert "Other ways, not priced here A fixed bridge on implants" in text
    assert "see a specialist" in text


@pytest.mark.parametrize("case", ["demo", "upper jaw, six planned on a scan"])
def test_a_number_of_implants_is_never_said_of_people(case: str) -> None:
    text = read_sheet(case)
    section = text[text.index("How often does something go wrong?") : text.index("What matters to you?")]
    assert "These are implants, not people." in section
    assert "1000 people" not in section
    assert "100 people" not in section


def test_an_upper_jaw_is_told_nothing_that_was_counted_in_lower_jaws() -> None:
    text = read_sheet("upper jaw, six planned on a scan")
    assert "23 of 1000 implants are lost." in text
    assert "Numbers of lower jaws are not used here." in text
    assert "Counted in implants in lower jaws" not in text
    assert "2 of 1000 implants are lost." in read_sheet("demo")
