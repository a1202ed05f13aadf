"""In which language and size a patient's sheets are printed: what the case says comes first.

The name of each choice ends with what comes first, so that it starts anew once the case says something else.
"""

from estimator import files
from estimator.base.formats import name_language
from estimator.estimate.result import CaseEstimate
from estimator.ui.shell.working_copy import get_note

NORMAL, LARGE = "normal", "large print"
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


def key_language(estimate: CaseEstimate, place: str) -> str:
    """The name of the language that is chosen for the papers of a quote."""
    return f"quote_paper_{place}_language_{estimate.language}"


def find_language(estimate: CaseEstimate) -> str:
    """The language that was chosen for the papers of the quote, else the patient's."""
    chosen = str(get_note(key_language(estimate, NOW), estimate.language))
    return chosen if chosen in order_languages(estimate) else estimate.language
