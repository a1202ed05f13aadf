"""Tax has one rule: counted and rounded line by line; a total is the sum of its lines; estimate and quote agree."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.estimate.cost.charges import join_jaws, price_option
from estimator.inputs.case.model import Arch
from estimator.inputs.fees.schedule import FeeKind, FeeTax, count_tax
from estimator.inputs.payment.jurisdiction import Profile
from estimator.inputs.payment.jurisdiction import TaxRule as ProfileTax
from estimator.inputs.payment.model import HUNDRED, PaymentTerms
from estimator.quote.quote import Quote, QuoteHeading, make_quote
from tests.builders import find_option, load_demo_practice, make_jaw
from tests.quote_builders import list_quote_lines
from tests.unit.quote.test_quote import PROFILE

FEES = load_demo_practice().fees
CENT = Decimal("0.01")
DAY = date(2026, 11, 25)
percents = st.decimals(0, 25, places=2)
some_lines = st.lists(
    st.tuples(st.sampled_from(list(FeeKind)), st.decimals(0, 5000, places=2)), min_size=1, max_size=12
)


def ask_ten_percent(kind: FeeKind) -> Decimal:
    return Decimal("0.10")


def quote_of(fees_of: list[tuple[Arch, object]], profile: Profile) -> Quote:
    heading = QuoteHeading(number="1", reference="T-1", made_by="x", made_on=DAY, price_date=DAY, creditor="")
    return make_quote(heading, list_quote_lines(fees_of, FEES), PaymentTerms(), profile)  # type: ignore[arg-type]


def test_each_line_has_the_tax_of_its_own_amount_rounded_half_up() -> None:
    """10 % of 0.25 is 0.03, of two such lines 0.06, as printed; of their sum it would be 0.05 (how sure: derived)."""
    lines = [(FeeKind.PART, Decimal("0.25")), (FeeKind.PART, Decimal("0.25")), (FeeKind.VISIT, Decimal("0.25"))]
    assert count_tax(lines, ask_ten_percent, CENT) == (Decimal("0.03"), Decimal("0.03"), Decimal("0.03"))


def test_a_kind_without_tax_has_none() -> None:
    assert count_tax([(FeeKind.PART, Decimal(100))], lambda _: Decimal(0), CENT) == (Decimal("0.00"),)


def test_lines_of_nothing_have_no_tax() -> None:
    assert count_tax([(FeeKind.PART, Decimal(0))], ask_ten_percent, CENT) == (Decimal("0.00"),)


@pytest.mark.parametrize(("quantum", "tax"), [(Decimal(1), Decimal(124)), (Decimal("0.001"), Decimal("123.500"))])
def test_tax_is_rounded_to_the_smallest_unit_of_the_currency(quantum: Decimal, tax: Decimal) -> None:
    assert count_tax([(FeeKind.PART, Decimal(1235))], ask_ten_percent, quantum) == (tax,)


@given(some_lines, percents)
def test_no_tax_of_a_line_is_more_than_half_a_cent_off_and_a_tie_goes_up(
    lines: list[tuple[FeeKind, Decimal]], percent: Decimal
) -> None:
    rate = percent / HUNDRED
    taxes = count_tax(lines, lambda _: rate, CENT)
    off = [tax - amount * rate for (_, amount), tax in zip(lines, taxes, strict=True)]
    assert all(-CENT / 2 < by <= CENT / 2 for by in off)


def test_the_tax_of_a_line_is_the_same_whatever_stands_beside_it() -> None:
    alone = count_tax([(FeeKind.PART, Decimal("0.25"))], ask_ten_percent, CENT)
    beside = count_tax([(FeeKind.PART, Decimal("0.25")), (FeeKind.PART, Decimal("9.99"))], ask_ten_percent, CENT)
    assert beside[0] == alone[0]


@settings(max_examples=40, deadline=None)
@given(st.lists(percents, min_size=3, max_size=3), st.sampled_from(["conventional_denture", "connecting_bar"]),
       st.integers(2, 6), st.booleans())  # fmt: skip
def test_a_quote_without_discounts_costs_what_the_estimate_says(
    given_percents: list[Decimal], key: str, implants: int, both: bool
) -> None:
    kinds = (FeeKind.LABORATORY, FeeKind.PART, FeeKind.VISIT)
    pairs = list(zip(kinds, given_percents, strict=True))
    schedule = replace(FEES, tax=FeeTax(rates=tuple((kind, percent / HUNDRED) for kind, percent in pairs)))
    profile = replace(PROFILE, taxes=tuple(ProfileTax(kind=kind, percent=percent) for kind, percent in pairs))
    arches = list(Arch) if both else [Arch.MANDIBLE]
    priced = [price_option(make_jaw(implants=implants, arch=arch), find_option(key), schedule) for arch in arches]
    together = join_jaws(priced, schedule)
    quote = quote_of(list(zip(arches, priced, strict=True)), profile)
    assert (quote.total, quote.tax) == (together.total, together.tax_total)
