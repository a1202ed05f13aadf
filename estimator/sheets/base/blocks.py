"""What a sheet is made of. A sheet module makes a `Sheet`; `pdf` draws it and knows nothing of dentures."""

from dataclasses import dataclass
from datetime import date

from estimator.inputs.practice.logo import Logo
from estimator.pictures.base.shapes import Shape


@dataclass(frozen=True, slots=True, kw_only=True)
class TextSpan:
    """A run of text, bold or not. Its text is printed as it stands: nothing in it is markup."""

    text: str
    bold: bool = False


Text = tuple[TextSpan, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """Level 1 once, on top; level 2 for a section; level 3 below that. Kept with what follows."""

    text: str
    level: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Paragraph:
    """Left-aligned prose. `small` is for second-rank lines; never for anything a patient must read."""

    text: Text
    small: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class NameLine:
    """A word of ours and then a person's name in any script, in a cell of its own; a note beside it, or below it."""

    label: str
    name: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Letterhead:
    """Small lines on top of a sheet, broken between `parts`, and a logo at their right with its alternative text."""

    parts: tuple[str, ...]
    logo: Logo | None = None
    alt: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bullets:
    """A list without order."""

    items: tuple[Text, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TableBlock:
    """One heading row; the first column names each row. `widths` are shares of the page.

    Columns are right aligned except those in `left`. `bold` are the numbers of rows, from 0, that begin a group of
    rows: they stay with the row that follows.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    widths: tuple[float, ...]
    bold_last: bool = False
    small: bool = False
    left: tuple[int, ...] = (0,)
    bold: tuple[int, ...] = ()

    def is_bold(self, number: int) -> bool:
        """Whether the row of that number, from 0, is bold."""
        return number in self.bold or (self.bold_last and number == len(self.rows) - 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureBlock:
    """Shapes under one ruler. `span` is the x range of the whole width; `width_mm` None means the text width.

    `height` is in points. `alt` says the finding and holds every number of the picture.
    """

    shapes: tuple[Shape, ...]
    span: tuple[float, float]
    height: float
    alt: str
    width_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """Something to tick with a pen; `line` leaves a line to write on after it."""

    text: Text
    line: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticks:
    """A list with an open box before each item. No item is split over two pages."""

    items: tuple[Tick, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WriteLine:
    """A label and a line to write on after it; `more` further lines below, over the whole width."""

    label: str
    more: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class SignLine:
    """Lines to sign on, side by side, each above its label and never on another page; `widths` are shares."""

    labels: tuple[str, ...]
    widths: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PageBreak:
    """What follows begins on a new page."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepTogether:
    """Blocks that stay on one page."""

    blocks: tuple["Block", ...]


Block = (
    Heading | Paragraph | NameLine | Letterhead | Bullets | Ticks | WriteLine | SignLine | TableBlock | FigureBlock
    | PageBreak | KeepTogether
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A whole printed sheet: `created` fixes its bytes; `footer` stands on every page before "1 of 2".

    `mark` is a short sum of all that it says, where another sheet names it.
    """

    title: str
    number: str
    author: str
    language: str
    created: date
    footer: str
    blocks: tuple[Block, ...]
    of_word: str = "of"
    mark: str = ""
