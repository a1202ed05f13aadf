"""Case, Jaw, Site: all that is asked about the patient."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum


class Arch(StrEnum):
    """The jaw."""

    MANDIBLE = "mandible"
    MAXILLA = "maxilla"


class Opposing(StrEnum):
    """What stands in the other jaw."""

    DENTURE = "denture"
    TEETH = "teeth"
    FIXED = "fixed"
    NONE = "none"


class DenturePlan(StrEnum):
    """A new denture, or attachments fitted into the present one."""

    NEW = "new"
    CONVERT = "convert"


class Placement(StrEnum):
    """How implants still to be placed will be placed."""

    GUIDED = "guided"
    FREEHAND = "freehand"


class Retention(StrEnum):
    """How strongly each insert is planned to hold at first."""

    LIGHT = "light"
    MEDIUM = "medium"
    STRONG = "strong"


class Method(StrEnum):
    """How the restorative space was measured."""

    MOUNTED_CASTS = "mounted_casts"
    DUPLICATE_DENTURE = "duplicate_denture"
    CONE_BEAM_CT = "cone_beam_ct"
    INTRAORAL_SCAN = "intraoral_scan"
    RULER = "ruler"
    CONE_BEAM_CT_RADIOPAQUE = "cone_beam_ct_radiopaque"


class Landmark(StrEnum):
    """Where the measurement starts."""

    PLATFORM = "platform"
    BONE_CREST = "bone_crest"
    SOFT_TISSUE_CREST = "soft_tissue_crest"


class BarCarries(StrEnum):
    """What holds the denture on a bar: clips over it, or attachments screwed into it."""

    CLIP = "clip"
    SCREWED_IN = "screwed_in"


class BarForm(StrEnum):
    """How the bar is made."""

    ROUND = "round"
    MILLED = "milled"


class Route(StrEnum):
    """The way to the denture: new or converted, with implants planned or present."""

    NEW_PLANNED = "new_planned"
    NEW_PRESENT = "new_present"
    CONVERT_PLANNED = "convert_planned"
    CONVERT_PRESENT = "convert_present"


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """One planned or present implant. Tooth in ISO 3950 notation; lengths [mm]; leans [degrees].

    `position_mm` runs along the arch from the midline, the patient's left negative; lean + is distal or facial. In its
    place `x_mm` from the midline, the patient's left negative, and `y_mm` backwards from the front of the crest.
    `width_mm` is the room in the denture from cheek to tongue. `denture_thickness_mm` is the present denture over this
    site, from its tissue surface to its outer surface.
    """

    tooth: str
    restorative_space_mm: Decimal | None = None
    tissue_mm: Decimal | None = None
    platform_below_crest_mm: Decimal | None = None
    width_mm: Decimal | None = None
    angle_md_deg: Decimal | None = None
    angle_fl_deg: Decimal | None = None
    position_mm: Decimal | None = None
    x_mm: Decimal | None = None
    y_mm: Decimal | None = None
    denture_thickness_mm: Decimal | None = None

    @property
    def depth_mm(self) -> Decimal:
        """The platform below the bone crest; level with it where nothing is said."""
        return self.platform_below_crest_mm or Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """How the sites of a jaw were measured; `error_mm` is one standard deviation, None for the method's default.

    `to_incisal_edge` where front sites were measured to the edge of the teeth, which overlap those of the other jaw.
    """

    method: Method
    landmark: Landmark
    set_up_accepted: bool = False
    error_mm: Decimal | None = None
    to_incisal_edge: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PresentDenture:
    """What is known of the denture in use, None is not known; `thickness_mm` holds at sites without their own."""

    base_stable: bool | None = None
    tall_attachments: bool | None = None
    thickness_mm: Decimal | None = None
    age_years: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Earlier:
    """What was measured before: kept when a jaw is measured again, so that a change of verdict can be shown."""

    measured_on: date
    implants_present: bool
    measurement: Measurement
    sites: tuple[Site, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ArchForm:
    """What was measured of the curve of a ridge [mm], from above; None is not measured.

    `width_mm` runs from crest to crest at the first molars. A point is half the width and the depth behind the front of
    the crest.
    """

    width_mm: Decimal | None = None
    canine_half_width_mm: Decimal | None = None
    canine_depth_mm: Decimal | None = None
    molar_half_width_mm: Decimal | None = None
    molar_depth_mm: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Jaw:
    """An edentulous jaw. `measurement` is None when nothing is measured yet; 0 implants where only a denture is asked.

    `attachments_on_bar` is None where nobody said how many; then `attachments_with_room`, which no file holds, is how
    many of the usual number an estimate found a place for. Extensions of a bar [mm] count from the end implant.
    `few_implants_accepted`: the clinician accepts an upper bar on fewer implants than the consensus. Older files say
    `ridge_to_ridge_mm` of the jaw in place of the case. Without `abutment_heights_mm` the practice's count. `variants`
    are keys of variants.toml; a bone graft is switched on by the number of its sites.
    """

    arch: Arch
    implants: int
    opposing: Opposing = Opposing.DENTURE
    implants_present: bool = False
    attachments_on_bar: int | None = None
    attachments_with_room: int | None = None
    bar_carries: BarCarries = BarCarries.CLIP
    bar_form: BarForm | None = None
    bar_extension_right_mm: Decimal = Decimal(0)
    bar_extension_left_mm: Decimal = Decimal(0)
    few_implants_accepted: bool = False
    denture: DenturePlan = DenturePlan.NEW
    placement: Placement = Placement.GUIDED
    extractions: int = 0
    variants: tuple[str, ...] = ()
    graft_sites: int = 0
    retention: Retention = Retention.LIGHT
    ridge_to_ridge_mm: Decimal | None = None
    abutment_heights_mm: tuple[Decimal, ...] = ()
    present_denture: PresentDenture = PresentDenture()
    arch_form: ArchForm = ArchForm()
    measurement: Measurement | None = None
    sites: tuple[Site, ...] = ()
    earlier: Earlier | None = None

    @property
    def route(self) -> Route:
        """New or converted, implants planned or present."""
        return Route(f"{self.denture}_{'present' if self.implants_present else 'planned'}")

    @property
    def bar_attachments(self) -> int:
        """Attachments on a bar: as said, else those with room, else as many as are usual on that many implants."""
        known = (self.attachments_on_bar, self.attachments_with_room, default_attachments_on_bar(self.implants))
        return next(number for number in known if number is not None)

    def find_thickness(self, site: Site) -> Decimal | None:
        """The present denture over a site: its own, else the one that is said for all; None where neither is."""
        own = site.denture_thickness_mm
        return self.present_denture.thickness_mm if own is None else own


@dataclass(frozen=True, slots=True, kw_only=True)
class Patient:
    """Never needed to compute. `language` is that of the patient's sheets, empty for the practice's own."""

    name: str = ""
    born: date | None = None
    language: str = ""
    large_print: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A patient's case under the practice's own number: one jaw or two.

    `ridge_to_ridge_mm` is the distance between both ridges at its least place [mm].
    """

    reference: str
    jaws: tuple[Jaw, ...]
    health: tuple[str, ...] = ()
    patient: Patient = Patient()
    ridge_to_ridge_mm: Decimal | None = None

    @property
    def ridge_distances(self) -> tuple[Decimal, ...]:
        """Every distance between the ridges that was entered, the case's and those of its jaws, from the least on."""
        entered = (self.ridge_to_ridge_mm, *(jaw.ridge_to_ridge_mm for jaw in self.jaws))
        return tuple(sorted(distance for distance in entered if distance is not None))


MOST_IMPLANTS = 8
BAR_EXTENSIONS = ("bar_extension_right_mm", "bar_extension_left_mm")
GRAFT = "graft"
"""The variant that is not listed in a case: the number of its sites switches it on."""
ADULT_YEARS = 18

_SEEN_BY = {
    Method.MOUNTED_CASTS: (Landmark.SOFT_TISSUE_CREST, Landmark.PLATFORM),
    Method.DUPLICATE_DENTURE: (Landmark.SOFT_TISSUE_CREST, Landmark.PLATFORM),
    Method.INTRAORAL_SCAN: (Landmark.SOFT_TISSUE_CREST, Landmark.PLATFORM),
    Method.CONE_BEAM_CT: (Landmark.BONE_CREST, Landmark.PLATFORM),
    Method.RULER: (Landmark.SOFT_TISSUE_CREST, Landmark.PLATFORM),
    Method.CONE_BEAM_CT_RADIOPAQUE: (Landmark.SOFT_TISSUE_CREST, Landmark.BONE_CREST, Landmark.PLATFORM),
}


def list_landmarks(method: Method, *, implants_present: bool) -> tuple[Landmark, ...]:
    """The landmarks a method can show; the platform only of an implant that is in place."""
    return tuple(mark for mark in _SEEN_BY[method] if implants_present or mark is not Landmark.PLATFORM)


def default_attachments_on_bar(implants: int) -> int:
    """Attachments on a bar are not the implants: 2 on 2, 3 on 3, 4 on 4 to 6 (practice)."""
    return 0 if implants < 2 else min(implants, 4)


def list_teeth(arch: Arch) -> tuple[str, ...]:
    """The teeth of an arch in ISO 3950 notation, from the patient's right to left."""
    right, left = ("1", "2") if arch is Arch.MAXILLA else ("4", "3")
    return tuple(f"{right}{n}" for n in range(8, 0, -1)) + tuple(f"{left}{n}" for n in range(1, 9))


_USUAL_PLACES: dict[int, tuple[int, ...]] = {
    0: (), 1: (3,), 2: (3, -3), 3: (3, 1, -3), 4: (4, 2, -2, -4), 5: (4, 2, 1, -2, -4), 6: (5, 4, 2, -2, -4, -5),
    7: (5, 4, 2, 1, -2, -4, -5), 8: (6, 5, 4, 2, -2, -4, -5, -6),
}  # fmt: skip


def suggest_teeth(arch: Arch, implants: int) -> tuple[str, ...]:
    """Where that many implants usually stand, from the patient's right to left (practice); a start for a form."""
    right, left = ("1", "2") if arch is Arch.MAXILLA else ("4", "3")
    return tuple(f"{right if place > 0 else left}{abs(place)}" for place in _USUAL_PLACES[implants])


def is_left(tooth: str) -> bool:
    """Whether a tooth is on the patient's left."""
    return tooth[:1] in ("2", "3")


def count_years(born: date, today: date) -> int:
    """Completed years of age."""
    return today.year - born.year - ((today.month, today.day) < (born.month, born.day))


def find_repeated(values: Iterable[str]) -> tuple[str, ...]:
    """Values that stand more than once, each named once."""
    values = tuple(values)
    return tuple(dict.fromkeys(v for v in values if values.count(v) > 1))
