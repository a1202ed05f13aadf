"""What is told, as data: the name of a thing by its key, or a text of the wording with what fills it; said later."""

import re
from dataclasses import dataclass

_NOT_A_WORD = re.compile(r"\W+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Name:
    """What a thing is called: `key` finds it in another language, `label` is how it was written when it was told.

    The key is the sort of thing, its own key and the field, such as `option.connecting_bar.patient_name`; a part of it,
    such as `option`, where that is all that is known; empty for what a practice wrote itself and nothing ships.
    `values` are what fills places of the label already, such as the amount in a text of the law.
    """

    key: str
    label: str
    values: tuple[tuple[str, object], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A sentence not yet said: the key of a text of the wording, and its values by name, numbers and days as such."""

    key: str
    values: tuple[tuple[str, object], ...] = ()


def make_word_key(word: str) -> str:
    """The key of a short term that has none of its own, such as a unit: per_year for per year."""
    return _NOT_A_WORD.sub("_", word.lower()).strip("_")
