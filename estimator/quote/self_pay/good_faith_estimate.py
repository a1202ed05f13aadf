"""The estimate owed to a patient who pays without a plan (45 CFR 149.610): contents, clock, versions.

Not legal advice. Every element that the rule asks for is a field; `list_missing` names those that are still empty.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal

from estimator.base.days import add_business_days, is_business_day
from estimator.base.money import add_up
from estimator.base.problems import FieldPath, InputError, Problem
from estimator.inputs.case.model import Patient
from estimator.inputs.payment.jurisdiction import Asked, ClockRule, DocumentKind, Profile, Provider, SelfPayRules
from estimator.inputs.payment.legal_texts import LegalText
from estimator.quote.lines import QuoteLine

SEPARATE_LIST = "separate_list"
_FILE = "self-pay estimate"


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedItem:
    """One item or service with its codes, which the office supplies, and the self-pay price.

    `fee_key` is the line of the fee schedule that it is of, empty in estimates kept before it was noted.
    """

    description: str
    quantity: int
    expected_charge: Decimal
    diagnosis_codes: tuple[str, ...] = ()
    service_code: str = ""
    expected_on: date | None = None
    fee_key: str = field(default="", compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class ProviderGroup:
    """What one provider is expected to charge; the total is the sum of its items."""

    provider: Provider
    items: tuple[ExpectedItem, ...]
    total: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class SeparateItem:
    """An item that is booked separately, before or after; it gets an estimate of its own."""

    description: str
    provider: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SelfPayEstimate:
    """One version of the document, which never changes once issued; `service_on` is None where nothing is booked."""

    title: str
    number: str
    version: int
    issued_on: date
    patient: Patient
    primary_service: str
    groups: tuple[ProviderGroup, ...]
    currency: str
    disclaimers: tuple[LegalText, ...]
    separate_disclaimer: LegalText
    service_on: date | None = None
    separate: tuple[SeparateItem, ...] = ()

    @property
    def total(self) -> Decimal:
        """The sum over all providers."""
        return sum((group.total for group in self.groups), Decimal(0))

    @property
    def unreviewed(self) -> tuple[str, ...]:
        """Disclaimers that nobody has put a name under yet."""
        return tuple(text.key for text in (*self.disclaimers, self.separate_disclaimer) if not text.reviewed)


@dataclass(frozen=True, slots=True, kw_only=True)
class Booking:
    """What the practice knows of patient and service. Codes are by line key, and the office's own."""

    patient: Patient
    primary_service: str
    service_on: date | None = None
    diagnosis_codes: tuple[str, ...] = ()
    separate: tuple[SeparateItem, ...] = ()
    where_to_dispute: str = ""
    phone: str = ""


def make_self_pay_estimate(
    booking: Booking,
    lines: Sequence[QuoteLine],
    charges: Sequence[Decimal],
    *,
    number: str,
    issued_on: date,
    profile: Profile,
    texts: Iterable[LegalText],
    quantum: Decimal,
) -> SelfPayEstimate:
    """The first version: lines at their self-pay charges, grouped by provider, with the disclaimers filled.

    Raises ValueError where the profile has no self-pay rules, or charges do not match lines, and InputError where the
    days of the booking cannot be.
    """
    rules = get_rules(profile)
    _check_days(booking, issued_on)
    filled = {
        text.key: _fill(text, amount=f"{rules.dispute_amount:f}", where=booking.where_to_dispute, phone=booking.phone)
        for text in _prefer_own(texts, profile)
    }
    return SelfPayEstimate(
        title=profile.name_document(DocumentKind.SELF_PAY),
        number=number,
        version=1,
        issued_on=issued_on,
        patient=booking.patient,
        primary_service=booking.primary_service,
        service_on=booking.service_on,
        groups=group_by_provider(lines, charges, booking, profile, quantum),
        currency=profile.currency,
        disclaimers=tuple(text for key, text in filled.items() if key != SEPARATE_LIST),
        separate_disclaimer=filled[SEPARATE_LIST],
        separate=booking.separate,
    )


def _check_days(booking: Booking, issued_on: date) -> None:
    born, service_on, problems = booking.patient.born, booking.service_on, []
    if born is not None and born >= issued_on:
        problems.append(_blame_day(("patient", "born"), "self_pay.born", born, issued_on))
    if service_on is not None and service_on < issued_on:
        problems.append(_blame_day(("service_on",), "self_pay.service_on", service_on, issued_on))
    if problems:
        raise InputError(problems)


def _blame_day(path: FieldPath, code: str, found: date, issued_on: date) -> Problem:
    return Problem(file=_FILE, path=path, code=code, found=found, expected={"issued_on": issued_on})


def get_rules(profile: Profile) -> SelfPayRules:
    """The self-pay rules of a profile. Raises ValueError where its place has none."""
    if profile.self_pay is None:
        raise ValueError(f"'profile' must have self-pay rules (got {profile.key}, which has none)")
    return profile.self_pay


def _prefer_own(texts: Iterable[LegalText], profile: Profile) -> Iterable[LegalText]:
    return (profile.find_text(text.key) or text for text in texts)


def _fill(text: LegalText, **values: str) -> LegalText:
    """The text with its places filled; a place without a value stays, so that it is found missing."""
    known = tuple((name, value) for name, value in values.items() if value and f"{{{name}}}" in text.text)
    filled = text.text
    for name, value in known:
        filled = filled.replace(f"{{{name}}}", value)
    return replace(text, text=filled, values=known)


def group_by_provider(
    lines: Sequence[QuoteLine], charges: Sequence[Decimal], booking: Booking, profile: Profile, quantum: Decimal
) -> tuple[ProviderGroup, ...]:
    """The lines by provider in the order in which providers appear."""
    items: dict[str, list[ExpectedItem]] = {}
    for line, charge in zip(lines, charges, strict=True):
        items.setdefault(line.provider, []).append(
            ExpectedItem(
                description=line.label,
                quantity=line.quantity,
                expected_charge=charge,
                diagnosis_codes=booking.diagnosis_codes,
                service_code=line.office_code,
                expected_on=booking.service_on,
                fee_key=line.fee_key,
            )
        )
    return tuple(
        ProviderGroup(
            provider=profile.find_provider(key),
            items=tuple(group),
            total=add_up((item.expected_charge for item in group), quantum),
        )
        for key, group in items.items()
    )


def list_missing(estimate: SelfPayEstimate) -> tuple[FieldPath, ...]:
    """Where a required element is still empty, such as groups, 1, provider, npi.

    Not asked: a day that is not booked yet, and diagnosis codes, which are due only where one applies.
    """
    asked: list[tuple[FieldPath, object]] = [
        (("patient", "name"), estimate.patient.name),
        (("patient", "born"), estimate.patient.born),
        (("primary_service",), estimate.primary_service),
        (("groups",), estimate.groups),
    ]
    for number, group in enumerate(estimate.groups, 1):
        asked += _ask_group(group, ("groups", number))
    texts = estimate.disclaimers + ((estimate.separate_disclaimer,) if estimate.separate else ())
    asked += [(("disclaimers", text.key), "{" not in text.text) for text in texts]
    return tuple(path for path, value in asked if not value)


def _ask_group(group: ProviderGroup, path: FieldPath) -> Iterable[tuple[FieldPath, object]]:
    for name in ("name", "npi", "tin", "state", "place"):
        yield (*path, "provider", name), getattr(group.provider, name)
    for row, item in enumerate(group.items, 1):
        yield (*path, "items", row, "description"), item.description
        yield (*path, "items", row, "service_code"), item.service_code


@dataclass(frozen=True, slots=True, kw_only=True)
class ProviderChange:
    """One provider's total in two versions, or in an estimate and a bill; `disputable` from the rule's amount up."""

    provider: str
    before: Decimal
    after: Decimal
    disputable: bool

    @property
    def difference(self) -> Decimal:
        """How much more, below 0 for less."""
        return self.after - self.before


def compare_provider_totals(
    before: Mapping[str, Decimal], after: Mapping[str, Decimal], dispute_amount: Decimal
) -> tuple[ProviderChange, ...]:
    """Totals by provider, those of either side; a provider that was not there had a total of 0."""
    return tuple(
        ProviderChange(
            provider=key,
            before=(old := before.get(key, Decimal(0))),
            after=(new := after.get(key, Decimal(0))),
            disputable=new - old >= dispute_amount,
        )
        for key in dict.fromkeys([*before, *after])
    )


def total_by_provider(estimate: SelfPayEstimate) -> dict[str, Decimal]:
    """The total of each provider by key."""
    return {group.provider.key: group.total for group in estimate.groups}


def revise_self_pay(
    before: SelfPayEstimate, after: SelfPayEstimate, dispute_amount: Decimal
) -> tuple[SelfPayEstimate, tuple[ProviderChange, ...]]:
    """The next version of an estimate, which stays as it is, and what changed for each provider.

    Raises ValueError for another number, or a day before that of the version it follows.
    """
    if after.number != before.number:
        raise ValueError(f"'after' must have the number {before.number} (got {after.number})")
    if after.issued_on < before.issued_on:
        raise ValueError(f"'issued_on' must not be before {before.issued_on.isoformat()} (got {after.issued_on})")
    changes = compare_provider_totals(total_by_provider(before), total_by_provider(after), dispute_amount)
    return replace(after, version=before.version + 1), changes


def find_due_day(
    clock: Iterable[ClockRule], asked: Asked, *, asked_on: date, service_on: date | None, closed: Collection[date]
) -> date | None:
    """The last day on which an estimate is in time; None where none is owed, as for what is booked at short notice.

    Booked: the first rule that is met counts, in the order of the profile; where a closed day makes it doubtful how far
    ahead, the estimate is owed. A change of scope counts back from the service. Raises ValueError without the day of a
    service that is booked, or for one before the day of asking.
    """
    if asked is Asked.ON_REQUEST:
        return next((add_business_days(asked_on, rule.within, closed) for rule in clock if rule.asked is asked), None)
    if service_on is None or service_on < asked_on:
        raise ValueError(f"'service_on' must be a day on or after {asked_on.isoformat()} (got {service_on})")
    for rule in clock:
        if rule.asked is not asked:
            continue
        if asked is Asked.SCOPE_CHANGED:
            return add_business_days(service_on, -rule.within, closed)
        if add_business_days(asked_on, rule.at_least_ahead, closed) <= _find_open_day(service_on, closed):
            return add_business_days(asked_on, rule.within, closed)
    return None


def _find_open_day(day: date, closed: Collection[date]) -> date:
    return day if is_business_day(day, closed) else add_business_days(day, 1, closed)
