"""Profiles and the texts a law asks for: those that ship with the tool, and the practice's own on top."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from estimator.files.reading import load_toml
from estimator.files.shipped import DATA
from estimator.inputs.payment.jurisdiction import Profile
from estimator.inputs.payment.jurisdiction_reader import read_profile
from estimator.inputs.payment.legal_texts import LegalText, read_legal_texts

PROFILE = "profile.toml"
USUAL = "generic"


@cache
def load_shipped_profiles() -> Mapping[str, Profile]:
    """The profiles that ship with the tool, by key."""
    paths = sorted((DATA / "profiles").glob("*.toml"))
    profiles = [read_profile(load_toml(path), file=path.name) for path in paths]
    return {profile.key: profile for profile in profiles}


def load_profile(folder: Path | None = None) -> Profile:
    """The practice's profile.toml on top of the shipped one it names; the generic one where it has none.

    Raises InputError with every problem of the file.
    """
    shipped = load_shipped_profiles()
    path = folder / PROFILE if folder else None
    if path is None or not path.exists():
        return shipped[USUAL]
    return read_profile(load_toml(path), file=path.name, known=shipped)


@cache
def load_disclaimers() -> tuple[LegalText, ...]:
    """What a self-pay estimate must say."""
    return read_legal_texts(load_toml(DATA / "disclaimers.toml"), file="disclaimers.toml")
