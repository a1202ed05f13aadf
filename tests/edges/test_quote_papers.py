"""Papers about money as files: every amount is the quote's own, each document has its title, and none leaves out a part."""

import io
import re
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from pypdf import PdfReader

from estimator import files
from estimator.base.problems import InputError
from estimator.cli import main
from estimator.estimate.clearance.verdict import Verdict
from estimator.estimate.result import CaseEstimate
from estimator.inputs.case.model import Arch, Patient
from estimator.inputs.fees.schedule import FeeKind
from estimator.inputs.payment.jurisdiction import TaxRule
from estimator.inputs.payment.model import Milestone, Milestones, PayInFull
from estimator.inputs.practice.settings import Paper, Settings
from estimator.pdf.print import make_sheet, name_sheet, print_sheets
from estimator.proposal.numbering import number_quote, number_self_pay
from estimator.proposal.usual import check_chosen
from estimator.quote.changes import ChangeKind, WayTerms
from estimator.quote.quote import Quote, QuoteState
from estimator.quote.snapshot import quote_to_dict, read_quote
from estimator.quote.versions import revise_quote
from estimator.sheets.base.blocks import Sheet
from estimator.sheets.base.content_hash import list_texts
from estimator.sheets.base.context import SheetJob
from estimator.sheets.base.financial_inputs import QuotePapers
from estimator.sheets.base.translation import translate_papers
from estimator.sheets.registry import KINDS, SheetKind, find_kinds, list_possible
from tests.builders import TODAY, estimate_all, make_jaw
from tests.papers import drawn_anew, find_failures, read_pages
from tests.problem_builders import refuses, say_parts
from tests.quote_builders import (
    CREDIT,
    DEMO,
    MESSY,
    MESSY_PROFILE,
    PRACTICE,
    PROFILE,
    WAYS,
    load_plans,
    make_benefits,
    make_demo_papers,
    make_demo_quote,
    make_messy_papers,
    make_self_pay,
    make_usual_quote,
)

WORDING = files.load_wording()
MONEY = {kind.key: kind for kind in KINDS if kind.needs}
DEMO_PAPERS, MESSY_PAPERS = make_demo_papers(), make_messy_papers()
SETS: dict[str, tuple[CaseEstimate, QuotePapers]] = {"demo": (DEMO, DEMO_PAPERS), "messy": (MESSY, MESSY_PAPERS)}
AMOUNT = re.compile(r"\u2212?\d{1,3}(?:,\d{3})*\.\d{2}(?![\d,])")


def make(key: str, name: str = "messy", papers: QuotePapers | None = None, **more: object) -> bytes:
    estimate, own = SETS[name]
    known: dict[str, object] = {"wording": WORDING, "today": TODAY, "paper": Paper.LETTER, "papers": papers or own}
    return make_sheet(MONEY[key], estimate, 0, **{**known, **more})  # type: ignore[arg-type]


def list_pages(data: bytes) -> list[str]:
    return [" ".join(text.replace("\N{NO-BREAK SPACE}", " ").split()) for text in read_pages(data)]


def read(data: bytes) -> str:
    return " ".join(list_pages(data))


def make_one(key: str, name: str = "messy", papers: QuotePapers | None = None) -> Sheet:
    """A sheet that is not printed."""
    estimate, own = SETS[name]
    job = SheetJob(estimate=estimate, jaw=estimate.jaws[0], wording=WORDING, day=TODAY, text_width_mm=165, number="x",
                   papers=papers or own)  # fmt: skip
    return MONEY[key].make(job)


def list_blocks(key: str, name: str = "messy", papers: QuotePapers | None = None) -> str:
    """What a sheet says in reading order, without pages."""
    return " | ".join(list_texts(make_one(key, name, papers).blocks)).replace("\N{NO-BREAK SPACE}", " ")


def show(amount: Decimal) -> str:
    return f"{amount:,.2f}".replace("-", "\N{MINUS SIGN}")


def only(quote: object) -> QuotePapers:
    return QuotePapers(quote=quote)  # type: ignore[arg-type]


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("name", SETS)
@pytest.mark.parametrize("key", MONEY)
def test_every_paper_passes_both_standards(key: str, name: str, paper: Paper) -> None:
    """PDF/UA-1 (ISO 14289-1) and PDF/A-2a (ISO 19005-2), validated with page-validation (rule)."""
    data = make(key, name, paper=paper)
    for profile in ("ua1", "2a"):
        assert find_failures(data, profile) == []


@pytest.mark.parametrize(("key", "title"), [
    ("quote", "Fee quote"), ("benefit", "Benefit estimate"), ("self_pay", "Good Faith Estimate"),
])  # fmt: skip
def test_three_documents_have_three_titles(key: str, title: str) -> None:
    metadata = PdfReader(io.BytesIO(make(key))).metadata
    assert metadata is not None
    assert metadata.title == title


def test_the_profile_may_give_a_benefit_estimate_another_title() -> None:
    metadata = PdfReader(
        io.BytesIO(make("benefit", papers=replace(MESSY_PAPERS, benefit_title="Plan outlook")))
    ).metadata
    assert metadata is not None
    assert metadata.title == "Plan outlook"


def test_a_quote_prints_each_line_and_every_sum_of_the_model() -> None:
    quote = MESSY_PAPERS.get_quote()
    text = list_blocks("quote")
    for one in quote.lines:
        assert f"{one.line.label} | {one.line.office_code} | " in text
    for amount in (quote.total, quote.tax, -quote.write_off, -quote.plan_pays, quote.left, quote.at_most,
                   quote.adjusted.total_before, *quote.columns, *(one.change for one in quote.adjusted.applied)):  # fmt: skip
        assert show(amount) in text


def list_known(papers: QuotePapers) -> set[str]:
    """Every amount that a quote holds, and the sums of its groups, jaws and payments in a row."""
    quote = papers.get_quote()
    known = [quote.total, quote.tax, quote.write_off, quote.plan_pays, quote.left, quote.at_most, *quote.columns]
    known += [quote.adjusted.total_before, *(one.change for one in quote.adjusted.applied)]
    for arch in (None, "", "mandible", "maxilla"):
        lines = [one for one in quote.lines if arch is None or one.line.arch == arch]
        for kind in (None, *FeeKind):
            known.append(sum((one.line.amount for one in lines if kind in (None, one.line.kind)), Decimal(0)))
        for name in ("change", "tax", "write_off", "plan_pays", "left"):
            known.append(sum((getattr(one, name) for one in lines), Decimal(0)))
    for one in quote.lines:
        known += [one.line.unit_fee, one.line.amount, one.change, one.tax, one.write_off, one.plan_pays, one.left]
        known += [one.line.amount_to] if one.line.amount_to is not None else []
    for way in quote.ways:
        known += [way.total, way.at_signing, way.deposit, way.set_up_fee, way.charge, way.discount, way.price,
                  way.charge - way.discount, way.amount_financed, way.interest]  # fmt: skip
        for payment in way.payments:
            known += [payment.amount, payment.interest, payment.balance]
        known.append(sum((payment.principal for payment in way.payments), Decimal(0)))
        known.append(sum((payment.amount for payment in way.payments), Decimal(0)))
        known += [series.number * series.amount for series in (way.box.schedule if way.box else ())]
        known += [way.box.apr] if way.box and way.box.apr is not None else []
    return {show(amount) for amount in known} | {show(-amount) for amount in known}


@pytest.mark.parametrize("name", SETS)
@pytest.mark.parametrize("key", ["quote", "payment"])
def test_no_amount_is_printed_that_the_quote_does_not_hold(key: str, name: str) -> None:
    """So no cost of the practice either: what it pays stands nowhere in a quote."""
    papers = SETS[name][1]
    papers = replace(papers, quote=replace(papers.get_quote(), changes=()))
    printed = set(AMOUNT.findall(read(make(key, name, papers))))
    known = list_known(papers)
    assert len(printed) > 5
    assert printed <= {shown.replace(".0000", ".00") for shown in known}


def test_the_rows_of_what_it_costs_add_up_to_what_is_left() -> None:
    _, after = list_blocks("quote").split("What it costs | What | US dollars | ")
    cells = after.partition(" | This is an estimate")[0].split(" | ")
    rows = {name: Decimal(amount.replace(",", "").replace("\N{MINUS SIGN}", "-"))
            for name, amount in zip(cells[::2], cells[1::2], strict=True)}  # fmt: skip
    names = list(rows)
    before, price = names.index("Together"), names.index("Price")
    assert sum(rows[name] for name in names[:before]) == rows["Together"]
    assert sum(rows[name] for name in names[before:price]) == rows["Price"]
    assert sum(rows[name] for name in names[price:-1]) == rows["You pay"] == MESSY_PAPERS.get_quote().left


def test_discounts_have_their_reason_and_say_order_and_rounding() -> None:
    text = list_blocks("quote")
    assert "Less 5 %: pays its bills early (invented)" in text
    assert "Less: for the long wait" in text
    assert "More: urgent laboratory work" in text
    for words in (
        "We work these out in this order.",
        "Each line is rounded to the nearest cent",
        "Then each line gets its share",
    ):
        assert words in text
    assert "We work these out in this order." not in list_blocks("quote", "demo")


def test_a_range_shows_both_ends_and_the_most_that_is_left() -> None:
    text = list_blocks("quote")
    ranged = next(one for one in MESSY_PAPERS.get_quote().lines if one.line.amount_to is not None)
    assert ranged.line.amount_to is not None
    assert f"{show(ranged.line.amount)}, at most {show(ranged.line.amount_to)}" in text
    assert f"you pay at most {show(MESSY_PAPERS.get_quote().at_most)}" in text
    assert "range" not in list_blocks("quote", "demo")


def test_tax_has_its_reason_where_there_is_none() -> None:
    assert "No tax where none is shown: surgery is exempt here (invented)." in list_blocks("quote")
    assert "tax" not in list_blocks("quote", "demo").lower().split()


def test_a_quote_says_number_version_state_last_day_maker_and_options() -> None:
    text = list_blocks("quote")
    for words in ("Number: Q-12, version 2", "It holds until: February 23, 2027", "Made by: front office",
                  "Prices of: November 1, 2026, in US dollars",
                  "You chose: Snap-on denture on a bar (lower jaw), Snap-on denture on a bar (upper jaw)"):  # fmt: skip
        assert words in text
    assert "being prepared" not in text


def draft(quote: Quote) -> Quote:
    return replace(quote, number="")


@pytest.mark.parametrize("key", ["quote", "payment", "benefit"])
def test_a_paper_of_a_quote_that_is_not_kept_bears_reference_and_mark_and_no_number(key: str) -> None:
    quote = draft(make_demo_quote())
    mark = number_quote(quote).mark
    sheet = make_one(key, "demo", replace(make_demo_papers(), quote=quote))
    said = f"{sheet.footer} {list_blocks(key, 'demo', replace(make_demo_papers(), quote=quote))}"
    assert f"draft for case T-1, mark {mark}" in said
    assert "version" not in said
    assert "Q-12" not in said


def test_two_quotes_that_are_not_kept_never_bear_the_same_mark_or_file_name() -> None:
    papers = [only(draft(quote)) for quote in (make_demo_quote(), make_demo_quote(WAYS[0]))]
    (kind,) = find_kinds(("quote",))
    names = {name_sheet(kind, DEMO, 0, one) for one in papers}
    facts = {list_blocks("quote", "demo", one).partition("It holds until")[0] for one in papers}
    assert (len(names), len(facts)) == (2, 2)


def test_a_kept_quote_is_printed_under_its_own_number_and_version_and_named_after_them() -> None:
    (kind,) = find_kinds(("quote",))
    kept = only(replace(make_demo_quote(), number="T-1-Q1", version=2))
    assert "Number: T-1-Q1, version 2" in list_blocks("quote", "demo", kept)
    assert name_sheet(kind, DEMO, 0, kept) == "quote_T-1-Q1_version_2.pdf"


def test_the_mark_of_a_draft_is_the_same_in_another_language() -> None:
    spanish = files.load_wording("es")
    papers = only(draft(make_demo_quote()))
    told = translate_papers(papers, spanish, DEMO.practice.settings)
    assert told.get_quote_number() == papers.get_quote_number()


def test_a_self_pay_estimate_that_is_not_kept_bears_a_mark_and_no_number() -> None:
    estimate = replace(make_demo_papers().get_self_pay(), number="")
    text = list_blocks("self_pay", "demo", replace(make_demo_papers(), self_pay=estimate))
    assert f"Draft: case T-1, mark {number_self_pay(estimate).mark}." in text
    assert "G-7" not in text


def quote_without_room(verdict: Verdict) -> Quote:
    return replace(make_demo_quote(), rooms=(("mandible", verdict),))


@pytest.mark.parametrize(("verdict", "said"), [
    (Verdict.DOES_NOT_FIT, "We find that this choice does not fit your lower jaw as planned."),
    (Verdict.NOT_MEASURED, "We have not measured yet if there is room for this choice in your lower jaw."),
])  # fmt: skip
def test_a_quote_says_where_the_room_is_in_doubt(verdict: Verdict, said: str) -> None:
    assert said in list_blocks("quote", "demo", only(quote_without_room(verdict)))
    assert "room for this choice" not in list_blocks("quote", "demo", only(quote_without_room(Verdict.FITS)))


def test_an_agreement_all_the_same_is_said_on_the_paper_with_its_day() -> None:
    quote = replace(quote_without_room(Verdict.DOES_NOT_FIT), state=QuoteState.AGREED)
    text = list_blocks("quote", "demo", replace(only(quote), confirmed_on=date(2026, 11, 26)))
    assert "Number: Q-12, version 1 (agreed)" in text
    assert "You knew this when you agreed on November 26, 2026." in text
    assert "You knew this" not in list_blocks("quote", "demo", only(quote))


def test_an_option_under_its_office_name_is_printed_in_the_patient_s_words() -> None:
    made = next(option for option in DEMO.jaws[0].estimates if option.key == "connecting_bar")
    quote = replace(make_demo_quote(), options=(("mandible", made.name),))
    assert f"You chose: {made.patient_name} (lower jaw)" in list_blocks("quote", "demo", only(quote))


def test_what_changed_since_the_version_before_is_listed_in_the_reader_s_way() -> None:
    text = list_blocks("quote")
    assert "This takes the place of version 1 of Q-12." in text
    assert "Holds until | February 18, 2027 | February 23, 2027" in text
    now = MESSY_PAPERS.get_quote()
    left = next(change.before for change in now.changes if change.kind is ChangeKind.LEFT)
    assert isinstance(left, Decimal)
    assert f"You pay | {show(left)} | {show(now.left)}" in text
    key = now.ways[0].way.key
    way = next(c.before for c in now.changes if (c.kind, c.subject.key) == (ChangeKind.WAY, key))
    assert isinstance(way, WayTerms)
    assert f"All at the start | {show(way.total)} in all | {show(now.ways[0].total)} in all" in text
    assert "Through an outside lender | – | –" not in text.partition("Ways to pay")[0]
    assert "What has changed" not in list_blocks("quote", "demo")


def test_a_line_that_is_new_or_dearer_is_a_change_and_one_whose_discount_moved_is_not() -> None:
    before = make_demo_quote()
    first, *rest = before.lines
    dearer = replace(first, line=replace(first.line, amount=Decimal("199.00"), unit_fee=Decimal("199.00")))
    again = revise_quote(before, replace(before, lines=(dearer, *(replace(one, left=one.left - 1) for one in rest))))
    text = list_blocks("quote", "demo", only(again)).partition("Ways to pay")[0]
    assert "Examination and talk | 1 × 140.00 = 140.00 | 1 × 199.00 = 199.00" in text
    assert rest[0].line.label not in text


def test_other_payments_of_the_same_price_are_a_change() -> None:
    before = make_demo_quote(
        replace(CREDIT, rate_percent=Decimal(0), set_up_fee=Decimal(0), deposit=None, label="monthly")
    )
    after = make_demo_quote(
        replace(CREDIT, rate_percent=Decimal(0), set_up_fee=Decimal(0), deposit=None, label="monthly", number=10)
    )
    text = list_blocks("quote", "demo", only(revise_quote(before, after))).partition("Ways to pay")[0]
    assert "| 10 × 859.00 (January 31, 2027 to October 31, 2027)" in text.partition("Monthly")[2]


def test_ways_stand_side_by_side_and_then_one_after_another() -> None:
    text = list_blocks("quote")
    for way in MESSY_PAPERS.get_quote().ways[:3]:
        assert f" | {show(way.total)} | " in text
    assert "Through an outside lender | – | – | – | –" in text
    assert "A lender of your choice, on its own terms. The lender sets its own terms." in text
    assert "If you pay this way, the price is 896.77 less." in text
    assert "You choose one of these." not in list_blocks("quote", "demo")


def test_the_terms_of_credit_are_whole() -> None:
    box = MESSY_PAPERS.get_quote().ways[2].box
    assert box is not None
    assert box.apr is not None
    for text in (list_blocks("quote"), list_blocks("payment")):
        _, terms = text.split("Terms of credit")
        for amount in (
            box.finance_charge,
            box.amount_financed,
            box.total_of_payments,
            box.total_sale_price,
            box.down_payment,
        ):
            assert show(amount) in terms
        assert f"{box.apr:.2f} %" in terms
        assert "23 × 1,113.02 (January 31, 2027 to November 30, 2028), 1 × 1,113.15 (December 31, 2028)" in terms
        assert "Harbor Row Dental (invented)" in terms
        assert box.late_payment in terms
        assert box.paying_early in terms


@pytest.mark.parametrize(("way", "due"), [
    (replace(CREDIT, number=4, rate_percent=Decimal(0), set_up_fee=Decimal(0)), False),
    (replace(CREDIT, number=5, rate_percent=Decimal(0), set_up_fee=Decimal(0)), True),
    (replace(CREDIT, number=3), True),
    (WAYS[1], False),
])  # fmt: skip
def test_the_terms_of_credit_are_printed_only_when_due(way: object, due: bool) -> None:
    """More than four instalments, or any charge: 12 CFR 1026.2(a)(17) (rule)."""
    quote = make_demo_quote(way)  # type: ignore[arg-type]
    for key in ("quote", "payment"):
        assert ("Terms of credit" in list_blocks(key, "demo", only(quote))) == due


def test_what_is_for_the_office_before_it_prints_is_not_printed() -> None:
    quote = MESSY_PAPERS.get_quote()
    notices = [notice for way in quote.ways for notice in way.notices]
    assert notices
    text = list_blocks("quote") + list_blocks("payment")
    for notice in notices:
        assert WORDING.say(f"quote.notices.{notice.key}", **dict(notice.values)) not in text


@pytest.mark.parametrize("key", ["quote", "payment"])
def test_the_practice_s_own_texts_stand_as_they_are_written(key: str) -> None:
    text = list_blocks(key)
    for own in MESSY_PAPERS.get_quote().texts:
        assert own.text in text


def test_lines_to_sign_are_there_only_where_the_profile_asks_for_them_and_on_the_page_of_their_text() -> None:
    (signed,) = [text for text in list_pages(make("quote")) if "If you agree, sign here." in text]
    assert "Patient, or person allowed to sign Date" in signed
    assert "For the practice Date" in signed
    assert "sign here" not in list_blocks("quote", "demo")


def test_a_column_of_office_codes_is_there_only_where_the_office_has_some() -> None:
    assert "Office code" in list_blocks("quote")
    assert "Office code" not in list_blocks("quote", "demo")


def test_the_plan_s_help_is_called_no_guarantee_on_a_quote() -> None:
    assert "not a guarantee of payment" in list_blocks("quote")
    assert "guarantee" not in list_blocks("quote", "demo")


def test_a_payment_plan_has_every_payment_with_day_amount_and_balance() -> None:
    text = list_blocks("payment")
    for planned in MESSY_PAPERS.get_quote().ways[1:3]:
        for payment in planned.payments:
            assert f" | {show(payment.amount)} | " in text
            assert f" | {show(payment.balance)} | " in text
    assert "1. January 31, 2027 | 1,113.02 | 429.63 | 23,230.51" in text
    assert "24. December 31, 2028 | 1,113.15 | 9.11 | 0.00 | In all | 32,741.09" in text
    assert "3. delivery, June 1, 2027 | 8,817.71 | 0.00 | In all | 29,892.38" in text


@pytest.mark.parametrize("name", SETS)
def test_a_benefit_estimate_is_no_guarantee_on_every_page(name: str) -> None:
    pages = list_pages(make("benefit", name))
    assert "This is an estimate, not a guarantee of payment." in pages[0]
    assert len(pages) > 2
    for number, text in enumerate(pages, 1):
        foot = text[-160:]
        assert "not a guarantee of payment" in foot
        assert foot.endswith(f"{number} of {len(pages)}")


def test_a_benefit_estimate_has_each_line_and_sum_of_the_model() -> None:
    made = MESSY_PAPERS.benefits[0].as_planned
    text = list_blocks("benefit")
    for line in made.lines:
        if line.line.fee:
            cells = [line.line.fee, *(share.paid for share in line.shares), line.write_off, line.patient_pays]
            shown = [show(cells[0]), *(show(amount) if amount else "–" for amount in cells[1:-1]), show(cells[-1])]
            assert " | ".join([line.line.label, *shown]) in text
    totals = (made.fee, *made.plan_pays, made.write_off, made.patient_pays)
    assert " | ".join(["In all", *map(show, totals)]) in text


def test_a_second_plan_or_a_write_off_that_is_not_there_has_no_column() -> None:
    first, _ = load_plans()
    outside = make_benefits(DEMO, replace(first, in_network=False))
    text = list_blocks("benefit", "demo", replace(DEMO_PAPERS, benefits=(outside,)))
    assert "The second plan pays" not in text
    assert "You do not owe" not in text
    assert "The second plan pays | You do not owe" in list_blocks("benefit")


def test_each_line_says_why_in_the_patient_s_words() -> None:
    text = list_blocks("benefit", "demo").partition("Why each line came out so")[2]
    for line in DEMO_PAPERS.benefits[0].as_planned.lines:
        assert line.line.label in text or not line.line.fee
    assert "Bar abutment | 1,560.00 | 50 % of 210.31 | 105.16 | 1, 2, 3" in text
    assert "Note 1. We do not know what the plan counts" in text
    assert "Note 3. You pay the first 50.00 of the year." in text
    assert "What you do not owe, our contract with the plan takes off." in text
    assert "Allowed amount" not in text


@pytest.mark.parametrize("name", SETS)
def test_each_reason_of_a_benefit_estimate_is_said_once_a_plan(name: str) -> None:
    text = list_blocks("benefit", name).partition("Why each line came out so")[2]
    plans = 2 if name == "messy" else 1
    for words in ("We do not know what the plan counts", "The plan pays no more than it has left for the year."):
        assert text.count(words) <= plans
    assert text.count("takes off") == 1


@pytest.mark.parametrize("number", [0, 1])
def test_each_part_of_a_benefit_estimate_can_be_worked_out_from_its_row(number: int) -> None:
    """Percentage and amount stand in the row; for a second plan what it would pay alone, too."""
    made = MESSY_PAPERS.benefits[0].as_planned
    text = list_blocks("benefit").partition("Why each line came out so")[2]
    for line in made.lines:
        share = line.shares[number]
        if not line.line.fee or share.excluded:
            continue
        part = f"{share.percent.normalize():f} % of {show(share.basis - share.deductible)}"
        alone = [show(share.normal) if share.normal else "–"] if number else []
        cells = [line.line.label, show(share.allowed), part, *alone, show(share.paid) if share.paid else "–"]
        assert " | ".join(cells) in text


def test_the_reasons_of_a_large_treatment_with_two_plans_take_no_more_than_six_pages() -> None:
    pages = list_pages(make("benefit"))
    first = next(number for number, text in enumerate(pages) if "Why each line came out so" in text)
    assert len(pages) - first <= 6


def test_two_benefit_years_are_compared_both_ways() -> None:
    text = list_blocks("benefit")
    for words in ("Plan A (invented) | January 1, 2026", "Plan B (invented) | July 1, 2027",
                  "This treatment falls into more than one year of your plan.", "All counted in the first year",
                  "We do not move them for a plan."):  # fmt: skip
        assert words in text
    assert "more than one year" not in list_blocks("benefit", "demo")


def test_a_self_pay_estimate_has_every_element_of_the_rule() -> None:
    """45 CFR 149.610(c)(1) (rule)."""
    made = MESSY_PAPERS.get_self_pay()
    text, pages = list_blocks("self_pay"), read(make("self_pay"))
    for words in (made.patient.name, "born May 2, 1951"):
        assert words in pages
    for words in ("Main service: A denture that snaps onto a bar", "Day of the service: January 14, 2027",
                  "Diagnosis code: OFF-D1, OFF-D2."):  # fmt: skip
        assert words in text
    for group in made.groups:
        provider = group.provider
        assert (
            f"From {provider.name} | NPI: {provider.npi}. Tax number (TIN): {provider.tin}. State: {provider.state}."
            in text
        )
        assert provider.place in text
        for item in group.items:
            assert f"{item.description} | {item.service_code} | {show(item.expected_charge)}" in text
        assert f"In all |  | {show(group.total)}" in text
    assert f"In all | {show(made.total)}" in text
    for disclaimer in made.disclaimers:
        assert disclaimer.text in text
    assert "not complete yet" not in text


def test_items_booked_separately_are_a_list_of_their_own_with_their_own_text() -> None:
    text = list_blocks("self_pay")
    assert MESSY_PAPERS.get_self_pay().separate_disclaimer.text in text
    assert "A new upper denture | Films at the hospital (Anytown Imaging (invented))" in text
    none = replace(DEMO_PAPERS, self_pay=make_self_pay(DEMO, separate=()))
    assert "Booked separately" not in list_blocks("self_pay", "demo", none)


def test_each_text_of_the_law_says_who_has_read_it() -> None:
    text = list_blocks("self_pay")
    assert "This is not a contract. | Source: our own words. Text read by A. Lawyer, November 2, 2026." in text
    assert text.count("No lawyer has read this text for the practice yet.") == 4


def test_what_a_self_pay_estimate_lacks_is_said_in_its_place() -> None:
    text = list_blocks("self_pay", "demo")
    assert "This estimate is not complete yet." in text
    assert "Examination and talk | to come | 140.00" in text
    bare = replace(DEMO_PAPERS, self_pay=make_self_pay(DEMO, patient=Patient(), service_on=None))
    text = list_blocks("self_pay", "demo", bare)
    for words in ("Patient: to come", "Date of birth: to come", "Day of the service: not booked yet"):
        assert words in text


@pytest.mark.parametrize("paper", Paper)
def test_the_days_of_a_letter_to_a_plan_stay_on_one_line(paper: Paper) -> None:
    (kind,) = find_kinds(("letter",))
    data = make_sheet(kind, MESSY, 0, wording=WORDING, today=TODAY, paper=paper, papers=MESSY_PAPERS)
    lines = "\n".join(read_pages(data)).replace("\N{NO-BREAK SPACE}", " ")
    assert len(re.findall(r"Jul 5, 2027.*Aug 9, 2027", lines)) > 20


def test_a_letter_goes_to_each_plan_in_a_file_of_its_own(tmp_path: Path) -> None:
    made = print_sheets(
        MESSY, tmp_path, wording=WORDING, today=TODAY, kinds=find_kinds(("letter",)), papers=MESSY_PAPERS
    )
    assert [path.name for _, path in made] == ["plan_letter_T-1_1.pdf", "plan_letter_T-1_2.pdf"]
    first, second = (read(path.read_bytes()) for _, path in made)
    assert "To: Plan A (invented)" in first
    assert "To: Plan B (invented)" in second
    assert "Whether you pay before or after the patient's other plan." in first
    assert "Wolfeschlegelsteinhausenbergerdorff" in first


def test_a_quote_is_printed_once_a_case_under_its_number_without_a_jaw(tmp_path: Path) -> None:
    kinds = find_kinds(("quote", "care"))
    made = print_sheets(MESSY, tmp_path, wording=WORDING, today=TODAY, kinds=kinds, papers=MESSY_PAPERS)
    assert [path.name for _, path in made] == [
        "care_sheet_T-1_mandible.pdf",
        "care_sheet_T-1_maxilla.pdf",
        "quote_Q-12_version_2.pdf",
    ]


@pytest.mark.parametrize("key", MONEY)
def test_a_paper_that_lacks_what_it_is_made_from_says_what_and_where_it_is_made(key: str) -> None:
    for papers in (None, QuotePapers()):
        with pytest.raises(InputError) as raised:
            make_sheet(MONEY[key], DEMO, 0, wording=WORDING, today=TODAY, paper=Paper.LETTER, papers=papers)
        (problem,) = raised.value.problems
        assert problem.file == MONEY[key].title
        _, found, expected = say_parts(problem)
        assert found.startswith("no ")
        assert "Quote page" in expected


def test_a_quote_that_is_paid_at_once_or_by_a_lender_has_no_payment_plan() -> None:
    quote = make_demo_quote(PayInFull(key="a", label="at the end", in_advance=False), WAYS[3])
    possible = {kind.key for kind in list_possible(only(quote))}
    assert "quote" in possible
    assert "payment" not in possible
    with refuses("Ways to pay"):
        make("payment", "demo", only(quote))


@pytest.mark.parametrize("key", ["quote", "payment", "self_pay"])
def test_a_kept_version_prints_the_same_bytes_later_and_from_plain_values(key: str) -> None:
    papers = replace(MESSY_PAPERS, quote=read_quote(quote_to_dict(MESSY_PAPERS.get_quote())))
    with drawn_anew():
        assert make(key, papers=papers, today=date(2029, 1, 1)) == make(key)


def test_a_kept_quote_does_not_follow_prices_that_have_changed() -> None:
    lines = {key: replace(line, fee=line.fee + 77) for key, line in PRACTICE.fees.lines.items()}
    dearer = replace(PRACTICE, fees=replace(PRACTICE.fees, lines=lines))
    later = estimate_all(make_jaw("9"), practice=dearer, patient=DEMO.case.patient)
    known = {"wording": WORDING, "today": TODAY, "paper": Paper.LETTER, "papers": DEMO_PAPERS}
    assert make_sheet(MONEY["quote"], later, 0, **known) == make("quote", "demo")  # type: ignore[arg-type]


@pytest.mark.parametrize("name", SETS)
@pytest.mark.parametrize("key", MONEY)
def test_what_is_read_aloud_has_the_order_of_the_blocks_and_no_amount_is_broken(key: str, name: str) -> None:
    """The order of the tagged content is that of writing; pypdf reads the content stream."""
    text = read(make(key, name, paper=Paper.A4))
    place = 0
    for said in list_blocks(key, name).split(" | "):
        for word in said.split():
            found = text.find(word, place)
            assert found >= 0, (said, text[place : place + 60])
            place = found + len(word)


def test_amounts_and_days_are_those_of_the_practice_s_place() -> None:
    settings = replace(PRACTICE.settings, locale="de_DE")
    german = replace(DEMO, practice=replace(PRACTICE, settings=settings))
    data = make_sheet(MONEY["quote"], german, 0, wording=WORDING, today=TODAY, paper=Paper.A4, papers=DEMO_PAPERS)
    text = read(data)
    assert "8.590,00" in text
    assert "23 February 2027" in text


def test_a_currency_without_decimals_is_printed_without() -> None:
    quote = make_demo_quote()
    text = list_blocks("quote", "demo", only(replace(quote, currency="JPY")))
    assert "8,590" in text
    assert "8,590.00" not in text


def test_the_usual_quote_has_the_practice_s_milestones_in_equal_parts_and_its_tax() -> None:
    fees = replace(
        PRACTICE.fees, tax=replace(PRACTICE.fees.tax, rates=((FeeKind.LABORATORY, Decimal("0.08")),), reason="r")
    )
    taxed = estimate_all(make_jaw("12"), make_jaw("16", arch=Arch.MAXILLA, implants=6),
                         practice=replace(PRACTICE, fees=fees))  # fmt: skip
    quote = make_usual_quote(taxed, "connecting_bar")
    (way,) = quote.ways
    assert isinstance(way.way, Milestones)
    assert way.way.stages[-1] == Milestone(what="at the end")
    laboratory = sum(one.line.amount for one in quote.lines if one.line.kind is FeeKind.LABORATORY)
    assert quote.tax == laboratory * Decimal("0.08")
    assert quote.tax_reasons == ("r",)
    assert [arch for arch, _ in quote.options] == ["mandible", "maxilla"]


def test_a_profile_with_taxes_of_its_own_keeps_them() -> None:
    assert MESSY_PROFILE.settle_fees(PRACTICE.fees).taxes == MESSY_PROFILE.taxes
    exempt = replace(PRACTICE.fees, tax=replace(PRACTICE.fees.tax, reason="exempt"))
    assert PROFILE.settle_fees(exempt).taxes[0] == TaxRule(kind=FeeKind.VISIT, percent=Decimal(0), reason="exempt")


def test_without_milestones_the_usual_quote_is_paid_at_signing_and_an_option_no_jaw_has_is_refused() -> None:
    bare = replace(DEMO, practice=replace(PRACTICE, settings=Settings()))
    (way,) = make_usual_quote(bare, "connecting_bar").ways
    assert isinstance(way.way, PayInFull)
    with refuses("expected one of conventional_denture"):
        check_chosen("bridge", DEMO)


CASE = str(files.DATA / "demo" / "case.toml")


def test_the_command_line_prints_a_quote_for_the_option_agreed_on(tmp_path: Path) -> None:
    practice = files.DATA / "demo"
    arguments = ["estimate", CASE, "--practice", str(practice), "--out", str(tmp_path)]
    assert main([*arguments, "--sheets", "quote,payment", "--option", "individual_attachments"]) == 0
    plan, quote = sorted(tmp_path.iterdir())
    assert re.fullmatch(r"payment_plan_C-1042_[0-9a-f]{8}\.pdf", plan.name)
    assert quote.name == plan.name.replace("payment_plan", "quote")
    text = read(quote.read_bytes())
    assert "Snap-on denture on separate posts (lower jaw)" in text
    assert "If treatment stops, you pay for what has been done" in text


def test_without_an_option_the_command_line_says_what_a_quote_needs(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["estimate", CASE, "--out", str(tmp_path / "out"), "--sheets", "quote"]) == 1
    assert "Quote: got no quote; expected a quote: made on the Quote page, or with --option" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("option", ["", "conventional_denture"])
def test_all_sheets_hold_a_quote_only_where_an_option_is_chosen(option: str, tmp_path: Path) -> None:
    chosen = ["--option", option] if option else []
    assert main(["estimate", CASE, "--out", str(tmp_path), "--sheets", "all", *chosen]) == 0
    names = {path.name for path in tmp_path.iterdir()}
    assert any(name.startswith("quote_C-1042_") for name in names) == bool(option)
    assert "option_sheet_C-1042_mandible.pdf" in names


def test_every_kind_about_money_is_made_in_these_tests() -> None:
    kinds: tuple[SheetKind, ...] = tuple(MONEY.values())
    assert set(kinds) <= set(list_possible(MESSY_PAPERS))
