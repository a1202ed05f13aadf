"""A thousand annual percentage rates, and a quote of twenty lines with four ways to pay, against references."""

from datetime import date
from decimal import Decimal
from typing import Any

from estimator import files
from estimator.inputs.fees.schedule import FeeKind
from estimator.inputs.payment.model import (
    Adjustment,
    Instalments,
    Lender,
    Milestone,
    Milestones,
    PayInFull,
    PaymentTerms,
    Portion,
    Spread,
)
from estimator.quote.lines import QuoteLine
from estimator.quote.payment.apr import UnitPeriod, UnitPeriods, find_apr
from estimator.quote.quote import LineHelp, Quote, QuoteHeading, make_quote
from tests.bench.reference import do_transforms, race

PAYMENTS = tuple(tuple([Decimal(230 + n)] * 36) for n in range(100))
FIRST = UnitPeriods(whole=1, odd_days=19, of_days=30)
MONTH = UnitPeriod(months=1)
PROFILE = files.load_profile(files.DATA / "demo")
HEADING = QuoteHeading(
    number="Q-1", reference="C-1", made_by="office", made_on=date(2026, 11, 25), price_date=date(2026, 11, 1),
    creditor="Practice",
)  # fmt: skip
LINES = tuple(
    QuoteLine(key=f"l{n}", label=f"Line {n}", kind=FeeKind.VISIT, provider="practice", quantity=1,
              unit_fee=Decimal(f"{250 + 7 * n}.00"), amount=Decimal(f"{250 + 7 * n}.00"))
    for n in range(20)
)  # fmt: skip
HELP = tuple(LineHelp(key=line.key, plan_pays=line.amount / 4, write_off=Decimal("10.00")) for line in LINES)
TERMS = PaymentTerms(
    adjustments=(
        Adjustment(reason="courtesy", portion=Portion(percent=Decimal(5)), spread=Spread.LINES),
        Adjustment(reason="rounding", portion=Portion(amount=Decimal(20))),
    ),
    ways=(
        PayInFull(key="full", label="In full", discount=Portion(percent=Decimal(2))),
        Milestones(key="stages", label="By milestone", stages=tuple(
            Milestone(what=what, percent=Decimal(share)) for what, share in (("surgery", 40), ("impressions", 30), ("delivery", 30))
        )),
        Instalments(key="monthly", label="Monthly", number=60, first=date(2027, 1, 31), rate_percent=Decimal("9.9"),
                    set_up_fee=Decimal(25)),
        Lender(key="lender", label="A lender"),
    ),
)  # fmt: skip


def find_a_thousand_rates() -> Decimal:
    return sum(
        (find_apr(Decimal(6000), payments, FIRST, MONTH) for payments in PAYMENTS for _ in range(10)), Decimal(0)
    )


def make_one() -> Quote:
    return make_quote(HEADING, LINES, TERMS, PROFILE, benefits=HELP)


def test_a_thousand_rates_take_a_few_references(benchmark: Any) -> None:
    """Under 1 s where 300 FFT pairs take 40 ms (a quiet machine with two cores)."""
    benchmark.pedantic(find_a_thousand_rates, rounds=3)
    ours, reference = race(find_a_thousand_rates, do_transforms, rounds=5)
    benchmark.extra_info.update(ours_ms=1000 * ours, reference_ms=1000 * reference)
    print(f"\n1000 rates {1000 * ours:.0f} ms, reference {1000 * reference:.1f} ms, ratio {ours / reference:.2f}")
    assert ours <= 1000 / 40 * reference


def test_twenty_lines_and_four_ways_take_less_than_the_reference(benchmark: Any) -> None:
    """Under 20 ms where 300 FFT pairs take 40 ms (a quiet machine with two cores)."""
    benchmark(make_one)
    ours, reference = race(make_one, do_transforms, rounds=15)
    benchmark.extra_info.update(ours_ms=1000 * ours, reference_ms=1000 * reference)
    print(f"\na quote {1000 * ours:.2f} ms, reference {1000 * reference:.1f} ms, ratio {ours / reference:.3f}")
    assert ours <= 20 / 40 * reference
