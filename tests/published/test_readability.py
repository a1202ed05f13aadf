"""The formulas and the counting, against published and hand-counted examples."""

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from estimator import files
from estimator.sheets.base import readability
from estimator.sheets.base.readability import Counts

HERE = Path(__file__).parent
MEASURES: dict[str, Callable[[Counts], float]] = {
    "ease": readability.find_ease,
    "grade": readability.find_grade,
    "smog": readability.find_smog,
    "fernandez_huerta": readability.find_fernandez_huerta,
    "inflesz": readability.find_inflesz,
}


def read(name: str) -> list[dict[str, str]]:
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


VECTORS, WORDS = read("readability.csv"), read("syllables.csv")


def name_vector(row: dict[str, str]) -> str:
    return f"{row['id']} {row['measure']}"


@pytest.mark.parametrize("row", VECTORS, ids=name_vector)
def test_a_formula_gives_the_published_value_from_the_counts(row: dict[str, str]) -> None:
    words, sentences, syllables, long = (
        int(row[column] or 0) for column in ("words", "sentences", "syllables", "polysyllables")
    )
    counts = Counts(words=words, sentences=sentences, syllables=syllables, polysyllables=long)
    assert MEASURES[row["measure"]](counts) == pytest.approx(float(row["expected"]), abs=5e-4)


@pytest.mark.parametrize("row", [row for row in VECTORS if row["text"]], ids=name_vector)
def test_a_text_is_counted_as_by_hand(row: dict[str, str]) -> None:
    counts = readability.count_text(row["text"], row["language"], files.load_syllables()[row["language"]])
    assert (counts.words, counts.sentences, counts.syllables) == tuple(
        int(row[column]) for column in ("words", "sentences", "syllables")
    )


@pytest.mark.parametrize("row", WORDS, ids=lambda row: str(row["word"]))
def test_a_word_has_the_syllables_that_are_said(row: dict[str, str]) -> None:
    language = row["language"]
    found = readability.count_syllables(row["word"], language, files.load_syllables()[language])
    assert found == int(row["syllables"])


def test_a_decimal_point_and_an_abbreviation_end_no_sentence_and_a_line_break_does() -> None:
    found = readability.split_sentences("Dr. Okafor measured 1.50 mm. Is that enough?\nYes")
    assert found == ("Dr Okafor measured 1·50 mm.", "Is that enough?", "Yes")


def test_the_hardest_sentence_comes_first() -> None:
    hard = "The clinician individually characterizes rehabilitation alternatives."
    assert readability.rank_sentences(f"You choose. {hard} Take your time.", "en")[0] == hard
