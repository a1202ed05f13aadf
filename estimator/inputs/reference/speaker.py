"""Speaker: says names and sentences in one language, in the practice's own words before those that ship."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from estimator.base.formats import find_locale, format_amount, format_day, format_mm, format_number
from estimator.base.money import MINOR_UNITS
from estimator.base.told import Name, Told
from estimator.inputs.practice.settings import Settings
from estimator.inputs.reference.wording import Wording

_PLAIN = ("percent", "years", "weeks", "degrees")
"""What a number that is neither money nor a length is called, or how its name ends."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Speaker:
    """Says things in the language of a wording, with numbers and days as a reader of `locale` writes them.

    `own` are the practice's words by what it wrote itself. `left` notes each text that should be said in the language
    and has no words there.
    """

    wording: Wording
    own: Mapping[str, str] = field(default_factory=dict)
    locale: str = "en_US"
    currency: str = "USD"
    left: dict[str, None] = field(default_factory=dict)

    def say(self, name: Name) -> str:
        """What a thing is called in the language; as it was written, and noted, where it has no words for it."""
        said = self._find(name)
        if said is None and name.label:
            self.left[name.label] = None
        return name.label if said is None else said

    def try_to_say(self, name: Name) -> str:
        """As `say`, of what may stay as it was written: a citation, a line of fees, what somebody wrote."""
        said = self._find(name)
        return name.label if said is None else said

    def tell(self, told: Told) -> str:
        """A sentence of the wording with its places filled, in the form that its first whole number takes."""
        values = {name: self._show(told.key, name, value) for name, value in told.values}
        numbers = [value for _, value in told.values if isinstance(value, int)]
        key = self.wording.choose_plural(told.key, numbers[0]) if numbers else told.key
        return self.wording.say(key if self.wording.has(key) else told.key, **values)

    def _find(self, name: Name) -> str | None:
        """None where there are no words; a label that is not the English that ships has none by its key."""
        if not self.wording.is_translation or not name.label:
            return name.label
        if own := self.own.get(name.label):
            return own
        if not name.key:
            return None
        written = {place: value.label if isinstance(value, Name) else str(value) for place, value in name.values}
        said = {place: self._show(name.key, place, value) for place, value in name.values}
        found = self.wording.find_names(name.key)
        return next((_fill(one.said, said) for one in found if _fill(one.english, written) == name.label), None)

    def _show(self, key: str, name: str, value: object) -> str:
        """A value in a sentence: a name, another sentence, an amount, a length, a count, a day, text as it is."""
        match value:
            case Name():
                return self.try_to_say(value)
            case Told():
                return self.tell(value)
            case Decimal():
                return self._show_number(name, value)
            case int():
                return self._count(key, name, value)
            case date():
                return format_day(value, self.locale)
            case _:
                return str(value)

    def _show_number(self, name: str, number: Decimal) -> str:
        """The unit is in the name: margin_mm, percent; without one it is money."""
        if name.endswith("_mm"):
            return format_mm(number, self.locale)
        if name.endswith(_PLAIN):
            return format_number(number, self.locale)
        return format_amount(number, self.locale, decimals=MINOR_UNITS[self.currency])

    def _count(self, key: str, name: str, number: int) -> str:
        """A number with what it counts, where the wording has words for that; none may have its own."""
        counted = f"{key.partition('.')[0]}.counted.{name}"
        none = f"{counted}_none"
        chosen = none if number == 0 and self.wording.has(none) else self.wording.choose_plural(counted, number)
        return self.wording.say(chosen, number=number) if self.wording.has(chosen) else str(number)


def find_speaker(wording: Wording, settings: Settings, *, currency: str = "USD") -> Speaker:
    """Who speaks for a practice in the language of a wording."""
    return Speaker(
        wording=wording,
        own=settings.find_words(wording.language),
        locale=find_locale(wording.language, settings.locale),
        currency=currency,
    )


def _fill(text: str, values: Mapping[str, str]) -> str:
    """A text with its places filled; one without a value stays."""
    for name, value in values.items():
        text = text.replace(f"{{{name}}}", value)
    return text
