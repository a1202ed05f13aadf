"""The rules of a plan in the order they are applied: allowed amount to what it pays, each a small function."""

from decimal import Decimal

from estimator.base.money import round_money
from estimator.inputs.plans.model import Limit
from estimator.quote.benefits.adjudication import ZERO, Draft, PlanStanding, Rule
from estimator.quote.benefits.bundles import find_allowed
from estimator.quote.benefits.claim import give_reason
from estimator.quote.benefits.coordination import coordinate
from estimator.quote.benefits.exclusions import EXCLUSIONS, is_from_allowance


def use_allowed_amount(draft: Draft, standing: PlanStanding) -> Draft:
    """The plan bases its payment on its allowed amount; without one, on the fee."""
    allowed = find_allowed(draft.line, standing.plan, standing.quantum)
    if draft.line.key not in standing.plan.allowed:
        return draft.add(give_reason("fee_taken"), allowed=allowed, basis=allowed)
    return draft.add(give_reason("allowed", allowed=allowed), allowed=allowed, basis=allowed)


def use_alternate(draft: Draft, standing: PlanStanding) -> Draft:
    """The benefit is computed on a cheaper acceptable service; it sets payment, not treatment."""
    if standing.alternate is None or standing.alternate[1] >= draft.basis:
        return draft
    instead, part = standing.alternate
    return draft.add(give_reason("alternate", instead=instead, basis=part), basis=part)


def take_deductible(draft: Draft, standing: PlanStanding) -> Draft:
    """What is left of the deductible in the benefit year comes off first; the patient pays it.

    A line that the plan pays 0 % of is not covered, so it meets no deductible (uniform glossary: rule).
    """
    limit = standing.plan.deductible
    if draft.excluded or limit is None or not _pays_percentage(draft, standing) or not _holds(limit, draft):
        return draft
    taken = min(draft.basis, _find_left(limit, standing.ledger.deductible.get(draft.year, ZERO)))
    return draft.add(give_reason("deductible", amount=taken), deductible=taken) if taken else draft


def take_benefit(draft: Draft, standing: PlanStanding) -> Draft:
    """The plan's percentage of what is left, rounded half up; or a fixed amount, or what an allowance still holds."""
    if draft.excluded:
        return draft
    if standing.subsidy is not None:
        finding, part = standing.subsidy
        amount = min(part, draft.basis)
        return draft.add(give_reason("subsidy", finding=finding, amount=amount), percent=Decimal(100), normal=amount)
    if is_from_allowance(draft, standing):
        return _take_allowance(draft, standing)
    return _take_percentage(draft, standing)


def _take_allowance(draft: Draft, standing: PlanStanding) -> Draft:
    limit = standing.plan.yearly_allowance or Limit(amount=ZERO)
    left = _find_left(limit, standing.ledger.allowance.get(draft.year, ZERO))
    amount = min(draft.basis, left)
    reason = give_reason("allowance", left=left, amount=amount)
    return draft.add(reason, percent=Decimal(100), normal=amount, from_allowance=True)


def _take_percentage(draft: Draft, standing: PlanStanding) -> Draft:
    percent = _find_percent(draft, standing)
    base = draft.basis - draft.deductible
    amount = round_money(base * percent / 100, standing.quantum)
    return draft.add(give_reason("percentage", percent=percent, base=base), percent=percent, normal=amount)


def cap_lifetime(draft: Draft, standing: PlanStanding) -> Draft:
    """The plan never pays more than its lifetime maximum."""
    limit = standing.plan.lifetime_maximum
    if limit is None or not _holds(limit, draft):
        return draft
    return _cap(draft, "lifetime_maximum", _find_left(limit, standing.ledger.lifetime))


def cap_year(draft: Draft, standing: PlanStanding) -> Draft:
    """The plan never pays more than its annual maximum in one benefit year."""
    limit = standing.plan.annual_maximum
    if limit is None or not _holds(limit, draft):
        return draft
    return _cap(draft, "annual_maximum", _find_left(limit, standing.ledger.annual.get(draft.year, ZERO)))


RULES: tuple[Rule, ...] = (
    use_allowed_amount,
    use_alternate,
    *EXCLUSIONS,
    take_deductible,
    take_benefit,
    cap_lifetime,
    cap_year,
    coordinate,
)


def apply_rules(draft: Draft, standing: PlanStanding) -> Draft:
    """Every rule in its order; a line without a fee needs none."""
    if not draft.line.fee:
        return draft.add(give_reason("included"))
    for rule in RULES:
        draft = rule(draft, standing)
    return draft


def _find_percent(draft: Draft, standing: PlanStanding) -> Decimal:
    line = draft.line
    found = standing.plan.find_class(line.key, line.kind, line.benefit_class)
    return found.plan_pays_percent if found else ZERO


def _pays_percentage(draft: Draft, standing: PlanStanding) -> bool:
    by_amount = standing.subsidy is not None or is_from_allowance(draft, standing)
    return not by_amount and _find_percent(draft, standing) > 0


def _holds(limit: Limit, draft: Draft) -> bool:
    return limit.scope.holds(draft.line.key, draft.benefit_class)


def _find_left(limit: Limit, used: Decimal) -> Decimal:
    return max(ZERO, limit.amount - used)


def _cap(draft: Draft, key: str, left: Decimal) -> Draft:
    return draft if draft.normal <= left else draft.add(give_reason(key, left=left), normal=left)
