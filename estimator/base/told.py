"""What is told, as data: the name of a thing by its key, or a text of the wording with what fills it; said later."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Name:
    """What a thing is called: `key` finds it in another language, `label` is how it was written when it was told.

    The key is the sort of thing, its own key and the field, such as `option.connecting_bar.patient_name`; it is empty
    for what a practice wrote itself and nothing ships.
    """

    key: str
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A sentence not yet said: the key of a text of the wording, and its values by name, numbers and days as such."""

    key: str
    values: tuple[tuple[str, object], ...] = ()
