"""The implants of a jaw where they stand on the curve of its crest, with their axes in space. Lengths [mm]."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations

from estimator.estimate.clearance.chance.jaw import Floats
from estimator.estimate.clearance.geometry.axes import CommonPath, find_angle, find_common_path, make_axis
from estimator.estimate.clearance.geometry.curve import (
    ArchCurve,
    ArchPlace,
    find_usual_along,
    fit_curve,
    place_along,
    place_point,
    shape_curve,
)
from estimator.estimate.clearance.geometry.polyline import measure_spread
from estimator.inputs.case.model import Jaw, Site, is_left
from estimator.inputs.reference.usual_arch import UsualArch


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedImplant:
    """One implant on the crest; `assumed` where its position was not given and the usual one of its tooth stands for
    it. The axis is None where one of its two leans is not known.
    """

    tooth: str
    place: ArchPlace
    assumed: bool
    axis: Floats | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedJaw:
    """The implants of a jaw that have a place, from the patient's right."""

    implants: tuple[PlacedImplant, ...]

    @property
    def measured(self) -> tuple[PlacedImplant, ...]:
        """Those whose position was given: lengths count between them alone."""
        return tuple(one for one in self.implants if not one.assumed)

    @property
    def leaning(self) -> tuple[tuple[str, Floats], ...]:
        """Teeth and axes of those whose leans are both known."""
        return tuple((one.tooth, one.axis) for one in self.implants if one.axis is not None)

    @property
    def path(self) -> CommonPath | None:
        """The best common path of the axes that are known, None where none is."""
        return find_common_path([axis for _, axis in self.leaning]) if self.leaning else None

    def find_off_path(self, path: CommonPath) -> str:
        """The tooth whose axis is farthest from a path."""
        return max(self.leaning, key=lambda one: find_angle(one[1], path.axis))[0]

    def list_angles(self) -> tuple[tuple[str, str, float], ...]:
        """The angle between any two axes that are known. [degrees]"""
        return tuple((a, b, find_angle(one, other)) for (a, one), (b, other) in combinations(self.leaning, 2))

    def find_spread(self) -> float | None:
        """How far inner implants stand from the line through the end ones; None while a position is assumed."""
        if len(self.measured) < max(2, len(self.implants)):
            return None
        return measure_spread([one.place.point for one in self.measured])


def place_implants(jaw: Jaw, usual: UsualArch) -> PlacedJaw:
    """Every implant at its own position, else where its tooth usually stands; one without either is left out."""
    return place_sites(jaw.sites, shape_jaw(jaw, usual), usual)


def place_sites(sites: Iterable[Site], curve: ArchCurve, usual: UsualArch) -> PlacedJaw:
    """The same on a crest that is known."""
    placed = [one for site in sites if (one := _place(site, curve, usual)) is not None]
    return PlacedJaw(implants=tuple(sorted(placed, key=lambda one: -one.place.along_mm)))


def shape_jaw(jaw: Jaw, usual: UsualArch) -> ArchCurve:
    """The crest of a jaw: through its own two points where they were measured, else the usual one at its width."""
    form = jaw.arch_form
    lengths = (form.canine_half_width_mm, form.canine_depth_mm, form.molar_half_width_mm, form.molar_depth_mm)
    known = [float(length) for length in lengths if length is not None]
    if len(known) == len(lengths):
        return fit_curve((known[0], known[1]), (known[2], known[3]))
    return shape_curve(usual, None if form.width_mm is None else float(form.width_mm))


def _place(site: Site, curve: ArchCurve, usual: UsualArch) -> PlacedImplant | None:
    place, axis = _find_place(site, curve, usual), None
    if place is None:
        return None
    if site.angle_md_deg is not None and site.angle_fl_deg is not None:
        axis = make_axis(
            heading_deg=place.heading_deg,
            right=not is_left(site.tooth),
            mesiodistal_deg=float(site.angle_md_deg),
            faciolingual_deg=float(site.angle_fl_deg),
        )
    return PlacedImplant(tooth=site.tooth, place=place, assumed=not _is_placed(site), axis=axis)


def _is_placed(site: Site) -> bool:
    return site.position_mm is not None or (site.x_mm is not None and site.y_mm is not None)


def _find_place(site: Site, curve: ArchCurve, usual: UsualArch) -> ArchPlace | None:
    if site.x_mm is not None and site.y_mm is not None:
        return place_point(curve, float(site.x_mm), float(site.y_mm))
    along = find_usual_along(curve, usual, int(site.tooth[1:]), left=is_left(site.tooth))
    along = along if site.position_mm is None else float(site.position_mm)
    return None if along is None else place_along(curve, along)
