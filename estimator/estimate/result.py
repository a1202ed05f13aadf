"""estimate_case(): puts clearance, cost, visits and upkeep together, with the basis of every number."""

from dataclasses import dataclass
from decimal import Decimal

from estimator.base.evidence import Figure
from estimator.estimate.clearance.verdict import Clearance, check_clearance, list_clearance_figures
from estimator.estimate.cost import Fees, PracticeCost, find_practice_cost, price_option
from estimator.estimate.look_ahead import plan_upkeep
from estimator.estimate.own_rates import list_blended_figures
from estimator.estimate.upkeep.years import Upkeep, equivalent_annual_cost, estimate_upkeep
from estimator.estimate.visits import VisitPlan, plan_visits, waits_longer
from estimator.inputs.case import Case, Jaw
from estimator.inputs.options import Option
from estimator.inputs.practice import Practice


@dataclass(frozen=True, slots=True, kw_only=True)
class NotApplicable:
    """An option that cannot apply in a jaw, and why."""

    key: str
    name: str
    patient_name: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """One option in one jaw: room, fees, visits, upkeep. `basis` holds every figure it rests on."""

    key: str
    name: str
    patient_name: str
    clearance: Clearance
    fees: Fees
    practice_cost: PracticeCost
    visits: VisitPlan
    upkeep: Upkeep
    upkeep_labels: tuple[tuple[str, str], ...]
    total_over_years: Decimal
    equivalent_annual_cost: Decimal
    basis: tuple[Figure, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class JawEstimate:
    """All options in one jaw, in the order of the option files."""

    jaw: Jaw
    options: tuple[Estimate | NotApplicable, ...]

    @property
    def estimates(self) -> tuple[Estimate, ...]:
        """The options that apply."""
        return tuple(o for o in self.options if isinstance(o, Estimate))


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseEstimate:
    """The answer to a case: one estimate a jaw and option, at one practice's prices."""

    case: Case
    practice: Practice
    years: int
    jaws: tuple[JawEstimate, ...]

    @property
    def basis(self) -> tuple[Figure, ...]:
        """Every figure used anywhere in the case, each once, in the order of first use."""
        used = [f for jaw in self.jaws for estimate in jaw.estimates for f in estimate.basis]
        return tuple({f.key: f for f in used}.values())


def estimate_case(case: Case, practice: Practice, *, years: int = 10) -> CaseEstimate:
    """Estimate every option in every jaw, looking `years` (1 to 30) ahead."""
    return CaseEstimate(
        case=case,
        practice=practice,
        years=years,
        jaws=tuple(_estimate_jaw(case, jaw, practice, years) for jaw in case.jaws),
    )


def _estimate_jaw(case: Case, jaw: Jaw, practice: Practice, years: int) -> JawEstimate:
    applicable = [option for option in practice.options if _explain_not_applicable(option, jaw) is None]
    first = {option.key: price_option(jaw, option, practice.fees) for option in applicable}
    ahead = estimate_upkeep(
        tuple(plan_upkeep(jaw, option, practice.fees) for option in applicable),
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
    return JawEstimate(jaw=jaw, options=tuple(made.get(o.key) or _refuse(o, jaw) for o in practice.options))


def _explain_not_applicable(option: Option, jaw: Jaw) -> str | None:
    if option.on_implants and jaw.implants < option.least_implants:
        return f"needs at least {option.least_implants} implants; this jaw has {jaw.implants}"
    return None


def _refuse(option: Option, jaw: Jaw) -> NotApplicable:
    reason = _explain_not_applicable(option, jaw) or ""
    return NotApplicable(key=option.key, name=option.name, patient_name=option.patient_name, reason=reason)


def _make_estimate(case: Case, jaw: Jaw, option: Option, practice: Practice, fees: Fees, upkeep: Upkeep) -> Estimate:
    rate = float(practice.evidence.get("discount_rate").value)
    quantum = practice.fees.quantum
    annual = equivalent_annual_cost(fees.total, upkeep.discounted, rate, upkeep.years, quantum=quantum)
    labels = {item.key: item.patient_label for item in option.upkeep if item.applies_to(jaw)}
    if option.renewal:
        labels["denture_renewal"] = option.renewal.patient_label
    return Estimate(
        key=option.key,
        name=option.name_in(jaw),
        patient_name=option.name_in(jaw, patient=True),
        clearance=check_clearance(case, jaw, option, practice),
        fees=fees,
        practice_cost=find_practice_cost(fees, practice.fees, practice.settings.chair_cost_per_hour),
        visits=plan_visits(jaw, option, practice.evidence),
        upkeep=upkeep,
        upkeep_labels=tuple(labels.items()),
        total_over_years=fees.total + upkeep.expected,
        equivalent_annual_cost=annual,
        basis=_list_basis(jaw, option, practice),
    )


def _list_basis(jaw: Jaw, option: Option, practice: Practice) -> tuple[Figure, ...]:
    keys = (*list_clearance_figures(jaw, option, practice.evidence), "discount_rate", "inflation")
    if waits_longer(jaw):
        keys += ("maxilla_extra_weeks",)
    items = [item for item in option.upkeep if item.applies_to(jaw)]
    figures = [part.figure for part in option.stack]
    figures += [practice.evidence.get(key) for key in keys]
    figures += [f for item in items for f in (item.first_year, item.later)]
    figures += list_blended_figures(jaw, option)
    figures += [option.renewal.mean_life, option.renewal.shape] if option.renewal else []
    return tuple({f.key: f for f in figures}.values())
