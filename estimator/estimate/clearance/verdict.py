"""The verdict on one option in one jaw: ruled in or out by the room that is there, and by how much."""

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from enum import StrEnum

from estimator.base.evidence import Evidence
from estimator.estimate.clearance.abutment_heights import Collars, choose_collars
from estimator.estimate.clearance.abutment_levels import Levels
from estimator.estimate.clearance.along import AlongBar, check_along, list_bar_figures
from estimator.estimate.clearance.cautions import Caution, Found, list_cautions, word_caution
from estimator.estimate.clearance.chance.jaw import JawMargins, chance_in_jaws
from estimator.estimate.clearance.chance.room_errors import (
    OPEN_SET_UP,
    OPEN_SET_UPS,
    RoomErrors,
    face_open_set_ups,
    find_room_errors,
    is_set_up_accepted,
)
from estimator.estimate.clearance.conversion import ConversionCheck, check_conversion
from estimator.estimate.clearance.findings.abutment import find_abutment
from estimator.estimate.clearance.findings.along import find_along
from estimator.estimate.clearance.findings.denture import find_denture
from estimator.estimate.clearance.findings.height import find_height
from estimator.estimate.clearance.findings.number import find_number
from estimator.estimate.clearance.findings.path import find_path
from estimator.estimate.clearance.findings.shared_space import (
    SHARED_SPACE,
    asks_shared_space,
    compare_shared_space,
    find_shared_space,
)
from estimator.estimate.clearance.findings.width import judge_width
from estimator.estimate.clearance.geometry.placed import PlacedJaw, place_implants
from estimator.estimate.clearance.layers import Layer, LayerFinding, find_headline, say_finding, word_layer
from estimator.estimate.clearance.making_room import list_ways
from estimator.estimate.clearance.published_minima import Opinion, list_opinions
from estimator.estimate.clearance.sites import (
    SiteCheck,
    check_sites,
    find_chances,
    find_limiting,
    reach_least,
    share_errors,
)
from estimator.estimate.clearance.stack import SiteRoom, add_stack, find_tissue, list_rooms
from estimator.inputs.case.model import Case, DenturePlan, Jaw, Method, Site
from estimator.inputs.options.model import Attachments, Option
from estimator.inputs.practice_bundle import Practice
from estimator.inputs.reference.layers import LayerKey, LayerState


class Verdict(StrEnum):
    """What the check says; the words a reader sees are in the wording files."""

    FITS = "fits"
    TIGHT = "tight"
    DOES_NOT_FIT = "does_not_fit"
    NOT_MEASURED = "not_measured"


VERDICTS = {
    LayerState.CONTRADICTION: Verdict.NOT_MEASURED,
    LayerState.NOT_ENOUGH: Verdict.DOES_NOT_FIT,
    LayerState.NOT_MEASURED: Verdict.NOT_MEASURED,
    LayerState.CLOSE: Verdict.TIGHT,
    LayerState.ROOM: Verdict.FITS,
}
"""The word for a state of a layer; measurements that contradict each other are none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlierVerdict:
    """What the check says of an earlier measurement of the same jaw, with today's parts. Lengths [mm]."""

    measured_on: date
    verdict: Verdict
    finding: str
    space_mm: Decimal | None
    margin_mm: Decimal | None
    shortage_mm: Decimal
    limiting_site: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearance:
    """The check of one option in one jaw. Lengths [mm] from the soft tissue crest.

    Stack, room and margin are those of the limiting site: `margin_mm` is room minus usual stack, `shortage_mm` what is
    missing below the least stack. `chance_range` is the chance of fit with the low and the high assumption of how much
    error all sites share. Room, margin, site and chance are None where nothing was measured. `provisional`: the set-up
    is not accepted yet. `levels` is the most level choice of abutment heights, None for an option without collars.
    `layers` are all that is asked; the worst of them decides. `placed` are the implants on the curve of the crest.
    `margins` are those to the usual stack with all that may be wrong with them.
    """

    layers: tuple[Layer, ...]
    placed: PlacedJaw
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
    sites: tuple[SiteCheck, ...] = ()
    margins: JawMargins | None = None
    levels: Levels | None = None
    along: AlongBar | None = None
    conversion: ConversionCheck | None = None
    opinions: tuple[Opinion, ...] = ()
    ways: tuple[Caution, ...] = ()
    cautions: tuple[Caution, ...] = ()
    earlier: EarlierVerdict | None = None

    @property
    def headline(self) -> Layer:
        """The layer that decides: the worst of all that count for this option."""
        return find_headline(self.layers)[0]

    @property
    def others(self) -> tuple[Layer, ...]:
        """The other layers in the state of the headline."""
        return find_headline(self.layers)[1]

    @property
    def verdict(self) -> Verdict:
        """The state of the headline in one of four words; measurements that contradict each other are none."""
        return VERDICTS[self.headline.state]

    @property
    def short_mm(self) -> Decimal:
        """What the layer that rules this option out lacks below its least; 0 where none does, or it has no length."""
        return self.headline.short_mm if self.headline.state is LayerState.NOT_ENOUGH else Decimal(0)


def check_clearance(case: Case, jaw: Jaw, option: Option, practice: Practice) -> Clearance:
    """Check the room at every measured site, and along a bar, against what an option needs."""
    evidence, stack = practice.evidence, add_stack(option)
    rooms, collars = list_rooms(jaw, evidence), choose_collars(jaw, option, practice)
    placed = place_implants(jaw, practice.usual_arches[jaw.arch])
    counted = None
    if rooms and jaw.measurement is not None:
        errors = find_room_errors(case, jaw, {one.tooth: one.place.y_mm for one in placed.implants}, evidence)
        counted = _count_sites(jaw, option, rooms, collars, errors, evidence)
    along, levels = check_along(jaw, option, placed, evidence), collars[0].levels if collars else None
    conversion = check_conversion(jaw, option, counted.checks if counted else ())
    both = replace(case, jaws=tuple(jaw if one.arch is jaw.arch else one for one in case.jaws))
    shared = compare_shared_space(both, practice.usual_arches, evidence)
    found = Found(
        case=case, jaw=jaw, option=option, rooms=rooms, conversion=conversion, levels=levels, placed=placed,
        shared=shared,
    )  # fmt: skip
    blank = Clearance(
        layers=(), placed=placed,
        least_mm=stack.least_mm, required_mm=stack.usual_mm, most_mm=stack.most_mm, levels=levels, along=along,
        conversion=conversion, cautions=list_cautions(found, evidence, practice.cautions),
        earlier=_check_earlier(case, jaw, option, practice),
    )  # fmt: skip
    checked = _show_room(blank, jaw, option, practice, counted) if counted else blank
    findings = {
        LayerKey.SHARED_SPACE: find_shared_space(both, shared, evidence),
        **_find_layers(checked, counted, jaw, option, evidence),
    }
    layers = tuple(
        word_layer(finding, practice.layers[key], option.attachments, practice.settings.locale)
        for key, finding in findings.items()
    )
    return replace(checked, layers=layers, opinions=_find_opinions(checked, jaw, option, practice))


def _find_layers(
    checked: Clearance, counted: "_Counted | None", jaw: Jaw, option: Option, evidence: Evidence
) -> dict[LayerKey, LayerFinding]:
    """What each layer of this jaw alone finds, in the order that decides ties."""
    level = float(evidence.get("fit_level").value)
    checks, chances = (counted.checks, (counted.chances[1], counted.least)) if counted else ((), (0.0, 0.0))
    return {
        LayerKey.NUMBER: find_number(jaw, option, evidence),
        LayerKey.ABUTMENT: find_abutment(option, checked.levels, jaw.implants),
        LayerKey.HEIGHT: find_height(checks, jaw.implants, chances, level, checked.required_mm),
        LayerKey.DENTURE: find_denture(checked.conversion, jaw.implants, evidence),
        LayerKey.ALONG: find_along(checked.along, evidence),
        LayerKey.WIDTH: judge_width(jaw, option, evidence),
        LayerKey.PATH: find_path(jaw, option, checked.placed, evidence),
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class _Counted:
    """Sites with the collars that count, the chances of the usual stack, and that of the least one at every site."""

    checks: tuple[SiteCheck, ...]
    chances: tuple[float, float, float]
    least: float
    margins: JawMargins
    error_mm: Decimal
    levels_cost_room: bool


def _count_sites(
    jaw: Jaw,
    option: Option,
    rooms: tuple[SiteRoom, ...],
    collars: tuple[Collars, Collars] | None,
    errors: RoomErrors,
    evidence: Evidence,
) -> _Counted:
    checks, chances, levels_cost_room = _choose_collars(jaw, option, rooms, collars, errors, evidence)
    margins = share_errors(checks, errors, float(evidence.get("error_correlation").value))
    return _Counted(
        checks=checks,
        chances=chances,
        least=chance_in_jaws(reach_least(margins, checks)),
        margins=margins,
        error_mm=errors.method_mm,
        levels_cost_room=levels_cost_room,
    )


def _show_room(blank: Clearance, jaw: Jaw, option: Option, practice: Practice, counted: _Counted) -> Clearance:
    """The clearance with the room of the limiting site, its chance, ways to make room and what to note."""
    checks, chances, error = counted.checks, counted.chances, counted.error_mm
    notes: tuple[Caution, ...] = ()
    if counted.levels_cost_room:
        notes += (word_caution(practice.cautions["levels_cost_room"], {}),)
    limiting, whole = find_limiting(checks), len(checks) >= jaw.implants
    within_error = 0 < limiting.shortage_mm < error
    if within_error:
        values = {"shortage": f"{limiting.shortage_mm:.2f}", "error": f"{error:.2f}"}
        notes += (word_caution(practice.cautions["within_error"], values),)
    return replace(
        blank,
        least_mm=limiting.stack.least_mm,
        required_mm=limiting.stack.usual_mm,
        most_mm=limiting.stack.most_mm,
        space_mm=limiting.room_mm,
        margin_mm=limiting.margin_mm,
        shortage_mm=limiting.shortage_mm,
        limiting_site=limiting.tooth,
        chance_of_fit=chances[1] if whole else None,
        chance_range=(chances[0], chances[2]) if whole else None,
        error_mm=error,
        within_error=within_error,
        provisional=not is_set_up_accepted(jaw),
        sites=checks,
        margins=counted.margins,
        ways=list_ways(jaw, option, checks, practice.evidence, practice.ways),
        cautions=blank.cautions + notes,
    )


def _choose_collars(
    jaw: Jaw,
    option: Option,
    rooms: tuple[SiteRoom, ...],
    collars: tuple[Collars, Collars] | None,
    errors: RoomErrors,
    evidence: Evidence,
) -> tuple[tuple[SiteCheck, ...], tuple[float, float, float], bool]:
    """Sites and chances on the most level collars, else on the lowest; and whether level ones would cost the fit."""
    lowest, most_level = collars or (None, None)
    level = float(evidence.get("fit_level").value)
    checks = check_sites(jaw, option, rooms, lowest, errors, evidence)
    chances = find_chances(checks, errors, evidence)
    if most_level is None or lowest is None or most_level.heights_mm == lowest.heights_mm:
        return checks, chances, False
    levelled = check_sites(jaw, option, rooms, most_level, errors, evidence)
    level_chances = find_chances(levelled, errors, evidence)
    if (level_chances[1] >= level) == (chances[1] >= level):
        return levelled, level_chances, False
    return checks, chances, True


def _find_opinions(clearance: Clearance, jaw: Jaw, option: Option, practice: Practice) -> tuple[Opinion, ...]:
    """Published minima read at the limiting site; without one at a site with the usual tissue of the arch."""
    site = next((s for s in jaw.sites if s.tooth == clearance.limiting_site), Site(tooth=""))
    tissue = find_tissue(site, jaw.arch, practice.evidence).thickness_mm
    return list_opinions(
        jaw, option, practice.minima, site=site, tissue_mm=tissue, room_mm=clearance.space_mm
    )  # fmt: skip


def _check_earlier(case: Case, jaw: Jaw, option: Option, practice: Practice) -> EarlierVerdict | None:
    if jaw.earlier is None:
        return None
    before = replace(
        jaw, implants_present=jaw.earlier.implants_present, measurement=jaw.earlier.measurement,
        sites=jaw.earlier.sites, earlier=None,
    )  # fmt: skip
    clearance = check_clearance(replace(case, jaws=(before,)), before, option, practice)
    return EarlierVerdict(
        measured_on=jaw.earlier.measured_on,
        verdict=clearance.verdict,
        finding=say_finding(clearance.layers, patient=False),
        space_mm=clearance.space_mm,
        margin_mm=clearance.margin_mm,
        shortage_mm=clearance.short_mm,
        limiting_site=clearance.limiting_site,
    )


def list_clearance_figures(case: Case, jaw: Jaw, option: Option, evidence: Evidence) -> tuple[str, ...]:
    """Keys of the figures a verdict rests on besides the stack."""
    beside = _list_beside(jaw, option) + (SHARED_SPACE if asks_shared_space(case) else ())
    if jaw.measurement is None:
        return beside
    keys = ["fit_level", "error_correlation", *beside]
    if jaw.measurement.error_mm is None:
        keys.append(f"error_{Method(jaw.measurement.method)}")
    if not is_set_up_accepted(jaw):
        keys += OPEN_SET_UPS if face_open_set_ups(case, jaw) else OPEN_SET_UP
    if option.on_implants and not jaw.implants_present:
        keys.append(f"depth_error_{jaw.placement}")
    tissues = [room.tissue for room in list_rooms(jaw, evidence) if room.tissue]
    collars = option.collar is not None and any(site.tissue_mm is not None for site in jaw.sites)
    if any(t.assumed is None for t in tissues) or collars:
        keys.append("tissue_error_measured")
    if collars:
        keys += ["collar_rise_floor", "collar_rise_ceiling"]
    if any(t.assumed is not None for t in tissues):
        keys += [f"tissue_{jaw.arch}", f"tissue_sd_{jaw.arch}"]
    return tuple(keys)


def _list_beside(jaw: Jaw, option: Option) -> tuple[str, ...]:
    """Keys of the figures of the layers beside the height: present denture, width, bar."""
    keys: tuple[str, ...] = ()
    if option.on_implants and option.conversion.possible and jaw.denture is DenturePlan.CONVERT:
        keys += ("thickness_error",)
    if option.on_implants and any(site.width_mm is not None for site in jaw.sites):
        keys += ("housing_width", "width_error")
    if option.attachments is Attachments.ON_BAR and jaw.implants > 1:
        keys += list_bar_figures(jaw)
    return keys
