"""Option: stack, visits, charges and upkeep of one treatment, read from one data file each."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from estimator.base.evidence import Figure
from estimator.inputs.case.model import Arch, Jaw, Route

MOST_PER_YEAR = 20
"""A rate above it is no rate of upkeep, whoever reports it. [1/year]"""


class Attachments(StrEnum):
    """Where the attachments of an option sit."""

    NONE = "none"
    ON_IMPLANTS = "on_implants"
    ON_BAR = "on_bar"


class Teeth(StrEnum):
    """What a visit does to the patient's teeth."""

    UNCHANGED = "unchanged"
    OUT = "out"
    BACK = "back"
    FINAL = "final"


class Per(StrEnum):
    """The unit an upkeep rate is counted per."""

    JAW = "jaw"
    IMPLANT = "implant"


class PartRole(StrEnum):
    """What the check needs to know of a part: a collar comes in set heights, teeth are in a denture already."""

    OTHER = "other"
    COLLAR = "collar"
    TOOTH = "tooth"


@dataclass(frozen=True, slots=True, kw_only=True)
class StackPart:
    """One part of the stack above the soft tissue, from below upwards. [mm] Names: the trade's, and the patient's."""

    key: str
    name: str
    patient_name: str
    figure: Figure
    role: PartRole = PartRole.OTHER


@dataclass(frozen=True, slots=True, kw_only=True)
class Charge:
    """A fee line times a count, on some routes or (empty) on all; `no_visit` says why no visit does it."""

    fee: str
    count: int = 1
    routes: tuple[Route, ...] = ()
    no_visit: str = ""

    def applies_to(self, route: Route) -> bool:
        """Whether it is charged on that route."""
        return not self.routes or route in self.routes


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitStep:
    """One appointment: the week it falls in by route, its minutes, what it charges.

    Without `minutes` it takes as long as the fee lines it charges. `added` are charges that a variant of the case puts
    into it: their minutes always come on top. `healed` visits wait until planned implants have healed. `needs` must be
    known before it, `must` be done at it before the next step; `laboratory` works after it. `surgical` visits are not
    counted among those of the denture; an `operation` waits for a physician's answer where one is asked for.
    """

    key: str
    what: str
    patient_what: str
    weeks: Mapping[Route, Decimal]
    minutes: int | None = None
    minutes_per_implant: int = 0
    healed: bool = False
    surgical: bool = False
    operation: bool = False
    teeth: Teeth = Teeth.UNCHANGED
    charges: tuple[Charge, ...] = ()
    added: tuple[Charge, ...] = ()
    needs: tuple[str, ...] = ()
    must: tuple[str, ...] = ()
    laboratory: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedVisit:
    """One more appointment, `weeks` after (before, if negative) the first of the visits in `start` that there is."""

    step: VisitStep
    start: tuple[str, ...]
    weeks: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Removal:
    """The appointment at which remaining teeth are removed: as many weeks before the first visit in `before` that there
    is as the ridge heals, so that this visit and all after it come that much later. Only a jaw with such teeth has it.
    """

    step: VisitStep
    before: tuple[str, ...]
    heals_weeks: Decimal
    routes: tuple[Route, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What a practice has counted itself: events, and the years that jaws or implants were at risk of them."""

    events: int = 0
    years_at_risk: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnCounts:
    """What a practice has counted in the first year of wear, and later."""

    first_year: Seen = Seen()
    later: Seen = Seen()


@dataclass(frozen=True, slots=True, kw_only=True)
class UpkeepItem:
    """Something that may need doing: rates per unit-year, and what one event charges.

    Limited to an arch, or to a range of implants, where a rate is only known for those. `trips` of one event where its
    charges do not tell. `own` is the practice's log.
    """

    key: str
    label: str
    patient_label: str
    per: Per
    first_year: Figure
    later: Figure
    charges: tuple[Charge, ...]
    arch: Arch | None = None
    implants_from: int = 0
    implants_to: int = 99
    trips: Figure | None = None
    own: OwnCounts | None = None

    def applies_to(self, jaw: Jaw) -> bool:
        """Whether it is expected in that jaw."""
        return self.arch in (None, jaw.arch) and self.implants_from <= jaw.implants <= self.implants_to


@dataclass(frozen=True, slots=True, kw_only=True)
class Renewal:
    """The denture wears out: mean life [years], Weibull shape, what a new one charges.

    `settles_like` names the upkeep item (sore spots) that a new denture brings once more. `trips` to the practice where
    the charges do not tell.
    """

    label: str
    patient_label: str
    mean_life: Figure
    shape: Figure
    charges: tuple[Charge, ...]
    settles_like: str = ""
    trips: Figure | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Conversion:
    """What an option means where the present denture is to be converted; a reason where a new one must be made."""

    possible: bool
    name: str
    patient_name: str
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One treatment option as data. Names: the trade's, and the patient's.

    `healing_weeks` is the healing that the weeks of its visits count with; None for what is usual in a lower jaw. Its
    `removal` of teeth has not yet found its place among the visits; None where one of these removes them.
    """

    key: str
    name: str
    patient_name: str
    attachments: Attachments
    least_implants: int
    conversion: Conversion
    stack: tuple[StackPart, ...]
    visits: tuple[VisitStep, ...]
    charges: tuple[Charge, ...]
    upkeep: tuple[UpkeepItem, ...]
    renewal: Renewal | None
    recall_fee: str
    healing_weeks: Decimal | None = None
    removal: Removal | None = None

    @property
    def on_implants(self) -> bool:
        """Whether it needs implants."""
        return self.attachments is not Attachments.NONE

    @property
    def collar(self) -> StackPart | None:
        """The collar of its abutments, if it has one."""
        return next((part for part in self.stack if part.role is PartRole.COLLAR), None)

    def list_charges(self) -> tuple[Charge, ...]:
        """Every charge of the option, whatever the route: what a fee schedule must hold."""
        upkeep = tuple(c for item in self.upkeep for c in item.charges)
        renewal = self.renewal.charges if self.renewal else ()
        recall = (Charge(fee=self.recall_fee),) if self.recall_fee else ()
        steps = (*self.visits, *((self.removal.step,) if self.removal else ()))
        visits = tuple(c for step in steps for c in step.charges)
        return visits + self.charges + upkeep + renewal + recall

    def list_figures(self) -> tuple[Figure, ...]:
        """Every figure the option rests on."""
        parts = tuple(part.figure for part in self.stack)
        rates = tuple(f for item in self.upkeep for f in (item.first_year, item.later))
        life = (self.renewal.mean_life, self.renewal.shape) if self.renewal else ()
        told = (*(item.trips for item in self.upkeep), self.renewal.trips if self.renewal else None)
        trips = tuple(figure for figure in told if figure)
        return tuple(dict.fromkeys(parts + rates + life + trips))

    def change_figures(self, change: Callable[[Figure], Figure]) -> "Option":
        """This option with each of its figures as `change` gives it back."""
        items = (
            replace(i, first_year=change(i.first_year), later=change(i.later), trips=i.trips and change(i.trips))
            for i in self.upkeep
        )
        life = self.renewal
        return replace(
            self,
            stack=tuple(replace(part, figure=change(part.figure)) for part in self.stack),
            upkeep=tuple(items),
            renewal=life
            and replace(
                life,
                mean_life=change(life.mean_life),
                shape=change(life.shape),
                trips=life.trips and change(life.trips),
            ),
        )

    def find_route(self, jaw: Jaw) -> Route:
        """The way this option goes in that jaw; an option that cannot convert makes a new denture."""
        if jaw.route in (Route.NEW_PLANNED, Route.NEW_PRESENT) or self.conversion.possible:
            return jaw.route
        return Route.NEW_PRESENT if jaw.implants_present else Route.NEW_PLANNED

    def name_in(self, jaw: Jaw, *, patient: bool = False) -> str:
        """Its name in that jaw, which a conversion may change."""
        converts = self.find_route(jaw) in (Route.CONVERT_PLANNED, Route.CONVERT_PRESENT)
        names = (self.conversion.name, self.conversion.patient_name) if converts else (self.name, self.patient_name)
        return names[patient]
