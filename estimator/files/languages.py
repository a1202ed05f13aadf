"""The languages that ship with the tool, from disk: a folder each, English first."""

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from typing import Any

from estimator.files.reading import load_toml
from estimator.files.shipped import DATA
from estimator.files.shipped_names import list_shipped_names
from estimator.inputs.reference.wording import SOURCE_LANGUAGE, Wording, read_translation, read_wording

_WORDING = DATA / "wording"
_ABOUT = "about"


@cache
def list_languages() -> tuple[str, ...]:
    """Codes of the languages that there are words in: English, then the others by code."""
    others = sorted(path.name for path in _WORDING.iterdir() if path.is_dir() and path.name != SOURCE_LANGUAGE)
    return (SOURCE_LANGUAGE, *others)


@cache
def load_family(family: str) -> Wording:
    """The English words of one family alone, for who needs a label or two and no sheet."""
    path = _WORDING / SOURCE_LANGUAGE / f"{family}.toml"
    return read_wording({family: load_toml(path)}, language=SOURCE_LANGUAGE)


@cache
def load_wording(language: str = SOURCE_LANGUAGE) -> Wording:
    """The words of every sheet and picture in one language; what a translation lacks is English."""
    folder = _WORDING / language
    documents = {path.stem: load_toml(path) for path in sorted(folder.glob("*.toml")) if path.stem != _ABOUT}
    syllables = load_syllables().get(language, {})
    if language == SOURCE_LANGUAGE:
        return replace(read_wording(documents, language=language), syllables=syllables)
    names: dict[str, Any] = {}
    for path in sorted((folder / "names").glob("*.toml")):
        names.update(load_toml(path))
    wording = read_translation(
        documents, names, language=language, english=load_wording(), shipped=list_shipped_names()
    )
    return replace(wording, syllables=syllables)


@cache
def load_syllables() -> Mapping[str, Mapping[str, int]]:
    """By language, syllables of words that the rules count wrong."""
    return load_toml(DATA / "syllables.toml")
