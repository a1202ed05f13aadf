"""A TOML document becomes a Case, or the whole list of its problems."""

import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Any, Protocol

from estimator.base.fields import Fields
from estimator.base.problems import InputError, Problem
from estimator.inputs.case.model import (
    ADULT_YEARS,
    BAR_EXTENSIONS,
    GRAFT,
    MOST_IMPLANTS,
    Arch,
    ArchForm,
    BarCarries,
    BarForm,
    Case,
    DenturePlan,
    Earlier,
    Jaw,
    Landmark,
    Measurement,
    Method,
    Opposing,
    Patient,
    Placement,
    PresentDenture,
    Retention,
    Site,
    count_years,
    find_repeated,
    is_left,
    list_landmarks,
    list_teeth,
)

_REFERENCE = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,39}")
_OLDEST_YEARS = 120
_MOST_ATTACHMENTS = 6


_POINTS = {
    "canine_half_width_mm": "13.0", "canine_depth_mm": "5.0", "molar_half_width_mm": "25.0", "molar_depth_mm": "25.0",
}  # fmt: skip


class VariantLimits(Protocol):
    """What a reader of cases has to know of a variant: what it cannot go with."""

    @property
    def needs_extractions(self) -> bool:
        """Whether it only makes sense where teeth are taken out."""

    @property
    def excludes(self) -> tuple[str, ...]:
        """Keys of the variants that a case cannot ask for beside it."""


def read_case(
    document: Mapping[str, Any],
    *,
    file: str,
    today: date,
    health_flags: Iterable[str],
    variants: Mapping[str, VariantLimits] | None = None,
    languages: tuple[str, ...] = ("en",),
) -> Case:
    """A case from a parsed TOML document (numbers with a point as Decimal); `languages` are those there are sheets in.

    Raises InputError with every problem of the document.
    """
    problems: list[Problem] = []
    fields = Fields(document, file=file, problems=problems)
    case = Case(
        reference=_read_reference(fields),
        health=fields.read_texts("health", health_flags),
        patient=_read_patient(fields, today, languages),
        ridge_to_ridge_mm=_read_ridges(fields),
        jaws=_read_jaws(fields, today, variants or {}),
    )
    fields.refuse_others()
    if problems:
        raise InputError(problems)
    return case


def _read_ridges(fields: Fields) -> Decimal | None:
    return fields.read_length("ridge_to_ridge_mm", 0, 60, example="22.0")


def _read_reference(fields: Fields) -> str:
    value = fields.get_raw("reference")
    if isinstance(value, str) and _REFERENCE.fullmatch(value):
        return value
    fields.add_problem("reference", "case.reference")
    return ""


def _read_patient(fields: Fields, today: date, languages: tuple[str, ...]) -> Patient:
    patient = fields.read_table("patient")
    if patient is None:
        return Patient()
    name = patient.read_line("name", code="case.name")
    born = patient.read_date("born")
    if born is not None:
        years = count_years(born, today)
        if born > today or years > _OLDEST_YEARS:
            patient.add_problem("born", "case.born", most=_OLDEST_YEARS)
        elif years < ADULT_YEARS:
            patient.add_problem("born", "case.adult", least=ADULT_YEARS)
    language = patient.read_line("language", code="case.language")
    if language and language not in languages:
        patient.add_problem("language", "known", known=languages)
    large_print = patient.read_flag("large_print", default=False)
    patient.refuse_others()
    return Patient(name=name, born=born, language=language, large_print=large_print)


def _read_jaws(fields: Fields, today: date, variants: Mapping[str, VariantLimits]) -> tuple[Jaw, ...]:
    tables = fields.read_tables("jaws")
    if "jaws" in fields and not isinstance(fields.table["jaws"], list):
        return ()
    if not 1 <= len(tables) <= 2:
        fields.add_problem("jaws", "case.jaws", found=len(tables))
    jaws = tuple(_read_jaw(table, today, variants) for table in tables)
    for arch in find_repeated(jaw.arch for jaw in jaws):
        fields.add_problem("jaws", "case.arch_twice", found=arch)
    _check_opposing(tables, jaws)
    return jaws


def _check_opposing(tables: Sequence[Fields], jaws: Sequence[Jaw]) -> None:
    """Where both jaws are without teeth, what stands in the other one is a denture."""
    if len(jaws) != 2 or jaws[0].arch is jaws[1].arch:
        return
    for table, jaw, other in zip(tables, jaws, reversed(tables), strict=True):
        if jaw.opposing is not Opposing.DENTURE:
            table.get_raw("opposing")
            table.add_problem("opposing", "case.opposing_both", found=jaw.opposing, other=other.locate("opposing"))


def _read_jaw(fields: Fields, today: date, variants: Mapping[str, VariantLimits]) -> Jaw:
    arch = fields.read_choice("arch", Arch)
    implants = fields.read_whole("implants", 0, MOST_IMPLANTS)
    present = fields.read_flag("implants_present", default=False)
    measurement = _read_measurement(fields, implants_present=present)
    jaw = Jaw(
        arch=arch,
        implants=implants,
        opposing=fields.read_choice("opposing", Opposing, default=Opposing.DENTURE),
        implants_present=present,
        **_read_bar(fields),
        denture=fields.read_choice("denture", DenturePlan, default=DenturePlan.NEW),
        placement=fields.read_choice("placement", Placement, default=Placement.GUIDED),
        extractions=fields.read_whole("extractions", 0, 16, default=0),
        variants=fields.read_texts("variants", [key for key in variants if key != GRAFT]),
        graft_sites=fields.read_whole("graft_sites", 0, MOST_IMPLANTS, default=0),
        retention=fields.read_choice("retention", Retention, default=Retention.LIGHT),
        ridge_to_ridge_mm=_read_ridges(fields),
        abutment_heights_mm=fields.read_lengths("abutment_heights_mm", 0, 15, example="[1, 2, 3, 4, 5, 6]"),
        present_denture=_read_present_denture(fields),
        arch_form=_read_arch_form(fields),
        measurement=measurement,
        sites=_read_sites(fields, arch, implants),
        earlier=_read_earlier(fields, arch, implants, today),
    )
    if jaw.extractions and jaw.denture is DenturePlan.CONVERT:
        fields.add_problem("extractions", "case.teeth_left")
    _check_variants(fields, jaw, variants)
    if jaw.measurement is None and any(s.restorative_space_mm is not None for s in jaw.sites):
        fields.add_problem("measurement", "case.measurement")
    fields.refuse_others()
    return jaw


def _read_bar(fields: Fields) -> dict[str, Any]:
    """What is said of a bar; how many attachments it has stays open where nobody said so."""
    said, form = "attachments_on_bar" in fields, "bar_form" in fields
    return {
        "attachments_on_bar": fields.read_whole("attachments_on_bar", 0, _MOST_ATTACHMENTS) if said else None,
        "bar_carries": fields.read_choice("bar_carries", BarCarries, default=BarCarries.CLIP),
        "bar_form": fields.read_choice("bar_form", BarForm) if form else None,
        "few_implants_accepted": fields.read_flag("few_implants_accepted", default=False),
        **{name: _read_extension(fields, name) for name in BAR_EXTENSIONS},
    }


def _read_extension(fields: Fields, name: str) -> Decimal:
    return fields.read_length(name, 0, 20, example="9.0") or Decimal(0)


def _read_arch_form(fields: Fields) -> ArchForm:
    """A width alone, or the points of canine and first molar, which say nothing one by one."""
    table = fields.read_table("arch_form")
    if table is None:
        return ArchForm()
    points = {name: table.read_length(name, 0, 60, example=example) for name, example in _POINTS.items()}
    missing = [name for name, length in points.items() if length is None and name not in table]
    if 0 < len(missing) < len(points):
        table.add_problem(missing[0], "case.arch_points")
    form = ArchForm(width_mm=table.read_length("width_mm", 20, 90, example="50.0"), **points)
    table.refuse_others()
    return form


def _check_variants(fields: Fields, jaw: Jaw, variants: Mapping[str, VariantLimits]) -> None:
    for key in jaw.variants:
        if variants[key].needs_extractions and not jaw.extractions:
            fields.add_problem("extractions", "case.no_teeth", found=0, variant=key)
        for other in variants[key].excludes:
            if other in jaw.variants:
                fields.add_problem("variants", "case.variants", found=key, other=other)


def _read_present_denture(fields: Fields) -> PresentDenture:
    table = fields.read_table("present_denture")
    if table is None:
        return PresentDenture()
    denture = PresentDenture(
        base_stable=table.read_maybe("base_stable"),
        tall_attachments=table.read_maybe("tall_attachments"),
        thickness_mm=table.read_length("thickness_mm", 0, 40, example="6.0"),
        age_years=table.read_decimal("age_years", 0, 80, code="number.age", example="7"),
    )
    table.refuse_others()
    return denture


def _read_earlier(fields: Fields, arch: Arch, implants: int, today: date) -> Earlier | None:
    """An earlier measurement of the same jaw, whole or not at all."""
    table = fields.read_table("earlier")
    if table is None:
        return None
    before = len(table.problems)
    measured_on = table.read_date("measured_on")
    if measured_on is None or measured_on > today:
        table.add_problem("measured_on", "case.measured_on")
    present = table.read_flag("implants_present", default=False)
    measurement = _read_measurement(table, implants_present=present)
    if measurement is None and "measurement" not in table:
        table.add_problem("measurement", "case.measured_how", table=table.locate("measurement"))
    sites = _read_sites(table, arch, implants)
    table.refuse_others()
    if len(table.problems) > before or measured_on is None or measurement is None:
        return None
    return Earlier(measured_on=measured_on, implants_present=present, measurement=measurement, sites=sites)


def _read_measurement(fields: Fields, *, implants_present: bool) -> Measurement | None:
    table = fields.read_table("measurement")
    if table is None:
        return None
    before = len(table.problems)
    if "panoramic" in str(table.table.get("method", "")):
        table.get_raw("method")
        table.add_problem("method", "case.method", known=tuple(Method))
        method = Method.MOUNTED_CASTS
    else:
        method = table.read_choice("method", Method)
    landmark = table.read_choice("landmark", Landmark)
    if len(table.problems) == before:
        _check_landmark(table, method, landmark, implants_present=implants_present)
    measurement = Measurement(
        method=method,
        landmark=landmark,
        set_up_accepted=table.read_flag("set_up_accepted", default=False),
        error_mm=table.read_length("error_mm", 0, 5, example="0.5"),
        to_incisal_edge=table.read_flag("to_incisal_edge", default=False),
    )
    table.refuse_others()
    return measurement


def _check_landmark(table: Fields, method: Method, landmark: Landmark, *, implants_present: bool) -> None:
    shown = list_landmarks(method, implants_present=implants_present)
    if landmark not in shown:
        unplaced = landmark is Landmark.PLATFORM and not implants_present
        code = "case.landmark_unplaced" if unplaced else "case.landmark"
        table.add_problem("landmark", code, method=method, known=tuple(shown))


def _read_sites(fields: Fields, arch: Arch, implants: int) -> tuple[Site, ...]:
    tables = fields.read_tables("sites")
    sites = tuple(_read_site(table, arch) for table in tables)
    for tooth in find_repeated(site.tooth for site in sites if site.tooth):
        fields.add_problem("sites", "case.tooth_twice", found=tooth)
    if len(sites) > max(implants, 1):  # without implants one place can be measured, where the denture has least room
        code = "case.sites" if implants else "case.one_place"
        fields.add_problem("sites", code, found=len(sites), implants=implants)
    return sites


def _read_site(fields: Fields, arch: Arch) -> Site:
    tooth = fields.get_raw("tooth")
    teeth = list_teeth(arch)
    if tooth not in teeth:
        fields.add_problem("tooth", "case.tooth", arch=arch, right=(teeth[0], teeth[7]), left=(teeth[8], teeth[15]))
        tooth = ""
    site = Site(
        tooth=tooth,
        restorative_space_mm=fields.read_length("restorative_space_mm", 0, 40, example="11.5"),
        tissue_mm=fields.read_length("tissue_mm", 0, 10, example="2.0"),
        platform_below_crest_mm=fields.read_length("platform_below_crest_mm", -5, 5, example="0.5"),
        width_mm=fields.read_length("width_mm", 0, 30, example="9.5"),
        angle_md_deg=fields.read_decimal("angle_md_deg", -60, 60, code="number.lean", example="4"),
        angle_fl_deg=fields.read_decimal("angle_fl_deg", -60, 60, code="number.lean", example="-3"),
        position_mm=fields.read_length("position_mm", -60, 60, example="-10.0"),
        x_mm=fields.read_length("x_mm", -60, 60, example="-9.5"),
        y_mm=fields.read_length("y_mm", -20, 80, example="3.0"),
        denture_thickness_mm=fields.read_length("denture_thickness_mm", 0, 40, example="6.0"),
    )  # fmt: skip
    _check_side(fields, site)
    _check_place(fields)
    fields.refuse_others()
    return site


def _check_side(fields: Fields, site: Site) -> None:
    """The patient's left is negative, and quadrants 2 and 3 are the patient's left."""
    code = "case.left_side" if is_left(site.tooth) else "case.right_side"
    for name, place in (("position_mm", site.position_mm), ("x_mm", site.x_mm)):
        if place and site.tooth and is_left(site.tooth) != (place < 0):
            fields.add_problem(name, code, tooth=site.tooth)


def _check_place(fields: Fields) -> None:
    """A place is said once: along the arch, or by both of its coordinates."""
    if "position_mm" in fields and ("x_mm" in fields or "y_mm" in fields):
        fields.add_problem("position_mm", "case.place_twice")
    elif ("x_mm" in fields) != ("y_mm" in fields):
        fields.add_problem("y_mm" if "x_mm" in fields else "x_mm", "case.place_half")
