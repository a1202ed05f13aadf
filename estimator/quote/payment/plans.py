"""Up to four ways to pay, side by side: what at signing, what when, what it adds, and what has to be disclosed."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from itertools import groupby

from estimator.base.money import add_up, round_money
from estimator.base.problems import InputError, Problem
from estimator.inputs.payment.jurisdiction import Profile
from estimator.inputs.payment.model import (
    HUNDRED,
    MOST_WAYS,
    Instalments,
    Lender,
    Milestone,
    Milestones,
    PayInFull,
    Portion,
    Way,
)
from estimator.quote.payment.apr import find_apr
from estimator.quote.payment.instalments import Payment, measure_first, plan_instalments, plan_stages

_RATE_STEP = Decimal("0.0001")
OWN_TEXTS = ("treatment_stops", "implant_fails")
"""Texts of the practice that belong beside every agreement: what is owed if it ends otherwise than planned."""
CREDIT_TEXTS = ("late_payment", "paying_early")


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """Something the office should know before it prints: a text of the wording (quote.notices) and what fills it."""

    key: str
    values: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """So many payments of the same amount in a row, from one day to another where the days are known."""

    number: int
    amount: Decimal
    first: date | None
    last: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CreditDisclosure:
    """The terms of credit as disclosed. `apr` in percent, None where no days are set and something is charged.

    `late_payment` and `paying_early` are the practice's own texts, empty where it has none.
    """

    creditor: str
    amount_financed: Decimal
    finance_charge: Decimal
    apr: Decimal | None
    total_of_payments: Decimal
    schedule: tuple[Series, ...]
    down_payment: Decimal
    total_sale_price: Decimal
    late_payment: str
    paying_early: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedWay:
    """One way to pay `price`: less `discount`, plus `charge` (interest and set-up fee) is `total`, all that is paid.

    `at_signing` is the deposit and the set-up fee; for a lender nothing is known but the price.
    """

    way: Way
    price: Decimal
    discount: Decimal
    deposit: Decimal
    set_up_fee: Decimal
    interest: Decimal
    payments: tuple[Payment, ...]
    apr: Decimal | None = None
    box: CreditDisclosure | None = None
    notices: tuple[Notice, ...] = ()

    @property
    def charge(self) -> Decimal:
        """What this way adds to the price."""
        return self.interest + self.set_up_fee

    @property
    def total(self) -> Decimal:
        """Everything the patient pays this way."""
        return self.price - self.discount + self.charge

    @property
    def at_signing(self) -> Decimal:
        """What is paid when the agreement is made."""
        return self.deposit + self.set_up_fee

    @property
    def amount_financed(self) -> Decimal:
        """The credit that is really given: what is left to pay, less a charge paid at signing."""
        return sum((payment.principal for payment in self.payments), Decimal(0)) - self.set_up_fee

    @property
    def largest_payment(self) -> Decimal:
        """The most that is due at one time."""
        return max([self.at_signing, *(payment.amount for payment in self.payments)])

    @property
    def last_due(self) -> date | None:
        """The day of the last payment, where it is known."""
        return self.payments[-1].due if self.payments else None


def plan_ways(
    ways: Iterable[Way], price: Decimal, *, signed_on: date, profile: Profile, creditor: str, quantum: Decimal
) -> tuple[PlannedWay, ...]:
    """Each way worked out for a price of 0 or more, with what has to be disclosed and what the office should know.

    Raises InputError where a way does not go with the price, such as a deposit above it.
    """
    ways = tuple(ways)
    if len(ways) > MOST_WAYS:
        raise ValueError(f"'ways' must be {MOST_WAYS} or fewer (got {len(ways)})")
    planned = tuple(_plan_way(way, price.quantize(quantum), signed_on, quantum) for way in ways)
    return tuple(_finish(one, planned, signed_on=signed_on, profile=profile, creditor=creditor) for one in planned)


def _plan_way(way: Way, price: Decimal, signed_on: date, quantum: Decimal) -> PlannedWay:
    nothing = Decimal(0).quantize(quantum)
    plain = PlannedWay(
        way=way, price=price, discount=nothing, deposit=nothing, set_up_fee=nothing, interest=nothing, payments=()
    )
    match way:
        case PayInFull():
            discount = _take(way.discount, price, quantum, way, "discount_amount")
            if way.in_advance:
                return replace(plain, discount=discount, deposit=price - discount)
            stages = (Milestone(what=way.when or way.label, percent=HUNDRED),)
            return replace(plain, discount=discount, payments=plan_stages(stages, price - discount, quantum=quantum))
        case Milestones():
            deposit = _take(way.deposit, price, quantum, way, "deposit_amount")
            left = price - deposit
            return replace(
                plain, deposit=deposit, payments=plan_stages(way.stages, left, quantum=quantum) if left else ()
            )
        case Instalments():
            return _plan_credit(plain, way, signed_on, quantum)
        case Lender():
            return plain


def _plan_credit(plain: PlannedWay, way: Instalments, signed_on: date, quantum: Decimal) -> PlannedWay:
    deposit = _take(way.deposit, plain.price, quantum, way, "deposit_amount")
    left = plain.price - deposit
    if not plain.price:
        raise InputError([_blame(way, "", "way.nothing_left", plain.price)])
    if not left:
        raise InputError([_blame(way, "deposit", "way.deposit", deposit, price=plain.price)])
    if not way.set_up_fee < left:
        raise InputError([_blame(way, "set_up_fee", "way.set_up_fee", way.set_up_fee, left=left)])
    payments = plan_instalments(way, left, signed_on=signed_on, quantum=quantum)
    planned = replace(
        plain,
        deposit=deposit,
        set_up_fee=way.set_up_fee.quantize(quantum),
        interest=add_up((payment.interest for payment in payments), quantum),
        payments=payments,
    )
    return replace(planned, apr=_find_rate(planned, planned.amount_financed, signed_on))


def _take(portion: Portion | None, price: Decimal, quantum: Decimal, way: Way, field: str) -> Decimal:
    taken = portion.take_of(price, quantum) if portion else Decimal(0).quantize(quantum)
    if taken > price:
        raise InputError([_blame(way, field, "way.above_price", taken, price=price)])
    return taken


def _blame(way: Way, field: str, code: str, found: Decimal, **expected: object) -> Problem:
    path = (way.key, field) if field else (way.key,)
    return Problem(file="quote", path=path, code=code, found=found, expected=expected)


def _find_rate(planned: PlannedWay, amount_financed: Decimal, signed_on: date) -> Decimal | None:
    """The annual percentage rate [%] of its instalments for such an amount; None where it is no plan of instalments."""
    if not isinstance(planned.way, Instalments) or amount_financed <= 0:
        return None
    unit, first = measure_first(planned.way, signed_on)
    rate = find_apr(amount_financed, [payment.amount for payment in planned.payments], first, unit)
    return round_money(rate, _RATE_STEP)


def _finish(
    planned: PlannedWay, others: tuple[PlannedWay, ...], *, signed_on: date, profile: Profile, creditor: str
) -> PlannedWay:
    box = _fill_box(planned, profile, creditor) if _must_disclose(planned, profile) else None
    notices = (
        *_warn_of_discount(planned, others, signed_on),
        *_warn_of_deposit(planned, profile),
        *_warn_of_missing_texts(planned, profile, with_credit=box is not None),
    )
    return replace(planned, box=box, notices=notices)


def _must_disclose(planned: PlannedWay, profile: Profile) -> bool:
    """What is paid later: over the free number of instalments, with any charge, or always if the practice wants."""
    rule = profile.disclosure
    return _is_plan(planned) and (rule.always or planned.charge > 0 or len(planned.payments) > rule.free_instalments)


def _is_plan(planned: PlannedWay) -> bool:
    """Whether it is paid bit by bit."""
    return bool(planned.payments) and not isinstance(planned.way, PayInFull)


def _fill_box(planned: PlannedWay, profile: Profile, creditor: str) -> CreditDisclosure:
    texts = {key: text.text if (text := profile.find_text(key)) else "" for key in CREDIT_TEXTS}
    return CreditDisclosure(
        creditor=creditor,
        amount_financed=planned.amount_financed,
        finance_charge=planned.charge,
        apr=planned.apr if planned.charge else Decimal(0).quantize(_RATE_STEP),
        total_of_payments=sum((payment.amount for payment in planned.payments), Decimal(0)),
        schedule=list_series(planned.payments),
        down_payment=planned.deposit,
        total_sale_price=planned.total,
        **texts,
    )


def list_series(payments: Iterable[Payment]) -> tuple[Series, ...]:
    """Payments in a row of the same amount put together: eleven of 263.61, then one of 263.59.

    One whose day is known is never put together with one whose day is not.
    """
    rows = []
    for (amount, _), group in groupby(payments, key=lambda payment: (payment.amount, payment.due is None)):
        same = tuple(group)
        rows.append(Series(number=len(same), amount=amount, first=same[0].due, last=same[-1].due))
    return tuple(rows)


def _warn_of_discount(planned: PlannedWay, others: tuple[PlannedWay, ...], signed_on: date) -> Iterable[Notice]:
    """A discount for paying in full beside a plan may itself be a finance charge; the rate is the one it would make."""
    most = max((other.discount for other in others), default=Decimal(0))
    if not _is_plan(planned) or most == 0:
        return
    rate = _find_rate(planned, planned.amount_financed - most, signed_on)
    if rate is None:
        yield Notice(key="discount_beside_plan", values=(("discount", f"{most}"),))
    else:
        yield Notice(key="discount_beside_instalments", values=(("discount", f"{most}"), ("apr", f"{rate:.2f}")))


def _warn_of_deposit(planned: PlannedWay, profile: Profile) -> Iterable[Notice]:
    cap = profile.deposit_cap_percent
    if cap is not None and planned.deposit * HUNDRED > cap * planned.price:
        yield Notice(key="deposit_over_cap", values=(("deposit", f"{planned.deposit}"), ("cap", f"{cap:f}")))


def _warn_of_missing_texts(planned: PlannedWay, profile: Profile, *, with_credit: bool) -> Iterable[Notice]:
    wanted = OWN_TEXTS if _is_plan(planned) else ()
    for key in wanted + (CREDIT_TEXTS if with_credit else ()):
        if profile.find_text(key) is None:
            yield Notice(key=f"{key}_missing")
