"""Converting the present denture: is it thick enough over each attachment. All lengths [mm].

A denture in use has its teeth already, so what must find room in it is the rest of the stack: collar, attachment with
its housing, and resin.
"""

from dataclasses import dataclass
from decimal import Decimal

from estimator.inputs.case.model import DenturePlan, Jaw, PresentDenture
from estimator.inputs.options.model import Option, PartRole


@dataclass(frozen=True, slots=True, kw_only=True)
class Thickness:
    """The present denture over one site; None where it was not measured."""

    tooth: str
    thickness_mm: Decimal | None
    shortage_mm: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class ConversionCheck:
    """What the parts need inside the present denture, its thickness over each site, and what else is known of it."""

    needed_mm: Decimal
    sites: tuple[Thickness, ...]
    denture: PresentDenture


def check_conversion(jaw: Jaw, option: Option) -> ConversionCheck | None:
    """The present denture against the parts of an option; None where none of them go into it."""
    if jaw.denture is not DenturePlan.CONVERT or not option.conversion.possible or not option.on_implants:
        return None
    needed = sum((p.figure.low for p in option.stack if p.role is not PartRole.TOOTH), Decimal(0))
    return ConversionCheck(
        needed_mm=needed,
        sites=tuple(_measure(site.tooth, jaw.find_thickness(site), needed) for site in jaw.sites),
        denture=jaw.present_denture,
    )


def _measure(tooth: str, thickness_mm: Decimal | None, needed_mm: Decimal) -> Thickness:
    missing = Decimal(0) if thickness_mm is None else max(Decimal(0), needed_mm - thickness_mm)
    return Thickness(tooth=tooth, thickness_mm=thickness_mm, shortage_mm=missing)
