"""The formulas and the counting, against published and hand-counted examples."""

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from estimator import files
from estimator.sheets.base import readability
from estimator.sheets.base.readability import Counts

HERE = Path(__file__).parent


def find_ease(counts: Counts) -> float:
    """Flesch reading ease, English (Flesch, J Appl Psychol 1948;32:221-233): a check of the two means."""
    return 206.835 - 1.015 * counts.mean_sentence - 84.6 * counts.mean_word


def find_fernandez_huerta(counts: Counts) -> float:
    """Fernández-Huerta ease, Spanish: a check of the two means."""
    return 206.84 - 60.0 * counts.mean_word - 1.02 * counts.mean_sentence


MEASURES: dict[str, Callable[[Counts], float]] = {
    "ease": find_ease,
    "grade": readability.find_grade,
    "fernandez_huerta": find_fernandez_huerta,
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
    words, sentences, syllables = (int(row[column]) for column in ("words", "sentences", "syllables"))
    counts = Counts(words=words, sentences=sentences, syllables=syllables)
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
