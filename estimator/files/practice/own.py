"""What a practice says of its own in its folder: figures it has confirmed, and how often something needed doing."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from pathlib import Path

from estimator.base.evidence import Evidence, Figure
from estimator.base.problems import Problem
from estimator.base.sign_off import read_confirmations
from estimator.files.reading import gather, load_table
from estimator.inputs.options.model import Option
from estimator.inputs.practice.experience import Observation, add_own_counts, read_experience

CONFIRMED = "confirmed.csv"
EXPERIENCE = "experience.csv"
Options = tuple[Option, ...]


def load_own_data(
    folder: Path | None, evidence: Evidence, options: Options, problems: list[Problem], *, today: date
) -> tuple[Evidence, Options, tuple[Observation, ...]]:
    """Evidence and options with the confirmations and the experience of a practice folder in place, and its log."""
    evidence = collect_figures(evidence, options)
    observations: tuple[Observation, ...] = ()
    with gather(problems):
        evidence = load_confirmations(folder, evidence, today=today)
    with gather(problems):
        observations = load_experience(folder, options, today=today)
    signed = (option.change_figures(lambda figure: _sign(figure, evidence)) for option in options)
    return evidence, add_own_counts(signed, observations), observations


def collect_figures(evidence: Evidence, options: Iterable[Option]) -> Evidence:
    """All figures in use: those of the table, and those that option files bring along."""
    return evidence.include(figure for option in options for figure in option.list_figures())


def _sign(figure: Figure, evidence: Evidence) -> Figure:
    return replace(figure, confirmation=evidence.get(figure.key).confirmation)


def load_confirmations(folder: Path | None, evidence: Evidence, *, today: date) -> Evidence:
    """The evidence with what is on file of each figure's confirmation."""
    path = find_own_file(folder, CONFIRMED)
    if path is None:
        return evidence
    return evidence.confirm(read_confirmations(load_table(path), known=evidence.figures, today=today))


def load_experience(folder: Path | None, options: Iterable[Option], *, today: date) -> tuple[Observation, ...]:
    """The log of a practice folder; empty where there is none."""
    path = find_own_file(folder, EXPERIENCE)
    return read_experience(load_table(path), options, today=today) if path is not None else ()


def find_own_file(folder: Path | None, name: str) -> Path | None:
    """A file of a practice folder, if it is there."""
    path = folder / name if folder else None
    return path if path is not None and path.exists() else None
