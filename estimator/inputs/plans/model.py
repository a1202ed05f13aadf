"""BenefitPlan: what a dental plan pays for, how much of it, and how much of that this patient has left."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from enum import StrEnum

from estimator.inputs.case.model import Arch
from estimator.inputs.fees.schedule import FeeKind, FeeLine, FeeSchedule


class DateRule(StrEnum):
    """Which day a plan counts a service on."""

    PREPARATION = "preparation"
    DELIVERY = "delivery"


class SecondRule(StrEnum):
    """How a plan pays where another plan has paid before it."""

    STANDARD = "standard"
    NON_DUPLICATION = "non_duplication"
    CARVE_OUT = "carve_out"
    MAINTENANCE_OF_BENEFITS = "maintenance_of_benefits"


@dataclass(frozen=True, slots=True, kw_only=True)
class Scope:
    """The lines a rule is about: named lines and whole benefit classes; every line where neither is named."""

    classes: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()

    def holds(self, line: str, benefit_class: str) -> bool:
        """Whether the rule is about that line."""
        return not (self.classes or self.lines) or line in self.lines or benefit_class in self.classes


EVERYTHING = Scope()


@dataclass(frozen=True, slots=True, kw_only=True)
class BenefitClass:
    """A class of services and the percentage that the **plan** pays of them.

    A line belongs to it by its key, by the benefit class of the fee schedule, or by its kind, in this order.
    """

    key: str
    name: str
    plan_pays_percent: Decimal
    waiting_months: int = 0
    lines: tuple[str, ...] = ()
    kinds: tuple[FeeKind, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """An amount that is used up line by line: a deductible, a maximum, a yearly allowance."""

    amount: Decimal
    used: Decimal = Decimal(0)
    scope: Scope = EVERYTHING


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternate:
    """The benefit of `scope`, taken together in one jaw, is computed on what a cheaper service would be allowed."""

    instead: str
    amount: Decimal
    scope: Scope


@dataclass(frozen=True, slots=True, kw_only=True)
class Subsidy:
    """A fixed amount for a finding, towards `scope` in one jaw, whatever it costs; no percentage, no deductible."""

    finding: str
    amount: Decimal
    scope: Scope


@dataclass(frozen=True, slots=True, kw_only=True)
class Frequency:
    """At most so many times in so many months."""

    times: int
    months: int
    scope: Scope


@dataclass(frozen=True, slots=True, kw_only=True)
class Replacement:
    """No benefit for a new denture sooner than so many months after the present one."""

    months: int
    scope: Scope


@dataclass(frozen=True, slots=True, kw_only=True)
class PastService:
    """A service the plan paid for before; its benefit class where a frequency names classes."""

    line: str
    on: date
    benefit_class: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """How this patient stands in the plan. A day that is None is not known.

    `as_of` is the day the used amounts were told for: they count in the benefit year of that day.
    """

    covered_since: date | None = None
    as_of: date | None = None
    teeth_lost_on: date | None = None
    dentures: Mapping[Arch, date] = field(default_factory=dict)
    past: tuple[PastService, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BenefitPlan:
    """A plan and the patient's standing in it, in one currency.

    `allowed` is by fee line, for one unit of it. `dated` are the lines that `date_rule` is about; others are dated by
    the day they are done. A benefit year begins on the first of `year_begins_month`. None: the plan has no such thing.
    """

    key: str
    name: str
    currency: str
    in_network: bool
    classes: tuple[BenefitClass, ...]
    allowed: Mapping[str, Decimal] = field(default_factory=dict)
    year_begins_month: int = 1
    date_rule: DateRule = DateRule.DELIVERY
    dated: Scope = EVERYTHING
    as_second: SecondRule = SecondRule.STANDARD
    deductible: Limit | None = None
    annual_maximum: Limit | None = None
    lifetime_maximum: Limit | None = None
    yearly_allowance: Limit | None = None
    missing_tooth: Scope | None = None
    alternates: tuple[Alternate, ...] = ()
    subsidies: tuple[Subsidy, ...] = ()
    frequencies: tuple[Frequency, ...] = ()
    replacement: Replacement | None = None
    member: Member = Member()
    invented: bool = False

    def find_class(self, line: str, kind: FeeKind, benefit_class: str) -> BenefitClass | None:
        """The class a line belongs to; None where the plan does not cover it."""
        named = (c for c in self.classes if line in c.lines)
        same = (c for c in self.classes if c.key == benefit_class)
        of_kind = (c for c in self.classes if kind in c.kinds)
        return next(named, None) or next(same, None) or next(of_kind, None)

    def name_past_classes(self, fees: FeeSchedule) -> "BenefitPlan":
        """The same plan, where what it paid for before has the benefit class that a line of that key has in it."""
        past = tuple(replace(one, benefit_class=self._name_class(fees.lines[one.line])) for one in self.member.past)
        return replace(self, member=replace(self.member, past=past))

    def _name_class(self, line: FeeLine) -> str:
        found = self.find_class(line.key, line.kind, line.benefit_class)
        return found.key if found else ""
