"""Cautions raised by number, distance, angle, width, conversion and health. They inform; they never decide."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

from estimator.base.evidence import Evidence, HowSure
from estimator.base.told import Name
from estimator.estimate.clearance.abutment_heights import find_rises, name_raised, name_unserved
from estimator.estimate.clearance.abutment_levels import Levels
from estimator.estimate.clearance.angles import find_divergence, find_lean
from estimator.estimate.clearance.conversion import ConversionCheck
from estimator.estimate.clearance.findings.shared_space import SharedSpace
from estimator.estimate.clearance.forces import get_hold, say_forces
from estimator.estimate.clearance.geometry.placed import PlacedJaw
from estimator.estimate.clearance.geometry.polyline import measure_chord
from estimator.estimate.clearance.stack import SiteRoom
from estimator.inputs.case.model import Arch, Case, DenturePlan, Jaw, Method, Retention
from estimator.inputs.options.model import Attachments, Option
from estimator.inputs.reference.cautions import CautionText, Gravity


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One caution, or one way to make room, as said, with its source and how sure that is.

    `values` are what fills its texts: what was found, or the name of a text.
    """

    key: str
    text: str
    patient_text: str
    source: str
    how_sure: HowSure
    gravity: Gravity = Gravity.NOTE
    values: tuple[tuple[str, object], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What one option meets in one jaw: all that a caution can be raised by."""

    case: Case
    jaw: Jaw
    option: Option
    rooms: tuple[SiteRoom, ...]
    conversion: ConversionCheck | None
    levels: Levels | None
    placed: PlacedJaw
    shared: SharedSpace | None = None


_NEAR_MM = 1e-9

Raised = Iterator[tuple[str, dict[str, object]]]


def word_caution(text: CautionText, values: Mapping[str, object]) -> Caution:
    """A caution with what was found put into its places."""
    written = {name: value.label if isinstance(value, Name) else value for name, value in values.items()}
    return Caution(
        key=text.key,
        text=text.text.format(**written),
        patient_text=text.patient_text.format(**written),
        source=text.source,
        how_sure=text.how_sure,
        gravity=text.gravity,
        values=tuple(values.items()),
    )


def sort_by_gravity(cautions: Iterable[Caution]) -> tuple[Caution, ...]:
    """The gravest first, else in the order they were raised."""
    return tuple(sorted(cautions, key=lambda caution: tuple(Gravity).index(caution.gravity)))


def find_gravest(cautions: Iterable[Caution]) -> tuple[Caution, ...]:
    """Those that belong where the choice is made: the worst there are, none of them mere notes."""
    known = sort_by_gravity(cautions)
    return tuple(one for one in known if one.gravity is known[0].gravity is not Gravity.NOTE)


def list_cautions(found: Found, evidence: Evidence, texts: Mapping[str, CautionText]) -> tuple[Caution, ...]:
    """Every caution that an option raises in a jaw, each once."""
    raised: dict[str, dict[str, object]] = {}
    for key, values in _raise_all(found, evidence, texts):
        raised.setdefault(key, values)
    return tuple(word_caution(texts[key], values) for key, values in raised.items())


def _raise_all(found: Found, evidence: Evidence, texts: Mapping[str, CautionText]) -> Raised:
    jaw, option = found.jaw, found.option
    yield from _raise_conversion(found)
    yield from _raise_ridges(found.case, evidence)
    yield from _raise_shared_space(found)
    if option.on_implants:
        yield from _raise_number(jaw, evidence)
        yield from _raise_places(jaw, found.placed, evidence)
        yield from _raise_retention(jaw, option, evidence)
    if option.attachments is Attachments.ON_IMPLANTS:
        yield from _raise_distance(jaw, found.placed, evidence)
        yield from _raise_lean(found, evidence)
        yield from _raise_levels(found, evidence)
    if option.attachments is Attachments.ON_BAR:
        yield from _raise_bar(option, evidence)
    yield from _raise_measuring(jaw, found.rooms)
    for flag in found.case.health:
        if option.on_implants or not texts[flag].implants_only:
            yield flag, {}


def _raise_conversion(found: Found) -> Raised:
    option, check = found.option, found.conversion
    if found.jaw.denture is not DenturePlan.CONVERT:
        return
    if not option.conversion.possible:
        if option.conversion.reason:
            key = f"option.{option.key}.conversion.reason"
            yield "conversion_not_possible", {"reason": Name(key=key, label=option.conversion.reason)}
        return
    if check is not None:
        yield "conversion", {}
        yield from _raise_present_denture(check)


def _raise_present_denture(check: ConversionCheck) -> Raised:
    unknown = [site.tooth for site in check.sites if site.thickness_mm is None]
    if unknown or not check.sites:
        yield "thickness_missing", {"teeth": _list(unknown) or "each implant", "needed": f"{check.needed_mm:.2f}"}
    short = max(check.sites, key=lambda site: site.shortage_mm, default=None)
    if short is not None and short.shortage_mm > 0:
        values = {"tooth": short.tooth, "thickness": f"{short.thickness_mm:.2f}", "short": f"{short.shortage_mm:.2f}"}
        yield "thickness_short", {**values, "needed": f"{short.needed_mm:.2f}"}
    if check.denture.base_stable is None:
        yield "base_not_known", {}
    elif not check.denture.base_stable:
        yield "base_reline_first", {}


def _raise_ridges(case: Case, evidence: Evidence) -> Raised:
    limited, distance = evidence.get("ridge_to_ridge_limited"), next(iter(case.ridge_distances), None)
    if distance is not None and distance <= limited.high:
        key = "ridge_to_ridge" if distance >= limited.low else "ridge_to_ridge_less"
        yield key, {"distance": f"{distance:.2f}", "low": f"{limited.low:f}", "high": f"{limited.high:f}"}


def _raise_shared_space(found: Found) -> Raised:
    shared = found.shared
    if shared is not None and shared.rooms.fall_short:
        yield (
            "rooms_fall_short",
            {
                "upper": f"{shared.upper.room_mm:.2f}", "upper_site": shared.upper.tooth,
                "lower": f"{shared.lower.room_mm:.2f}", "lower_site": shared.lower.tooth,
                "left": f"{-shared.rooms.excess_mm:.2f}",
            },
        )  # fmt: skip


def _raise_number(jaw: Jaw, evidence: Evidence) -> Raised:
    least = evidence.get(f"implants_minimum_{jaw.arch}").value
    if jaw.implants < least:
        yield "few_implants", {"least": f"{least:f}", "implants": jaw.implants, "arch": jaw.arch.value}


def _raise_places(jaw: Jaw, placed: PlacedJaw, evidence: Evidence) -> Raised:
    """Width of a site, implants at the midline, implants side by side."""
    least = evidence.get("housing_width").value
    narrow = min((s for s in jaw.sites if s.width_mm is not None), key=lambda s: s.width_mm or 0, default=None)
    if narrow is not None and narrow.width_mm is not None and narrow.width_mm < least:
        yield "narrow_site", {"width": f"{narrow.width_mm:.2f}", "tooth": narrow.tooth, "least": f"{least:f}"}
    middle = [s.tooth for s in jaw.sites if s.tooth[1:] == "1" or (jaw.arch is Arch.MANDIBLE and s.position_mm == 0)]
    if middle:
        yield "midline", {"teeth": _list(middle)}
    apart = float(evidence.get("implants_apart").value)
    pairs = [(measure_chord(a.place.point, b.place.point), a.tooth, b.tooth) for a, b in pairwise(placed.measured)]
    distance, first, second = min(pairs, default=(apart, "", ""))
    if distance < apart - _NEAR_MM:
        yield (
            "implants_crowded",
            {"first": first, "second": second, "distance": f"{distance:.2f}", "least": f"{apart:g}"},
        )


def _raise_retention(jaw: Jaw, option: Option, evidence: Evidence) -> Raised:
    """What all attachments hold together, from the number on that a source warns of; and inserts that are not light."""
    count = jaw.bar_attachments if option.attachments is Attachments.ON_BAR else jaw.implants
    if count >= evidence.get("retention_many").value:
        yield (
            "total_retention",
            {"count": count, **say_forces({r: count * get_hold(r, evidence) for r in Retention}, evidence)},
        )
    if count and jaw.retention is not Retention.LIGHT:
        one = get_hold(jaw.retention, evidence)
        said = say_forces({"one": one, "all": count * one}, evidence)
        yield "retention_not_light", {"retention": jaw.retention.value.capitalize(), **said}


def _raise_distance(jaw: Jaw, placed: PlacedJaw, evidence: Evidence) -> Raised:
    """Only for exactly two lower implants whose places are both known; straight from one to the other."""
    least = float(evidence.get("two_implants_distance").value)
    if jaw.arch is not Arch.MANDIBLE or jaw.implants != 2 or len(placed.measured) != 2:
        return
    distance = measure_chord(placed.measured[0].place.point, placed.measured[1].place.point)
    if distance < least - _NEAR_MM:
        yield "close_implants", {"distance": f"{distance:.2f}", "least": f"{least:g}"}


def _raise_lean(found: Found, evidence: Evidence) -> Raised:
    jaw = found.jaw
    one, two = float(evidence.get("lean_limit").value), float(evidence.get("divergence_limit").value)
    leaning = [site.tooth for site in jaw.sites if find_lean(site) > one]
    most = max((find_lean(site) for site in jaw.sites), default=0.0)
    error = evidence.get(f"angle_error_{jaw.placement}").value
    if leaning:
        yield "lean", {"teeth": _list(leaning), "limit": f"{one:g}"}
    elif most > 0 and not jaw.implants_present and most + float(error) > one:
        placement = "with a guide" if jaw.placement == "guided" else "freehand"
        yield (
            "lean_planned",
            {"lean": f"{most:.0f}", "placement": placement, "error": f"{error:f}", "limit": f"{one:g}"},
        )
    known = {frozenset((a, b)): (angle, angle) for a, b, angle in found.placed.list_angles()}
    ranges = [
        (known.get(frozenset((a.tooth, b.tooth))) or find_divergence(a, b), a.tooth, b.tooth)
        for a, b in combinations(jaw.sites, 2)
    ]
    (low, high), first, second = max(ranges, key=lambda r: (r[0][1], r[0][0]), default=((0.0, 0.0), "", ""))
    if high > two:
        angle = f"{high:.0f}" if high - low < 0.5 else f"{low:.0f} to {high:.0f}"
        key = "divergence_upper" if jaw.arch is Arch.MAXILLA and low > two else "divergence"
        yield key, {"first": first, "second": second, "angle": angle, "limit": f"{two:g}"}


def _raise_levels(found: Found, evidence: Evidence) -> Raised:
    levels = found.levels
    if levels is None:
        return
    rises = find_rises(found.option, evidence)
    if levels.unserved_sites:
        ends = {"floor": f"{rises.floor_mm.normalize():f}", "ceiling": f"{rises.ceiling_mm.normalize():f}"}
        yield "no_height_serves", {"teeth": name_unserved(levels), **ends}
    low = [f"{choice.tooth} ({choice.above_tissue_mm:.2f} mm)" for choice in levels.chosen if choice.low_rise]
    if low:
        yield "low_collar", {"teeth": _list(low), "usual": f"{rises.usual_mm.normalize():f}"}
    if levels.raised:
        differences = {"level": f"{levels.difference_mm:.2f}", "lowest": f"{levels.lowest_difference_mm:.2f}"}
        yield "levels_or_room", {"raised": name_raised(levels), **differences}
    if levels.difference_mm:
        yield "levels_differ", {"difference": f"{levels.difference_mm:.2f}"}


def _raise_bar(option: Option, evidence: Evidence) -> Raised:
    plaque = evidence.get("bar_space_plaque").value
    space = next((p.figure.value for p in option.stack if p.figure.key == "bar_cleaning_space"), None)
    if space is not None and space <= plaque:
        yield "bar_space_small", {"space": f"{space:.2f}"}


def _raise_measuring(jaw: Jaw, rooms: Sequence[SiteRoom]) -> Raised:
    if jaw.measurement is None or not rooms:
        return
    if not jaw.measurement.set_up_accepted:
        yield "set_up_not_accepted", {}
    if jaw.measurement.method is Method.CONE_BEAM_CT:
        yield "radiopaque_set_up", {}
    assumed = [room.tooth for room in rooms if room.tissue and room.tissue.assumed]
    if assumed:
        yield "tissue_assumed", {"teeth": _list(assumed)}
    unmeasured = jaw.implants - len(rooms)
    if unmeasured > 0:
        yield "sites_missing", {"missing": unmeasured, "implants": jaw.implants}


def _list(teeth: Sequence[str]) -> str:
    return ", ".join(teeth)
