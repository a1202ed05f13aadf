"""Profile: how quotes are made in one place - currency, tax, titles, validity, deposits, and what a law asks for."""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum

from estimator.base.evidence import HowSure
from estimator.base.problems import InputError, Problem
from estimator.inputs.fees.schedule import FeeKind, FeeSchedule, FeeTax
from estimator.inputs.payment.legal_texts import LegalText
from estimator.inputs.practice.settings import Paper


class DocumentKind(StrEnum):
    """Three documents that are never mixed, each with a title of its own."""

    QUOTE = "quote"
    BENEFIT = "benefit"
    SELF_PAY = "self_pay"


class Asked(StrEnum):
    """What starts the clock of a self-pay estimate."""

    BOOKED = "booked"
    ON_REQUEST = "on_request"
    SCOPE_CHANGED = "scope_changed"


@dataclass(frozen=True, slots=True, kw_only=True)
class TaxRule:
    """Tax on lines of one kind [%]; the reason of an exemption is printed where it is 0."""

    kind: FeeKind
    percent: Decimal
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Disclosure:
    """When credit terms are disclosed: over so many instalments, with any charge, or always."""

    free_instalments: int
    always: bool
    source: str
    how_sure: HowSure


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockRule:
    """A self-pay estimate is due within so many business days, for what is booked at least so many ahead.

    For a change of scope `within` is counted back from the service.
    """

    asked: Asked
    within: int
    at_least_ahead: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class SelfPayRules:
    """What is owed to a patient who pays without a plan, and from which difference a bill can be disputed.

    `country` and `subdivision` (may be empty) say whose holidays count.
    """

    country: str
    subdivision: str
    dispute_amount: Decimal
    clock: tuple[ClockRule, ...]
    source: str
    how_sure: HowSure


@dataclass(frozen=True, slots=True, kw_only=True)
class Provider:
    """Who treats or makes, under the name that fee lines use: numbers and place are for self-pay estimates."""

    key: str
    name: str
    npi: str = ""
    tin: str = ""
    state: str = ""
    place: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """The settings of one place. An empty currency is that of the fee schedule; None is no cap and no warning.

    `laboratory_kinds` stand in a column of their own, empty for one column. `overrun_percent` is how far the price may
    rise before the patient must be told.
    """

    key: str
    name: str
    currency: str
    paper: Paper
    titles: tuple[tuple[DocumentKind, str], ...]
    valid_days: int
    disclosure: Disclosure
    ranges: bool = False
    signature_required: bool = False
    laboratory_kinds: tuple[FeeKind, ...] = ()
    deposit_cap_percent: Decimal | None = None
    overrun_percent: Decimal | None = None
    taxes: tuple[TaxRule, ...] = ()
    self_pay: SelfPayRules | None = None
    texts: tuple[LegalText, ...] = ()
    providers: tuple[Provider, ...] = ()

    def settle_fees(self, fees: FeeSchedule) -> "Profile":
        """The profile in the currency of the fees; without taxes of its own, with those of the settings.

        A kind of line without tax then carries the reason for that.
        """
        settled = self.settle_currency(fees.currency)
        if settled.taxes:
            return settled
        rates = dict(fees.tax.rates)
        taxes = (
            TaxRule(kind=kind, percent=100 * rates.get(kind, Decimal(0)), reason=fees.tax.reason) for kind in FeeKind
        )
        return replace(settled, taxes=tuple(taxes))

    def find_fee_tax(self) -> FeeTax | None:
        """The taxes of this place as they are added to fees; None where it has none and the settings' count.

        There is one reason that is printed beside a price without tax: those of the kinds that have none, each once.
        """
        if not self.taxes:
            return None
        reasons = dict.fromkeys(tax.reason for tax in self.taxes if tax.reason and not tax.percent)
        return FeeTax(
            rates=tuple((tax.kind, tax.percent / 100) for tax in self.taxes if tax.percent), reason="; ".join(reasons)
        )

    def name_document(self, kind: DocumentKind) -> str:
        """The title of one of the documents."""
        return dict(self.titles)[kind]

    def find_text(self, key: str) -> LegalText | None:
        """The text of that key, None where the practice has none."""
        return next((text for text in self.texts if text.key == key), None)

    def find_provider(self, key: str) -> Provider:
        """The provider of that key; one without numbers where nothing is known but the key."""
        return next((provider for provider in self.providers if provider.key == key), Provider(key=key, name=key))

    def find_tax(self, kind: FeeKind) -> TaxRule:
        """The tax on lines of a kind, 0 where none is set."""
        return next((tax for tax in self.taxes if tax.kind is kind), TaxRule(kind=kind, percent=Decimal(0)))

    def find_last_day(self, made_on: date) -> date:
        """The last day on which a quote made on that day holds."""
        return made_on + timedelta(days=self.valid_days)

    def settle_currency(self, fees_currency: str) -> "Profile":
        """The profile in the currency of the fees. Raises InputError if it is made for another one."""
        if self.currency not in ("", fees_currency):
            file, code, wanted = f"profile {self.key}", "profile.other_currency", {"currency": fees_currency}
            raise InputError([Problem(file=file, path=("currency",), code=code, found=self.currency, expected=wanted)])
        return replace(self, currency=fees_currency)
