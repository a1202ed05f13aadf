"""What changed between two versions in words: the name of each place, and its text before and after."""

from decimal import Decimal

from estimator.inputs.case.model import Arch
from estimator.inputs.reference.wording import Wording
from estimator.quote.quote import QuoteChange
from estimator.quote.versions import TOTAL_PLACES


def name_changed_place(change: QuoteChange, wording: Wording) -> str:
    """The place of a change as it is called: Valid until; Bar, each segment (lower jaw); Way to pay: in full."""
    group, _, rest = change.place.partition(".")
    if change.place.startswith("adjustments["):
        return wording.say("quote.changes.adjustment", subject=change.subject)
    if group in ("ways", "texts"):
        return wording.say(f"quote.changes.{group}", subject=change.subject or wording.get(f"quote.texts.{rest}"))
    if group == "lines":
        arch = rest.partition(".")[0]
        return f"{change.subject} ({name_arch(arch, wording)})" if arch in set(Arch) else change.subject
    return wording.get(f"quote.changes.{change.place}")


def say_values(change: QuoteChange, wording: Wording) -> tuple[str, str]:
    """The texts before and after, with amounts and jaws as they are read."""
    before, after = (_say(change.place, text, wording) for text in (change.before, change.after))
    return before, after


def _say(place: str, text: str, wording: Wording) -> str:
    if text and place in TOTAL_PLACES:
        return f"{Decimal(text):,}"
    if text and place == "options":
        parts = (part.partition(": ") for part in text.split("; "))
        return "; ".join(f"{name} ({name_arch(arch, wording)})" for arch, _, name in parts)
    return text


def name_arch(arch: str, wording: Wording) -> str:
    """A jaw as a patient reads it; what is no jaw as it stands."""
    key = f"words.arch.patient_{arch}"
    return wording.get(key) if wording.has(key) else arch
