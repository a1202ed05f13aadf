"""A reserve: each implant lost in turn, what is left under the denture, and whether an option remains each time."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from estimator.inputs.reference.layers import LayerState

_AS_BEFORE, _ON_FEWER = 4, 2


class BarLeft(StrEnum):
    """What becomes of the plan of a bar: cut behind the next implant, or one longer span over the gap."""

    CUT = "cut"
    SPAN = "span"


@dataclass(frozen=True, slots=True, kw_only=True)
class ImplantLost:
    """One implant lost: the teeth that are left, in their order along the arch, and what becomes of a bar."""

    tooth: str
    left: tuple[str, ...]
    bar: BarLeft


def lose_each(teeth: Sequence[str]) -> tuple[ImplantLost, ...]:
    """Each implant lost in turn; `teeth` stand in their order along the arch."""
    ends = (0, len(teeth) - 1)
    return tuple(
        ImplantLost(
            tooth=tooth, left=(*teeth[:place], *teeth[place + 1 :]), bar=BarLeft.CUT if place in ends else BarLeft.SPAN
        )
        for place, tooth in enumerate(teeth)
    )


def keep_attachments(planned: int, implants_left: int) -> int:
    """Attachments on a bar that stay planned: as before on four implants or more, two at most on fewer."""
    return planned if implants_left >= _AS_BEFORE else min(planned, _ON_FEWER)


def has_reserve(after_each_loss: Iterable[Sequence[LayerState]]) -> bool | None:
    """Whether each loss leaves an option on implants, from the states of all of them after each loss in turn.

    None where no loss is known to leave nothing, but after one of them the options that may be left are not measured.
    """
    best = [_judge(states) for states in after_each_loss]
    if False in best:
        return False
    return None if None in best else True


def _judge(states: Sequence[LayerState]) -> bool | None:
    if any(state in (LayerState.ROOM, LayerState.CLOSE) for state in states):
        return True
    return None if any(state is not LayerState.NOT_ENOUGH for state in states) else False
