"""From the check of an option to its drawing: the stack that was counted at each site, beside the room there."""

from dataclasses import dataclass
from decimal import Decimal

from estimator.base.evidence import Evidence
from estimator.estimate.clearance.stack import find_collar, find_tissue
from estimator.estimate.clearance.verdict import Clearance
from estimator.inputs.case.model import Jaw, Site
from estimator.inputs.options.model import Option
from estimator.pictures.base.rows import Picture, Sizes
from estimator.pictures.jaw.draw import draw_jaw, fit_scale
from estimator.pictures.jaw.parts import JawPart, JawSite, JawWords, describe_jaw_picture, list_parts


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckedJaw:
    """What is drawn of one option in one jaw: shared parts, sites with parts of their own, tissue and error [mm]."""

    parts: tuple[JawPart, ...]
    sites: tuple[JawSite, ...]
    tissue_mm: Decimal
    error_mm: Decimal | None
    implants: bool

    def draw(self, *, scale: float, sizes: Sizes, words: JawWords) -> Picture:
        """The drawing at `scale` points or pixels a millimetre."""
        return draw_jaw(
            self.parts, self.sites, tissue_mm=self.tissue_mm, error_mm=self.error_mm, scale=scale, sizes=sizes,
            words=words, implants=self.implants,
        )  # fmt: skip

    def describe(self, words: JawWords) -> str:
        """The same in words, with every number."""
        return describe_jaw_picture(
            self.parts, self.sites, tissue_mm=self.tissue_mm, error_mm=self.error_mm, words=words
        )  # fmt: skip

    def fit(self, *, height: float, most: float) -> float:
        """The scale at which the drawing takes about that height."""
        return fit_scale(
            self.parts, self.sites, tissue_mm=self.tissue_mm, error_mm=self.error_mm, height=height, most=most
        )  # fmt: skip


def list_checked(
    option: Option, clearance: Clearance, jaw: Jaw, evidence: Evidence, *, patient: bool = False
) -> CheckedJaw | None:
    """What to draw, in the words of the office or of the patient; None without sites.

    The tissue drawn is that of the site that decides.
    """
    if not jaw.sites:
        return None
    tightest = next((site for site in jaw.sites if site.tooth == clearance.limiting_site), jaw.sites[0])
    return CheckedJaw(
        parts=list_parts(option, patient=patient),
        sites=tuple(_make_site(site, option, clearance, patient=patient) for site in jaw.sites),
        tissue_mm=find_tissue(tightest, jaw.arch, evidence).thickness_mm,
        error_mm=clearance.error_mm,
        implants=option.on_implants,
    )


def _make_site(site: Site, option: Option, clearance: Clearance, *, patient: bool) -> JawSite:
    check = next((check for check in clearance.sites if check.tooth == site.tooth), None)
    if check is None:
        return JawSite(label=site.tooth, position_mm=site.position_mm)
    collar = find_collar(option, check.stack) if check.collar_mm is not None else None
    return JawSite(
        label=site.tooth,
        position_mm=site.position_mm,
        room_mm=check.room_mm,
        parts=list_parts(option, collar, patient=patient) if collar else (),
    )
