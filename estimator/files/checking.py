"""One file of any sort, told apart by what is in it, and all its problems."""

from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from typing import Any

from estimator.base.evidence import read_evidence
from estimator.base.problems import InputError, Problem
from estimator.base.sign_off import read_confirmations
from estimator.base.table import CsvTable
from estimator.files.languages import list_languages
from estimator.files.loading import (
    LOCALES,
    load_fees,
    load_options,
    load_shipped_evidence,
    load_usual_arches,
    parse_case,
    put_logo,
)
from estimator.files.practice.closed_days import find_unknown_country
from estimator.files.practice.fee_folder import find_version_in_force, list_versions
from estimator.files.practice.jurisdictions import PROFILE, load_shipped_profiles
from estimator.files.practice.own import CONFIRMED, EXPERIENCE, collect_figures
from estimator.files.practice.plans import load_plan
from estimator.files.reading import gather, load_table, load_toml
from estimator.inputs.fees.schedule import read_fees
from estimator.inputs.options.reader import read_option
from estimator.inputs.payment.jurisdiction_reader import read_profile
from estimator.inputs.plans.predetermination import read_plan_answer
from estimator.inputs.practice.experience import read_experience
from estimator.inputs.practice.settings import read_settings
from estimator.inputs.practice_bundle import find_missing_fees

_PLAN_FIELDS = {"in_network", "classes", "annual_maximum", "deductible", "member"}


def check_file(path: Path, *, today: date) -> tuple[Problem, ...]:
    """Every problem of a file of any sort: case, fees, option, settings, profile, plan, answer, figures or other."""
    problems: list[Problem] = []
    with gather(problems):
        _find_reader(path, today)()
    return tuple(problems)


def _find_reader(path: Path, today: date) -> Callable[[], object]:
    if path.suffix.lower() == ".csv":
        return _find_table_reader(path, today)
    if path.suffix.lower() != ".toml":
        raise InputError([Problem(file=path.name, code="file.sort", found=path.suffix or path.name)])
    return _find_document_reader(path, today)


def _find_document_reader(path: Path, today: date) -> Callable[[], object]:
    document = load_toml(path)
    if "answered_on" in document or "decision" in document:
        return lambda: read_plan_answer(document, file=path.name, today=today)
    if path.parent.name == "plans" or _PLAN_FIELDS & set(document):
        return lambda: _check_plan(path, today)
    if "stack" in document or "visits" in document:
        return lambda: read_option(document, file=path.name, evidence=load_shipped_evidence())
    if path.name == PROFILE or "based_on" in document or "titles" in document:
        return lambda: read_profile(document, file=path.name, known=load_shipped_profiles())
    if path.stem == "settings" or "practice" in document:
        return lambda: _check_settings(document, path)
    return lambda: _check_case(document, path.name, today)


def _check_case(document: Mapping[str, Any], file: str, today: date) -> None:
    """A case, and where it has two jaws, whether their rooms and ridge to ridge can all be."""
    case = parse_case(document, file, today=today)
    if len(case.jaws) > 1 and case.ridge_distances:
        from estimator.estimate.clearance.findings.shared_space import list_contradictions

        problems = list_contradictions(case, load_usual_arches(), load_shipped_evidence(), file=file)
        if problems:
            raise InputError(problems)


def _find_table_reader(path: Path, today: date) -> Callable[[], object]:
    """What confirmed figures and experience name may come from the options of the folder that the file lies in."""
    table, shipped = load_table(path), load_shipped_evidence()
    if "how_sure" in table.columns:
        return lambda: read_evidence(table, shipped.sources, known=shipped.figures)
    if path.name == CONFIRMED or "confirmed_by" in table.columns:
        known = collect_figures(shipped, load_options(path.parent, shipped, [])).figures
        return lambda: read_confirmations(table, known=known, today=today)
    if path.name == EXPERIENCE or "years_at_risk" in table.columns:
        options = load_options(path.parent, shipped, [])
        return lambda: read_experience(table, options, today=today)
    return lambda: _check_fees(table)


def _check_settings(document: Mapping[str, Any], path: Path) -> None:
    settings = read_settings(document, file=path.name, locales=LOCALES, languages=list_languages())
    problems = find_unknown_country(settings.calendar, file=path.name)
    with gather(problems):
        put_logo(settings, path)
    if problems:
        raise InputError(problems)


def _check_plan(path: Path, today: date) -> None:
    """A plan of a practice folder is also held against the fees of that folder."""
    folder = path.resolve().parent
    version = find_version_in_force(list_versions(folder.parent), today) if folder.name == "plans" else None
    load_plan(path, today=today, fees=load_fees(version.path) if version else None)


def _check_fees(table: CsvTable) -> None:
    """A fee schedule is also checked for the lines that the shipped options charge."""
    problems = find_missing_fees(load_options(None, load_shipped_evidence(), []), read_fees(table))
    if problems:
        raise InputError(problems)
