"""Published chances that hold for one jaw: refused where anything is missing that a reader needs to judge them."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from estimator.base.evidence import Evidence, Figure
from estimator.inputs.case.model import Arch, Jaw
from estimator.inputs.reference.risk_frames import ChanceFrame


@dataclass(frozen=True, slots=True, kw_only=True)
class Chance:
    """So many of so many, between low and high, over the years of the frame. Whole numbers."""

    frame: ChanceFrame
    figure: Figure
    low: int
    count: int
    high: int

    @property
    def rest(self) -> int:
        """How many it does not happen to."""
        return self.frame.of - self.count


def list_chances(jaw: Jaw, frames: Iterable[ChanceFrame], evidence: Evidence) -> tuple[Chance, ...]:
    """The chances that were counted in this jaw on as many implants."""
    return tuple(
        make_chance(frame, evidence.get(frame.figure), jaw.arch, sources=evidence.sources)
        for frame in frames
        if jaw.arch in frame.jaws and frame.implants_from <= jaw.implants <= frame.implants_to
    )


def make_chance(frame: ChanceFrame, figure: Figure, arch: Arch, *, sources: Iterable[str] = ()) -> Chance:
    """A figure as a chance in that jaw.

    Raises ValueError without a group, years, a range or a source; for a number of the other jaw; and where the figure
    is not counted in what the frame says: implants never become people.
    """
    unit = f"of {frame.of} {frame.counted}"
    if figure.unit != unit:
        raise ValueError(f"'figure' {figure.key} must be counted {unit!r} (got {figure.unit!r})")
    if arch not in frame.jaws:
        raise ValueError(f"'jaw' must be one that {frame.key} was counted in: {', '.join(frame.jaws)} (got {arch})")
    if not frame.group or frame.years[0] < 1:
        raise ValueError(f"'group' and 'years' of {frame.key} must be there (got {frame.group!r}, {frame.years})")
    if not figure.low < figure.high:
        raise ValueError(f"'range' of {figure.key} must be there (got {figure.low} to {figure.high})")
    if not figure.source or figure.source not in sources:
        raise ValueError(f"'source' of {figure.key} must be one of the sources (got {figure.source!r})")
    low, count, high = (_round(number) for number in figure.points)
    if not 0 <= low <= high <= frame.of:
        raise ValueError(f"{figure.key} must be from 0 to {frame.of} (got {figure.low} to {figure.high})")
    return Chance(frame=frame, figure=figure, low=low, count=count, high=high)


def _round(number: Decimal) -> int:
    return int(number.to_integral_value(rounding=ROUND_HALF_UP))
