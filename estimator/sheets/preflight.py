"""What is missing before sheets are printed, and where it is mended. Nothing here keeps anybody from printing."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from estimator.base.formats import format_day
from estimator.estimate.result import CaseEstimate, JawEstimate
from estimator.inputs.practice.settings import Settings
from estimator.inputs.reference.wording import Wording
from estimator.sheets.base.prose import list_words
from estimator.sheets.base.wording_approval import Approval, find_approval
from estimator.sheets.registry import SheetKind, SheetReader

_OLD = timedelta(days=365)
_WITHOUT_PRICES = frozenset({"care", "trial", "work_order", "parts"})
_ON_ROOM = frozenset({"option", "office", "work_order", "parts"})


class Severity(StrEnum):
    """`MUST` is said first; a sheet without what is only `BETTER` can still be given away."""

    MUST = "must"
    BETTER = "better"


@dataclass(frozen=True, slots=True, kw_only=True)
class Missing:
    """One thing; `page` is the key of the page that mends it, `key` names it for good."""

    key: str
    text: str
    page: str
    severity: Severity


@dataclass(frozen=True, slots=True, kw_only=True)
class Printing:
    """What somebody is about to print: which sheets, of which jaws (0 or 1), in which words, for which options.

    `chosen` is the option agreed on in each of these jaws, empty while all are open. `quote_ends` is the last day of a
    quote among the sheets, `reviewed` whether a translation was checked by a person.
    """

    estimate: CaseEstimate
    kinds: tuple[SheetKind, ...]
    jaws: tuple[int, ...]
    chosen: tuple[str, ...]
    wording: Wording
    today: date
    quote_ends: date | None = None
    reviewed: bool = True

    @property
    def settings(self) -> Settings:
        """The practice's settings."""
        return self.estimate.practice.settings

    @property
    def keys(self) -> frozenset[str]:
        """Of the sheets."""
        return frozenset(kind.key for kind in self.kinds)

    @property
    def for_patient(self) -> bool:
        """Whether a patient gets any of them."""
        return any(kind.reader is SheetReader.PATIENT for kind in self.kinds)

    @property
    def has_prices(self) -> bool:
        """Whether any of them tells a price."""
        return bool(self.keys - _WITHOUT_PRICES)

    def list_jaws(self) -> Iterator[tuple[JawEstimate, str, str]]:
        """Each jaw, its name and the option agreed on in it."""
        for number, chosen in zip(self.jaws, self.chosen, strict=True):
            jaw = self.estimate.jaws[number]
            yield jaw, self.wording.get(f"words.arch.patient_{jaw.jaw.arch}"), chosen

    def miss(self, key: str, page: str, severity: Severity, *, text: str = "", **values: object) -> Missing:
        """That something is missing, in the words of `text`, by default those of its key."""
        said = self.wording.say(f"missing.{text or key}", **values)
        return Missing(key=key, text=said, page=page, severity=severity)


def find_missing(printing: Printing) -> tuple[Missing, ...]:
    """All that is missing, what matters most first."""
    found = [missing for check in _CHECKS for missing in check(printing)] if printing.kinds else []
    return tuple(sorted(found, key=lambda missing: missing.severity is not Severity.MUST))


def _check_patient(printing: Printing) -> Iterator[Missing]:
    patient = printing.estimate.case.patient
    if not printing.for_patient:
        return
    if not patient.name:
        yield printing.miss("patient_name", "case", Severity.MUST)
    if not patient.born:
        yield printing.miss("born", "case", _weigh(must="consent" in printing.keys))


def _check_practice(printing: Printing) -> Iterator[Missing]:
    settings, keys = printing.settings, printing.keys
    if printing.for_patient and not settings.practice_name:
        yield printing.miss("practice_name", "sheets", Severity.MUST)
    if printing.for_patient and not settings.phone:
        yield printing.miss("phone", "sheets", _weigh(must="care" in keys))
    if keys & {"care", "consent"} and not settings.emergency_phone:
        yield printing.miss("emergency_phone", "sheets", Severity.MUST)


def _check_words(printing: Printing) -> Iterator[Missing]:
    if not printing.for_patient:
        return
    state = find_approval(printing.estimate.practice, printing.wording)
    if state is not Approval.HOLDS:
        text = "words_none" if state is Approval.NONE else "words_lapsed"
        yield printing.miss("words", "sheets", Severity.MUST, text=text, who=printing.settings.approved_by)
    if not printing.reviewed:
        yield printing.miss("translation", "sheets", Severity.MUST)


def _check_room(printing: Printing) -> Iterator[Missing]:
    for jaw, name, _ in printing.list_jaws() if printing.keys & _ON_ROOM else ():
        rooms = [made.clearance for made in jaw.estimates]
        if rooms and all(room.space_mm is None for room in rooms):
            yield printing.miss("not_measured", "clearance", Severity.MUST, jaw=name)
        elif any(room.provisional for room in rooms):
            yield printing.miss("set_up", "clearance", Severity.BETTER, jaw=name)


def _check_option(printing: Printing) -> Iterator[Missing]:
    titles = tuple(kind.title for kind in printing.kinds if kind.by_option)
    for _, name, chosen in printing.list_jaws() if titles else ():
        if not chosen:
            text = "option_one" if len(titles) == 1 else "option"
            yield printing.miss("option", "sheets", Severity.MUST, text=text, jaw=name, sheets=list_words(titles))


def _check_prices(printing: Printing) -> Iterator[Missing]:
    fees, locale = printing.estimate.practice.fees, printing.settings.locale
    if printing.has_prices and fees.invented:
        yield printing.miss("invented", "fees", Severity.MUST)
    elif printing.has_prices and printing.today - fees.price_date > _OLD:
        yield printing.miss("prices_old", "fees", Severity.BETTER, day=format_day(fees.price_date, locale))
    if printing.quote_ends and printing.quote_ends < printing.today:
        yield printing.miss("quote_ended", "quote", Severity.MUST, day=format_day(printing.quote_ends, locale))


def _check_terms(printing: Printing) -> Iterator[Missing]:
    """What the consent record leaves lines for."""
    if "consent" not in printing.keys:
        return
    terms, implants = printing.settings.terms, False
    on_implants = {option.key for option in printing.estimate.practice.options if option.on_implants}
    for jaw, name, _ in printing.list_jaws():
        keys = [made.key for made in jaw.estimates]
        implants |= bool(on_implants & set(keys))
        bare = [key for key in keys if not (terms.find_guarantee(key) and terms.find_remake(key))]
        if bare:
            yield printing.miss("terms", "sheets", Severity.BETTER, count=len(bare), all=len(keys), jaw=name)
    if implants and not terms.implant_fails:
        yield printing.miss("implant_fails", "sheets", Severity.BETTER)


def _check_figures(printing: Printing) -> Iterator[Missing]:
    used = {f.key for jaw, _, _ in printing.list_jaws() for made in jaw.estimates for f in made.basis if f.assumption}
    if used and printing.has_prices:
        text = "assumptions_one" if len(used) == 1 else "assumptions"
        yield printing.miss("assumptions", "sources", Severity.BETTER, text=text, count=len(used))


def _weigh(*, must: bool) -> Severity:
    return Severity.MUST if must else Severity.BETTER


_CHECKS: tuple[Callable[[Printing], Iterator[Missing]], ...] = (
    _check_words, _check_patient, _check_practice, _check_prices, _check_room, _check_option, _check_terms,
    _check_figures,
)  # fmt: skip
