"""One statement of a proposal: what any two papers say of it is the same amount, because it is the same value."""

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator import files
from estimator.estimate.result import CaseEstimate
from estimator.inputs.case.model import Arch
from estimator.inputs.fees.schedule import FeeKind
from estimator.inputs.payment.jurisdiction import TaxRule
from estimator.inputs.payment.model import Adjustment, PaymentTerms, Portion, Spread
from estimator.inputs.practice.settings import Settings
from estimator.proposal.model import Proposal
from estimator.proposal.settle import settle
from estimator.proposal.statement import Statement
from estimator.proposal.usual import make_usual_proposal, make_usual_terms
from tests.builders import TODAY, estimate_all, load_demo_practice, make_jaw

BAR = "connecting_bar"
SETTINGS = Settings(
    pay_at=("at the start", "at the trial", "at the end"),
    not_included=("a denture for the other jaw", "a lost implant", "sedation"),
)
PRACTICE = replace(load_demo_practice(), settings=SETTINGS)
LOWER = estimate_all(make_jaw("12"), practice=PRACTICE)
BOTH = estimate_all(make_jaw("12"), make_jaw("16", arch=Arch.MAXILLA, implants=6), practice=PRACTICE)
TENTH = Adjustment(reason="courtesy", portion=Portion(percent=Decimal(10)))


def state(estimate: CaseEstimate, key: str = BAR, **changes: object) -> Statement:
    proposal: Proposal = replace(make_usual_proposal(estimate, key), **changes)  # type: ignore[arg-type]
    terms: PaymentTerms = make_usual_terms(SETTINGS.pay_at, files.load_wording())
    return settle(proposal, estimate, terms, today=TODAY)


def pay(statement: Statement, key: str = BAR) -> list[str]:
    offer = statement.jaws[0].find_offer(key)
    assert offer is not None
    return [f"{payment.amount}" for payment in offer.price.ways[0].payments]


def test_equal_parts_are_equal_to_the_cent_on_offer_and_quote() -> None:
    statement = state(LOWER)
    assert statement.quote is not None
    assert pay(statement) == ["2863.34", "2863.33", "2863.33"]
    assert [f"{one.amount}" for one in statement.quote.ways[0].payments] == pay(statement)


def test_the_tax_of_the_profile_is_in_offer_and_quote_alike() -> None:
    taxes = (TaxRule(kind=FeeKind.LABORATORY, percent=Decimal(7)),)
    practice = replace(PRACTICE, profile=replace(PRACTICE.profile, taxes=taxes))
    statement = state(estimate_all(make_jaw("12"), practice=practice))
    offer = statement.jaws[0].find_offer(BAR)
    assert offer is not None and statement.quote is not None
    assert offer.price.tax > 0
    assert offer.price.total == statement.quote.total


def test_over_the_years_is_counted_from_what_is_charged_after_discounts() -> None:
    offers = [state(LOWER, adjustments=made).jaws[0].find_offer(BAR) for made in ((), (TENTH,))]
    full, less = (offer for offer in offers if offer is not None)
    assert (full.price.total, less.price.total) == (Decimal("8590.00"), Decimal("7731.00"))
    assert full.later.total.expected - less.later.total.expected == Decimal("859.00")


def test_two_options_are_compared_from_what_is_charged_after_discounts() -> None:
    on_bar = replace(TENTH, spread=Spread.LINES, lines=("mandible.delivery_bar",))
    full, less = (state(LOWER, adjustments=made).jaws[0].pairs[2] for made in ((), (on_bar,)))
    assert (full.first, full.second) == ("individual_attachments", "connecting_bar")
    # A tenth of 480.00: the other option is so much less far behind, and more often the dearer one.
    assert less.ahead - full.ahead == Decimal("48.00")
    assert less.chance > full.chance


def test_the_same_amount_every_year_starts_from_what_is_charged_after_discounts() -> None:
    full, less = (state(LOWER, adjustments=made).jaws[0].find_offer(BAR) for made in ((), (TENTH,)))
    assert full is not None and less is not None
    assert full.later.a_year == LOWER.jaws[0].estimates[-1].equivalent_annual_cost
    rate = float(PRACTICE.evidence.get("discount_rate").value)
    ten_years = sum((1 + rate) ** -year for year in range(1, 11))
    assert float(full.later.a_year - less.later.a_year) == pytest.approx(859 / ten_years, abs=0.01)


def test_a_pair_of_both_jaws_is_rounded_to_the_fourth_digit_of_the_dearest_pair() -> None:
    assert {(pair.expected - pair.expected_shown).copy_abs() <= 5 for pair in state(BOTH).together} == {True}
    assert {pair.expected_shown % 10 for pair in state(BOTH).together} == {Decimal(0)}


def test_a_discount_stays_when_another_option_is_chosen() -> None:
    totals = [state(LOWER, key, adjustments=(TENTH,)).chosen for key in (BAR, "individual_attachments", BAR)]
    assert [f"{price.total}" for price in totals if price] == ["7731.00", "4482.00", "7731.00"]


def test_a_discount_of_a_line_that_is_not_there_is_told_and_not_blamed() -> None:
    line = next(one.line.key for one in state(LOWER).chosen.lines if "bar" in one.line.key)  # type: ignore[union-attr]
    one = replace(TENTH, spread=Spread.LINES, lines=(line,))
    statement = state(LOWER, "conventional_denture", adjustments=(one,))
    assert (statement.problems, [told.key for told in statement.limits]) == ((), ["statement.discount_of_no_line"])
    assert statement.chosen is not None
    assert not statement.chosen.adjusted.applied


def test_what_is_once_a_case_is_shared_and_both_together_are_the_quote() -> None:
    statement = state(BOTH)
    pair = statement.find_together(statement.decided)
    assert pair is not None and statement.quote is not None
    alone = [offer.price.total for jaw in statement.jaws if (offer := jaw.find_offer(BAR))]
    assert sum(alone) - pair.shared_total == pair.total == statement.quote.total
    assert pair.shared_total > 0


def test_a_denture_for_the_other_jaw_is_not_excluded_where_both_are_treated() -> None:
    of_one, of_both = (state(made).list_excluded_in(Arch.MANDIBLE) for made in (LOWER, BOTH))
    assert [name.label for name in of_one] == ["a denture for the other jaw", "a lost implant", "sedation"]
    assert [name.label for name in of_both] == ["a lost implant", "sedation"]


@pytest.mark.parametrize(("present", "excluded"), [(True, True), (False, False)], ids=["no surgery", "surgery"])
def test_sedation_is_excluded_unless_it_is_charged(present: bool, excluded: bool) -> None:
    jaw = make_jaw("12", implants_present=present, variants=("sedation",))
    statement = state(estimate_all(jaw, practice=PRACTICE))
    assert statement.quote is not None
    labels = [label for _, label in statement.quote.not_included or ()]
    assert ("sedation" in labels) is excluded


def test_an_option_without_room_is_set_back_and_told() -> None:
    statement = state(estimate_all(make_jaw("5"), practice=PRACTICE))
    offer = statement.jaws[0].find_offer(BAR)
    assert offer is not None and offer.set_back
    assert [told.key for told in statement.limits] == ["statement.no_room"]


def test_the_estimates_of_a_case_are_rounded_to_one_step() -> None:
    steps = {state(made).step for made in (LOWER, BOTH)}
    assert steps == {Decimal(10)}
