"""Lines, quantities, totals, practice cost."""

from dataclasses import replace
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.estimate.cost.charges import Fees, count_quantities, price_option
from estimator.inputs.case.model import Arch
from estimator.inputs.fees.schedule import NO_TAX, FeeKind, FeeTax, Unit
from tests.builders import estimate_all, estimate_jaw, find_option, load_demo_practice, make_jaw

FEES = load_demo_practice().fees


def test_attachments_on_a_bar_are_not_the_implants() -> None:
    units = count_quantities(make_jaw(implants=6), find_option("connecting_bar"))
    assert [units.count(u) for u in (Unit.IMPLANT, Unit.ATTACHMENT, Unit.BAR_SEGMENT)] == [6, 4, 5]


def test_individual_attachments_are_one_an_implant() -> None:
    units = count_quantities(make_jaw(implants=6), find_option("individual_attachments"))
    assert [units.count(u) for u in (Unit.IMPLANT, Unit.ATTACHMENT, Unit.BAR_SEGMENT)] == [6, 6, 0]


def test_the_same_fee_on_two_visits_is_one_line() -> None:
    fees = price_option(make_jaw(), find_option("conventional_denture"), FEES)
    reviews = [line for line in fees.lines if line.key == "review"]
    assert [(line.quantity, line.amount) for line in reviews] == [(3, Decimal(0))]


def test_extractions_are_charged_per_tooth() -> None:
    fees = price_option(make_jaw(extractions=5), find_option("conventional_denture"), FEES)
    assert next(line.quantity for line in fees.lines if line.key == "extraction") == 5


def test_surgery_is_the_surgeons_in_the_totals_by_provider() -> None:
    fees = price_option(make_jaw(implants_present=False), find_option("connecting_bar"), FEES)
    assert dict(fees.by_provider)["surgeon"] == Decimal(4 * 1350)


def test_practice_cost_counts_minutes_and_own_cost_of_each_line() -> None:
    """Conventional denture, 240 an hour: 300 minutes = 1200; film 15, base and rims 95, set-up 150, finish 190."""
    cost = estimate_jaw(make_jaw())["conventional_denture"].practice_cost
    minutes = 45 + 25 + 50 + 40 + 30 + 40 + 3 * 20 + 10
    assert cost.cost_total == Decimal(minutes) * 4 + 15 + 95 + 150 + 190
    assert cost.margin == Decimal(2250) - (cost.cost_total or 0)


def test_without_a_chair_hour_the_practice_cost_is_not_known() -> None:
    practice = replace(load_demo_practice(), settings=replace(load_demo_practice().settings, chair_cost_per_hour=None))
    assert estimate_jaw(make_jaw(), practice=practice)["connecting_bar"].practice_cost.cost_total is None


@settings(max_examples=30, deadline=None)
@given(st.integers(2, 8), st.booleans(), st.sampled_from(list(Arch)), st.integers(0, 9))
def test_totals_are_the_sums_of_their_printed_lines(implants: int, present: bool, arch: Arch, teeth: int) -> None:
    jaw = make_jaw(implants=implants, implants_present=present, arch=arch, extractions=teeth)
    for estimate in estimate_all(jaw).jaws[0].estimates:
        fees = estimate.fees
        assert fees.total == sum(line.amount for line in fees.lines)
        assert fees.total == sum(total for _, total in fees.by_kind) == sum(total for _, total in fees.by_provider)
        assert all(line.amount == line.quantity * line.unit_fee for line in fees.lines)
        assert dict(fees.by_kind)[FeeKind.AFTERCARE] == 0


@settings(max_examples=30, deadline=None)
@given(st.sampled_from(sorted(FEES.lines)), st.decimals(min_value=0, max_value=5000, places=2))
def test_a_dearer_line_never_lowers_a_total(key: str, more: Decimal) -> None:
    dearer = replace(FEES, lines={**FEES.lines, key: replace(FEES.get(key), fee=FEES.get(key).fee + more)})
    jaw = make_jaw()
    before = estimate_jaw(jaw)
    after = estimate_jaw(jaw, practice=replace(load_demo_practice(), fees=dearer))
    for option, estimate in after.items():
        assert estimate.fees.total >= before[option].fees.total
        assert estimate.upkeep.expected >= before[option].upkeep.expected
        assert estimate.total_over_years >= before[option].total_over_years


class TestRanges:
    """A fee that is a range: its middle is counted, both ends are kept."""

    def _price(self, tax: FeeTax = NO_TAX) -> Fees:
        practice = load_demo_practice()
        line = replace(practice.fees.lines["place_implant"], fee=Decimal(1000), fee_to=Decimal("1500.01"))
        schedule = replace(practice.fees, lines={**practice.fees.lines, line.key: line}, tax=tax)
        jaw = make_jaw("13", implants=4, implants_present=False)
        return price_option(jaw, find_option("individual_attachments"), schedule)

    def test_the_middle_is_counted_and_times_the_quantity_is_the_amount(self) -> None:
        line = next(line for line in self._price().lines if line.key == "place_implant")
        assert (line.unit_fee, line.amount) == (Decimal("1250.01"), Decimal("5000.04"))
        assert line.amount_range == (Decimal("4000.00"), Decimal("6000.04"))

    def test_a_total_is_still_the_sum_of_its_printed_lines(self) -> None:
        fees = self._price()
        assert fees.total == sum(line.amount for line in fees.lines)

    def test_the_total_has_both_ends(self) -> None:
        fees = self._price()
        assert fees.total_range == (fees.total - Decimal("1000.04"), fees.total + Decimal("1000.00"))

    def test_the_ends_hold_tax_like_the_total(self) -> None:
        fees = self._price(FeeTax(rates=((FeeKind.SURGERY, Decimal("0.1")),)))
        assert fees.total_range is not None
        assert fees.total_range[1] - fees.total == Decimal("1100.00")

    def test_without_a_range_there_are_no_ends(self) -> None:
        practice = load_demo_practice()
        assert price_option(make_jaw("13"), find_option("connecting_bar"), practice.fees).total_range is None
