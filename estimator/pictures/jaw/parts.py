"""What the drawing of the jaw shows, as plain values, and the same in words."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from itertools import pairwise

from estimator.base.formats import TRUE_MINUS
from estimator.estimate.clearance.stack import Stack
from estimator.inputs.options.model import Option

EN_DASH = "\N{EN DASH}"


@dataclass(frozen=True, slots=True, kw_only=True)
class JawPart:
    """One part of the stack, from below upwards: heights [mm] and the width it is drawn at [mm].

    `fill` is a role of a colour, None is space that stays empty. What `runs_through` is one piece over all sites.
    """

    name: str
    least_mm: Decimal
    usual_mm: Decimal
    width_mm: float
    fill: str | None = "pale"
    runs_through: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class JawSite:
    """One implant site: its tooth or number, its place along the arch, and the room from the soft tissue. [mm]

    `position_mm` counts from the midline, the patient's left negative. None is what was not measured. `parts` are what
    stands at this site where that is not what stands at all, such as a collar of its own height; `tissue_mm` is its own
    tissue. `lean_deg` is how far the top of the implant leans to the right, as seen from in front. `assumed`: the place
    is the usual one of its tooth.
    """

    label: str
    position_mm: Decimal | None = None
    room_mm: Decimal | None = None
    parts: tuple[JawPart, ...] = ()
    tissue_mm: Decimal | None = None
    lean_deg: float = 0.0
    assumed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class JawGap:
    """The bar between two neighbouring sites: its length [mm], how many attachments have a place, and how many stand
    there in the drawing. None is what is not known.
    """

    length_mm: Decimal | None = None
    places: int | None = None
    attachments: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class JawBar:
    """A bar as it is drawn, from left to right: its gaps, and how far it runs on past the end sites [mm].

    `places` are those for the `planned` attachments on the whole bar, None where that is not known.
    """

    gaps: tuple[JawGap, ...] = ()
    planned: int = 0
    places: int | None = None
    left_mm: float = 0.0
    right_mm: float = 0.0
    left_holds: bool = False
    right_holds: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class JawWords:
    """The words of the drawing, as an office reads them; `{…}` stands for a number or a name."""

    axis: str = "mm from the soft tissue"
    usual: str = "usual {mm}"
    least: str = "least {mm}"
    part: str = "{name} {mm}"
    soft_tissue: str = "soft tissue {mm}"
    bone: str = "bone"
    implant: str = "implant"
    room: str = "room"
    room_error: str = "room ± {mm}"
    no_room: str = "has no room"
    site: str = "site"
    over_usual: str = "over usual"
    over_least: str = "over least"
    gap: str = "{mm}: {places}"
    no_place: str = "no place"
    one_place: str = "one place"
    more_places: str = "{places} places"
    places: str = "{places} of {planned} attachments have a place"
    to_scale: str = "Distances along the arch to scale, heights to a larger one"
    assumed: str = "Heights to scale; places assumed, the usual ones of the tooth: {sites}"
    evenly: str = "Heights to scale, distances not"
    decimal: str = "."
    alt_gap: str = "Between {first} and {second} {gap}."
    alt_sum: str = "The usual stack is {usual} mm high, the least {least} mm, over {tissue} mm of soft tissue."
    alt_part: str = "{name} {usual} mm, at least {least} mm"
    alt_parts: str = "From below: {parts}."
    alt_error: str = "The error of measuring is ± {mm} mm."
    alt_site: str = "Site {site}: room {room} mm, over usual {usual} mm, over least {least} mm."
    alt_short: str = "Site {site} is {mm} mm short."
    alt_tightest: str = "The tightest is site {site}."
    alt_not_measured: str = "Site {site} is not measured."


@dataclass(frozen=True, slots=True, kw_only=True)
class _Style:
    """How a part looks: the role of its fill and its width [mm]."""

    fill: str | None
    width_mm: float
    runs_through: bool = False


_STYLES = {
    "space": _Style(fill=None, width_mm=3),
    "bar": _Style(fill="must", width_mm=7, runs_through=True),
    "attachment": _Style(fill="must", width_mm=5),
    "collar": _Style(fill="usual", width_mm=3),
    "tooth": _Style(fill="tooth", width_mm=6),
    "teeth": _Style(fill="tooth", width_mm=6),
    "base": _Style(fill="pale", width_mm=8),
    "resin": _Style(fill="pale", width_mm=8),
}
_OTHER_WIDTH_MM = 7.0
_PREPOSITIONS = {"on", "over", "under", "of", "in", "for", "below", "above", "with"}


def list_parts(option: Option, collar: Stack | None = None, *, patient: bool = False) -> tuple[JawPart, ...]:
    """The stack of any option as parts to draw, on request with a chosen collar for that part of the option.

    The noun of a part's key says how it looks: `milled_bar` is a bar, `attachment_on_bar` an attachment. A part of
    another kind is pale, or the middle tone over a pale one, so that no two of them run together.
    """
    parts: list[JawPart] = []
    for part in option.stack:
        style = _STYLES.get(_find_noun(part.key)) or _choose_neutral(parts)
        chosen = collar if collar is not None and part is option.collar else None
        parts.append(
            JawPart(
                name=part.patient_name if patient else part.name,
                least_mm=chosen.least_mm if chosen else part.figure.low,
                usual_mm=chosen.usual_mm if chosen else part.figure.value,
                width_mm=style.width_mm,
                fill=style.fill,
                runs_through=style.runs_through,
            )
        )
    return tuple(parts)


def _find_noun(key: str) -> str:
    """The word of a key that says what it is: the last one before a preposition."""
    noun = ""
    for word in key.lower().split("_"):
        if noun and word in _PREPOSITIONS:
            break
        noun = word
    return noun


def _choose_neutral(below: Sequence[JawPart]) -> _Style:
    over_pale = bool(below) and below[-1].fill == "pale"
    return _Style(fill="usual" if over_pale else "pale", width_mm=_OTHER_WIDTH_MM)


def add_least(parts: Sequence[JawPart]) -> Decimal:
    """The least stack [mm]."""
    return sum((part.least_mm for part in parts), Decimal(0))


def add_usual(parts: Sequence[JawPart]) -> Decimal:
    """The usual stack [mm]."""
    return sum((part.usual_mm for part in parts), Decimal(0))


Rank = tuple[Decimal, Decimal]


def rank_site(site: JawSite, parts: Sequence[JawPart]) -> Rank | None:
    """How tight a site is: by what it is short of the least stack, else by what is over the usual one [mm]."""
    if site.room_mm is None:
        return None
    stack = site.parts or parts
    return min(Decimal(0), site.room_mm - add_least(stack)), site.room_mm - add_usual(stack)


def find_tightest(sites: Sequence[JawSite], parts: Sequence[JawPart]) -> Rank | None:
    """The rank of the site that decides; None where nothing is measured."""
    ranks = (rank_site(site, parts) for site in sites)
    return min((rank for rank in ranks if rank is not None), default=None)


def order_sites(sites: Sequence[JawSite]) -> tuple[JawSite, ...]:
    """The sites as they are seen from in front, the patient's right first; as given unless every place is known."""
    known = [(-site.position_mm, site) for site in sites if site.position_mm is not None]
    if len(known) < len(sites):
        return tuple(sites)
    return tuple(site for _, site in sorted(known, key=lambda pair: pair[0]))


def show_mm(length: Decimal | None, words: JawWords, *, sign: bool = False) -> str:
    """A length with two decimals, on request with its sign, a true minus; a dash for what is not measured."""
    if length is None:
        return EN_DASH
    rounded = length.quantize(Decimal("0.01"), ROUND_HALF_UP) + 0
    text = f"{rounded:+.2f}" if sign else f"{rounded:.2f}"
    return text.replace("-", TRUE_MINUS).replace(".", words.decimal)


def put_in(template: str, **values: str) -> str:
    """A text with its values in place; what stands in a value is never taken for a place."""
    return re.sub(r"\{(\w+)\}", lambda found: values.get(found[1], found[0]), template)


def describe_jaw_picture(
    parts: Sequence[JawPart],
    sites: Sequence[JawSite],
    *,
    tissue_mm: Decimal,
    error_mm: Decimal | None,
    words: JawWords,
    bar: JawBar | None = None,
) -> str:
    """The drawing in words for who cannot see it: what is short first, then every number."""
    tightest, seen = find_tightest(sites, parts), order_sites(sites)
    tissue = show_tissue(seen, tissue_mm, words)
    told = [*_tell_short(seen, parts, words), *_tell_stack(parts, tissue, words)]
    if error_mm and tightest is not None:
        told.append(put_in(words.alt_error, mm=show_mm(error_mm, words)))
    told += [_tell_site(site, parts, words) for site in seen]
    if len(seen) > 1 and tightest is not None:
        told += [put_in(words.alt_tightest, site=site.label) for site in seen if rank_site(site, parts) == tightest]
    return " ".join([*told, *_tell_bar(bar, seen, words)])


def show_tissue(sites: Sequence[JawSite], tissue_mm: Decimal, words: JawWords) -> str:
    """The tissue over the sites, from the thinnest to the thickest where they differ."""
    known = sorted({tissue_mm if site.tissue_mm is None else site.tissue_mm for site in sites})
    return f" {EN_DASH} ".join(show_mm(mm, words) for mm in dict.fromkeys((known[0], known[-1])))


def say_gap(gap: JawGap, words: JawWords) -> str:
    """The length of a gap and how many attachments have a place on it; empty where that is not known."""
    if gap.length_mm is None or gap.places is None:
        return ""
    number = (words.no_place, words.one_place)[gap.places] if gap.places < 2 else words.more_places
    return put_in(words.gap, mm=_show_tenths(gap.length_mm, words), places=put_in(number, places=str(gap.places)))


def _show_tenths(length: Decimal, words: JawWords) -> str:
    """A length between two implants: with their error no second decimal would mean anything."""
    return str(length.quantize(Decimal("0.1"), ROUND_HALF_UP)).replace(".", words.decimal)


def say_bar_places(bar: JawBar, words: JawWords) -> str:
    """How many of the planned attachments have a place; empty where that is not known."""
    if bar.places is None or not bar.planned:
        return ""
    return put_in(words.places, places=str(bar.places), planned=str(bar.planned))


def _tell_bar(bar: JawBar | None, sites: Sequence[JawSite], words: JawWords) -> list[str]:
    if bar is None:
        return []
    gaps = [
        put_in(words.alt_gap, first=first.label, second=second.label, gap=told)
        for gap, (first, second) in zip(bar.gaps, pairwise(sites), strict=False)
        if (told := say_gap(gap, words))
    ]
    places = say_bar_places(bar, words)
    return [*gaps, f"{places}."] if places else gaps


def _tell_stack(parts: Sequence[JawPart], tissue: str, words: JawWords) -> list[str]:
    usual, least = show_mm(add_usual(parts), words), show_mm(add_least(parts), words)
    heights = (
        put_in(words.alt_part, name=p.name, usual=show_mm(p.usual_mm, words), least=show_mm(p.least_mm, words))
        for p in parts
    )
    return [
        put_in(words.alt_sum, usual=usual, least=least, tissue=tissue),
        put_in(words.alt_parts, parts=", ".join(heights)),
    ]


def _tell_short(sites: Sequence[JawSite], parts: Sequence[JawPart], words: JawWords) -> list[str]:
    short = [(site.label, add_least(site.parts or parts) - site.room_mm) for site in sites if site.room_mm is not None]
    return [put_in(words.alt_short, site=label, mm=show_mm(mm, words)) for label, mm in short if mm > 0]


def _tell_site(site: JawSite, parts: Sequence[JawPart], words: JawWords) -> str:
    if site.room_mm is None:
        return put_in(words.alt_not_measured, site=site.label)
    return put_in(
        words.alt_site,
        site=site.label,
        room=show_mm(site.room_mm, words),
        usual=show_mm(site.room_mm - add_usual(site.parts or parts), words, sign=True),
        least=show_mm(site.room_mm - add_least(site.parts or parts), words, sign=True),
    )
