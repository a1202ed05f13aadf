"""What a practice says of a translation in its settings."""

from datetime import date
from typing import Any

import pytest

from estimator.base.problems import InputError
from estimator.inputs.practice.settings import Settings, read_settings
from tests.problem_builders import say_problem

REVIEW = {"reviewed_by": "A. Example", "reviewed_on": date(2026, 11, 20), "texts": "0a1b2c3d"}


def read(spanish: dict[str, Any], **practice: str) -> Settings:
    document = {"practice": practice, "translation": {"es": spanish}}
    return read_settings(document, file="settings.toml", locales=("en_US",), languages=("en", "es"))


def find_problem(spanish: dict[str, Any], **practice: str) -> str:
    with pytest.raises(InputError) as caught:
        read(spanish, **practice)
    return say_problem(caught.value.problems[0])


def test_a_review_holds_for_the_texts_it_names() -> None:
    settings = read(REVIEW)
    review = settings.find_review("es", "0a1b2c3d")
    assert review is not None
    assert review.reviewed_by == "A. Example"
    assert settings.find_review("es", "ffffffff") is None
    assert settings.find_review("fr", "0a1b2c3d") is None


def test_a_review_without_a_name_is_none() -> None:
    assert read({"reviewed_by": ""}).find_review("es", "") is None


@pytest.mark.parametrize("missing", ["reviewed_on", "texts"])
def test_a_review_needs_a_day_and_what_was_reviewed(missing: str) -> None:
    assert f"translation.es.{missing}" in find_problem({k: v for k, v in REVIEW.items() if k != missing})


def test_a_misspelt_field_does_not_pass_in_silence() -> None:
    assert "translation.es.reviewd_by" in find_problem({"reviewd_by": "A. Example"})


def test_a_practice_has_words_of_its_own() -> None:
    assert read({"words": {"sedation": "la sedación"}}).find_words("es") == {"sedation": "la sedación"}


def test_a_language_that_there_is_no_folder_for_is_refused() -> None:
    assert "one of en, es" in find_problem({}, language="fr")
