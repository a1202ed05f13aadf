"""Shipped data, cases and practice folders: what an estimate is made from, read from disk."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from estimator.base.evidence import Evidence, read_evidence
from estimator.base.problems import InputError, Problem
from estimator.files.languages import list_languages
from estimator.files.practice.closed_days import find_unknown_country
from estimator.files.practice.fee_folder import find_version_in_force, list_versions
from estimator.files.practice.jurisdictions import load_profile
from estimator.files.practice.own import load_own_data
from estimator.files.reading import gather, load_table, load_toml
from estimator.files.shipped import DATA, find_demo_fees
from estimator.inputs.case.model import Arch, Case
from estimator.inputs.fees.schedule import FeeSchedule, read_fees
from estimator.inputs.options.model import Option
from estimator.inputs.options.reader import read_option
from estimator.inputs.options.variants import Variant, read_variants
from estimator.inputs.practice.experience import Observation
from estimator.inputs.practice.guarantees import find_unknown_terms
from estimator.inputs.practice.settings import Settings, read_settings
from estimator.inputs.practice_bundle import Practice, find_missing_fees, find_unusable_figures
from estimator.inputs.reference.cautions import CautionText, read_cautions
from estimator.inputs.reference.decision_aid import AidItem, read_decision_aid
from estimator.inputs.reference.layers import LayerKey, LayerText, read_layers
from estimator.inputs.reference.published_minima import Minimum, read_minima
from estimator.inputs.reference.risk_frames import ChanceFrame, read_chances
from estimator.inputs.reference.usual_arch import UsualArch, read_usual_arches
from estimator.proposal.document import read_proposal
from estimator.proposal.model import Proposal

LOCALES = ("en_US", "en_GB", "en_CA", "en_AU")


def load_fees(path: Path) -> FeeSchedule:
    """A fee schedule from disk."""
    return read_fees(load_table(path))


@cache
def load_shipped_evidence() -> Evidence:
    """The published figures and assumptions that ship with the tool."""
    return read_evidence(load_table(DATA / "evidence.csv"), load_toml(DATA / "sources.toml")["sources"])


@cache
def load_payment_ways() -> dict[str, str]:
    """What ways to pay are called where a practice names none of its own, by kind."""
    ways: dict[str, str] = load_toml(DATA / "payment_words.toml")["payment_way"]
    return ways


@cache
def load_cautions() -> Mapping[str, CautionText]:
    """The cautions that ship with the tool."""
    return read_cautions(load_toml(DATA / "cautions.toml"), file="cautions.toml")


@cache
def load_ways() -> Mapping[str, CautionText]:
    """What could make room, as it ships with the tool."""
    return read_cautions(load_toml(DATA / "making_room.toml"), file="making_room.toml", tables="ways")


@cache
def load_layers() -> Mapping[LayerKey, LayerText]:
    """What the check asks, as it ships with the tool."""
    return read_layers(load_toml(DATA / "layers.toml"), file="layers.toml")


@cache
def load_variants() -> Mapping[str, Variant]:
    """What a case may ask for beside an option, as it ships with the tool."""
    return read_variants(load_toml(DATA / "variants.toml"), file="variants.toml")


@cache
def load_chances() -> tuple[ChanceFrame, ...]:
    """The chances that patients are shown, as they ship with the tool."""
    return read_chances(load_toml(DATA / "chances.toml"), file="chances.toml")


@cache
def load_decision_aid() -> tuple[AidItem, ...]:
    """The minimum standards for decision aids, and how the option sheet meets them."""
    return read_decision_aid(load_toml(DATA / "decision_aid.toml"), file="decision_aid.toml")


@cache
def load_minima() -> tuple[Minimum, ...]:
    """The published minimum heights that ship with the tool."""
    return read_minima(load_table(DATA / "minima.csv"), load_shipped_evidence().sources)


@cache
def load_usual_arches() -> Mapping[Arch, UsualArch]:
    """The usual arch of either jaw, as it ships with the tool."""
    return read_usual_arches(load_table(DATA / "arches.csv"), load_shipped_evidence().sources)


def load_case(path: Path, *, today: date) -> Case:
    """A case from disk."""
    return parse_case(load_toml(path), path.name, today=today)


def parse_case(document: Mapping[str, Any], file: str, *, today: date) -> Case:
    """The case of a document, by what ships with the tool. Raises InputError with all its problems."""
    return parse_proposal(document, file, today=today).case


def load_proposal(path: Path, *, today: date, fees: FeeSchedule | None = None) -> Proposal:
    """A case from disk with what its file offers; without a table `proposal` nothing is chosen."""
    return parse_proposal(load_toml(path), path.name, today=today, fees=fees)


def parse_proposal(document: Mapping[str, Any], file: str, *, today: date, fees: FeeSchedule | None = None) -> Proposal:
    """A proposal from a document, by what ships with the tool. Raises InputError with all problems."""
    health = [key for key, text in load_cautions().items() if text.health]
    return read_proposal(
        document,
        file=file,
        today=today,
        health_flags=health,
        variants=load_variants(),
        languages=list_languages(),
        fees=fees,
    )


def find_plans(folder: Path) -> tuple[Path, ...]:
    """The benefit plan files of a practice folder, in the order of their names."""
    return tuple(sorted((folder / "plans").glob("*.toml")))


def load_practice(folder: Path | None = None, *, fees: Path | None = None, today: date | None = None) -> Practice:
    """Shipped data, then what the practice folder and the fee schedule put in its place.

    Days in its files are not after `today`, by default the day on this machine. Raises InputError with the problems of
    all files together.
    """
    problems: list[Problem] = []
    today = today or date.today()  # noqa: DTZ011 - sign-offs are dated in local days
    if folder is not None and not folder.is_dir():
        raise InputError([Problem(file=str(folder), code="file.no_folder")])
    settings = Settings()
    with gather(problems):
        settings = _load_settings(folder)
    problems += find_unknown_country(settings.calendar, file="settings.toml")
    evidence, options, experience = _load_figures(folder, settings, problems, today)
    problems += find_unknown_terms(settings.terms, [option.key for option in options], file="settings.toml")
    schedule = None
    with gather(problems):
        schedule = load_fees(fees or find_own_fees(folder, today) or find_demo_fees())
    profile = None
    with gather(problems):
        profile = load_profile(folder)
    if schedule is not None and not problems:
        problems += find_missing_fees(options, schedule)
    if problems or schedule is None or profile is None:
        raise InputError(problems)
    return Practice(
        settings=settings,
        fees=replace(schedule, tax=profile.find_fee_tax() or settings.tax),
        options=options,
        evidence=evidence,
        cautions=load_cautions(), ways=load_ways(), layers=load_layers(), minima=load_minima(),
        usual_arches=load_usual_arches(), variants=load_variants(), profile=profile, experience=experience,
        chances=load_chances(),
        decision_aid=load_decision_aid(),
    )  # fmt: skip


def _load_figures(
    folder: Path | None, settings: Settings, problems: list[Problem], today: date
) -> tuple[Evidence, tuple[Option, ...], tuple[Observation, ...]]:
    """Figures and options, shipped and the practice's own, and its log of experience."""
    evidence = load_shipped_evidence()
    with gather(problems):
        evidence = _put_healing(settings, _load_own_figures(folder, evidence))
    broken = len(problems)
    options = load_options(folder, evidence, problems)
    experience: tuple[Observation, ...] = ()
    if len(problems) == broken:  # without its options, a log would be blamed for what it names
        evidence, options, experience = load_own_data(folder, evidence, options, problems, today=today)
    problems += find_unusable_figures(options, evidence)
    return evidence, options, experience


def _load_settings(folder: Path | None) -> Settings:
    path = folder / "settings.toml" if folder else None
    if path is None or not path.exists():
        return Settings()
    return put_logo(read_settings(load_toml(path), file=path.name, locales=LOCALES, languages=list_languages()), path)


def put_logo(settings: Settings, path: Path) -> Settings:
    """Settings with the logo they name, which lies in the folder of their file."""
    if not settings.logo_file:
        return settings
    from estimator.files.practice.logo import load_logo  # most practices have none, and need not wait for it

    return replace(settings, logo=load_logo(path.parent / settings.logo_file))


def _load_own_figures(folder: Path | None, shipped: Evidence) -> Evidence:
    path = folder / "figures.csv" if folder else None
    if path is None or not path.exists():
        return shipped
    return shipped.override(read_evidence(load_table(path), shipped.sources, known=shipped.figures))


def _put_healing(settings: Settings, evidence: Evidence) -> Evidence:
    """The practice's own healing times in place of the shipped ones, within the window of the literature or outside."""
    own = {}
    for arch, weeks in settings.calendar.healing_weeks.items():
        figure = evidence.get(f"healing_{arch}")
        own[figure.key] = replace(figure, low=min(figure.low, weeks), value=weeks, high=max(figure.high, weeks))
    return evidence.override(Evidence(figures=own)) if own else evidence


def load_options(folder: Path | None, evidence: Evidence, problems: list[Problem]) -> tuple[Option, ...]:
    """Shipped options in the order of their file names, then the practice's own; the same key replaces one."""
    shipped = evidence is load_shipped_evidence()
    options = {option.key: option for option in load_shipped_options()} if shipped else {}
    paths = [] if shipped else _list_option_files(DATA)
    for path in paths + (_list_option_files(folder) if folder else []):
        with gather(problems):
            option = read_option(load_toml(path), file=path.name, evidence=evidence)
            options[option.key] = option
    return tuple(options.values())


@cache
def load_shipped_options() -> tuple[Option, ...]:
    """The options that ship with the tool, with the figures that do: those of every practice without its own."""
    evidence = load_shipped_evidence()
    return tuple(read_option(load_toml(path), file=path.name, evidence=evidence) for path in _list_option_files(DATA))


def _list_option_files(folder: Path) -> list[Path]:
    return sorted((folder / "options").glob("*.toml"))


def find_own_fees(folder: Path | None, today: date) -> Path | None:
    """The fee schedule of a practice folder that is in force on that day; None where it has none of its own."""
    version = find_version_in_force(list_versions(folder), today)
    return version.path if version else None


def load_demo(*, today: date) -> tuple[Case, Practice]:
    """The demo case and the demo practice: invented, and marked so."""
    return load_case(DATA / "demo" / "case.toml", today=today), load_practice(
        DATA / "demo", fees=find_demo_fees(), today=today
    )
