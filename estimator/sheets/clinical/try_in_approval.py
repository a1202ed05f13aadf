"""The tooth trial approval: what was looked at, what is to change, and the written yes, not yet, or no."""

from estimator.sheets.base.blocks import Block, KeepTogether, Sheet, SignLine, WriteLine
from estimator.sheets.base.layout import FamilyWords, make_patient_sheet
from estimator.sheets.base.stated import write_room_notes

_LOOK = ("color", "shape", "length", "middle", "lip", "bite", "height", "speech", "friend")
_DECIDE = ("yes", "change", "wait", "stop")


def make_trial_approval(words: FamilyWords) -> Sheet:
    """The whole sheet."""
    name = words.say("sheet", number=words.job.number)
    return make_patient_sheet(words.job, title=words.say("title"), name=name, blocks=_write(words))


def _write(words: FamilyWords) -> list[Block]:
    say = words.say
    when = (say("sign.date"), say("sign.time"))
    look = words.tick(*(f"look.{key}" for key in _LOOK))
    decide = words.tick(*(f"decide.{key}" for key in _DECIDE), lines=("decide.wait",))
    return [
        words.tell("intro"),
        *write_room_notes(words.job, words.job.stated.list_room_notes()),
        KeepTogether(blocks=(words.head("look.title"), look)),
        WriteLine(label=say("change.lines"), more=2),
        KeepTogether(
            blocks=(
                words.head("room.title"),
                words.tell("room.text"),
                WriteLine(label=say("room.again")),
                words.tick("room.changed"),
            )
        ),
        KeepTogether(blocks=(words.head("decide.title"), words.tell("decide.after"), decide)),
        # What may still be changed stands on the page that is signed: no one signs a page of lines alone.
        KeepTogether(
            blocks=(
                words.tell("decide.mind"),
                words.head("sign.title"),
                SignLine(labels=(say("sign.patient"), *when), widths=(56, 24, 20)),
                SignLine(labels=(say("sign.clinician"), *when), widths=(56, 24, 20)),
            )
        ),
    ]
