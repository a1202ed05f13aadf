"""Converting the present denture: is it thick enough over each attachment. All lengths [mm].

A denture in use has its teeth already, so what must find room in it is the rest of the stack of that site: its own
collar, the attachment with its housing, and resin.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.base.evidence import Evidence
from estimator.estimate.clearance.sites import SiteCheck
from estimator.estimate.clearance.stack import Stack, add_stack
from estimator.inputs.case.model import DenturePlan, Jaw, PresentDenture, Site
from estimator.inputs.options.model import Option, PartRole


@dataclass(frozen=True, slots=True, kw_only=True)
class Thickness:
    """The present denture over one site, None where it was not measured, and what the parts of that site need in it.

    `needed_mm` is for the least parts, `usual_mm` for the usual ones; `resin_mm` of it is the resin over the housing.
    """

    tooth: str
    thickness_mm: Decimal | None
    needed_mm: Decimal
    usual_mm: Decimal
    resin_mm: Decimal

    @property
    def shortage_mm(self) -> Decimal:
        """What is missing for the least parts, 0 where nothing is or nothing was measured."""
        return Decimal(0) if self.thickness_mm is None else max(Decimal(0), self.needed_mm - self.thickness_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class ConversionCheck:
    """The present denture over each site, and what else is known of it.

    `needed_mm` is what the least parts need where no abutment is chosen.
    """

    needed_mm: Decimal
    sites: tuple[Thickness, ...]
    denture: PresentDenture


def check_conversion(jaw: Jaw, option: Option, checks: Sequence[SiteCheck]) -> ConversionCheck | None:
    """The present denture against the parts of an option at each site; None where none of them go into it."""
    if jaw.denture is not DenturePlan.CONVERT or not option.conversion.possible or not option.on_implants:
        return None
    bare, stacks = add_stack(option), {check.tooth: check.stack for check in checks}
    return ConversionCheck(
        needed_mm=_take_off_teeth(option, bare)[0],
        sites=tuple(
            _measure(site, jaw.find_thickness(site), option, stacks.get(site.tooth, bare)) for site in jaw.sites
        ),
        denture=jaw.present_denture,
    )


def find_thickness_error(evidence: Evidence) -> float:
    """What may be wrong at a site of a present denture: its thickness by caliper, and the tissue below it. [mm]"""
    return math.hypot(*(float(evidence.get(key).value) for key in ("thickness_error", "tissue_error_measured")))


def _measure(site: Site, thickness_mm: Decimal | None, option: Option, stack: Stack) -> Thickness:
    needed, usual = _take_off_teeth(option, stack)
    resin = sum((p.figure.value for p in option.stack if p.figure.key == "resin_over_housing"), Decimal(0))
    return Thickness(
        tooth=site.tooth,
        thickness_mm=thickness_mm,
        needed_mm=needed,
        usual_mm=usual,
        resin_mm=resin,
    )


def _take_off_teeth(option: Option, stack: Stack) -> tuple[Decimal, Decimal]:
    """The least and the usual stack without teeth, which the denture has already."""
    teeth = [part.figure for part in option.stack if part.role is PartRole.TOOTH]
    least = stack.least_mm - sum((tooth.low for tooth in teeth), Decimal(0))
    return least, stack.usual_mm - sum((tooth.value for tooth in teeth), Decimal(0))
