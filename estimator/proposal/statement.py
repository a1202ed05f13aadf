"""Statement: everything that a patient is told of a proposal, settled once; papers and screens choose what to show."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from estimator.base.money import round_money
from estimator.base.problems import Problem
from estimator.base.told import Name, Told
from estimator.estimate.clearance.cautions import Caution, find_gravest
from estimator.estimate.clearance.layers import Layer
from estimator.estimate.clearance.verdict import Verdict
from estimator.estimate.result import Pair
from estimator.inputs.case.model import Arch
from estimator.inputs.fees.schedule import FeeKind
from estimator.inputs.options.model import Attachments
from estimator.quote.discounts import Adjusted
from estimator.quote.payment.plans import PlannedWay
from estimator.quote.quote import PricedLine, Quote

if TYPE_CHECKING:
    from estimator.quote.benefits.phasing import PhaseComparison

Chosen = tuple[Arch, str]
"""An option in a jaw."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """What something costs, from its lines to the payments of each way; every sum is the sum of its lines.

    `total` is charged after discounts, tax included; `left` is what plans leave. `ends` are the total with every range
    at its low and its high, None where no range is told; `middle` says that a range is counted with its middle alone.
    """

    lines: tuple[PricedLine, ...]
    adjusted: Adjusted
    by_kind: tuple[tuple[FeeKind, Decimal], ...]
    total: Decimal
    tax: Decimal
    write_off: Decimal
    plan_pays: Decimal
    left: Decimal
    at_most: Decimal
    ways: tuple[PlannedWay, ...]
    tax_reasons: tuple[str, ...] = ()
    ends: tuple[Decimal, Decimal] | None = None
    middle: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferRoom:
    """What the check found of an option [mm]: `layers`, the worst of which decides, `cautions` the gravest first.

    `finding` is the verdict in one line for the patient, `office` the same for the trade. `short_mm` is what is missing
    in the layer that decides, `along` whether that is the room along a bar.
    """

    verdict: Verdict
    finding: str
    office: str
    layers: tuple[Layer, ...]
    short_mm: Decimal
    along: bool
    least_mm: Decimal
    usual_mm: Decimal
    margin_mm: Decimal | None
    provisional: bool
    cautions: tuple[Caution, ...] = ()

    @property
    def gravest(self) -> tuple[Caution, ...]:
        """Cautions that belong where the choice is made."""
        return find_gravest(self.cautions)


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomNote:
    """That an option is ruled out, or that nobody has measured what decides: its `finding` in one line."""

    arch: str
    option: str
    room: OfferRoom


@dataclass(frozen=True, slots=True, kw_only=True)
class DatedTrip:
    """One visit: the week after the first; where the first day is known its day, and the closed days before it."""

    what: Name
    week: Decimal
    minutes: int
    day: date | None
    put_off_by: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferTime:
    """Trips until the last visit, weeks until the final teeth, and how long without any; days where they are known."""

    trips: int
    weeks_to_teeth: Decimal
    weeks_without_teeth: Decimal
    visits: tuple[DatedTrip, ...]
    teeth_on: date | None = None
    days_without_teeth: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """An estimate of money: 8 chances in 10 lie between low and high."""

    low: Decimal
    expected: Decimal
    high: Decimal

    def shift(self, amount: Decimal) -> "Outlook":
        """The same above another amount."""
        return Outlook(low=self.low + amount, expected=self.expected + amount, high=self.high + amount)

    def round_to(self, step: Decimal) -> "Outlook":
        """The same as it is shown, so that it does not look surer than it is."""
        low, expected, high = (round_to_step(amount, step) for amount in (self.low, self.expected, self.high))
        return Outlook(low=low, expected=expected, high=high)


def round_to_step(amount: Decimal, step: Decimal) -> Decimal:
    """An amount to the nearest step, half up."""
    return (round_money(amount / step, Decimal(1)) * step).quantize(Decimal(1))


@dataclass(frozen=True, slots=True, kw_only=True)
class Later:
    """What is expected over the years. `total` begins with what is charged first, before a plan's help.

    `upkeep_shown` and `total_shown` are rounded to the step of the case. `a_year` is the same amount every year that is
    worth as much at delivery as what is charged first and the upkeep.
    """

    years: int
    trips: int
    upkeep: Outlook
    total: Outlook
    upkeep_shown: Outlook
    total_shown: Outlook
    a_year: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """One option in one jaw, as if that jaw alone were treated; `set_back` where there is not enough room for it."""

    option: Name
    key: str
    kind: Attachments
    set_back: bool
    room: OfferRoom
    time: OfferTime
    price: Price
    later: Later


@dataclass(frozen=True, slots=True, kw_only=True)
class NotOffered:
    """An option that cannot apply in a jaw, and why."""

    option: Name
    key: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JawStatement:
    """One jaw alone: every option that applies, those that do not, and the one chosen, empty while it is open.

    `pairs` have each offer beside each later one, from what is charged first on.
    """

    arch: Arch
    offers: tuple[Offer, ...]
    not_offered: tuple[NotOffered, ...]
    pairs: tuple[Pair, ...] = ()
    chosen: str = ""

    def list_room_notes(self) -> tuple[RoomNote, ...]:
        """What there is not enough room for, or nobody has measured: of the option chosen, of all while it is open."""
        told = [offer for offer in self.offers if self.chosen in ("", offer.key)]
        return tuple(
            RoomNote(
                arch=self.arch.value,
                option=offer.option.label,
                room=offer.room,
            )
            for offer in told
            if offer.room.verdict in (Verdict.DOES_NOT_FIT, Verdict.NOT_MEASURED)
        )

    def list_gravest(self) -> tuple[Caution, ...]:
        """The gravest cautions of the option chosen, of all while it is open, each once."""
        told = [offer for offer in self.offers if self.chosen in ("", offer.key)]
        return find_gravest({one.key: one for offer in told for one in offer.room.cautions}.values())

    def list_first_costs(self) -> dict[str, Decimal]:
        """What each option is charged first, by its key."""
        return {offer.key: offer.price.total for offer in self.offers}

    def find_offer(self, key: str) -> Offer | None:
        """The offer of an option, None where it does not apply."""
        return next((offer for offer in self.offers if offer.key == key), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """One option in each jaw: `shared` are lines that both prices alone hold and that are paid once for both.

    `total` is charged for both, `expected` with what is expected over the years, `expected_shown` as it is rounded.
    """

    options: tuple[Chosen, Chosen]
    shared: tuple[Name, ...]
    shared_total: Decimal
    total: Decimal
    expected: Decimal
    expected_shown: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Exclusion:
    """Something that the practice says is not included, unless an option charges it: `charged_in` names those."""

    item: Name
    variant: str = ""
    charged_in: tuple[Chosen, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Statement:
    """What is told of a proposal on one day, at the prices of one fee schedule, by the rules of one place.

    `start_on` is the day asked for as the first visit, None where none is; a closed day puts it off. `step` is what
    estimates are rounded to, one for the whole case. `chosen` is the price of what is decided, with a plan's help,
    None while every jaw is open; `quote` the same as the paper that may be kept. `problems` say why there is none
    although something is chosen; `limits` what has to be asked again before it is agreed.
    """

    reference: str
    made_on: date
    valid_until: date
    price_date: date
    currency: str
    invented: bool
    years: int
    start_on: date | None
    profile: str
    step: Decimal
    jaws: tuple[JawStatement, ...]
    together: tuple[Together, ...] = ()
    decided: tuple[Chosen, ...] = ()
    chosen: Price | None = None
    quote: Quote | None = None
    help: "tuple[PhaseComparison, ...]" = ()
    exclusions: tuple[Exclusion, ...] = ()
    limits: tuple[Told, ...] = ()
    problems: tuple[Problem, ...] = ()

    def find_jaw(self, arch: Arch) -> JawStatement:
        """What is told of a jaw of the case."""
        return next(jaw for jaw in self.jaws if jaw.arch is arch)

    def list_decided(self) -> tuple[tuple[Arch, Offer], ...]:
        """The offers that are decided, each with its jaw."""
        found = ((arch, self.find_jaw(arch).find_offer(key)) for arch, key in self.decided)
        return tuple((arch, offer) for arch, offer in found if offer is not None)

    @property
    def is_decided(self) -> bool:
        """Whether every jaw has its option."""
        return len(self.decided) == len(self.jaws)

    def list_excluded(self, options: tuple[Chosen, ...]) -> tuple[Name, ...]:
        """What is not included in any of these options."""
        return tuple(one.item for one in self.exclusions if not set(options) & set(one.charged_in))

    def list_excluded_in(self, arch: Arch) -> tuple[Name, ...]:
        """What is not included in a jaw: in the option chosen there, or in any while it is open."""
        jaw = self.find_jaw(arch)
        keys = (jaw.chosen,) if jaw.chosen else tuple(offer.key for offer in jaw.offers)
        return self.list_excluded(tuple((arch, key) for key in keys))

    def find_together(self, options: tuple[Chosen, ...]) -> Together | None:
        """What a pair of options comes to; None for one jaw."""
        return next((one for one in self.together if one.options == options), None)
