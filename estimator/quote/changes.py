"""What differs between two versions of a quote, as values: what sort of thing it is, of what, before and after."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from estimator.quote.payment.plans import Series


class ChangeKind(StrEnum):
    """What can differ; `as_written` is a text of an older version that says it in words."""

    TITLE = "title"
    MADE_BY = "made_by"
    VALID_UNTIL = "valid_until"
    PROFILE = "profile"
    CURRENCY = "currency"
    PRICE_DATE = "price_date"
    OPTIONS = "options"
    ANSWERED = "answered"
    LINE = "line"
    ADJUSTMENT = "adjustment"
    TOTAL = "total"
    TAX = "tax"
    WRITE_OFF = "write_off"
    PLAN_PAYS = "plan_pays"
    LEFT = "left"
    AT_MOST = "at_most"
    WAY = "way"
    TEXT = "text"
    AS_WRITTEN = "as_written"


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeSubject:
    """Which line, discount, way or text: its key, what it is called as printed, and its jaw where it has one."""

    key: str = ""
    label: str = ""
    arch: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanAnswered:
    """The plan whose answer is counted, and the day of it."""

    plan: str
    answered_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class LinePrice:
    """A line as it is printed: quantity times fee, the upper end where a range is quoted, and what is left of it."""

    label: str
    quantity: int
    unit_fee: Decimal
    amount: Decimal
    left: Decimal
    amount_to: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenOff:
    """A discount (below 0) or increase with its reason; by percent or, without one, by amount."""

    reason: str
    change: Decimal
    percent: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StageAmount:
    """What is paid at a milestone, and its day where that is known."""

    what: str
    amount: Decimal
    due: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WayTerms:
    """A way to pay: what it comes to, what is paid at signing, a lender's text, and its payments: stages or series."""

    label: str
    total: Decimal
    at_signing: Decimal
    text: str = ""
    stages: tuple[StageAmount, ...] = ()
    series: tuple[Series, ...] = ()


Chosen = tuple[tuple[str, str], ...]
"""The options chosen: a jaw and the name of its option each."""
ChangedValue = str | date | Decimal | Chosen | PlanAnswered | LinePrice | TakenOff | WayTerms

VALUE_KINDS: dict[ChangeKind, object] = {
    ChangeKind.TITLE: str,
    ChangeKind.MADE_BY: str,
    ChangeKind.VALID_UNTIL: date,
    ChangeKind.PROFILE: str,
    ChangeKind.CURRENCY: str,
    ChangeKind.PRICE_DATE: date,
    ChangeKind.OPTIONS: Chosen,
    ChangeKind.ANSWERED: PlanAnswered,
    ChangeKind.LINE: LinePrice,
    ChangeKind.ADJUSTMENT: TakenOff,
    ChangeKind.TOTAL: Decimal,
    ChangeKind.TAX: Decimal,
    ChangeKind.WRITE_OFF: Decimal,
    ChangeKind.PLAN_PAYS: Decimal,
    ChangeKind.LEFT: Decimal,
    ChangeKind.AT_MOST: Decimal,
    ChangeKind.WAY: WayTerms,
    ChangeKind.TEXT: str,
    ChangeKind.AS_WRITTEN: str,
}
"""What the values of each kind are."""
NO_SUBJECT = ChangeSubject()


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteChange:
    """What differs from the version before; None where there was nothing, or is nothing now.

    Only lines, discounts, ways and texts have a `subject`: of the others there is one of a kind.
    """

    kind: ChangeKind
    subject: ChangeSubject = NO_SUBJECT
    before: ChangedValue | None = None
    after: ChangedValue | None = None
