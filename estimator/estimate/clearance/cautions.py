"""Cautions raised by number, distance, divergence, conversion and health. They inform; they never decide."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations

from estimator.base.evidence import Evidence, HowSure
from estimator.estimate.clearance.stack import SiteRoom
from estimator.inputs.case import Arch, Case, DenturePlan, Jaw, Method, Site, is_left
from estimator.inputs.cautions import CautionText
from estimator.inputs.options import Attachments, Option


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One caution as said, with its source and how sure that is."""

    key: str
    text: str
    patient_text: str
    source: str
    how_sure: HowSure


Raised = Iterator[tuple[str, dict[str, object]]]


def word_caution(text: CautionText, values: Mapping[str, object]) -> Caution:
    """A caution with what was found put into its places."""
    return Caution(
        key=text.key,
        text=text.text.format(**values),
        patient_text=text.patient_text.format(**values),
        source=text.source,
        how_sure=text.how_sure,
    )


def list_cautions(
    case: Case,
    jaw: Jaw,
    option: Option,
    rooms: tuple[SiteRoom, ...],
    evidence: Evidence,
    texts: Mapping[str, CautionText],
) -> tuple[Caution, ...]:
    """Every caution that this option raises in this jaw, each once."""
    raised: dict[str, dict[str, object]] = {}
    for key, values in _raise_all(case, jaw, option, rooms, evidence, texts):
        raised.setdefault(key, values)
    return tuple(word_caution(texts[key], values) for key, values in raised.items())


def _raise_all(
    case: Case,
    jaw: Jaw,
    option: Option,
    rooms: tuple[SiteRoom, ...],
    evidence: Evidence,
    texts: Mapping[str, CautionText],
) -> Raised:
    if jaw.denture is DenturePlan.CONVERT:
        if option.conversion.possible:
            yield "conversion", {}
        elif option.conversion.reason:
            yield "conversion_not_possible", {"reason": option.conversion.reason}
    if option.on_implants:
        yield from _raise_number(jaw, evidence)
    if option.attachments is Attachments.ON_IMPLANTS:
        yield from _raise_distance(jaw, evidence)
        yield from _raise_lean(jaw, evidence)
    yield from _raise_measuring(jaw, rooms)
    for flag in case.health:
        if option.on_implants or not texts[flag].implants_only:
            yield flag, {}


def _raise_number(jaw: Jaw, evidence: Evidence) -> Raised:
    least = evidence.get(f"implants_minimum_{jaw.arch}").value
    if jaw.implants < least:
        yield "few_implants", {"least": f"{least:f}", "implants": jaw.implants, "arch": jaw.arch.value}


def _raise_distance(jaw: Jaw, evidence: Evidence) -> Raised:
    """Only for exactly two lower implants whose places along the arch are both known."""
    places = [site.position_mm for site in jaw.sites if site.position_mm is not None]
    least = evidence.get("two_implants_distance").value
    if jaw.arch is Arch.MANDIBLE and jaw.implants == 2 and len(places) == 2 and abs(places[0] - places[1]) < least:
        yield "close_implants", {"distance": f"{abs(places[0] - places[1]):.2f}", "least": f"{least:f}"}


def _raise_lean(jaw: Jaw, evidence: Evidence) -> Raised:
    one, two = float(evidence.get("lean_limit").value), float(evidence.get("divergence_limit").value)
    leaning = [site.tooth for site in jaw.sites if find_lean(site) > one]
    if leaning:
        yield "lean", {"teeth": ", ".join(leaning), "limit": f"{one:g}"}
    ranges = [(find_divergence(a, b), a.tooth, b.tooth) for a, b in combinations(jaw.sites, 2)]
    (low, high), first, second = max(ranges, key=lambda r: (r[0][1], r[0][0]), default=((0.0, 0.0), "", ""))
    if high > two:
        angle = f"{high:.0f}" if high - low < 0.5 else f"{low:.0f} to {high:.0f}"
        key = "divergence_upper" if jaw.arch is Arch.MAXILLA and low > two else "divergence"
        yield key, {"first": first, "second": second, "angle": angle, "limit": f"{two:g}"}


def _raise_measuring(jaw: Jaw, rooms: tuple[SiteRoom, ...]) -> Raised:
    if jaw.measurement is None or not rooms:
        return
    if not jaw.measurement.set_up_accepted:
        yield "set_up_not_accepted", {}
    if jaw.measurement.method is Method.CONE_BEAM_CT:
        yield "radiopaque_set_up", {}
    assumed = [room.tooth for room in rooms if room.tissue and room.tissue.assumed]
    if assumed:
        yield "tissue_assumed", {"teeth": ", ".join(assumed)}
    unmeasured = jaw.implants - len(rooms)
    if unmeasured > 0:
        yield "sites_missing", {"missing": unmeasured, "implants": jaw.implants}


def find_lean(site: Site) -> float:
    """Lean of an implant from the vertical [degrees]; a direction that was not measured counts as upright."""
    md, fl = float(site.angle_md_deg or 0), float(site.angle_fl_deg or 0)
    return math.degrees(math.atan(math.hypot(math.tan(math.radians(md)), math.tan(math.radians(fl)))))


def find_divergence(a: Site, b: Site) -> tuple[float, float]:
    """Least and greatest angle between two implants [degrees].

    With both directions known the two are equal: the arch is taken as straight between the two (an approximation),
    so that distal points to opposite sides left and right. Otherwise two leans of 6 degrees are 0 to 12 apart.
    """
    known = all(v is not None for s in (a, b) for v in (s.angle_md_deg, s.angle_fl_deg))
    if not known:
        one, other = find_lean(a), find_lean(b)
        return abs(one - other), one + other
    angle = _find_angle(_point_axis(a), _point_axis(b))
    return angle, angle


def _point_axis(site: Site) -> tuple[float, float, float]:
    side = -1 if is_left(site.tooth) else 1
    return (
        side * math.tan(math.radians(float(site.angle_md_deg or 0))),
        math.tan(math.radians(float(site.angle_fl_deg or 0))),
        1.0,
    )


def _find_angle(a: tuple[float, float, float], b: tuple[float, float, float]) -> float:
    cosine = sum(x * y for x, y in zip(a, b, strict=True)) / (math.hypot(*a) * math.hypot(*b))
    return math.degrees(math.acos(min(1.0, max(-1.0, cosine))))
