"""What benefit plans pay of each offer of a case, each alone, as plain JSON values and as text."""

from collections.abc import Mapping, Sequence
from typing import Any

from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate
from estimator.estimate.snapshot import show_money
from estimator.estimate.visits.snapshot import Dates
from estimator.inputs.payment.jurisdiction import DocumentKind, Profile
from estimator.inputs.payment.model import PaymentTerms
from estimator.inputs.plans.model import BenefitPlan
from estimator.inputs.reference.wording import Wording
from estimator.proposal.statement import Chosen, Offer, Statement
from estimator.quote.benefits.estimate import BenefitLine
from estimator.quote.benefits.explanations import Audience, say_phases, say_reason
from estimator.quote.benefits.on_options import compare_options
from estimator.quote.benefits.phasing import PhaseComparison

Json = dict[str, Any]


def take_benefit_snapshot(
    estimate: CaseEstimate,
    statement: Statement,
    plans: Sequence[BenefitPlan],
    profile: Profile,
    wording: Wording,
    dates: Dates,
) -> list[Json]:
    """One entry an offer, of what its lines come to as they are told; the profile must be settled on the fees."""
    known = _find_known(statement)
    return [
        _show_option(
            known.get((jaw.jaw.arch, option.key)) or _compare_alone(estimate, jaw, offer, plans, profile, dates),
            jaw, option, estimate, wording,
        )
        | {"title": profile.name_document(DocumentKind.BENEFIT), "first_visit": dates.start.isoformat()}
        for jaw, stated in zip(estimate.jaws, statement.jaws, strict=True)
        for option, offer in zip(jaw.estimates, stated.offers, strict=True)
    ]  # fmt: skip


def _find_known(statement: Statement) -> dict[Chosen, PhaseComparison]:
    """What the statement knows already of the one option that is chosen, unless a plan's answer stands in it."""
    if len(statement.decided) != 1 or not statement.help or statement.help[0].as_planned.answer is not None:
        return {}
    return {statement.decided[0]: statement.help[0]}


def _compare_alone(
    estimate: CaseEstimate,
    jaw: JawEstimate,
    offer: Offer,
    plans: Sequence[BenefitPlan],
    profile: Profile,
    dates: Dates,
) -> PhaseComparison:
    option = next(made for made in jaw.estimates if made.key == offer.key)
    terms = PaymentTerms(adjustments=tuple(one.adjustment for one in offer.price.adjusted.applied))
    return compare_options(
        [(jaw, option)], [one.line for one in offer.price.lines], terms, plans, profile, estimate.practice,
        first_visit=dates.start, closed=dates.closed,
    )  # fmt: skip


def _show_option(
    compared: PhaseComparison, jaw: JawEstimate, option: Estimate, estimate: CaseEstimate, wording: Wording
) -> Json:
    made, locale = compared.as_planned, estimate.practice.settings.locale
    currency = estimate.practice.fees.currency
    return {
        "jaw": jaw.jaw.arch.value,
        "option": option.key,
        "note": wording.say("benefits.not_a_guarantee"),
        "plans": [plan.key for plan in made.plans],
        "fee": show_money(made.fee),
        "plan_pays": [show_money(paid) for paid in made.plan_pays],
        "write_off": show_money(made.write_off),
        "patient_pays": show_money(made.patient_pays),
        "benefit_years": [
            {"plan": plan.key, "year": use.year, "deductible": show_money(use.deductible),
             "plan_pays": show_money(use.paid)}
            for plan, years in zip(made.plans, made.years, strict=True)
            for use in years
        ],
        "in_one_year": [
            {"which": other.which.value, "gain": show_money(other.gain)} for other in compared.in_one_year
        ],
        "told": list(say_phases(compared, wording, locale=locale, currency=currency)),
        "lines": [_show_line(line, wording, locale, currency) for line in made.lines],
    }  # fmt: skip


def _show_line(line: BenefitLine, wording: Wording, locale: str, currency: str) -> Json:
    def say(reasons: Sequence[Any]) -> list[str]:
        return [say_reason(r, wording, reader=Audience.OFFICE, locale=locale, currency=currency) for r in reasons]

    return {
        "line": line.line.key,
        "jaw": line.line.arch.value if line.line.arch else None,
        "fee": show_money(line.line.fee),
        "allowed": [show_money(share.allowed) for share in line.shares],
        "plan_pays": [show_money(share.paid) for share in line.shares],
        "write_off": show_money(line.write_off),
        "patient_pays": show_money(line.patient_pays),
        "counted_on": [share.counted_on.isoformat() for share in line.shares],
        "reasons": [*(say(share.reasons) for share in line.shares), say(line.reasons)],
    }


def write_benefit_text(shown: Sequence[Mapping[str, Any]], estimate: CaseEstimate) -> str:
    """A line an option: what plans pay, what is written off, what is left; under a title that promises nothing."""
    names = {(jaw.jaw.arch.value, option.key): option.name for jaw in estimate.jaws for option in jaw.estimates}
    rows = [
        f"{names[one['jaw'], one['option']]} ({one['jaw']}): fee {one['fee']}, "
        f"plans pay {' + '.join(one['plan_pays'])}, written off {one['write_off']}, patient pays {one['patient_pays']}"
        for one in shown
    ]
    head = [f"{one['title']}, first visit {one['first_visit']}. {one['note']}" for one in shown[:1]]
    return "\n".join(["", *head, *rows]) + "\n"
