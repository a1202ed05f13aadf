"""estimate_case(): puts clearance, cost, visits and upkeep together, with the basis of every number."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import combinations

from estimator.base.evidence import Figure
from estimator.base.problems import InputError
from estimator.estimate.clearance.along import plan_attachments
from estimator.estimate.clearance.making_room import name_other_options
from estimator.estimate.clearance.verdict import Clearance, Verdict, check_clearance, list_clearance_figures
from estimator.estimate.cost.charges import Fees, price_option
from estimator.estimate.cost.practice_cost import PracticeCost, find_practice_cost
from estimator.estimate.look_ahead import plan_upkeep
from estimator.estimate.own_rates import list_blended_figures
from estimator.estimate.upkeep.discounting import equivalent_annual_cost
from estimator.estimate.upkeep.pairs import find_chance_of_more, find_crossing_year
from estimator.estimate.upkeep.plan import UpkeepPlan, shares_life
from estimator.estimate.upkeep.years import Upkeep, estimate_upkeep
from estimator.estimate.variants import apply_variants, find_unpriced_variants, list_applied
from estimator.estimate.visits.appointments import VisitPlan, heals_first, plan_visits
from estimator.estimate.visits.upkeep_trips import UpkeepVisits, expect_visits
from estimator.inputs.case.model import Case, Jaw, Route
from estimator.inputs.options.model import Option
from estimator.inputs.options.variants import Variant
from estimator.inputs.practice_bundle import Practice


@dataclass(frozen=True, slots=True, kw_only=True)
class NotApplicable:
    """An option that cannot apply in a jaw, and why."""

    key: str
    name: str
    patient_name: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NotEstimated:
    """A way to go on whose upkeep is not estimated: why, and what it would take."""

    key: str
    reason: str
    needed: tuple[str, ...]


KEPT_DENTURE = (
    "the present denture is counted as lasting as long as a new one; how much sooner it is renewed is not estimated"
)
KEPT_ROUTES = (Route.CONVERT_PLANNED, Route.CONVERT_PRESENT)
NO_TREATMENT_NOW = NotEstimated(
    key="no_treatment",
    reason="not estimated: this tool holds no rate with a source for a denture kept as it is, or for going without",
    needed=(
        "adhesive used a year, with its source, and its price",
        "relines, fractures and sore-spot visits a year of a denture already worn, with their source",
        "the age of the denture",
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """One option in one jaw: room, fees, visits, upkeep. `basis` holds every figure it rests on.

    `upkeep_note` says what the upkeep leaves out in this jaw, empty where nothing. `variants` are those of the
    case that change this option.
    """

    key: str
    name: str
    patient_name: str
    clearance: Clearance
    fees: Fees
    practice_cost: PracticeCost
    visits: VisitPlan
    upkeep: Upkeep
    upkeep_labels: tuple[tuple[str, str], ...]
    upkeep_visits: UpkeepVisits
    upkeep_note: str
    total_over_years: Decimal
    equivalent_annual_cost: Decimal
    basis: tuple[Figure, ...]
    variants: tuple[Variant, ...] = ()

    def find_chance_above(self, amount: Decimal, first_cost: Decimal) -> float:
        """The chance that what is charged first and upkeep together are more than an amount."""
        return self.upkeep.law.find_chance_above(amount - first_cost)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two options over the same years, for two people alike, one with each.

    `chance` is that of the first costing more than the second, first cost included, a tie counted half. `crossing_year`
    is the first by the end of which the expected costs so far have met: 0 at delivery, None not within the years.
    `ahead` is how much more the first costs to begin with; `shared` says that one denture's life is that of both.
    """

    first: str
    second: str
    chance: float
    crossing_year: int | None
    ahead: Decimal
    shared: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class JawEstimate:
    """All options in one jaw, in the order of the option files, each beside each later one, and no treatment now."""

    jaw: Jaw
    options: tuple[Estimate | NotApplicable, ...]
    pairs: tuple[Pair, ...]
    no_treatment: NotEstimated = NO_TREATMENT_NOW

    @property
    def estimates(self) -> tuple[Estimate, ...]:
        """The options that apply."""
        return tuple(o for o in self.options if isinstance(o, Estimate))

    def compare_at(self, first_costs: Mapping[str, Decimal]) -> tuple[Pair, ...]:
        """The pairs where each option costs that much to begin with, by its key."""
        made = {one.key: one for one in self.estimates}
        return tuple(_move(pair, made, (first_costs[pair.first], first_costs[pair.second])) for pair in self.pairs)


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseEstimate:
    """The answer to a case: one estimate a jaw and option, at one practice's prices."""

    case: Case
    practice: Practice
    years: int
    jaws: tuple[JawEstimate, ...]

    @property
    def language(self) -> str:
        """That of the patient's sheets: the patient's own, else the practice's."""
        return self.case.patient.language or self.practice.settings.language

    @property
    def basis(self) -> tuple[Figure, ...]:
        """Every figure used anywhere in the case, each once, in the order of first use."""
        used = [f for jaw in self.jaws for estimate in jaw.estimates for f in estimate.basis]
        return tuple({f.key: f for f in used}.values())


def estimate_case(case: Case, practice: Practice, *, years: int = 10) -> CaseEstimate:
    """Estimate every option in every jaw, looking `years` (1 to 30) ahead.

    Raises InputError where the case asks for something that the fee schedule has no line for.
    """
    problems = find_unpriced_variants(case, practice)
    if problems:
        raise InputError(problems)
    return CaseEstimate(
        case=case,
        practice=practice,
        years=years,
        jaws=tuple(
            _estimate_jaw(
                case, plan_attachments(jaw, practice.usual_arches[jaw.arch], practice.evidence), practice, years
            )
            for jaw in case.jaws
        ),
    )


def _estimate_jaw(case: Case, jaw: Jaw, practice: Practice, years: int) -> JawEstimate:
    applicable = [
        apply_variants(option, jaw, practice.variants)
        for option in practice.options
        if explain_not_applicable(option, jaw) is None
    ]
    first = {option.key: price_option(jaw, option, practice.fees) for option in applicable}
    plans = tuple(plan_upkeep(jaw, option, practice.fees) for option in applicable)
    ahead = estimate_upkeep(
        plans,
        years=years,
        discount_rate=float(practice.evidence.get("discount_rate").value),
        inflation=float(practice.evidence.get("inflation").value),
        quantum=practice.fees.quantum,
        first_costs=tuple(first[option.key].total for option in applicable),
    )
    made: dict[str, Estimate] = {
        option.key: _make_estimate(case, jaw, option, practice, first[option.key], upkeep)
        for option, upkeep in zip(applicable, ahead, strict=True)
    }
    options = tuple(made.get(o.key) or _refuse(o, jaw) for o in practice.options)
    return JawEstimate(
        jaw=jaw,
        options=tuple(_name_others(option, options, practice) for option in options),
        pairs=tuple(_pair(*two) for two in combinations(zip(made.values(), plans, strict=True), 2)),
    )


def _name_others(
    option: Estimate | NotApplicable, options: tuple[Estimate | NotApplicable, ...], practice: Practice
) -> Estimate | NotApplicable:
    """Where an option lacks room, the others that have it are a way too."""
    if isinstance(option, NotApplicable) or option.clearance.verdict is not Verdict.DOES_NOT_FIT:
        return option
    roomy = (Verdict.FITS, Verdict.TIGHT)
    names = [o.name for o in options if isinstance(o, Estimate) and o.clearance.verdict in roomy]
    ways = option.clearance.ways + name_other_options(names, practice.ways)
    return replace(option, clearance=replace(option.clearance, ways=ways))


def _pair(first: tuple[Estimate, UpkeepPlan], second: tuple[Estimate, UpkeepPlan]) -> Pair:
    (a, plan), (b, other) = first, second
    return _compare(a, b, (a.fees.total, b.fees.total), shared=shares_life(plan, other))


def _move(pair: Pair, made: Mapping[str, Estimate], first_costs: tuple[Decimal, Decimal]) -> Pair:
    """The same pair where nothing moves: most offers have no discount, and need not wait."""
    if first_costs[0] - first_costs[1] == pair.ahead:
        return pair
    return _compare(made[pair.first], made[pair.second], first_costs, shared=pair.shared)


def _compare(a: Estimate, b: Estimate, first_costs: tuple[Decimal, Decimal], *, shared: bool) -> Pair:
    ahead = first_costs[0] - first_costs[1]
    return Pair(
        first=a.key,
        second=b.key,
        chance=find_chance_of_more(a.upkeep.law, b.upkeep.law, ahead=ahead, shared=shared),
        crossing_year=find_crossing_year(first_costs, a.upkeep.by_year, b.upkeep.by_year),
        ahead=ahead,
        shared=shared,
    )


def explain_not_applicable(option: Option, jaw: Jaw) -> str | None:
    """Why an option cannot be had in a jaw; None where it can."""
    if option.on_implants and not jaw.implants:
        return "needs implants; in this jaw none are planned"
    if option.on_implants and jaw.implants < option.least_implants:
        return f"needs at least {option.least_implants} implants; this jaw has {jaw.implants}"
    return None


def _refuse(option: Option, jaw: Jaw) -> NotApplicable:
    reason = explain_not_applicable(option, jaw) or ""
    return NotApplicable(key=option.key, name=option.name, patient_name=option.patient_name, reason=reason)


def _make_estimate(case: Case, jaw: Jaw, option: Option, practice: Practice, fees: Fees, upkeep: Upkeep) -> Estimate:
    annual = find_annual_cost(fees.total, upkeep, practice)
    labels = {item.key: item.patient_label for item in option.upkeep if item.applies_to(jaw)}
    if option.renewal:
        labels["denture_renewal"] = option.renewal.patient_label
    return Estimate(
        key=option.key,
        name=option.name_in(jaw),
        patient_name=option.name_in(jaw, patient=True),
        clearance=check_clearance(case, jaw, option, practice),
        fees=fees,
        practice_cost=find_practice_cost(fees, practice.fees, practice.settings),
        visits=plan_visits(
            jaw, option, practice.evidence, practice.fees, ask_physician=_asks_physician(case, option, practice)
        ),
        upkeep=upkeep,
        upkeep_labels=tuple(labels.items()),
        upkeep_visits=expect_visits(jaw, option, practice.fees, upkeep.events),
        upkeep_note=KEPT_DENTURE if option.find_route(jaw) in KEPT_ROUTES and option.renewal else "",
        total_over_years=fees.total + upkeep.expected,
        equivalent_annual_cost=annual,
        basis=_list_basis(case, jaw, option, practice),
        variants=list_applied(option, jaw, practice.variants),
    )


def find_annual_cost(first_cost: Decimal, upkeep: Upkeep, practice: Practice) -> Decimal:
    """The same amount every year that is worth as much at delivery as first cost and upkeep."""
    rate, quantum = float(practice.evidence.get("discount_rate").value), practice.fees.quantum
    return equivalent_annual_cost(first_cost, upkeep.discounted, rate, upkeep.years, quantum=quantum)


def _asks_physician(case: Case, option: Option, practice: Practice) -> bool:
    """Whether a health flag that concerns this option waits for a physician's answer."""
    flags = (practice.cautions[flag] for flag in case.health)
    return any(flag.physician and (option.on_implants or not flag.implants_only) for flag in flags)


def _list_basis(case: Case, jaw: Jaw, option: Option, practice: Practice) -> tuple[Figure, ...]:
    keys = (*list_clearance_figures(case, jaw, option, practice.evidence), "discount_rate", "inflation")
    if heals_first(jaw, option):
        keys += (f"healing_{jaw.arch}",)
    items = [item for item in option.upkeep if item.applies_to(jaw)]
    figures = [part.figure for part in option.stack]
    figures += [practice.evidence.get(key) for key in keys]
    figures += [f for item in items for f in (item.first_year, item.later)]
    figures += list_blended_figures(jaw, option)
    figures += [option.renewal.mean_life, option.renewal.shape] if option.renewal else []
    told = (*(item.trips for item in items), option.renewal.trips if option.renewal else None)
    figures += [figure for figure in told if figure]
    return tuple({f.key: f for f in figures}.values())
