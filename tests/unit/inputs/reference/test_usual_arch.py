"""The usual arches as a table: every bad row is named, nothing is half-read."""

from decimal import Decimal

import pytest

from estimator.base.problems import InputError
from estimator.base.table import CsvRow, CsvTable
from estimator.inputs.case.model import Arch
from estimator.inputs.reference.usual_arch import COLUMNS, UsualArch, read_usual_arches
from tests.problem_builders import list_places

GOOD: list[tuple[str, ...]] = [
    (str(arch), tooth, along, width, depth, "book", "memory", "")
    for arch in Arch
    for tooth, along, width, depth in (("3", "14", "13", "5"), ("4", "20", "", ""), ("6", "38", "25", "24"))
]


def read(rows: list[tuple[str, ...]]) -> dict[Arch, UsualArch]:
    cells = [CsvRow(number=n + 2, cells=dict(zip(COLUMNS, row, strict=True))) for n, row in enumerate(rows)]
    return dict(read_usual_arches(CsvTable(file="arches.csv", columns=COLUMNS, rows=tuple(cells)), {"book": "A book"}))


def test_whole_rows_are_read() -> None:
    usual = read(GOOD)[Arch.MAXILLA]
    assert (usual.canine.half_width_mm, usual.molar.depth_mm, usual.along_mm[4]) == (
        Decimal(13),
        Decimal(24),
        Decimal(20),
    )


@pytest.mark.parametrize(("column", "found"), [
    ("arch", "lower"), ("tooth", "9"), ("how_sure", "sure"), ("source", "hearsay"), ("along_mm", "-1"), ("along_mm", ""),
    ("half_width_mm", "wide"), ("depth_mm", ""),
])  # fmt: skip
def test_a_bad_cell_is_named(column: str, found: str) -> None:
    bad = tuple(found if name == column else cell for name, cell in zip(COLUMNS, GOOD[0], strict=True))
    with pytest.raises(InputError) as raised:
        read([bad, *GOOD[1:]])
    assert list_places(raised.value.problems) == [f'row 2, column "{column}"']


def test_an_arch_without_its_molar_is_named() -> None:
    with pytest.raises(InputError) as raised:
        read(GOOD[:5])
    assert [problem.found for problem in raised.value.problems] == ["maxilla"]
