"""In which language and size a patient's papers are printed: one choice for all of them, held in the proposal.

What the case says comes first, and nothing is held while that is what is chosen. The name of each widget ends with what
comes first, so that it starts anew once the case says something else.
"""

from collections.abc import Callable
from typing import Any

from estimator import files
from estimator.base.formats import name_language
from estimator.estimate.result import CaseEstimate
from estimator.proposal.document import OFFER
from estimator.proposal.model import Edition
from estimator.ui.shell.working_copy import Place, get_value, hold_as, hold_one_of, offer_only

NORMAL, LARGE = "normal", "large print"
_LANGUAGE, _EDITION = (OFFER, "language"), (OFFER, "edition")
_EDITIONS = {Edition.NORMAL.value: NORMAL, Edition.LARGE.value: LARGE}
NOW = "now"
"""The place of the papers of the quote as it stands, apart from those of a kept version."""


def order_languages(estimate: CaseEstimate) -> tuple[str, ...]:
    """Codes of all languages there are sheets in, the patient's first."""
    first = estimate.language
    return (first, *(code for code in files.list_languages() if code != first))


def order_editions(estimate: CaseEstimate) -> tuple[str, str]:
    """Both editions, the patient's first."""
    return (LARGE, NORMAL) if estimate.case.patient.large_print else (NORMAL, LARGE)


def say_language(estimate: CaseEstimate, code: str) -> str:
    """A language by its name."""
    return name_language(code, estimate.practice.settings.locale)


def hold_language(estimate: CaseEstimate, name: str, *, place: str = NOW) -> dict[str, Any]:
    """The arguments of a widget for a language; of papers of a kept version, a choice of their own."""
    codes, name = order_languages(estimate), f"{name}_language_{estimate.language}"
    if place != NOW:
        return hold_one_of(name, codes, codes[0])
    return _hold(name, _LANGUAGE, codes, str, str)


def hold_edition(estimate: CaseEstimate, name: str, *, place: str = NOW) -> dict[str, Any]:
    """The arguments of a widget for an edition; of papers of a kept version, a choice of their own."""
    editions = order_editions(estimate)
    name = f"{name}_edition_{editions[0]}"
    if place != NOW:
        return hold_one_of(name, editions, editions[0])
    values = {words: value for value, words in _EDITIONS.items()}
    return _hold(name, _EDITION, editions, lambda value: _EDITIONS.get(value, ""), values.__getitem__)


def _hold(
    name: str, place: Place, choices: tuple[str, ...], read: Callable[[str], str], write: Callable[[str], str]
) -> dict[str, Any]:
    first, value = choices[0], read(str(get_value(place) or ""))
    held = hold_as(
        name, value if value in choices else first, place, write=lambda one: None if one == first else write(one)
    )
    return offer_only(held, choices, first)


def find_language(estimate: CaseEstimate) -> str:
    """The language that was chosen for the patient's papers, else the patient's own."""
    chosen = str(get_value(_LANGUAGE) or estimate.language)
    return chosen if chosen in order_languages(estimate) else estimate.language
