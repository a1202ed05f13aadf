"""The pictures in README are made by a script, show something, are small, and are just those that README names."""

import re
from datetime import date
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Browser

from tests.builders import CHECKOUT
from tests.pictures import MOST_BYTES, WIDTHS_PX, make_pictures
from tests.served import Server

KEPT = CHECKOUT / ".github" / "pictures"


@pytest.fixture(scope="module")
def made(chromium: Browser, shared_server: Server, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pictures")
    make_pictures(chromium, shared_server.url, folder, today=date(2026, 11, 25))
    return folder


def measure_ink(picture: Image.Image) -> float:
    """The share of a picture that is not of its commonest colour."""
    counts = [count for count, _ in picture.convert("RGB").getcolors(picture.width * picture.height) or []]
    return 1 - max(counts) / sum(counts)


def test_the_script_makes_the_pictures_it_names_and_no_others(made: Path) -> None:
    assert {path.name for path in made.iterdir()} == set(WIDTHS_PX)


@pytest.mark.parametrize("name", WIDTHS_PX)
def test_a_picture_is_as_wide_as_promised_and_small(made: Path, name: str) -> None:
    with Image.open(made / name) as picture:
        assert (picture.format, picture.mode, picture.width) == ("PNG", "P", WIDTHS_PX[name])
    assert (made / name).stat().st_size < MOST_BYTES


@pytest.mark.parametrize("name", WIDTHS_PX)
def test_no_third_of_a_picture_is_blank(made: Path, name: str) -> None:
    with Image.open(made / name) as picture:
        width, height = picture.size
        thirds = [picture.crop((1, height * i // 3, width - 1, height * (i + 1) // 3)) for i in range(3)]
        assert min(measure_ink(third) for third in thirds) > 0.03


def test_the_pictures_kept_are_those_of_the_script_and_as_small() -> None:
    assert {path.name for path in KEPT.iterdir()} == set(WIDTHS_PX)
    assert max(path.stat().st_size for path in KEPT.iterdir()) < MOST_BYTES


def test_readme_shows_each_picture_once_before_the_set_up() -> None:
    shown = re.findall(
        r"!\[[^\]]+\]\(\.github/pictures/([^)]+)\)", (CHECKOUT / "README.md").read_text(encoding="utf-8")
    )
    before = (CHECKOUT / "README.md").read_text(encoding="utf-8").partition("## Set up")[0]
    assert sorted(shown) == sorted(WIDTHS_PX)
    assert all(name in before for name in shown)
