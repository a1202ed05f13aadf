"""A second opinion: the published minima that apply, each read from the soft tissue crest. Never averaged."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from estimator.estimate.clearance.stack import convert_to_soft_tissue
from estimator.inputs.case.model import Jaw, Landmark, Site
from estimator.inputs.options.model import Option
from estimator.inputs.reference.published_minima import Minimum


@dataclass(frozen=True, slots=True, kw_only=True)
class Opinion:
    """One published minimum beside the room. Lengths [mm] from the soft tissue crest.

    With a known landmark low and high are the published range. Without one they are the two readings of its low
    value, from the platform and from the soft tissue; only the stricter reading counts. `met` is None without a room.
    """

    minimum: Minimum
    low_mm: Decimal
    high_mm: Decimal
    met: bool | None

    @property
    def landmark_known(self) -> bool:
        """Whether the source says where it counts from."""
        return self.minimum.landmark is not None


def list_opinions(
    jaw: Jaw, option: Option, minima: Iterable[Minimum], *, site: Site, tissue_mm: Decimal, room_mm: Decimal | None
) -> tuple[Opinion, ...]:
    """The minima that apply to an option in a jaw, read at the site that decides."""
    return tuple(
        _read(minimum, site, tissue_mm, room_mm)
        for minimum in minima
        if option.attachments in minimum.attachments and minimum.arch in (None, jaw.arch)
    )


def _read(minimum: Minimum, site: Site, tissue_mm: Decimal, room_mm: Decimal | None) -> Opinion:
    def convert(length_mm: Decimal, landmark: Landmark) -> Decimal:
        return max(Decimal(0), convert_to_soft_tissue(length_mm, site, landmark, tissue_mm))

    if minimum.landmark is not None:
        low, high = (convert(length, minimum.landmark) for length in (minimum.low_mm, minimum.high_mm))
        needed = low
    else:
        readings = [convert(minimum.low_mm, landmark) for landmark in Landmark]
        low, high = min(readings), max(readings)
        needed = high
    return Opinion(minimum=minimum, low_mm=low, high_mm=high, met=None if room_mm is None else room_mm >= needed)


def count_met(opinions: Iterable[Opinion]) -> tuple[int, int] | None:
    """How many are met, of how many; None where nothing is measured or nothing is published."""
    known = [opinion.met for opinion in opinions if opinion.met is not None]
    return (sum(known), len(known)) if known else None
