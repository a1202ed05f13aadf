"""Every measured site of a jaw beside the stack of an option: margin, and the chance that the usual stack fits."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.base.evidence import Evidence
from estimator.estimate.clearance.abutment_heights import Collars
from estimator.estimate.clearance.chance.jaw import JawMargins, chance_at_site, chance_in_jaws, share_method_error
from estimator.estimate.clearance.chance.room_errors import RoomErrors
from estimator.estimate.clearance.stack import SiteRoom, Stack, Tissue, add_stack
from estimator.inputs.case.model import Jaw, Landmark
from estimator.inputs.options.model import Option


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteCheck:
    """One site: room and stack from the soft tissue crest [mm], and the chance that the usual stack fits there.

    `collar_mm` is the abutment height that the stack counts, None where none is chosen. `own_sd_mm` is the error that
    this site has besides that of the method.
    """

    tooth: str
    room_mm: Decimal
    stack: Stack
    own_sd_mm: float
    chance: float
    tissue: Tissue | None = None
    collar_mm: Decimal | None = None

    @property
    def margin_mm(self) -> Decimal:
        """Room minus usual stack."""
        return self.room_mm - self.stack.usual_mm

    @property
    def shortage_mm(self) -> Decimal:
        """What is missing below the least stack, 0 where nothing is."""
        return max(Decimal(0), self.stack.least_mm - self.room_mm)


def check_sites(
    jaw: Jaw,
    option: Option,
    rooms: Sequence[SiteRoom],
    collars: Collars | None,
    errors: RoomErrors,
    evidence: Evidence,
) -> tuple[SiteCheck, ...]:
    """Every measured site, in the order of the case."""
    bare = add_stack(option)
    checks = []
    for room in rooms:
        collar = collars.stacks.get(room.tooth) if collars else None
        stack = add_stack(option, collar) if collar else bare
        own = _find_own_sd(jaw, option, room, evidence, has_collar=collar is not None)
        sd = math.hypot(float(errors.method_mm), own, errors.bite_mm.get(room.tooth, 0.0), errors.plane_mm)
        checks.append(
            SiteCheck(
                tooth=room.tooth,
                room_mm=room.room_mm,
                stack=stack,
                own_sd_mm=own,
                chance=chance_at_site(float(room.room_mm - stack.usual_mm), sd),
                tissue=room.tissue,
                collar_mm=collars.heights_mm.get(room.tooth) if collars else None,
            )
        )
    return tuple(checks)


def _find_own_sd(jaw: Jaw, option: Option, room: SiteRoom, evidence: Evidence, *, has_collar: bool) -> float:
    """Error of the tissue and of the depth of placement [mm].

    The tissue counts where it stands between what was measured and what is stacked: from the platform or the bone
    for parts that stand on the tissue, from the tissue for a collar that stands on the platform.
    """
    from_tissue = jaw.measurement is not None and jaw.measurement.landmark is Landmark.SOFT_TISSUE_CREST
    tissue = 0.0
    if from_tissue and has_collar:
        tissue = float(evidence.get("tissue_error_measured").value)
    elif not from_tissue and not has_collar and room.tissue:
        tissue = float(room.tissue.sd_mm)
    planned = option.on_implants and not jaw.implants_present
    depth = float(evidence.get(f"depth_error_{jaw.placement}").value) if planned else 0.0
    return float((tissue**2 + depth**2) ** 0.5)


def share_errors(checks: Sequence[SiteCheck], errors: RoomErrors, correlation: float) -> JawMargins:
    """The margins to the usual stack with all that may be wrong; `correlation` is the method's share in common."""
    shared = share_method_error(
        [float(check.margin_mm) for check in checks],
        sd_mm=float(errors.method_mm),
        own_sds_mm=[check.own_sd_mm for check in checks],
        correlation=correlation,
    )
    bite = tuple(errors.bite_mm.get(check.tooth, 0.0) for check in checks)
    return replace(shared, bite_sds_mm=bite if any(bite) else (), plane_sd_mm=errors.plane_mm)


def find_chances(checks: Sequence[SiteCheck], errors: RoomErrors, evidence: Evidence) -> tuple[float, float, float]:
    """Chance of fit at every site with the low, the usual and the high share of error that all sites have in common."""
    shared = evidence.get("error_correlation")
    low, usual, high = (
        chance_in_jaws(share_errors(checks, errors, float(correlation)))
        for correlation in (shared.low, shared.value, shared.high)
    )
    return low, usual, high


def reach_least(margins: JawMargins, checks: Sequence[SiteCheck]) -> JawMargins:
    """The same jaw with the margins to the least stack."""
    return replace(margins, margins_mm=tuple(float(check.room_mm - check.stack.least_mm) for check in checks))


def find_limiting(checks: Sequence[SiteCheck]) -> SiteCheck:
    """The site that decides: the one with the greatest shortage, else with the least margin."""
    return min(checks, key=lambda check: (-check.shortage_mm, check.margin_mm))
