"""From the check of an option to its drawing: the stack that was counted at each site, beside the room there."""

from dataclasses import dataclass
from decimal import Decimal

from estimator.base.evidence import Evidence
from estimator.estimate.clearance.along import AlongBar
from estimator.estimate.clearance.geometry.placed import PlacedImplant
from estimator.estimate.clearance.stack import find_collar, find_tissue
from estimator.estimate.clearance.verdict import Clearance
from estimator.inputs.case.model import Jaw, Site, is_left
from estimator.inputs.options.model import Option
from estimator.pictures.base.rows import Picture, Sizes
from estimator.pictures.jaw.draw import draw_jaw, fit_scale
from estimator.pictures.jaw.parts import (
    EN_DASH,
    JawBar,
    JawGap,
    JawPart,
    JawSite,
    JawWords,
    describe_jaw_picture,
    list_parts,
    order_sites,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckedJaw:
    """What is drawn of one option in one jaw: shared parts, sites with parts of their own, tissue and error [mm]."""

    parts: tuple[JawPart, ...]
    sites: tuple[JawSite, ...]
    tissue_mm: Decimal
    error_mm: Decimal | None
    implants: bool
    bar: JawBar | None = None

    def draw(self, *, scale: float, sizes: Sizes, words: JawWords) -> Picture:
        """The drawing at `scale` points or pixels a millimetre."""
        return draw_jaw(
            self.parts, self.sites, tissue_mm=self.tissue_mm, error_mm=self.error_mm, scale=scale, sizes=sizes,
            words=words, implants=self.implants, bar=self.bar,
        )  # fmt: skip

    def describe(self, words: JawWords) -> str:
        """The same in words, with every number."""
        return describe_jaw_picture(
            self.parts, self.sites, tissue_mm=self.tissue_mm, error_mm=self.error_mm, words=words, bar=self.bar
        )  # fmt: skip

    def fit(self, *, height: float, most: float) -> float:
        """The scale at which the drawing takes about that height."""
        return fit_scale(
            self.parts, self.sites, tissue_mm=self.tissue_mm, error_mm=self.error_mm, height=height, most=most
        )  # fmt: skip


def list_checked(
    option: Option, clearance: Clearance, jaw: Jaw, evidence: Evidence, *, patient: bool = False
) -> CheckedJaw:
    """What to draw, in the words of the office or of the patient; without sites the parts of the option alone."""
    placed = {one.tooth: one for one in clearance.placed.implants}
    tightest = next((site for site in jaw.sites if site.tooth == clearance.limiting_site), Site(tooth=""))
    sites = order_sites(
        [_make_site(site, option, clearance, jaw, evidence, placed.get(site.tooth), patient) for site in jaw.sites]
    )
    return CheckedJaw(
        parts=list_parts(option, patient=patient),
        sites=sites or (JawSite(label=EN_DASH),),
        tissue_mm=find_tissue(tightest, jaw.arch, evidence).thickness_mm,
        error_mm=clearance.error_mm,
        implants=option.on_implants,
        bar=_make_bar(clearance.along, jaw, len(sites)) if clearance.along and len(sites) > 1 else None,
    )


def _make_site(
    site: Site, option: Option, clearance: Clearance, jaw: Jaw, evidence: Evidence, placed: PlacedImplant | None,
    patient: bool,
) -> JawSite:  # fmt: skip
    check = next((check for check in clearance.sites if check.tooth == site.tooth), None)
    collar = find_collar(option, check.stack) if check and check.collar_mm is not None else None
    return JawSite(
        label=site.tooth,
        position_mm=None if placed is None else Decimal(str(round(placed.place.along_mm, 3))),
        assumed=placed is not None and placed.assumed,
        room_mm=check.room_mm if check else None,
        parts=list_parts(option, collar, patient=patient) if collar else (),
        tissue_mm=find_tissue(site, jaw.arch, evidence).thickness_mm,
        lean_deg=_find_lean(site),
    )


def _find_lean(site: Site) -> float:
    """How far the top of an implant leans to the right as it is seen from in front; distal is outwards. [degrees]"""
    lean = float(site.angle_md_deg or 0)
    return lean if is_left(site.tooth) else -lean


def _make_bar(along: AlongBar, jaw: Jaw, sites: int) -> JawBar:
    """The bar from the patient's right; attachments that have a place stand on the longest gaps first.

    Where no place is known one stands in each gap, as far as so many are planned.
    """
    on_gaps = sum(segment.places for segment in along.segments)
    beside = max(0, (along.places or 0) - on_gaps)
    left, right = float(jaw.bar_extension_right_mm), float(jaw.bar_extension_left_mm)
    longer = sorted(((left, "left"), (right, "right")), reverse=True)[:beside]
    holding = [name for length, name in longer if length > 0][: along.attachments]
    return JawBar(
        gaps=_share_out(along, along.attachments - len(holding), sites),
        planned=along.attachments,
        places=None if along.places is None else min(along.places, along.attachments),
        left_mm=left,
        right_mm=right,
        left_holds="left" in holding,
        right_holds="right" in holding,
    )


def _share_out(along: AlongBar, attachments: int, sites: int) -> tuple[JawGap, ...]:
    """The gaps with the attachments that stand in each."""
    if len(along.segments) != sites - 1:
        return tuple(JawGap(attachments=1 if number < attachments else 0) for number in range(sites - 1))
    order = sorted(range(sites - 1), key=lambda number: -along.segments[number].length_mm)
    stand = dict.fromkeys(order, 0)
    for number in order:
        stand[number] = min(along.segments[number].places, attachments)
        attachments -= stand[number]
    return tuple(
        JawGap(length_mm=segment.length_mm, places=segment.places, attachments=stand[number])
        for number, segment in enumerate(along.segments)
    )
