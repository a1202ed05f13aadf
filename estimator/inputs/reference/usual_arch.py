"""The usual arch of a jaw without teeth: where its crest runs, and where along it each tooth stood."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from estimator.base.evidence import HowSure
from estimator.base.problems import InputError, Problem
from estimator.base.table import CsvRow, CsvTable, check_columns, is_heading_sound, parse_plain_decimal
from estimator.inputs.case.model import Arch

COLUMNS = ("arch", "tooth", "along_mm", "half_width_mm", "depth_mm", "source", "how_sure", "note")
CANINE, FIRST_MOLAR = 3, 6


@dataclass(frozen=True, slots=True, kw_only=True)
class CrestPoint:
    """A point of the crest: from the midline, and behind the front of the crest. [mm]"""

    half_width_mm: Decimal
    depth_mm: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualArch:
    """The crest at canine and first molar, and how far along it each tooth stood, numbered from the midline. [mm]"""

    arch: Arch
    canine: CrestPoint
    molar: CrestPoint
    along_mm: Mapping[int, Decimal]
    source: str
    how_sure: HowSure
    notes: tuple[str, ...] = ()


def read_usual_arches(table: CsvTable, sources: Mapping[str, str]) -> Mapping[Arch, UsualArch]:
    """Both arches from a table with the columns of `COLUMNS`. Raises InputError with all problems."""
    problems = check_columns(table, COLUMNS, COLUMNS)
    if is_heading_sound(problems):
        for row in table.rows:
            _check_row(table, row, sources, problems)
        problems = problems or _find_missing(table)
    if problems:
        raise InputError(problems)
    return {arch: _make_arch(arch, [row for row in table.rows if row.cells["arch"] == arch]) for arch in Arch}


def _check_row(table: CsvTable, row: CsvRow, sources: Mapping[str, str], problems: list[Problem]) -> None:
    words = {"arch": tuple(Arch), "how_sure": tuple(HowSure), "source": tuple(sources), "tooth": tuple("12345678")}
    for column, known in words.items():
        if row.cells[column] not in known:
            problems.append(table.make_problem(row, column, "known", known=known))
    crest = ("half_width_mm", "depth_mm") if row.cells["tooth"] in (str(CANINE), str(FIRST_MOLAR)) else ()
    for column in ("along_mm", *crest):
        if (parse_plain_decimal(row.cells[column]) or 0) <= 0:
            problems.append(table.make_problem(row, column, "figures.number"))


def _find_missing(table: CsvTable) -> list[Problem]:
    """A problem for each arch without its crest."""
    told = {(row.cells["arch"], row.cells["tooth"]) for row in table.rows}
    return [
        Problem(file=table.file, column="tooth", code="known", found=arch, expected={"known": ("3", "6")})
        for arch in Arch
        if not {(arch, str(CANINE)), (arch, str(FIRST_MOLAR))} <= told
    ]


def _make_arch(arch: Arch, rows: list[CsvRow]) -> UsualArch:
    by_tooth = {int(row.cells["tooth"]): row.cells for row in rows}
    canine, molar = (
        CrestPoint(half_width_mm=Decimal(cells["half_width_mm"]), depth_mm=Decimal(cells["depth_mm"]))
        for cells in (by_tooth[CANINE], by_tooth[FIRST_MOLAR])
    )
    return UsualArch(
        arch=arch,
        canine=canine,
        molar=molar,
        along_mm={tooth: Decimal(cells["along_mm"]) for tooth, cells in by_tooth.items()},
        source=by_tooth[CANINE]["source"],
        how_sure=HowSure(by_tooth[CANINE]["how_sure"]),
        notes=tuple(cells["note"] for cells in by_tooth.values() if cells["note"]),
    )
