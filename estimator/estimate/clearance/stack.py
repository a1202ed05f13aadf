"""The stack of an option, counted once, and the room it has, both read from the soft tissue crest. All lengths [mm].

A space measured from the bone crest is larger by the tissue; one from the platform also by how far the platform
lies below the crest. Converting both to the soft tissue crest is what makes options and sources comparable.
"""

from dataclasses import dataclass
from decimal import Decimal

from estimator.base.evidence import Evidence, Figure
from estimator.inputs.case.model import Arch, Jaw, Landmark, Site
from estimator.inputs.options.model import Option


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """Sums over the parts: what is least, usual, and most needed above the soft tissue. [mm]"""

    least_mm: Decimal
    usual_mm: Decimal
    most_mm: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Tissue:
    """Soft tissue over a site: thickness and its standard deviation [mm], and the figure if it was not measured."""

    thickness_mm: Decimal
    sd_mm: Decimal
    assumed: Figure | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteRoom:
    """The room at one site from the soft tissue crest [mm], and the tissue that was taken off to get there."""

    tooth: str
    room_mm: Decimal
    tissue: Tissue | None = None


def add_stack(option: Option, collar: Stack | None = None) -> Stack:
    """The parts of an option added up, each counted once; a chosen `collar` stands for that part of the option."""
    parts = [part for part in option.stack if collar is None or part is not option.collar]
    stacks = [Stack(least_mm=p.figure.low, usual_mm=p.figure.value, most_mm=p.figure.high) for p in parts]
    stacks += [] if collar is None else [collar]
    return Stack(
        least_mm=sum((s.least_mm for s in stacks), Decimal(0)),
        usual_mm=sum((s.usual_mm for s in stacks), Decimal(0)),
        most_mm=sum((s.most_mm for s in stacks), Decimal(0)),
    )


def find_collar(option: Option, stack: Stack) -> Stack:
    """What the collar of an option takes of a stack: all that the other parts do not."""
    others = add_stack(option, Stack(least_mm=Decimal(0), usual_mm=Decimal(0), most_mm=Decimal(0)))
    return Stack(
        least_mm=stack.least_mm - others.least_mm,
        usual_mm=stack.usual_mm - others.usual_mm,
        most_mm=stack.most_mm - others.most_mm,
    )


def find_tissue(site: Site, arch: Arch, evidence: Evidence) -> Tissue:
    """The tissue over a site: as measured, or the published mean of the arch with its standard deviation."""
    if site.tissue_mm is not None:
        return Tissue(thickness_mm=site.tissue_mm, sd_mm=evidence.get("tissue_error_measured").value)
    mean, sd = evidence.get(f"tissue_{arch}"), evidence.get(f"tissue_sd_{arch}")
    return Tissue(thickness_mm=mean.value, sd_mm=sd.value, assumed=mean)


def convert_to_soft_tissue(space_mm: Decimal, site: Site, landmark: Landmark, tissue_mm: Decimal) -> Decimal:
    """A space from some landmark to the occlusal plane as a space from the soft tissue crest. [mm]

    platform = bone crest + depth of the platform below it; bone crest = soft tissue crest + tissue.
    """
    if landmark is Landmark.SOFT_TISSUE_CREST:
        return space_mm
    below = site.depth_mm if landmark is Landmark.PLATFORM else Decimal(0)
    return space_mm - below - tissue_mm


def list_rooms(jaw: Jaw, evidence: Evidence) -> tuple[SiteRoom, ...]:
    """The room at every measured site of a jaw, in the order of the case."""
    if jaw.measurement is None:
        return ()
    return tuple(
        _find_room(site, site.restorative_space_mm, jaw.measurement.landmark, jaw.arch, evidence)
        for site in jaw.sites
        if site.restorative_space_mm is not None
    )


def _find_room(site: Site, space_mm: Decimal, landmark: Landmark, arch: Arch, evidence: Evidence) -> SiteRoom:
    if landmark is Landmark.SOFT_TISSUE_CREST:
        return SiteRoom(tooth=site.tooth, room_mm=space_mm)
    tissue = find_tissue(site, arch, evidence)
    room = convert_to_soft_tissue(space_mm, site, landmark, tissue.thickness_mm)
    return SiteRoom(tooth=site.tooth, room_mm=room, tissue=tissue)
