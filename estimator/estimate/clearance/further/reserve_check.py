"""The reserve of a jaw: every option on implants checked again with each implant lost in turn."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.estimate.clearance.further.reserve import ImplantLost, has_reserve, keep_attachments, lose_each
from estimator.estimate.clearance.geometry.placed import place_implants
from estimator.estimate.clearance.layers import say_finding
from estimator.estimate.clearance.verdict import check_clearance
from estimator.estimate.look_ahead import find_rates
from estimator.estimate.upkeep.bar_renewal import chance_of_loss
from estimator.estimate.variants import apply_variants
from estimator.inputs.case.model import Case, Jaw, is_left
from estimator.inputs.options.model import Attachments, Option
from estimator.inputs.practice_bundle import Practice
from estimator.inputs.reference.layers import LayerKey, LayerState

_LOST = "implant_lost"


@dataclass(frozen=True, slots=True, kw_only=True)
class OptionLeft:
    """What is said of an option on the implants that are left: the layer that decides, its state, and one line."""

    key: str
    name: str
    headline: LayerKey
    state: LayerState
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AfterLoss:
    """One implant lost, and every option on the implants that are left."""

    lost: ImplantLost
    options: tuple[OptionLeft, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reserve:
    """Each loss in turn. `holds` is None where it is not known; `chance_needed` is that of a loss within the years."""

    losses: tuple[AfterLoss, ...]
    holds: bool | None
    chance_needed: float | None
    years: int


def check_reserve(case: Case, jaw: Jaw, practice: Practice, *, years: int) -> Reserve | None:
    """Lose each implant in turn and check every option that the jaw could have; None without a site for each."""
    options = [
        apply_variants(option, jaw, practice.variants)
        for option in practice.options
        if option.on_implants and option.least_implants <= jaw.implants
    ]
    teeth = [one.tooth for one in place_implants(jaw, practice.usual_arches[jaw.arch]).implants]
    if not options or len(teeth) != jaw.implants:
        return None
    losses = tuple(_check_loss(lost, teeth, case, jaw, options, practice) for lost in lose_each(teeth))
    return Reserve(
        losses=losses,
        holds=has_reserve([left.state for left in loss.options] for loss in losses),
        chance_needed=_find_chance_needed(jaw, options, years),
        years=years,
    )


def _check_loss(
    lost: ImplantLost, teeth: Sequence[str], case: Case, jaw: Jaw, options: Sequence[Option], practice: Practice
) -> AfterLoss:
    left = _take_out(jaw, lost, teeth)
    after = replace(case, jaws=tuple(left if one.arch is jaw.arch else one for one in case.jaws))
    return AfterLoss(lost=lost, options=tuple(_check_option(after, left, option, practice) for option in options))


def _check_option(case: Case, jaw: Jaw, option: Option, practice: Practice) -> OptionLeft:
    clearance = check_clearance(case, jaw, option, practice)
    return OptionLeft(
        key=option.key,
        name=option.name_in(jaw),
        headline=clearance.headline.key,
        state=clearance.headline.state,
        text=say_finding(clearance.layers, patient=False),
    )


def _take_out(jaw: Jaw, lost: ImplantLost, teeth: Sequence[str]) -> Jaw:
    """The jaw without that implant; a bar cut behind the next one loses its extension on that side."""
    cut_right = lost.tooth == teeth[0] and not is_left(lost.tooth)
    cut_left = lost.tooth == teeth[-1] and is_left(lost.tooth)
    return replace(
        jaw,
        implants=len(lost.left),
        attachments_on_bar=keep_attachments(jaw.bar_attachments, len(lost.left)),
        sites=tuple(site for site in jaw.sites if site.tooth != lost.tooth),
        earlier=None,
        bar_extension_right_mm=Decimal(0) if cut_right else jaw.bar_extension_right_mm,
        bar_extension_left_mm=Decimal(0) if cut_left else jaw.bar_extension_left_mm,
    )


def _find_chance_needed(jaw: Jaw, options: Sequence[Option], years: int) -> float | None:
    """The chance that an implant is lost, by the rates of implants that are not joined where an option has them."""
    ranked = sorted(options, key=lambda option: option.attachments is not Attachments.ON_IMPLANTS)
    for item in (item for option in ranked for item in option.upkeep):
        if item.later.key.startswith(_LOST) and item.applies_to(jaw):
            rates = find_rates(item)
            return chance_of_loss(years, implants=jaw.implants, lost=(rates.first_year, rates.later))
    return None
