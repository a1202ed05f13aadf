"""The pictures that README shows: pages of the app and an option sheet, of the demo case, as small PNGs.

`python -m tests.pictures .github/pictures` makes them anew; `tests/browser/test_pictures.py` makes them in every run.
"""

import io
import sys
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

import pypdfium2 as pdfium
from PIL import Image, ImageOps
from playwright.sync_api import Browser, Page, sync_playwright

from estimator import files
from estimator.estimate.result import estimate_case
from estimator.inputs.practice.settings import Paper
from estimator.pdf.print import make_option_sheet
from tests.served import CHROMIUM, FLAGS, SCREEN_PX, Server, go, open_demo, open_tab, settle

WIDE_PX, NARROW_PX = 900, 640
"""How wide pictures are: of a page of the app, and of a sheet."""
MOST_BYTES = 120_000
_FINENESS = 2
"""Taken twice as fine as a screen shows it, so that letters stay clear when the picture is made smaller."""
_COLOURS = 64
_EDGE = "#b8b8b4"
_GAP_PX = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Screen:
    """A page of the app, shown from its top down to a heading that is left out."""

    name: str
    page: str
    until: str


SCREENS = (
    Screen(name="clearance", page="Clearance", until="Cautions"),
    Screen(name="options", page="Options", until="The same in words"),
    Screen(name="quote", page="Quote", until="Help from a benefit plan"),
)
SHEET = "option_sheet.png"
WIDTHS_PX = {**{f"{screen.name}.png": WIDE_PX for screen in SCREENS}, SHEET: NARROW_PX}
"""How wide each picture is, by its file's name."""


def make_pictures(browser: Browser, url: str, folder: Path, *, today: date) -> None:
    """Writes every picture into a folder that exists; the app is served at `url`, the sheet is dated `today`."""
    page = open_tab(browser, url, fineness=_FINENESS)
    open_demo(page)
    for screen in SCREENS:
        _write(_take_screen(page, screen), folder / f"{screen.name}.png")
    page.context.close()
    _write(_draw_sheet(today), folder / SHEET)


def _take_screen(page: Page, screen: Screen) -> Image.Image:
    go(page, screen.page)
    heading = page.get_by_role("heading", name=screen.until, exact=True)
    heading.wait_for(timeout=20_000)
    page.wait_for_timeout(1000)  # charts draw themselves after the run is over
    settle(page)
    end = heading.bounding_box()
    assert end is not None
    shot = page.screenshot(clip={"x": 0, "y": 0, "width": SCREEN_PX, "height": end["y"] - _GAP_PX})
    return Image.open(io.BytesIO(shot))


def _draw_sheet(today: date) -> Image.Image:
    """The first page of the demo case's option sheet."""
    estimate = estimate_case(*files.load_demo(today=today))
    data = make_option_sheet(estimate, 0, wording=files.load_wording(), today=today, paper=Paper.LETTER)
    with pdfium.PdfDocument(data) as document:
        first = document[0]
        drawn: Image.Image = first.render(scale=_FINENESS * NARROW_PX / first.get_width()).to_pil()
        return drawn.copy()


def _write(picture: Image.Image, path: Path) -> None:
    """As a small PNG in a palette, with a thin edge, so that a white page ends somewhere."""
    width = WIDTHS_PX[path.name] - 2
    size = (width, round(picture.height * width / picture.width))
    small = ImageOps.expand(picture.convert("RGB").resize(size, Image.Resampling.LANCZOS), 1, _EDGE)
    small.quantize(_COLOURS, dither=Image.Dither.NONE).save(path, "PNG", optimize=True)


def _main(folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory() as user, sync_playwright() as playwright:
        server = Server(Path(user))
        server.start()
        try:
            browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
            make_pictures(browser, server.url, folder, today=date.today())  # noqa: DTZ011
            browser.close()
        finally:
            server.stop()


if __name__ == "__main__":
    _main(Path(sys.argv[1]))
