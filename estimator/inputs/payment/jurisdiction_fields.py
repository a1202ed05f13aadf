"""What a profile may hold: the list of its fields, from which it is read and explained."""

from estimator.base.declared import Field, FieldKind, Section
from estimator.base.evidence import HowSure
from estimator.inputs.fees.schedule import FeeKind
from estimator.inputs.payment.jurisdiction import Asked, DocumentKind
from estimator.inputs.payment.legal_texts import LEGAL_TEXTS
from estimator.inputs.practice.settings import Paper

TITLES = Section(
    key="titles",
    help="Titles of three documents that are never mixed.",
    parts=tuple(
        Field(key=kind.value, kind=FieldKind.LINE, label=f"Title of a {what}", required=True, example=f'"{title}"',
              attribute=f"titles.{kind}")
        for kind, what, title in (
            (DocumentKind.QUOTE, "quote", "Fee quote"),
            (DocumentKind.BENEFIT, "benefit estimate", "Benefit estimate"),
            (DocumentKind.SELF_PAY, "self-pay estimate", "Self-pay estimate"),
        )
    ),
)  # fmt: skip
DISCLOSURE = Section(
    key="disclosure",
    help="When the terms of credit are spelled out.",
    attribute="disclosure",
    parts=(
        Field(key="free_instalments", kind=FieldKind.WHOLE, label="Instalments without disclosure", required=True,
              help="They are spelled out over so many instalments, or with any charge.", high=99, example="4"),
        Field(key="always", kind=FieldKind.FLAG, label="Always", help="Always, however few.", default=False,
              example="false"),
        Field(key="source", kind=FieldKind.LINE, label="Source", help="The rule.", required=True, example='"..."'),
        Field(key="how_sure", kind=FieldKind.CHOICE, label="How sure", help="How sure it is.", choices=HowSure,
              required=True, example='"practice"'),
    ),
)  # fmt: skip
TAXES = Section(
    key="taxes",
    help="Tax by kind of fee; without any, that of settings.toml.",
    repeated=True,
    attribute="taxes",
    parts=(
        Field(key="kind", kind=FieldKind.CHOICE, label="Kind", help="The kind of fee.", choices=FeeKind, required=True,
              example='"laboratory"'),
        Field(key="percent", kind=FieldKind.NUMBER, label="Percent", help="What is added.", required=True, high=100,
              code="number.tax", missing="number.tax", example="19"),
        Field(key="reason", kind=FieldKind.LINE, label="Reason", help="Printed where the tax is 0, and needed there.",
              code="profile.tax_reason", example='"..."'),
    ),
)  # fmt: skip
CLOCK = Section(
    key="clock",
    help="When the estimate is due, in business days.",
    repeated=True,
    attribute="clock",
    parts=(
        Field(key="asked", kind=FieldKind.CHOICE, label="Asked", choices=Asked, required=True, example='"booked"',
              help="What starts the clock; a change of scope counts back from the service."),
        Field(key="within", kind=FieldKind.WHOLE, label="Within", help="Business days until it is due.", high=99,
              required=True, example="3"),
        Field(key="at_least_ahead", kind=FieldKind.WHOLE, label="At least ahead", high=99, default=0, example="10",
              help="Only for what is booked at least so many business days ahead."),
    ),
)  # fmt: skip
SELF_PAY = Section(
    key="self_pay",
    help="What is owed to a patient who pays without a plan.",
    attribute="self_pay",
    parts=(
        Field(key="country", kind=FieldKind.LINE, label="Country", help="Whose holidays are no business days.",
              code="profile.country", required=True, example='"US"'),
        Field(key="subdivision", kind=FieldKind.LINE, label="State or province", example='"OR"',
              help="State holidays too; federal ones alone without it.",
              code="profile.subdivision"),
        Field(key="dispute_amount", kind=FieldKind.NUMBER, label="Dispute amount", high=10**8, required=True,
              help="So much over a provider's total, a bill can be disputed.", example="400.00",
              code="number.amount", missing="profile.no_dispute_amount"),
        Field(key="source", kind=FieldKind.LINE, label="Source", help="The rule.", code="profile.rule", required=True,
              longest=300, example='"..."'),
        Field(key="how_sure", kind=FieldKind.CHOICE, label="How sure", help="How sure it is.", choices=HowSure,
              required=True, example='"rule"'),
        CLOCK,
    ),
)  # fmt: skip
PROVIDERS = Section(
    key="providers",
    help="Who treats or makes: numbers and place are for self-pay estimates.",
    repeated=True,
    attribute="providers",
    parts=(
        Field(key="key", kind=FieldKind.KEY, label="Key", help='As in the column "provider" of your fees.',
              required=True, example='"practice"'),
        Field(key="name", kind=FieldKind.LINE, label="Name", required=True, example='"..."'),
        Field(key="npi", kind=FieldKind.LINE, label="NPI", example='"1234567893"',
              help="National provider identifier: ten digits, the last of which checks the others."),
        Field(key="tin", kind=FieldKind.LINE, label="TIN", help="Taxpayer number.", example='"00-0000001"'),
        Field(key="state", kind=FieldKind.LINE, label="State", help="State of the licence.", example='"OR"'),
        Field(key="place", kind=FieldKind.LINE, label="Place", help="Where the service is done.", example='"..."'),
    ),
)  # fmt: skip
PROFILE = Section(
    parts=(
        Field(key="based_on", kind=FieldKind.PROFILE, label="Based on", example='"united_states"',
              help="The shipped profile below it: generic | united_states"),
        Field(key="key", kind=FieldKind.KEY, label="Key", help="A short name; that of the profile below without it.",
              required=True, example='"our_place"'),
        Field(key="name", kind=FieldKind.LINE, label="Name", help="Where it holds.", required=True,
              example='"Our place"'),
        Field(key="currency", kind=FieldKind.CURRENCY, label="Currency", help="Without it that of the fee schedule.",
              default="", example='"USD"'),
        Field(key="paper", kind=FieldKind.CHOICE, label="Paper", help="The paper of quotes.", choices=Paper,
              required=True, example='"letter"'),
        Field(key="valid_days", kind=FieldKind.WHOLE, label="Valid, days", help="How long a quote holds, in days.",
              low=1, high=731, required=True, example="60"),
        Field(key="ranges", kind=FieldKind.FLAG, label="Ranges", default=False, example="false",
              help="Whether lines may be quoted from one amount to another."),
        Field(key="signature_required", kind=FieldKind.FLAG, label="Signature required", default=False,
              help="Whether a quote has to be signed.", example="false"),
        Field(key="laboratory_kinds", kind=FieldKind.WORDS, label="Kinds in a column of their own", choices=FeeKind,
              default=(), help="Kinds of fee in a column of their own.", example='["laboratory"]'),
        Field(key="deposit_cap_percent", kind=FieldKind.PERCENT, label="Deposit cap, percent", example="40",
              help='Warns of a deposit over this share of the price; "none" for no cap.'),
        Field(key="overrun_percent", kind=FieldKind.PERCENT, label="Overrun, percent", example="10",
              help='Warns when the price has risen by more than this; "none" for no warning.'),
        TITLES,
        DISCLOSURE,
        TAXES,
        SELF_PAY,
        LEGAL_TEXTS,
        PROVIDERS,
    ),
)  # fmt: skip
"""Everything that a profile may hold."""
