"""Published minima become strips, in the words of the office."""

from collections.abc import Sequence

from estimator.estimate.clearance.published_minima import Opinion
from estimator.pictures.minima.strips import Strip


def list_strips(opinions: Sequence[Opinion]) -> tuple[Strip, ...]:
    """A strip an opinion, with its landmark and how sure it is."""
    return tuple(
        Strip(
            label=_name(opinion),
            low_mm=opinion.low_mm,
            high_mm=opinion.high_mm,
            sure=opinion.landmark_known,
            met=opinion.met,
        )
        for opinion in opinions
    )


def _name(opinion: Opinion) -> str:
    minimum = opinion.minimum
    mark = "landmark not stated" if minimum.landmark is None else minimum.landmark.value.replace("_", " ")
    return f"{minimum.label}: {mark}, {minimum.how_sure}"
