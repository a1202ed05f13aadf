"""A clearance as plain JSON values: lengths are text, chances and angles are numbers."""

from decimal import Decimal
from typing import Any

from estimator.estimate.clearance.abutment_levels import ChosenHeight, Levels
from estimator.estimate.clearance.along import AlongBar
from estimator.estimate.clearance.cautions import Caution
from estimator.estimate.clearance.conversion import ConversionCheck
from estimator.estimate.clearance.layers import Layer
from estimator.estimate.clearance.published_minima import Opinion, count_met
from estimator.estimate.clearance.sites import SiteCheck
from estimator.estimate.clearance.verdict import Clearance, EarlierVerdict

Json = dict[str, Any]


def mm_to_text(length: Decimal | None) -> str | None:
    """A length with two decimals."""
    return None if length is None else f"{length:.2f}"


def clearance_to_dict(clearance: Clearance) -> Json:
    """The whole check of one option; keys may be added later, never renamed."""
    chance, met = clearance.chance_of_fit, count_met(clearance.opinions)
    headline = clearance.headline
    return {
        "verdict": clearance.verdict.value,
        "headline": headline.key.value,
        "layers": [_show_layer(layer) for layer in clearance.layers],
        "chance_usual": _round_chance(headline.chance_usual),
        "chance_least": _round_chance(headline.chance_least),
        "least_mm": mm_to_text(clearance.least_mm),
        "required_mm": mm_to_text(clearance.required_mm),
        "most_mm": mm_to_text(clearance.most_mm),
        "space_mm": mm_to_text(clearance.space_mm),
        "margin_mm": mm_to_text(clearance.margin_mm),
        "shortage_mm": mm_to_text(clearance.shortage_mm),
        "limiting_site": clearance.limiting_site,
        "error_mm": mm_to_text(clearance.error_mm),
        "chance_of_fit": _round_chance(chance),
        "chance_of_fit_range": [round(c, 4) for c in clearance.chance_range or ()] or None,
        "within_error": clearance.within_error,
        "provisional": clearance.provisional,
        "sites": [_show_site(check) for check in clearance.sites],
        "abutments": None if clearance.levels is None else _show_levels(clearance.levels, clearance.sites),
        "along_bar": None if clearance.along is None else _show_along(clearance.along),
        "present_denture": None if clearance.conversion is None else _show_conversion(clearance.conversion),
        "places": _show_places(clearance.along),
        "geometry": _show_geometry(clearance),
        "published_minima": [_show_opinion(opinion) for opinion in clearance.opinions],
        "minima_met": None if met is None else met[0],
        "could_make_room": [_show_caution(way) for way in clearance.ways],
        "earlier": None if clearance.earlier is None else _show_earlier(clearance.earlier),
        "cautions": [_show_caution(caution) for caution in clearance.cautions],
    }


def _show_layer(layer: Layer) -> Json:
    return {
        "key": layer.key.value,
        "state": layer.state.value,
        "may_rule_out": layer.may_rule_out,
        "chance_usual": _round_chance(layer.chance_usual),
        "chance_least": _round_chance(layer.chance_least),
        "margin_mm": mm_to_text(layer.margin_mm),
        "short_mm": mm_to_text(layer.short_mm),
        "site": layer.site,
        "text": layer.text,
        "source": layer.source,
        "how_sure": layer.how_sure.value if layer.how_sure else None,
    }


def _round_chance(chance: float | None) -> float | None:
    return None if chance is None else round(chance, 4)


def _show_site(check: SiteCheck) -> Json:
    tissue = check.tissue
    return {
        "tooth": check.tooth,
        "space_mm": mm_to_text(check.room_mm),
        "least_mm": mm_to_text(check.stack.least_mm),
        "required_mm": mm_to_text(check.stack.usual_mm),
        "margin_mm": mm_to_text(check.margin_mm),
        "shortage_mm": mm_to_text(check.shortage_mm),
        "chance_of_fit": round(check.chance, 4),
        "tissue_taken_off_mm": None if tissue is None else mm_to_text(tissue.thickness_mm),
        "tissue_assumed": tissue is not None and tissue.assumed is not None,
        "abutment_height_mm": mm_to_text(check.collar_mm),
    }


def _show_levels(levels: Levels, checks: tuple[SiteCheck, ...]) -> Json:
    counted = {check.tooth: check.collar_mm for check in checks}
    return {
        "most_level": [
            {**_show_height(choice), "counted_mm": mm_to_text(counted.get(choice.tooth))} for choice in levels.chosen
        ],
        "difference_mm": mm_to_text(levels.difference_mm),
        "lowest": [_show_height(choice) for choice in levels.lowest],
        "lowest_difference_mm": mm_to_text(levels.lowest_difference_mm),
        "no_height_serves": list(levels.unserved),
        "why_not_served": [{"tooth": site.tooth, "why": site.why.value} for site in levels.unserved_sites],
        "not_measured": list(levels.unknown),
    }


def _show_height(choice: ChosenHeight) -> Json:
    return {
        "tooth": choice.tooth,
        "height_mm": mm_to_text(choice.height_mm),
        "above_tissue_mm": mm_to_text(choice.above_tissue_mm),
        "low_rise": choice.low_rise,
    }


def _show_along(along: AlongBar) -> Json:
    return {
        "attachments": along.attachments,
        "lowered_from": along.lowered_from,
        "carries": along.carries.value,
        "segment_count": along.segment_count,
        "places": along.places,
        "shortage_mm": mm_to_text(along.shortage_mm),
        "segments": [
            {"first": s.first, "second": s.second, "length_mm": mm_to_text(s.length_mm), "places": s.places}
            for s in along.segments
        ],
    }


def _show_conversion(check: ConversionCheck) -> Json:
    return {
        "needed_mm": mm_to_text(check.needed_mm),
        "base_stable": check.denture.base_stable,
        "tall_attachments": check.denture.tall_attachments,
        "sites": [
            {"tooth": s.tooth, "thickness_mm": mm_to_text(s.thickness_mm), "needed_mm": mm_to_text(s.needed_mm),
             "shortage_mm": mm_to_text(s.shortage_mm)}
            for s in check.sites
        ],
    }  # fmt: skip


def _show_places(along: AlongBar | None) -> Json | None:
    """Attachments planned on a bar, and those that surely enough have a place there."""
    if along is None or along.counted is None:
        return None
    return {
        "planned": along.attachments,
        "usual": along.counted.usual_places,
        "least": along.counted.least_places,
    }


def _show_geometry(clearance: Clearance) -> Json:
    """Where implants stand, seen from above; those whose position was not given are named."""
    placed, segments = clearance.placed, clearance.along.segments if clearance.along else ()
    path, spread = placed.path, placed.find_spread()
    return {
        "points_mm": [[one.tooth, round(one.place.x_mm, 2), round(one.place.y_mm, 2)] for one in placed.implants],
        "assumed": [one.tooth for one in placed.implants if one.assumed],
        "angles_deg": [[first, second, round(angle, 3)] for first, second, angle in placed.list_angles()],
        "common_path_deg": None if path is None else round(path.cone_deg, 3),
        "spread_mm": None if spread is None else round(spread, 2),
        "segments": [[one.first, one.second, float(one.length_mm), one.places] for one in segments],
    }


def _show_opinion(opinion: Opinion) -> Json:
    minimum = opinion.minimum
    return {
        "key": minimum.key,
        "label": minimum.label,
        "published_mm": [mm_to_text(minimum.low_mm), mm_to_text(minimum.high_mm)],
        "landmark": None if minimum.landmark is None else minimum.landmark.value,
        "from_soft_tissue_mm": [mm_to_text(opinion.low_mm), mm_to_text(opinion.high_mm)],
        "met": opinion.met,
        "source": minimum.source,
        "how_sure": minimum.how_sure.value,
        "note": minimum.note,
    }


def _show_earlier(earlier: EarlierVerdict) -> Json:
    return {
        "measured_on": earlier.measured_on.isoformat(),
        "verdict": earlier.verdict.value,
        "space_mm": mm_to_text(earlier.space_mm),
        "margin_mm": mm_to_text(earlier.margin_mm),
        "shortage_mm": mm_to_text(earlier.shortage_mm),
        "limiting_site": earlier.limiting_site,
    }


def _show_caution(caution: Caution) -> Json:
    return {"key": caution.key, "text": caution.text, "source": caution.source, "how_sure": caution.how_sure.value}
