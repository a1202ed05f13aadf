"""What a benefit plan may hold: the list of its fields, from which it is read, written, typed in and explained."""

from estimator.base.declared import Field, FieldKind, Section
from estimator.inputs.case.model import Arch
from estimator.inputs.fees.schedule import FeeKind
from estimator.inputs.plans.model import EVERYTHING, DateRule, SecondRule

_LONGEST_MONTHS = 600


def _declare_scope(path: str = "", *, classes: str = "for benefit classes", help: str = "") -> tuple[Field, ...]:
    """The benefit classes and the lines that a table is about."""
    return (
        Field(key="classes", kind=FieldKind.CLASSES, label=classes, example='["prosthetic"]',
              help=help or "The benefit classes it is about.", attribute=f"{path}classes"),
        Field(key="lines", kind=FieldKind.FEE_LINES, label="for lines", example='["finish_overdenture"]',
              help="The fee lines it is about; every line where neither is said.", attribute=f"{path}lines"),
    )  # fmt: skip


def _declare_limit(key: str, label: str, help: str, *, classes: str = "for benefit classes", hint: str = "") -> Section:
    amount = Field(key="amount", kind=FieldKind.AMOUNT, label=label, required=True, example="1500.00")
    return Section(
        key=key, help=help, attribute=key, parts=(amount, *_declare_scope("scope.", classes=classes, help=hint)),
    )  # fmt: skip


def _declare_used(key: str, label: str, limit: str) -> Field:
    return Field(
        key=key, kind=FieldKind.AMOUNT, label=f"{label}, used to date", default=0, example="0.00",
        help=f"How much of the {limit.replace('_', ' ')} is used.", attribute=f"{limit}.used",
    )  # fmt: skip


CLASSES = Section(
    key="classes",
    label="What the plan pays, percent",
    help="A line belongs to the class that names it, else by the schedule's benefit_class, else by its kind.",
    repeated=True,
    attribute="classes",
    parts=(
        Field(key="key", kind=FieldKind.KEY, label="key", help="A short name that other tables use.", required=True,
              example='"prosthetic"'),
        Field(key="name", kind=FieldKind.LINE, label="name", help="What it is called.", required=True, longest=60,
              code="line.name", example='"Dentures and what they rest on"'),
        Field(key="plan_pays_percent", kind=FieldKind.PERCENT, label="plan pays, percent", required=True,
              help="The plan's part, not the patient's; 80, not 0.8.", example="50"),
        Field(key="patient_pays_percent", kind=FieldKind.PERCENT, label="patient pays, percent",
              help="Only to check the plan's part by: both make 100.", example="50"),
        Field(key="waiting_months", kind=FieldKind.WHOLE, label="waiting period, months", high=120, default=0,
              help="Months from the day cover began until the plan pays.", example="12"),
        Field(key="lines", kind=FieldKind.FEE_LINES, label="lines", help="Fee lines that belong to it.",
              example='["examination"]'),
        Field(key="kinds", kind=FieldKind.WORDS, label="kinds", help="Kinds of fee that belong to it.",
              choices=FeeKind, example='["visit", "laboratory", "part"]'),
    ),
)  # fmt: skip
DATED = Section(
    key="dated",
    help="The lines that the date rule is about; every line without this table.",
    attribute="dated",
    default=EVERYTHING,
    parts=_declare_scope(),
)
LIMITS = (
    _declare_limit(
        "deductible", "Deductible", "The patient pays it first, once a benefit year.",
        classes="Deductible applies to", hint="All of it where nothing is chosen.",
    ),
    _declare_limit("annual_maximum", "Annual maximum", "The most the plan pays in a benefit year."),
    _declare_limit("lifetime_maximum", "Lifetime maximum", "The most it ever pays."),
    _declare_limit(
        "yearly_allowance", "Yearly allowance, pays all", "For systems that pay everything up to a yearly amount."
    ),
)  # fmt: skip
MISSING_TOOTH = Section(
    key="missing_tooth_clause",
    label="Missing tooth clause: no benefit for teeth lost before cover began",
    help="No benefit for teeth lost before the cover began.",
    attribute="missing_tooth",
    parts=_declare_scope(),
)
ALTERNATES = Section(
    key="alternates",
    help="The benefit of these lines, together in one jaw, is computed on a cheaper service.",
    repeated=True,
    attribute="alternates",
    parts=(
        Field(key="instead", kind=FieldKind.LINE, label="Alternate benefit, computed on", help="The cheaper service.",
              code="plans.cheaper_service", required=True, example='"full denture"'),
        Field(key="amount", kind=FieldKind.AMOUNT, label="Alternate benefit, amount a jaw", required=True,
              help="What would be allowed for it in one jaw.", example="1400.00"),
        *_declare_scope("scope."),
    ),
)  # fmt: skip
SUBSIDIES = Section(
    key="subsidies",
    help="For systems that pay a fixed amount for a finding, whatever the treatment costs.",
    repeated=True,
    attribute="subsidies",
    parts=(
        Field(key="finding", kind=FieldKind.LINE, label="Fixed subsidy, for which finding", required=True,
              help="What the amount is for.", code="plans.finding",
              example='"jaw without teeth"'),
        Field(key="amount", kind=FieldKind.AMOUNT, label="Fixed subsidy, amount a jaw", required=True,
              help="What is paid in one jaw.", example="400.00"),
        *_declare_scope("scope."),
    ),
)  # fmt: skip
FREQUENCIES = Section(
    key="frequencies",
    label="Limit",
    help="At most so many times in so many months.",
    repeated=True,
    attribute="frequencies",
    parts=(
        Field(key="times", kind=FieldKind.WHOLE, label="times", help="How often.", low=1, high=100, required=True,
              example="1"),
        Field(key="months", kind=FieldKind.WHOLE, label="in months", help="In how many months.", low=1,
              high=_LONGEST_MONTHS, required=True, example="60"),
        *_declare_scope("scope."),
    ),
)  # fmt: skip
REPLACEMENT = Section(
    key="replacement",
    help="How long a denture has to serve.",
    attribute="replacement",
    parts=(
        Field(key="months", kind=FieldKind.WHOLE, label="Replacement interval, months", low=1, high=_LONGEST_MONTHS,
              help="No benefit for a new denture sooner than this after the present one.", required=True, example="60"),
        *_declare_scope("scope."),
    ),
)  # fmt: skip
ALLOWED = Section(
    key="allowed",
    help="The most the plan bases its payment on, for one unit of a line.",
    repeated=True,
    attribute="allowed",
    parts=(
        Field(key="line", kind=FieldKind.LINE, label="line", help="The key of a fee line.", required=True,
              code="plans.fee_line", example='"examination"'),
        Field(key="amount", kind=FieldKind.AMOUNT, label="amount", help="What is allowed.", required=True,
              example="110.00"),
    ),
)  # fmt: skip
PRESENT_DENTURE = Section(
    key="present_denture",
    help="The day each present denture was delivered.",
    parts=tuple(
        Field(key=arch.value, kind=FieldKind.PAST_DAY, label=f"{side} denture delivered on", example="2019-06-15",
              code="plans.denture_delivered", attribute=f"member.dentures.{arch}")
        for arch, side in ((Arch.MANDIBLE, "Lower"), (Arch.MAXILLA, "Upper"))
    ),
)  # fmt: skip
PAST = Section(
    key="past",
    label="Paid before",
    help="What the plan paid for before, where a frequency counts it.",
    repeated=True,
    attribute="member.past",
    parts=(
        Field(key="line", kind=FieldKind.LINE, label="line", help="The key of a fee line.", required=True,
              code="plans.fee_line", example='"panoramic_film"'),
        Field(key="on", kind=FieldKind.PAST_DAY, label="day", help="The day of the service.", required=True,
              code="plans.service_day", missing="plans.no_service_day",
              example="2024-03-12"),
        Field(key="benefit_class", kind=FieldKind.LINE, label="benefit class", code="plans.class_key",
              help="Its benefit class, where a frequency names classes.", example='"diagnostic"'),
    ),
)  # fmt: skip
MEMBER = Section(
    key="member",
    help="This patient, as the plan told on the day as_of.",
    parts=(
        Field(key="born", kind=FieldKind.PAST_DAY, label="Born", help="The day of birth, where the case has none.",
              code="plans.born", example="1951-05-02", attribute="member.born"),
        Field(key="covered_since", kind=FieldKind.PAST_DAY, label="Cover began on", example="2024-03-01",
              help="Needed where a waiting period or the missing tooth clause counts from it.",
              code="plans.covered_since", attribute="member.covered_since"),
        Field(key="as_of", kind=FieldKind.PAST_DAY, label="Used to date, as told on", example="2026-11-20",
              help="The day the used amounts were told for; they count in the benefit year of that day.",
              code="plans.as_of", attribute="member.as_of"),
        Field(key="teeth_lost_on", kind=FieldKind.PAST_DAY, label="Last teeth lost on", example="2023-05-02",
              help="For the missing tooth clause.", code="plans.teeth_lost",
              attribute="member.teeth_lost_on"),
        _declare_used("deductible_used", "Deductible", "deductible"),
        _declare_used("annual_used", "Annual maximum", "annual_maximum"),
        _declare_used("lifetime_used", "Lifetime maximum", "lifetime_maximum"),
        _declare_used("allowance_used", "Yearly allowance", "yearly_allowance"),
        PRESENT_DENTURE,
        PAST,
    ),
)  # fmt: skip
PLAN = Section(
    parts=(
        Field(key="key", kind=FieldKind.KEY, label="Key", help="A short name.", required=True, example='"plan_a"'),
        Field(key="name", kind=FieldKind.LINE, label="Name of the plan", required=True, example='"Plan A"'),
        Field(key="invented", kind=FieldKind.FLAG, label="Invented", help="Whether it is a sample.", default=False,
              example="false"),
        Field(key="currency", kind=FieldKind.CURRENCY, label="Currency", help="That of the fee schedule.",
              required=True, example='"USD"'),
        Field(key="in_network", kind=FieldKind.FLAG, required=True, example="true",
              label="In network: the practice has a contract, and writes off what is over the allowed amount",
              missing="plans.in_network"),
        Field(key="year_begins_month", kind=FieldKind.WHOLE, label="Benefit year begins in month", low=1, high=12,
              help="A benefit year begins on the first of this month.", default=1, example="1"),
        Field(key="date_rule", kind=FieldKind.CHOICE, label="Plan counts the day of", choices=DateRule,
              help="The day the plan counts the lines of [dated] on.", default=DateRule.DELIVERY,
              example='"delivery"'),
        Field(key="as_second", kind=FieldKind.CHOICE, label="How it pays after another plan", choices=SecondRule,
              help="How it pays after another plan.", default=SecondRule.STANDARD, example='"standard"'),
        Field(key="percentages_checked", kind=FieldKind.FLAG, default=False, example="true",
              label="These are the plan's percentages, and they are right",
              help="Only asked for where they look reversed."),
        CLASSES,
        DATED,
        *LIMITS,
        MISSING_TOOTH,
        ALTERNATES,
        FREQUENCIES,
        REPLACEMENT,
        SUBSIDIES,
        ALLOWED,
        MEMBER,
    ),
)  # fmt: skip
"""Everything that a plan file may hold."""
