"""How a site is measured: one implant cut through from cheek to tongue, and one that leans. Nothing is to scale."""

from estimator.pictures.base.rows import Picture
from estimator.pictures.base.shapes import Box, Lettering, Shape, Stroke

_SPAN, _HEIGHT, _SIZE = (0.0, 100.0), 300.0, 14.0
_PLANE, _GUM, _BONE, _PLATFORM, _APEX, _FOOT = 34.0, 150.0, 184.0, 210.0, 278.0, 294.0
"""Heights of the lines from the top: the occlusal plane, the crests of gum and bone, the platform; ends of both."""
_DENTURE, _RIDGE, _IMPLANT = (14.0, 38.0), (6.0, 46.0), (22.0, 30.0)
_LEANING, _TOP = (78.0, 70.0), 90.0
_AWAY = 14.0

MEASURING_ALT = (
    "One implant cut through from cheek to tongue. Space runs from the soft tissue crest, A, up to the occlusal plane "
    "or incisal edge, D; tissue from the bone crest, B, up to the soft tissue crest; depth from the bone crest down to "
    "the implant platform, C; width is the room in the denture from cheek to tongue. A second implant leans: its lean "
    "is the angle between its axis and the vertical."
)


def draw_measuring() -> Picture:
    """Space, tissue, depth and width at an implant, and the lean of another."""
    return Picture(shapes=(*_draw_site(), *_draw_lengths(), *_draw_lean()), span=_SPAN, height=_HEIGHT)


def _draw_site() -> tuple[Shape, ...]:
    """Bone, gum, implant and denture, with a letter at each line that is measured from."""
    lines = (("D", _PLANE), ("A", _GUM), ("B", _BONE), ("C", _PLATFORM))
    return (
        Box(x0=_RIDGE[0], x1=_RIDGE[1], y0=_BONE, y1=_FOOT, fill="stone", edge="line"),
        Box(x0=_RIDGE[0], x1=_RIDGE[1], y0=_GUM, y1=_BONE, fill="pale", edge="line"),
        Box(x0=_DENTURE[0], x1=_DENTURE[1], y0=_PLANE, y1=_GUM, edge="line", dashed=True),
        Box(x0=_IMPLANT[0], x1=_IMPLANT[1], y0=_PLATFORM, y1=_APEX, fill="must"),
        Box(x0=_IMPLANT[0], x1=_IMPLANT[1], y0=_GUM, y1=_PLATFORM, edge="must", dashed=True),
        *(Stroke(x0=_RIDGE[0] - 1, x1=_RIDGE[1] + 5, y0=y, y1=y) for _, y in lines),
        *(Lettering(x=0.5, y=y, text=letter, size=_SIZE, bold=True) for letter, y in lines),
    )


def _draw_lengths() -> tuple[Shape, ...]:
    x, middle = _RIDGE[1] + 3, (_DENTURE[0] + _DENTURE[1]) / 2
    upright = (("space", _PLANE, _GUM), ("tissue", _GUM, _BONE), ("depth", _BONE, _PLATFORM))
    across = (_PLANE + _GUM) / 2
    return (
        *(Stroke(x0=x, x1=x, y0=top, y1=foot, width=2.5) for _, top, foot in upright),
        *(Lettering(x=x, y=(top + foot) / 2, text=name, size=_SIZE, dx=8) for name, top, foot in upright),
        Stroke(x0=_DENTURE[0], x1=_DENTURE[1], y0=across, y1=across, width=2.5),
        Lettering(x=middle, y=across - 14, text="width", size=_SIZE, align="center"),
    )


def _draw_lean() -> tuple[Shape, ...]:
    """An axis beside the vertical, both through the same foot."""
    foot, top = _LEANING
    return (
        Stroke(x0=foot, x1=foot, y0=_TOP, y1=_APEX, colour="line"),
        Stroke(x0=foot, x1=foot + _AWAY, y0=_APEX, y1=_TOP, colour="must", width=6),
        Lettering(x=foot + _AWAY / 2, y=top, text="lean", size=_SIZE, align="center"),
    )
