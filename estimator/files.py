"""Disk: bytes become rows and documents with their places; shipped data and practice folders become a Practice."""

import csv
import io
import tomllib
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from estimator.base.evidence import Evidence, read_evidence
from estimator.base.problems import InputError, Problem, show_found
from estimator.base.table import Row, Table
from estimator.inputs.case import Case
from estimator.inputs.case_file import read_case
from estimator.inputs.cautions import CautionText, read_cautions
from estimator.inputs.fees import FeeSchedule, read_fees
from estimator.inputs.option_file import read_option
from estimator.inputs.options import Option
from estimator.inputs.practice import Practice, find_missing_fees, find_unusable_figures
from estimator.inputs.settings import Settings, read_settings
from estimator.inputs.wording import Wording, read_wording

DATA = Path(__file__).resolve().parent / "data"
LOCALES = ("en_US", "en_GB", "en_CA", "en_AU")
_LARGEST_BYTES = 5_000_000
_CONTROL = frozenset(range(32)) - {9, 10, 13}


def find_demo_fees() -> Path:
    """The demo fee schedule: in the package of an installed wheel, at the top of a checkout."""
    packaged = DATA / "demo" / "demo_fees.csv"
    return packaged if packaged.exists() else DATA.parents[1] / "demo_fees.csv"


@contextmanager
def _gather(problems: list[Problem]) -> Iterator[None]:
    """Collect the problems of one file and go on to the next."""
    try:
        yield
    except InputError as error:
        problems.extend(error.problems)


def read_text(path: Path) -> str:
    """A text file in UTF-8, with or without byte-order mark. Raises InputError if it is not one."""
    try:
        size = path.stat().st_size
        data = path.read_bytes() if size <= _LARGEST_BYTES else b""
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise InputError(
            [Problem(file=path.name, place="", found=reason.lower(), expected="a file that can be read")]
        ) from None
    if size > _LARGEST_BYTES:
        raise InputError([Problem(file=path.name, place="", found=f"{size} bytes", expected="a file of at most 5 MB")])
    return decode_text(data, path.name)


def decode_text(data: bytes, file: str) -> str:
    """Bytes as text, refused where they are empty, binary, or in another encoding than UTF-8."""
    if not data.strip():
        raise InputError([Problem(file=file, place="", found="an empty file", expected="a file with something in it")])
    if any(byte in _CONTROL for byte in data[:10_000]):
        raise InputError([Problem(file=file, place="", found="a binary file", expected="a text file in UTF-8")])
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        found = f"a byte that is not UTF-8 (0x{data[error.start]:02x})"
        expected = 'text in UTF-8: in a spreadsheet, choose "CSV UTF-8" when saving'
        raise InputError([Problem(file=file, place=f"line {line}", found=found, expected=expected)]) from None


def parse_toml(text: str, file: str) -> dict[str, Any]:
    """A TOML document with its numbers as Decimal."""
    try:
        return tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        raise InputError([Problem(file=file, place="", found=str(error), expected="a TOML file")]) from None


def parse_csv(text: str, file: str) -> Table:
    """A CSV with a heading row; semicolons mean decimal commas. Blank rows are skipped, ragged rows are problems."""
    heading = text.split("\n", 1)[0]
    semicolons = heading.count(";") > heading.count(",")
    problems: list[Problem] = []
    try:
        lines = list(csv.reader(io.StringIO(text, newline=""), delimiter=";" if semicolons else ",", strict=True))
    except csv.Error as error:
        place, expected = "", "a CSV file in which each opened quote is closed"
        raise InputError([Problem(file=file, place=place, found=str(error), expected=expected)]) from None
    columns = tuple(cell.strip() for cell in lines[0])
    while columns and not columns[-1]:
        columns = columns[:-1]
    rows = []
    for number, cells in enumerate(lines[1:], 2):
        cells = [cell.strip() for cell in cells]
        if not any(cells):
            continue
        if len(cells) < len(columns) or any(cells[len(columns) :]):
            found, expected = (
                f"{len(cells)} cells",
                f"{len(columns)} cells, as in row 1 (a cell with a comma in it needs quotes)",
            )
            problems.append(Problem(file=file, place=f"row {number}", found=found, expected=expected))
            continue
        rows.append(Row(number=number, cells=dict(zip(columns, cells, strict=False))))
    return Table(file=file, columns=columns, rows=tuple(rows), decimal_comma=semicolons, problems=tuple(problems))


def load_table(path: Path) -> Table:
    """A CSV file from disk."""
    return parse_csv(read_text(path), path.name)


def load_toml(path: Path) -> dict[str, Any]:
    """A TOML file from disk."""
    return parse_toml(read_text(path), path.name)


def load_fees(path: Path) -> FeeSchedule:
    """A fee schedule from disk."""
    return read_fees(load_table(path))


@cache
def load_shipped_evidence() -> Evidence:
    """The published figures and assumptions that ship with the tool."""
    return read_evidence(load_table(DATA / "evidence.csv"), load_toml(DATA / "sources.toml")["sources"])


@cache
def load_cautions() -> Mapping[str, CautionText]:
    """The cautions that ship with the tool."""
    return read_cautions(load_toml(DATA / "cautions.toml"), file="cautions.toml")


@cache
def load_wording(language: str = "en") -> Wording:
    """The words of every sheet and picture in one language."""
    folder = DATA / "wording" / language
    return read_wording({path.stem: load_toml(path) for path in sorted(folder.glob("*.toml"))}, language=language)


def load_case(path: Path, *, today: date) -> Case:
    """A case from disk."""
    health = [key for key, text in load_cautions().items() if text.health]
    return read_case(load_toml(path), file=path.name, today=today, health_flags=health)


def load_practice(folder: Path | None = None, *, fees: Path | None = None) -> Practice:
    """Shipped data, then what the practice folder and the fee schedule put in its place.

    Raises InputError with the problems of all files together.
    """
    problems: list[Problem] = []
    if folder is not None and not folder.is_dir():
        raise InputError([Problem(file=str(folder), place="", found="no such folder", expected="a practice folder")])
    settings, evidence = Settings(), load_shipped_evidence()
    with _gather(problems):
        settings = _load_settings(folder)
    with _gather(problems):
        evidence = _load_own_figures(folder, evidence)
    options = _load_options(folder, evidence, problems)
    problems += find_unusable_figures(options)
    schedule = None
    with _gather(problems):
        schedule = load_fees(fees or _find_newest_fees(folder) or find_demo_fees())
    if schedule is not None and not problems:
        problems += find_missing_fees(options, schedule)
    if problems or schedule is None:
        raise InputError(problems)
    return Practice(settings=settings, fees=schedule, options=options, evidence=evidence, cautions=load_cautions())


def _load_settings(folder: Path | None) -> Settings:
    path = folder / "settings.toml" if folder else None
    if path is None or not path.exists():
        return Settings()
    return read_settings(load_toml(path), file=path.name, locales=LOCALES)


def _load_own_figures(folder: Path | None, shipped: Evidence) -> Evidence:
    path = folder / "figures.csv" if folder else None
    if path is None or not path.exists():
        return shipped
    return shipped.override(read_evidence(load_table(path), shipped.sources, known=shipped.figures))


def _load_options(folder: Path | None, evidence: Evidence, problems: list[Problem]) -> tuple[Option, ...]:
    """Shipped options in the order of their file names, then the practice's own; the same key replaces one."""
    options: dict[str, Option] = {}
    paths = sorted((DATA / "options").glob("*.toml"))
    if folder and (folder / "options").is_dir():
        paths += sorted((folder / "options").glob("*.toml"))
    for path in paths:
        with _gather(problems):
            option = read_option(load_toml(path), file=path.name, evidence=evidence)
            options[option.key] = option
    return tuple(options.values())


def _find_newest_fees(folder: Path | None) -> Path | None:
    """The fee schedule in a practice folder whose name sorts last, such as fees_2027.csv after fees_2026.csv."""
    found = sorted((folder / "fees").glob("*.csv")) if folder and (folder / "fees").is_dir() else []
    return found[-1] if found else None


def check_file(path: Path, *, today: date) -> tuple[Problem, ...]:
    """Every problem of a case, a fee schedule, an option, settings or figures file, told apart by content."""
    problems: list[Problem] = []
    with _gather(problems):
        _find_reader(path, today)()
    return tuple(problems)


def _find_reader(path: Path, today: date) -> Callable[[], object]:
    if path.suffix.lower() == ".csv":
        table = load_table(path)
        if "how_sure" in table.columns:
            shipped = load_shipped_evidence()
            return lambda: read_evidence(table, shipped.sources, known=shipped.figures)
        return lambda: _check_fees(table)
    if path.suffix.lower() != ".toml":
        found, expected = (
            show_found(path.suffix or path.name),
            "a .toml case, option or settings file, or a .csv fee schedule",
        )
        raise InputError([Problem(file=path.name, place="", found=found, expected=expected)])
    document = load_toml(path)
    if "stack" in document or "visits" in document:
        return lambda: read_option(document, file=path.name, evidence=load_shipped_evidence())
    if path.stem == "settings" or "practice" in document:
        return lambda: read_settings(document, file=path.name, locales=LOCALES)
    health = [key for key, text in load_cautions().items() if text.health]
    return lambda: read_case(document, file=path.name, today=today, health_flags=health)


def _check_fees(table: Table) -> None:
    """A fee schedule is also checked for the lines that the shipped options charge."""
    problems = find_missing_fees(_load_options(None, load_shipped_evidence(), []), read_fees(table))
    if problems:
        raise InputError(problems)


def write_demo(folder: Path) -> tuple[Path, ...]:
    """Copy the demo case, its fees and a practice folder to edit; nothing that exists is overwritten."""
    demo = DATA / "demo"
    copies = {
        folder / "case.toml": demo / "case.toml",
        folder / "practice" / "settings.toml": demo / "settings.toml",
        folder / "practice" / "fees" / "demo_fees.csv": find_demo_fees(),
    }
    standing = [path for path in copies if path.exists()]
    if standing:
        expected = "an empty place; move or rename what is there"
        raise InputError(
            [Problem(file=str(p), place="", found="a file that exists already", expected=expected) for p in standing]
        )
    for target, source in copies.items():
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(source.read_bytes())
    for name in ("options", "wording"):
        (folder / "practice" / name).mkdir(exist_ok=True)
    return tuple(copies)


def load_demo(*, today: date) -> tuple[Case, Practice]:
    """The demo case and the demo practice: invented, and marked so."""
    return load_case(DATA / "demo" / "case.toml", today=today), load_practice(DATA / "demo", fees=find_demo_fees())
