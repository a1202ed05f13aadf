"""The implants of a jaw between the plan on the screen and the case file: numbers as rows, rows as sites."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from estimator.inputs.case.model import Arch, list_teeth
from estimator.inputs.case.writer import Document
from estimator.ui.shell.markup import to_decimal, to_float


@dataclass(frozen=True, slots=True, kw_only=True)
class RowField:
    """A number of a site as its row asks for it: over the field, to a screen reader, and how it is written."""

    name: str
    label: str
    what: str
    example: str
    decimals: int = 2


FIRST = (
    RowField(name="restorative_space_mm", label="Space, mm", what="space, mm", example="11.5"),
    RowField(name="tissue_mm", label="Tissue, mm", what="tissue, mm", example="2.0"),
)
MORE = (
    RowField(name="platform_below_crest_mm", label="Depth, mm", what="depth, mm", example="0.5"),
    RowField(name="width_mm", label="Width, mm", what="width, mm", example="9.5"),
    RowField(name="angle_md_deg", label="Distal, °", what="lean to distal, °", example="4", decimals=0),
    RowField(name="angle_fl_deg", label="Facial, °", what="lean to facial, °", example="-3", decimals=0),
    RowField(name="position_mm", label="At, mm", what="at, mm from the midline", example="20 left", decimals=1),
    RowField(name="denture_thickness_mm", label="Denture, mm", what="present denture, mm", example="6.0"),
)  # fmt: skip
_POINT = ("x_mm", "y_mm")
_NUMBERS = (*(field.name for field in (*FIRST, *MORE)), *_POINT)


def list_plan_rows(sites: Sequence[Document], fields: Sequence[RowField]) -> list[dict[str, Any]]:
    """What the plan begins with: a row an implant with its numbers, null where nothing is known."""
    names = (*(field.name for field in fields), "position_mm", *_POINT)
    return [{"tooth": site.get("tooth"), **{name: to_float(site.get(name)) for name in names}} for site in sites]


def read_plan_rows(rows: Sequence[Mapping[str, Any]], *, known: Sequence[Document], arch: Arch) -> list[Document]:
    """The sites as the plan tells them; what a row does not speak of stays as it is known of that site."""
    before = [*known, *({} for _ in rows[len(known) :])]
    return [_read_row(row, site, arch) for row, site in zip(rows, before, strict=False)]


def _read_row(row: Mapping[str, Any], known: Document, arch: Arch) -> Document:
    tooth = row.get("tooth")
    site = {**known, "tooth": tooth if tooth in list_teeth(arch) else known.get("tooth", list_teeth(arch)[0])}
    for name in _NUMBERS:
        number = to_decimal(row[name]) if name in row else None
        if number is not None:
            site[name] = number
        elif name in row:
            site.pop(name, None)
    return site
