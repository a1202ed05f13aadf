"""The verdict on one option in one jaw: ruled in or out by the room that is there, and by how much."""

from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from estimator.base.evidence import Evidence
from estimator.estimate.clearance.cautions import Caution, list_cautions, word_caution
from estimator.estimate.clearance.chance import chance_in_jaw
from estimator.estimate.clearance.stack import SiteRoom, add_stack, list_rooms
from estimator.inputs.case import Case, Jaw, Method
from estimator.inputs.options import Option
from estimator.inputs.practice import Practice


class Verdict(StrEnum):
    """What the check says; the words a reader sees are in the wording files."""

    FITS = "fits"
    TIGHT = "tight"
    DOES_NOT_FIT = "does_not_fit"
    NOT_MEASURED = "not_measured"


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearance:
    """The check of one option in one jaw. Lengths [mm] from the soft tissue crest.

    `margin_mm` is room minus usual stack at the limiting site, `shortage_mm` what is missing below the least stack.
    `chance_range` is the chance of fit with the low and the high assumption of how much error all sites share.
    Room, margin, site and chance are None where nothing was measured. `provisional`: the set-up is not accepted yet.
    """

    verdict: Verdict
    least_mm: Decimal
    required_mm: Decimal
    most_mm: Decimal
    space_mm: Decimal | None = None
    margin_mm: Decimal | None = None
    shortage_mm: Decimal = Decimal(0)
    limiting_site: str | None = None
    chance_of_fit: float | None = None
    chance_range: tuple[float, float] | None = None
    error_mm: Decimal | None = None
    within_error: bool = False
    provisional: bool = False
    rooms: tuple[SiteRoom, ...] = ()
    cautions: tuple[Caution, ...] = ()


def find_error(jaw: Jaw, evidence: Evidence) -> Decimal:
    """One standard deviation of the measurement of a jaw [mm]: as entered, or the assumption for the method."""
    if jaw.measurement is None:
        raise ValueError("'measurement' must be there to have an error (got nothing)")
    if jaw.measurement.error_mm is not None:
        return jaw.measurement.error_mm
    return evidence.get(f"error_{jaw.measurement.method}").value


def check_clearance(case: Case, jaw: Jaw, option: Option, practice: Practice) -> Clearance:
    """Check the room at every measured site against the stack of an option."""
    evidence = practice.evidence
    stack, rooms = add_stack(option), list_rooms(jaw, evidence)
    cautions = list_cautions(case, jaw, option, rooms, evidence, practice.cautions)
    blank = Clearance(
        verdict=Verdict.NOT_MEASURED, least_mm=stack.least_mm, required_mm=stack.usual_mm, most_mm=stack.most_mm,
        cautions=cautions,
    )  # fmt: skip
    if not rooms or jaw.measurement is None:
        return blank
    tightest, error = min(rooms, key=lambda r: r.room_mm), find_error(jaw, evidence)
    shortage = max(Decimal(0), stack.least_mm - tightest.room_mm)
    chances = _find_chances(jaw, option, rooms, stack.usual_mm, evidence)
    within_error = 0 < shortage < error
    if within_error:
        cautions += (
            word_caution(practice.cautions["within_error"], {"shortage": f"{shortage:.2f}", "error": f"{error:.2f}"}),
        )
    return replace(
        blank,
        verdict=_find_verdict(jaw, rooms, shortage, chances[1], float(evidence.get("fit_level").value)),
        space_mm=tightest.room_mm,
        margin_mm=tightest.room_mm - stack.usual_mm,
        shortage_mm=shortage,
        limiting_site=tightest.tooth,
        chance_of_fit=chances[1] if len(rooms) == jaw.implants else None,
        chance_range=(chances[0], chances[2]) if len(rooms) == jaw.implants else None,
        error_mm=error,
        within_error=within_error,
        provisional=not jaw.measurement.set_up_accepted,
        rooms=rooms,
        cautions=cautions,
    )


def _find_verdict(jaw: Jaw, rooms: tuple[SiteRoom, ...], shortage: Decimal, chance: float, level: float) -> Verdict:
    """Equality fits. One site without room decides; with sites unmeasured nothing else can be said."""
    if shortage > 0:
        return Verdict.DOES_NOT_FIT
    if len(rooms) < jaw.implants:
        return Verdict.NOT_MEASURED
    return Verdict.FITS if chance >= level else Verdict.TIGHT


def _find_chances(
    jaw: Jaw, option: Option, rooms: tuple[SiteRoom, ...], usual_mm: Decimal, evidence: Evidence
) -> tuple[float, float, float]:
    """Chance of fit with the low, the usual and the high share of error that all sites have in common."""
    planned = option.on_implants and not jaw.implants_present
    depth = float(evidence.get(f"depth_error_{jaw.placement}").value) if planned else 0.0
    own = [(float(r.tissue.sd_mm) ** 2 if r.tissue else 0.0) + depth**2 for r in rooms]
    shared = evidence.get("error_correlation")
    low, usual, high = (
        chance_in_jaw(
            [float(r.room_mm - usual_mm) for r in rooms],
            sd_mm=float(find_error(jaw, evidence)),
            own_sds_mm=[variance**0.5 for variance in own],
            correlation=float(correlation),
        )
        for correlation in (shared.low, shared.value, shared.high)
    )
    return low, usual, high


def list_clearance_figures(jaw: Jaw, option: Option, evidence: Evidence) -> tuple[str, ...]:
    """Keys of the figures a verdict rests on besides the stack."""
    if jaw.measurement is None:
        return ()
    keys = ["fit_level", "error_correlation"]
    if jaw.measurement.error_mm is None:
        keys.append(f"error_{Method(jaw.measurement.method)}")
    if option.on_implants and not jaw.implants_present:
        keys.append(f"depth_error_{jaw.placement}")
    tissues = [room.tissue for room in list_rooms(jaw, evidence) if room.tissue]
    if any(t.assumed is None for t in tissues):
        keys.append("tissue_error_measured")
    if any(t.assumed is not None for t in tissues):
        keys += [f"tissue_{jaw.arch}", f"tissue_sd_{jaw.arch}"]
    return tuple(keys)
