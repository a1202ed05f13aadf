"""What the drawing of the jaw is made from, with heights as numbers [mm], and where it all stands."""

import math
from dataclasses import dataclass
from decimal import Decimal
from itertools import accumulate, pairwise

from estimator.pictures.base.rows import Sizes
from estimator.pictures.base.ruler import round_up
from estimator.pictures.jaw.layout import Stage
from estimator.pictures.jaw.parts import JawBar, JawPart, JawSite, JawWords, add_least, add_usual

_IMPLANT_MM, _IMPLANT_WIDTH_MM = 3.0, 4.0
"""How much of an implant is drawn, and how wide: it is a sign, not a size."""
_OVERHANG_MM, _LEAST_WIDTH_MM = 3.0, 6.0
"""How much wider the line of the room is than the widest part, and its least width."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """The parts and the sites in their order, from left to right, and how large they are to be drawn."""

    parts: tuple[JawPart, ...]
    sites: tuple[JawSite, ...]
    tissue_mm: Decimal
    error_mm: Decimal
    implants: bool
    scale: float
    sizes: Sizes
    words: JawWords
    bar: JawBar | None = None

    def __post_init__(self) -> None:
        for name, more in (("parts", len(self.parts)), ("sites", len(self.sites)), ("scale", self.scale)):
            if more <= 0:
                raise ValueError(f"'{name}' must be more than 0 (got {more:g})")
        for name, length in (("tissue_mm", self.tissue_mm), ("error_mm", self.error_mm)):
            if length < 0:
                raise ValueError(f"'{name}' must be 0 or more (got {length})")

    def list_layers(self, index: int) -> tuple[tuple[JawPart, float, float], ...]:
        """Each part at a site with its foot and its top in the usual stack [mm]."""
        parts = self.list_parts(index)
        steps = accumulate((part.usual_mm for part in parts), initial=Decimal(0))
        ends = pairwise(float(step) for step in steps)
        return tuple((part, low, high) for part, (low, high) in zip(parts, ends, strict=True))

    def list_parts(self, index: int) -> tuple[JawPart, ...]:
        """What stands at a site."""
        return self.sites[index].parts or self.parts

    @property
    def tissues(self) -> tuple[float, ...]:
        """Thickness of the soft tissue at each site [mm]."""
        return tuple(float(self.tissue_mm if site.tissue_mm is None else site.tissue_mm) for site in self.sites)

    @property
    def foot_of_bar(self) -> float | None:
        """Where the bar lies above the soft tissue [mm]; None where no part runs through."""
        levels = (low for part, low, _ in self.list_layers(0) if part.runs_through)
        return next(levels, None) if self.bar else None

    @property
    def error(self) -> float:
        """Error of measuring [mm]."""
        return float(self.error_mm)

    @property
    def usual(self) -> tuple[float, ...]:
        """Height of the usual stack at each site [mm]."""
        return tuple(float(add_usual(self.list_parts(index))) for index in range(len(self.sites)))

    @property
    def least(self) -> tuple[float, ...]:
        """Height of the least stack at each site [mm]."""
        return tuple(float(add_least(self.list_parts(index))) for index in range(len(self.sites)))

    @property
    def rooms(self) -> tuple[float, ...]:
        """The rooms that were measured [mm]."""
        return tuple(float(site.room_mm) for site in self.sites if site.room_mm is not None)

    @property
    def top(self) -> float:
        """Where the ruler ends, past everything that is drawn [mm]."""
        return round_up(max([*self.usual, *self.least, 4.0, *(room + self.error for room in self.rooms)]) + 0.5, 0.5)

    @property
    def implant(self) -> float:
        """How much of an implant is seen [mm]."""
        return _IMPLANT_MM

    @property
    def implant_width(self) -> float:
        """How wide an implant is drawn [mm]."""
        return _IMPLANT_WIDTH_MM

    @property
    def below(self) -> float:
        """How far the drawing goes below the top of the soft tissue [mm]."""
        return max(max(self.tissues) + self.implant, 0.5 - min([0.0, *(room - self.error for room in self.rooms)]))

    @property
    def widest(self) -> float:
        """Width of the line of the room [mm]."""
        return max(_LEAST_WIDTH_MM, max(part.width_mm for part in self.parts) + _OVERHANG_MM)


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """A scene on its stage: `zero` is the y of the top of the soft tissue."""

    scene: Scene
    stage: Stage
    zero: float = 0.0

    def lean(self, index: int, mm: float) -> float:
        """How far to the right of its site the axis of an implant is at a height; never past the line of its room."""
        off = math.tan(math.radians(self.scene.sites[index].lean_deg)) * mm * self.stage.shrink
        return max(-self.stage.half_mm, min(self.stage.half_mm, off))

    def y(self, mm: float) -> float:
        """Where a height above the soft tissue stands."""
        return self.zero - mm * self.scene.scale

    @property
    def rooms(self) -> tuple[tuple[int, float, float], ...]:
        """Number, x and room [mm] of every measured site."""
        pairs = enumerate(zip(self.stage.sites, self.scene.sites, strict=True))
        return tuple((i, x, float(site.room_mm)) for i, (x, site) in pairs if site.room_mm is not None)
