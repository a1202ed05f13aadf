"""Plans on a quote: every cent of every line is the plans', written off, or the patient's; days are the calendar's."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator import files
from estimator.estimate.visits.calendar import date_visits
from estimator.inputs.case.model import Arch
from estimator.inputs.fees.schedule import FeeKind
from estimator.inputs.payment.jurisdiction import Profile, TaxRule
from estimator.inputs.payment.model import Adjustment, PaymentTerms, Portion, Spread
from estimator.inputs.plans.model import BenefitPlan, SecondRule
from estimator.inputs.practice.working_days import ClosedDays
from estimator.quote.benefits.claims import Days, date_option, list_claim_lines, list_help
from estimator.quote.benefits.estimate import BenefitEstimate, estimate_benefits
from estimator.quote.benefits.service_dates import ServiceDays
from estimator.quote.lines import QuoteLine
from estimator.quote.quote import Quote, QuoteHeading, make_quote
from tests.benefit_builders import make_limit, make_plan
from tests.builders import TODAY, estimate_all, find_option, load_demo_practice, make_jaw
from tests.quote_builders import list_quote_lines

TAXED = (TaxRule(kind=FeeKind.LABORATORY, percent=Decimal("7.7"), reason=""),)
PROFILE = files.load_profile().settle_currency("USD")
HEADING = QuoteHeading(number="Q-1", reference="T-1", made_by="", made_on=TODAY, price_date=TODAY, creditor="")
SERVED = ServiceDays(prepared_on=date(2026, 12, 1), delivered_on=date(2027, 2, 1))
LATER = ServiceDays(prepared_on=date(2026, 12, 8), delivered_on=date(2027, 3, 1))


def make_quote_line(key: str, amount: str, *, arch: str = "", kind: FeeKind = FeeKind.LABORATORY) -> QuoteLine:
    fee = Decimal(amount)
    name = f"{arch}.{key}" if arch else key
    return QuoteLine(
        key=name, label=key, kind=kind, provider="practice", quantity=1, unit_fee=fee, amount=fee, arch=arch
    )


def take_off(percent: str, *lines: str) -> Adjustment:
    return Adjustment(reason="courtesy", portion=Portion(percent=Decimal(percent)), lines=lines)


LOWER, UPPER = (make_quote_line("denture", "1000.00", arch=arch.value) for arch in (Arch.MANDIBLE, Arch.MAXILLA))
CASE = make_quote_line("examination", "100.00", kind=FeeKind.VISIT)
BOTH = (CASE, LOWER, UPPER)
DAYS: dict[Arch, Days] = {
    Arch.MANDIBLE: {"denture": SERVED, "examination": LATER},
    Arch.MAXILLA: {"denture": LATER, "examination": SERVED},
}


def test_a_line_of_two_jaws_is_known_to_a_plan_by_its_fee_and_its_jaw() -> None:
    lines = list_claim_lines(BOTH, PaymentTerms(), PROFILE, DAYS)
    assert [(line.key, line.arch) for line in lines] == [
        ("examination", None), ("denture", Arch.MANDIBLE), ("denture", Arch.MAXILLA),
    ]  # fmt: skip


def test_what_is_charged_once_a_case_is_done_in_the_jaw_where_it_comes_first() -> None:
    case, lower, _ = list_claim_lines(BOTH, PaymentTerms(), PROFILE, DAYS)
    assert (case.prepared_on, lower.delivered_on) == (SERVED.prepared_on, SERVED.delivered_on)


@pytest.mark.parametrize("kind", [FeeKind.SURGERY, FeeKind.IMAGING])
def test_surgery_and_images_are_delivered_on_the_day_they_are_done(kind: FeeKind) -> None:
    """A plan that counts the day of delivery must not count an implant when the denture comes."""
    line = make_quote_line("denture", "1000.00", arch="mandible", kind=kind)
    [claim] = list_claim_lines((line,), PaymentTerms(), PROFILE, DAYS)
    assert claim.delivered_on == claim.prepared_on == SERVED.prepared_on


def test_an_examination_is_delivered_on_the_day_it_is_done() -> None:
    case, *_ = list_claim_lines(BOTH, PaymentTerms(), PROFILE, DAYS)
    assert case.delivered_on == case.prepared_on


def test_a_plan_sees_what_is_left_after_discounts() -> None:
    terms = PaymentTerms(adjustments=(take_off("10"), take_off("50", "maxilla.denture")))
    assert [line.fee for line in list_claim_lines(BOTH, terms, PROFILE, DAYS)] == [90, 900, 450]


def test_a_plan_sees_a_line_with_its_tax() -> None:
    taxed = replace(PROFILE, taxes=TAXED)
    assert [line.fee for line in list_claim_lines(BOTH, PaymentTerms(), taxed, DAYS)] == [100, 1077, 1077]


def test_an_estimate_of_other_lines_is_refused() -> None:
    made = estimate_benefits(list_claim_lines(BOTH, PaymentTerms(), PROFILE, DAYS), [make_plan()], currency="USD")
    with pytest.raises(ValueError, match=r"shorter|longer"):
        list_help((LOWER,), made)


def join(
    lines: tuple[QuoteLine, ...], terms: PaymentTerms, plans: list[BenefitPlan], profile: Profile
) -> tuple[BenefitEstimate, Quote]:
    claim = list_claim_lines(lines, terms, profile, DAYS)
    made = estimate_benefits(claim, plans, currency="USD")
    return made, make_quote(HEADING, lines, terms, profile, benefits=list_help(lines, made))


amounts = st.decimals(0, 9000, places=2)
percents = st.integers(1, 100).map(Decimal)
adjustments = st.builds(
    Adjustment,
    reason=st.just("courtesy"),
    portion=percents.map(lambda percent: Portion(percent=percent)),
    spread=st.sampled_from(Spread),
    lines=st.sampled_from([(), ("mandible.denture",), ("maxilla.denture", "examination")]),
)
plans_of = st.builds(
    make_plan,
    st.integers(0, 100).map(str),
    in_network=st.booleans(),
    deductible=st.sampled_from([None, make_limit("50.00")]),
    annual_maximum=st.sampled_from([None, make_limit("1500.00", "240.00")]),
    allowed=amounts.map(lambda amount: {"denture": amount}),
    as_second=st.sampled_from(SecondRule),
)


@given(
    st.tuples(amounts, amounts, amounts),
    st.lists(adjustments, max_size=3),
    st.lists(plans_of, min_size=1, max_size=2),
    st.sampled_from([(), TAXED]),
)
def test_every_cent_of_every_line_is_the_plans_written_off_or_the_patients(
    fees: tuple[Decimal, Decimal, Decimal],
    taken: list[Adjustment],
    plans: list[BenefitPlan],
    taxes: tuple[TaxRule, ...],
) -> None:
    lines = tuple(replace(line, amount=fee, unit_fee=fee) for line, fee in zip(BOTH, fees, strict=True))
    made, quote = join(lines, PaymentTerms(adjustments=tuple(taken)), plans, replace(PROFILE, taxes=taxes))
    for priced, helped in zip(quote.lines, made.lines, strict=True):
        assert priced.left + priced.plan_pays + priced.write_off == priced.net + priced.tax == helped.line.fee
        assert priced.left == helped.patient_pays >= 0
    assert quote.left == made.patient_pays == quote.total - sum(made.plan_pays) - made.write_off


@pytest.mark.parametrize("key", [option.key for option in load_demo_practice().options])
@pytest.mark.parametrize("present", [True, False], ids=["implants present", "implants planned"])
def test_every_line_of_every_option_has_its_days(key: str, present: bool) -> None:
    practice = load_demo_practice()
    jaws = [
        make_jaw("12", arch=arch, implants_present=present, variants=("sedation",) if arch is Arch.MAXILLA else ())
        for arch in Arch
    ]
    made = estimate_all(*jaws)
    chosen = [(jaw.jaw, next(e for e in jaw.estimates if e.key == key)) for jaw in made.jaws]
    days = {
        jaw.arch: date_option(
            jaw, find_option(key), option.visits, practice.variants, first_visit=TODAY, closed=ClosedDays()
        )
        for jaw, option in chosen
    }
    lines = list_quote_lines([(jaw.arch, option.fees) for jaw, option in chosen], practice.fees)
    claim = list_claim_lines(lines, PaymentTerms(), PROFILE, days)
    assert all(TODAY <= line.prepared_on <= line.delivered_on for line in claim)


def test_days_of_service_are_those_of_the_calendar() -> None:
    """A practice that is closed over the turn of the year delivers later, and so in another benefit year."""
    practice, jaw, option = load_demo_practice(), make_jaw("12"), find_option("individual_attachments")
    made = next(e for e in estimate_all(jaw).jaws[0].estimates if e.key == option.key)
    shut = ClosedDays(days={date(2026, 12, 20) + timedelta(days=n): "holiday" for n in range(20)})
    days = date_option(jaw, option, made.visits, practice.variants, first_visit=TODAY, closed=shut)
    assert days["finish_overdenture"].delivered_on == date_visits(made.visits, TODAY, shut).teeth_on
    assert days["finish_overdenture"].delivered_on.year == 2027
