"""Builders of what is printed about money: the demo's quote, and one with everything in it."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal

from estimator import files
from estimator.base.evidence import HowSure
from estimator.estimate.cost.charges import Fees
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate
from estimator.inputs.case.model import Arch, Patient
from estimator.inputs.fees.schedule import FeeKind, FeeSchedule
from estimator.inputs.payment.jurisdiction import Profile, TaxRule
from estimator.inputs.payment.legal_texts import LegalText
from estimator.inputs.payment.model import (
    Adjustment,
    Direction,
    Instalments,
    Lender,
    Milestone,
    Milestones,
    PayInFull,
    PaymentTerms,
    Portion,
    Spread,
)
from estimator.inputs.plans.model import BenefitPlan
from estimator.inputs.plans.predetermination import AnswerLine, Decision, PlanAnswer
from estimator.inputs.practice.settings import Settings
from estimator.proposal.usual import settle_usual
from estimator.quote.benefits.claim import ClaimLine
from estimator.quote.benefits.claims import list_help, sum_up_answer
from estimator.quote.benefits.phasing import PhaseComparison, compare_phases
from estimator.quote.lines import QuoteLine, join_lines, list_jaw_lines
from estimator.quote.quote import LineHelp, Quote, QuoteHeading, make_quote
from estimator.quote.self_pay.good_faith_estimate import Booking, SelfPayEstimate, SeparateItem, make_self_pay_estimate
from estimator.quote.versions import revise_quote
from estimator.sheets.base.financial_inputs import QuotePapers
from tests.builders import TODAY, estimate_all, load_demo_practice, make_jaw

PROFILE = files.load_profile(files.DATA / "demo").settle_currency("USD")
LONG = "Maria-Magdalena Wolfeschlegelsteinhausenbergerdorff-Oberhummer y Fernández de la Cruz (invented)"
SETTINGS = Settings(
    practice_name="Harbor Row Dental (invented)", phone="555 0100 (invented)", chair_cost_per_hour=Decimal(240),
    pay_at=("at the start", "at the trial", "at the end"),
)  # fmt: skip
PRACTICE = replace(load_demo_practice(), settings=SETTINGS)
DEMO = estimate_all(make_jaw("12"), practice=PRACTICE, patient=Patient(name="Nguyễn Thị Ánh (invented)"))
MESSY = estimate_all(
    make_jaw("12"),
    make_jaw("16", arch=Arch.MAXILLA, implants=6, implants_present=False),
    practice=PRACTICE, patient=Patient(name=LONG, born=date(1951, 5, 2)),
)  # fmt: skip
MESSY_PROFILE = replace(
    PROFILE,
    ranges=True,
    signature_required=True,
    laboratory_kinds=(FeeKind.LABORATORY,),
    taxes=(
        TaxRule(kind=FeeKind.LABORATORY, percent=Decimal("7.25")),
        TaxRule(kind=FeeKind.SURGERY, percent=Decimal(0), reason="surgery is exempt here (invented)"),
    ),
)
DISCOUNTS = (
    Adjustment(reason="pays its bills early (invented)", portion=Portion(percent=Decimal(5)), spread=Spread.LINES),
    Adjustment(reason="for the long wait", portion=Portion(amount=Decimal("333.33"))),
    Adjustment(reason="urgent laboratory work", portion=Portion(amount=Decimal("99.99")), direction=Direction.INCREASE),
)
CREDIT = Instalments(
    key="monthly", label="in 24 instalments, with a label that is rather long for a heading", number=24,
    first=date(2027, 1, 31), rate_percent=Decimal("9.9"), set_up_fee=Decimal(50), deposit=Portion(percent=Decimal(20)),
)  # fmt: skip
WAYS = (
    PayInFull(key="in_full", label="all at the start", discount=Portion(percent=Decimal(3))),
    Milestones(
        key="by_stage", label="in parts, as treatment goes on", deposit=Portion(amount=Decimal(500)),
        stages=(Milestone(what="surgery", percent=Decimal(40)), Milestone(what="impressions", percent=Decimal(30)),
                Milestone(what="delivery", percent=Decimal(30), due=date(2027, 6, 1))),
    ),
    CREDIT,
    Lender(key="lender", label="through an outside lender", text="A lender of your choice, on its own terms."),
)  # fmt: skip


def choose(estimate: CaseEstimate, key: str) -> list[tuple[JawEstimate, Estimate]]:
    """The option of that key in each jaw."""
    return [(jaw, made) for jaw in estimate.jaws for made in jaw.estimates if made.key == key]


def list_lines(estimate: CaseEstimate, key: str) -> tuple[QuoteLine, ...]:
    """The lines of an option in every jaw."""
    return list_quote_lines([(jaw.jaw.arch, made.fees) for jaw, made in choose(estimate, key)], PRACTICE.fees)


def make_heading(estimate: CaseEstimate, key: str, **more: object) -> QuoteHeading:
    """A heading with the options' names for patients."""
    known: dict[str, object] = {
        "number": "Q-12", "reference": estimate.case.reference, "made_by": "front office", "made_on": TODAY,
        "price_date": date(2026, 11, 1), "creditor": SETTINGS.practice_name,
        "options": tuple((jaw.jaw.arch.value, made.patient_name) for jaw, made in choose(estimate, key)),
    }  # fmt: skip
    return QuoteHeading(**{**known, **more})  # type: ignore[arg-type]


def make_demo_quote(*ways: Milestones | Instalments | PayInFull | Lender, profile: Profile = PROFILE) -> Quote:
    """The demo's quote for a bar, by milestones unless told otherwise."""
    key = "connecting_bar"
    return make_quote(
        make_heading(DEMO, key), list_lines(DEMO, key), PaymentTerms(ways=ways or WAYS[1:2]), profile
    )  # fmt: skip


def make_answered_papers(*, every_line: bool) -> QuotePapers:
    """The demo's quote that counts what its plan answered, of every line or of the first one; its second version."""
    key, plan = "connecting_bar", load_plans()[0]
    lines = list_lines(DEMO, key)
    said = tuple(
        AnswerLine(line=line.key.rpartition(".")[2], arch=Arch(line.arch) if line.arch else None,
                   plan_pays=(line.amount / 10).quantize(Decimal("0.01")))
        for line in lines if line.amount
    )  # fmt: skip
    answer = PlanAnswer(
        plan=plan.key, reference=DEMO.case.reference, currency="USD", asked_on=date(2026, 11, 1),
        answered_on=date(2026, 11, 10), decision=Decision.APPROVED, lines=said if every_line else said[:1],
    )  # fmt: skip
    compared = make_benefits(DEMO, plan, answer=answer)
    made = compared.as_planned
    quote = make_quote(
        make_heading(DEMO, key), lines, PaymentTerms(ways=WAYS[1:2]), PROFILE,
        benefits=list_help(lines, made), answered=sum_up_answer(made),
    )  # fmt: skip
    return replace(make_demo_papers(), quote=revise_quote(make_demo_quote(), quote), benefits=(compared,))


def make_messy_quote() -> Quote:
    """Two jaws, ranges, tax, discounts, a plan, four ways to pay, a signature: the second version of it."""
    key = "connecting_bar"
    lines = tuple(
        replace(line, office_code=f"OFF-{100 + number}",
                amount_to=line.amount + 250 if line.key.endswith("delivery_bar") else None)
        for number, line in enumerate(list_lines(MESSY, key))
    )  # fmt: skip
    surgery = [line for line in lines if line.kind is FeeKind.SURGERY and line.amount > 600]
    helped = [LineHelp(key=line.key, plan_pays=Decimal("400.00"), write_off=Decimal("55.50")) for line in surgery]
    terms = PaymentTerms(adjustments=DISCOUNTS, ways=WAYS)
    before = make_quote(
        make_heading(MESSY, key, made_on=date(2026, 11, 20)), lines, PaymentTerms(ways=WAYS[:2]), MESSY_PROFILE
    )
    after = make_quote(make_heading(MESSY, key), lines, terms, MESSY_PROFILE, benefits=helped)
    return revise_quote(before, after)


def load_plans() -> tuple[BenefitPlan, BenefitPlan]:
    """The two invented plans of the demo."""
    folder = files.DATA / "demo" / "plans"
    first, second = (files.load_plan(folder / f"plan_{name}.toml", today=TODAY) for name in "ab")
    return first, second


def make_benefits(estimate: CaseEstimate, *plans: BenefitPlan, answer: PlanAnswer | None = None) -> PhaseComparison:
    """An estimate of the demo plans; surgery in one benefit year, the rest in the next."""
    claim = [
        ClaimLine(
            key=line.key.rpartition(".")[2], label=line.label, kind=line.kind, fee=line.amount,
            prepared_on=date(2026, 12, 1) if line.kind is FeeKind.SURGERY else date(2027, 7, 5),
            delivered_on=date(2026, 12, 1) if line.kind is FeeKind.SURGERY else date(2027, 8, 9),
            quantity=line.quantity, arch=Arch(line.arch) if line.arch else None,
        )
        for line in list_lines(estimate, "connecting_bar")
    ]  # fmt: skip
    return compare_phases(claim, plans, currency="USD", answer=answer)


def make_self_pay(estimate: CaseEstimate, *, codes: bool = True, **more: object) -> SelfPayEstimate:
    """The US self-pay estimate of a bar, its texts not reviewed but for one."""
    lines = list_lines(estimate, "connecting_bar")
    lines = tuple(replace(line, office_code="OFF-101" if codes else "") for line in lines)
    known: dict[str, object] = {
        "patient": Patient(name=LONG, born=date(1951, 5, 2)), "primary_service": "A denture that snaps onto a bar",
        "service_on": date(2027, 1, 14), "diagnosis_codes": ("OFF-D1", "OFF-D2"), "phone": "555 0100",
        "separate": (SeparateItem(description="A new upper denture"),
                     SeparateItem(description="Films at the hospital", provider="Anytown Imaging (invented)")),
        "where_to_dispute": "the web page of the agency",
    }  # fmt: skip
    return make_self_pay_estimate(
        Booking(**{**known, **more}), lines, [line.amount for line in lines], number="G-7", issued_on=TODAY,  # type: ignore[arg-type]
        profile=replace(PROFILE, texts=(*PROFILE.texts, REVIEWED)), texts=files.load_disclaimers(),
        quantum=Decimal("0.01"),
    )  # fmt: skip


REVIEWED = LegalText(
    key="not_a_contract", text="This is not a contract.", source="our own words", how_sure=HowSure.OWN,
    reviewed_by="A. Lawyer", reviewed_on=date(2026, 11, 2),
)  # fmt: skip


def make_demo_papers() -> QuotePapers:
    """The demo's quote, one plan, and the self-pay estimate without codes, as the demo has none."""
    return QuotePapers(
        quote=make_demo_quote(), benefits=(make_benefits(DEMO, load_plans()[0]),),
        self_pay=make_self_pay(DEMO, codes=False),
    )  # fmt: skip


def make_messy_papers() -> QuotePapers:
    """Everything at once."""
    return QuotePapers(
        quote=make_messy_quote(), benefits=(make_benefits(MESSY, *load_plans()),), self_pay=make_self_pay(MESSY)
    )


def list_quote_lines(jaws: Iterable[tuple[Arch, Fees]], schedule: FeeSchedule) -> tuple[QuoteLine, ...]:
    """The lines of an option in each jaw, what is charged once a case once."""
    return join_lines(list_jaw_lines(arch, fees, schedule) for arch, fees in jaws)


def make_usual_quote(estimate: CaseEstimate, key: str) -> Quote:
    """The quote of one option in every jaw that has it, as the practice usually offers it."""
    quote = settle_usual(estimate, key, files.load_wording(), today=TODAY).quote
    assert quote is not None
    return quote
