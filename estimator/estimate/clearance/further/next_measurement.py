"""The next best measurement: which quantity, read once more, is most likely to change the verdict, and in how long."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from estimator.base.evidence import Evidence
from estimator.estimate.clearance.chance.jaw import JawMargins
from estimator.estimate.clearance.chance.next import (
    Reading,
    ReadingOffer,
    StatesAfter,
    draw_states_after,
    find_states_after,
    rank_readings,
    read_bias_again,
    read_site_again,
    settle_bite,
    settle_plane,
    spread_results,
)
from estimator.estimate.clearance.chance.room_errors import find_error
from estimator.estimate.clearance.conversion import find_thickness_error
from estimator.estimate.clearance.sites import SiteCheck
from estimator.estimate.clearance.verdict import Clearance
from estimator.inputs.case.model import Jaw, Method
from estimator.inputs.reference.layers import LayerKey, LayerState

HARDLY = 0.05
"""Under this chance, measuring again would hardly change what is said."""
_SCANS = (Method.INTRAORAL_SCAN, Method.CONE_BEAM_CT, Method.CONE_BEAM_CT_RADIOPAQUE)
_DRAWS, _DRAWS_WHILE_OPEN = 2000, 200


class Quantity(StrEnum):
    """What can be measured once more."""

    SPACE = "space"
    SPACE_OTHER_METHOD = "space_other_method"
    TISSUE = "tissue"
    TOOTH_TRIAL = "tooth_trial"
    THICKNESS = "thickness"


_MINUTES = {
    Quantity.TISSUE: "minutes_tissue",
    Quantity.TOOTH_TRIAL: "minutes_tooth_trial",
    Quantity.THICKNESS: "minutes_thickness",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Choice:
    """Readings taken together, of one site or of the whole jaw, and how many times their minutes."""

    quantity: Quantity
    readings: tuple[Reading, ...]
    site: str | None = None
    times: int = 1


def find_next_measurement(clearance: Clearance, jaw: Jaw, evidence: Evidence) -> ReadingOffer | None:
    """The measurement most likely to change the verdict; None where there is none to ask for."""
    return next(iter(rank_measurements(clearance, jaw, evidence)), None)


def rank_measurements(clearance: Clearance, jaw: Jaw, evidence: Evidence) -> tuple[ReadingOffer, ...]:
    """Every measurement that may change the verdict, the most likely first; a quicker one of those as likely.

    Only asked of height and present denture, and only where they leave the verdict close or not enough.
    """
    headline = clearance.headline
    if headline.state not in (LayerState.CLOSE, LayerState.NOT_ENOUGH):
        return ()
    if headline.key is LayerKey.HEIGHT and clearance.margins is not None:
        gains = [float(check.stack.usual_mm - check.stack.least_mm) for check in clearance.sites]
        choices = _list_height(clearance.margins, clearance.sites, jaw, evidence)
    elif headline.key is LayerKey.DENTURE and clearance.conversion is not None:
        known = [site for site in clearance.conversion.sites if site.thickness_mm is not None]
        gains = [float(site.usual_mm - site.needed_mm) for site in known]
        choices = _list_thickness(clearance, evidence)
    else:
        return ()
    level, blocked = float(evidence.get("fit_level").value), bool(clearance.others)
    return rank_readings(
        ReadingOffer(
            quantity=choice.quantity,
            site=choice.site,
            chance=_find_change(_find_after(choice, gains, level), headline.state, blocked=blocked),
            minutes=choice.times * _find_minutes(choice.quantity, jaw, evidence),
        )
        for choice in choices
    )


def _list_height(margins: JawMargins, checks: Sequence[SiteCheck], jaw: Jaw, evidence: Evidence) -> Iterator[_Choice]:
    if jaw.measurement is None:
        return
    yield from _list_space(margins, checks, jaw, evidence)
    yield from _list_tissue(margins, checks, evidence)
    if margins.bite_sds_mm:
        trial = settle_bite(margins)
        plane = (settle_plane(trial.after),) if margins.plane_sd_mm else ()
        yield _Choice(quantity=Quantity.TOOTH_TRIAL, readings=(trial, *plane))


def _list_space(margins: JawMargins, checks: Sequence[SiteCheck], jaw: Jaw, evidence: Evidence) -> Iterator[_Choice]:
    """The space at each site again, whose bias stays; or of all sites by another method, which reads the bias."""
    own = float(find_error(jaw, evidence)) ** 2 * (1 - float(evidence.get("error_correlation").value))
    for number, check in enumerate(checks):
        reading = read_site_again(margins, number, variance_mm2=own, new_sd_mm=math.sqrt(own))
        yield _Choice(quantity=Quantity.SPACE, readings=(reading,), site=check.tooth)
    other = float(evidence.get(f"error_{_find_other_method(jaw)}").value)
    yield _Choice(
        quantity=Quantity.SPACE_OTHER_METHOD,
        readings=(read_bias_again(margins, variance_mm2=margins.bias_sd_mm**2, new_sd_mm=other),),
    )


def _find_other_method(jaw: Jaw) -> Method:
    """A scan beside casts, casts beside anything else."""
    casts = jaw.measurement is not None and jaw.measurement.method is Method.MOUNTED_CASTS
    return Method.INTRAORAL_SCAN if casts else Method.MOUNTED_CASTS


def _list_tissue(margins: JawMargins, checks: Sequence[SiteCheck], evidence: Evidence) -> Iterator[_Choice]:
    """The tissue of each site that was not measured and counts in the margin, and of all of them."""
    new = float(evidence.get("tissue_error_measured").value)
    unknown = [
        (number, check, float(check.tissue.sd_mm))
        for number, check in enumerate(checks)
        if check.tissue is not None and check.tissue.assumed is not None and check.collar_mm is None
    ]
    for number, check, sd in unknown:
        reading = read_site_again(margins, number, variance_mm2=sd**2, new_sd_mm=new)
        yield _Choice(quantity=Quantity.TISSUE, readings=(reading,), site=check.tooth)
    if len(unknown) > 1:
        readings: list[Reading] = []
        for number, _, sd in unknown:
            before = readings[-1].after if readings else margins
            readings.append(read_site_again(before, number, variance_mm2=sd**2, new_sd_mm=new))
        yield _Choice(quantity=Quantity.TISSUE, readings=tuple(readings), times=len(unknown))


def _list_thickness(clearance: Clearance, evidence: Evidence) -> Iterator[_Choice]:
    check = clearance.conversion
    known = [(s, s.thickness_mm) for s in check.sites if s.thickness_mm is not None] if check else []
    caliper = float(evidence.get("thickness_error").value)
    margins = JawMargins(
        margins_mm=tuple(float(there - site.usual_mm) for site, there in known),
        own_sds_mm=(find_thickness_error(evidence),) * len(known),
    )
    for number, (site, _) in enumerate(known):
        reading = read_site_again(margins, number, variance_mm2=caliper**2, new_sd_mm=caliper)
        yield _Choice(quantity=Quantity.THICKNESS, readings=(reading,), site=site.tooth)


def _find_after(choice: _Choice, gains_mm: Sequence[float], level: float) -> StatesAfter:
    """Exact for one reading, from results spread evenly for several."""
    if len(choice.readings) == 1:
        return find_states_after(choice.readings[0], gains_mm, level)
    draws = _DRAWS_WHILE_OPEN if choice.readings[-1].after.bite_sds_mm else _DRAWS
    results = spread_results(draws, len(choice.readings))
    return draw_states_after(choice.readings, gains_mm, level, results=results)


def _find_change(after: StatesAfter, now: LayerState, *, blocked: bool) -> float:
    """Chance that the verdict changes; where another layer is as bad, only for the worse."""
    if not blocked:
        return after.find_change(now)
    return after.not_enough if now is LayerState.CLOSE else 0.0


def _find_minutes(quantity: Quantity, jaw: Jaw, evidence: Evidence) -> int:
    key = _MINUTES.get(quantity)
    if key is None:
        again = jaw.measurement.method if jaw.measurement else Method.MOUNTED_CASTS
        method = again if quantity is Quantity.SPACE else _find_other_method(jaw)
        key = "minutes_space_scan" if method in _SCANS else "minutes_space_casts"
    return int(evidence.get(key).value)
