"""The care and upkeep sheet: after surgery, wearing, cleaning, checks, when and whom to call."""

from estimator.inputs.options.model import Attachments
from estimator.sheets.base.blocks import Block, KeepTogether, Sheet, WriteLine
from estimator.sheets.base.layout import FamilyWords, list_made, make_patient_sheet
from estimator.sheets.base.prose import make_paragraph

_SURGERY = ("bite", "cold", "rinse", "food", "medicine", "denture")
_WEAR = ("first", "sore", "night", "water")
_CALL = ("now", "today", "numb", "days", "implant")


def write_care(words: FamilyWords) -> list[Block]:
    """All sections; those on surgery, snaps, posts and bars only where they can matter."""
    kinds = {option.attachments for _, option in list_made(words.job)}
    snaps, jaw = bool(kinds - {Attachments.NONE}), words.job.jaw.jaw
    surgery = bool(jaw.extractions) or (snaps and not jaw.implants_present)
    return [
        words.tell("intro"),
        *(_write_list(words, "surgery", _SURGERY) if surgery else []),
        *_write_list(words, "wear", _WEAR),
        *(_write_list(words, "snap", ("press", "pull", "light")) if snaps else []),
        *_write_list(words, "clean", ("basin", "brush", "gum", *_find_own(kinds))),
        *_write_checks(words, snaps=snaps),
        *_write_call(words, snaps=snaps, surgery=surgery),
    ]


def make_care_sheet(words: FamilyWords) -> Sheet:
    """The whole sheet."""
    name = words.say("sheet", number=words.job.number)
    return make_patient_sheet(words.job, title=words.say("title"), name=name, blocks=write_care(words))


def _find_own(kinds: set[Attachments]) -> tuple[str, ...]:
    own = {Attachments.ON_IMPLANTS: "posts", Attachments.ON_BAR: "bar"}
    return tuple(key for kind, key in own.items() if kind in kinds)


def _write_list(words: FamilyWords, section: str, keys: tuple[str, ...]) -> list[Block]:
    items = words.list_up(*(f"{section}.{key}" for key in keys))
    return [KeepTogether(blocks=(words.head(f"{section}.title"), items))]


def _write_checks(words: FamilyWords, *, snaps: bool) -> list[Block]:
    keys = ("week", "yearly", "snap") if snaps else ("week", "yearly")
    told = words.tell(*(f"check.{key}" for key in keys))
    next_check = WriteLine(label=words.say("check.next"))
    return [KeepTogether(blocks=(words.head("check.title"), told, words.tell("check.depends"), next_check))]


def _write_call(words: FamilyWords, *, snaps: bool, surgery: bool) -> list[Block]:
    """When to call, what never to do, and whom to call: on one page."""
    settings = words.job.estimate.practice.settings
    whom: Block = WriteLine(label=words.say("whom.practice_open"))
    if settings.phone:
        name = settings.practice_name or words.say("whom.practice_open").rstrip(":")
        whom = make_paragraph(words.mark("whom.practice", name=name, phone=settings.phone))
    outside: Block = WriteLine(label=words.say("whom.outside_open"))
    if settings.emergency_phone:
        outside = make_paragraph(words.mark("whom.outside", phone=settings.emergency_phone))
    left_out = {key for key, said in (("numb", surgery), ("implant", snaps)) if not said}
    keys = [key for key in _CALL if key not in left_out]
    blocks = (
        *_write_list(words, "call", tuple(keys)),
        words.tell("call.never"),
        words.head("whom.title"),
        whom,
        outside,
    )
    return [KeepTogether(blocks=blocks)]
