"""Why a plan may pay nothing for a line, one function a reason. Each is asked, so that every reason is known."""

from datetime import date
from decimal import Decimal

from estimator.base.days import add_months
from estimator.base.money import round_money
from estimator.inputs.plans.model import Frequency
from estimator.quote.benefits.adjudication import Draft, PlanStanding, Rule
from estimator.quote.benefits.claim import Reason, give_reason


def exclude_not_covered(draft: Draft, standing: PlanStanding) -> Draft:
    """A line of no benefit class, unless a fixed amount or an allowance pays for it."""
    plan, line = standing.plan, draft.line
    if standing.subsidy or is_from_allowance(draft, standing):
        return draft
    covered = plan.find_class(line.key, line.kind, line.benefit_class)
    return draft if covered else _exclude(draft, give_reason("not_covered"))


def exclude_before_cover(draft: Draft, standing: PlanStanding) -> Draft:
    """A line counted on a day before the patient's cover began."""
    since = standing.plan.member.covered_since
    if since is None or draft.counted_on >= since:
        return draft
    return _exclude(draft, give_reason("before_cover", since=since, counted_on=draft.counted_on))


def exclude_waiting(draft: Draft, standing: PlanStanding) -> Draft:
    """A line within the waiting period of its class; where it is not known when cover began, nothing is promised."""
    plan, line = standing.plan, draft.line
    found = plan.find_class(line.key, line.kind, line.benefit_class)
    since = plan.member.covered_since
    if found is None or not found.waiting_months:
        return draft
    if since is None:
        return _exclude(draft, give_reason("waiting_unknown", months=found.waiting_months))
    ends_on = add_months(since, found.waiting_months)
    if draft.counted_on >= ends_on:
        return draft
    return _exclude(draft, give_reason("waiting", months=found.waiting_months, ends_on=ends_on))


def exclude_missing_tooth(draft: Draft, standing: PlanStanding) -> Draft:
    """A line for teeth that were lost before cover began; not knowing it counts as lost before."""
    clause, member = standing.plan.missing_tooth, standing.plan.member
    if clause is None or not clause.holds(draft.line.key, draft.benefit_class):
        return draft
    if member.teeth_lost_on is None or member.covered_since is None:
        return _exclude(draft, give_reason("missing_tooth_unknown"))
    if member.teeth_lost_on >= member.covered_since:
        return draft
    return _exclude(draft, give_reason("missing_tooth", lost_on=member.teeth_lost_on, since=member.covered_since))


def exclude_too_often(draft: Draft, standing: PlanStanding) -> Draft:
    """What is more than the plan pays for in so many months; the least that any rule leaves of the quantity counts."""
    line, whole = draft.line, draft.basis
    for rule in standing.plan.frequencies:
        if not rule.scope.holds(line.key, draft.benefit_class):
            continue
        left = max(0, rule.times - _count_services(rule, draft.counted_on, standing))
        if left < line.quantity:
            reason = give_reason("frequency", times=rule.times, months=rule.months, left=left)
            part = round_money(whole * left / line.quantity, standing.quantum)
            draft = draft.add(reason, basis=min(draft.basis, part))
    return draft


def exclude_too_soon(draft: Draft, standing: PlanStanding) -> Draft:
    """A new denture before the present one has served its time."""
    rule = standing.plan.replacement
    if rule is None or not rule.scope.holds(draft.line.key, draft.benefit_class):
        return draft
    placed_on = _find_present_denture(draft, standing)
    eligible_on = add_months(placed_on, rule.months) if placed_on else draft.counted_on
    if placed_on is None or draft.counted_on >= eligible_on:
        return draft
    return _exclude(draft, give_reason("replacement", months=rule.months, placed_on=placed_on, eligible_on=eligible_on))


EXCLUSIONS: tuple[Rule, ...] = (
    exclude_not_covered,
    exclude_before_cover,
    exclude_waiting,
    exclude_missing_tooth,
    exclude_too_often,
    exclude_too_soon,
)


def is_from_allowance(draft: Draft, standing: PlanStanding) -> bool:
    """Whether a yearly allowance pays for the line."""
    allowance = standing.plan.yearly_allowance
    held = allowance is not None and allowance.scope.holds(draft.line.key, draft.benefit_class)
    return held and standing.subsidy is None


def _exclude(draft: Draft, reason: Reason) -> Draft:
    return draft.add(reason, basis=Decimal(0))


def _count_services(rule: Frequency, day: date, standing: PlanStanding) -> int:
    """Services the rule is about that are not yet so many months past on that day."""
    return sum(
        quantity
        for line, benefit_class, on, quantity in standing.ledger.services
        if rule.scope.holds(line, benefit_class) and on <= day < add_months(on, rule.months)
    )


def _find_present_denture(draft: Draft, standing: PlanStanding) -> date | None:
    """The present denture in the line's jaw; for a line of the whole case the one that came last."""
    dentures = standing.plan.member.dentures
    if draft.line.arch is not None:
        return dentures.get(draft.line.arch)
    return max(dentures.values(), default=None)
