"""The practice's logo: read from a PNG file with clear problems, and printed small, tagged and opaque."""

import io
import struct
from dataclasses import replace
from pathlib import Path

import pikepdf
import pytest
from PIL import Image, ImageCms
from pypdf import PdfReader

from estimator import files
from estimator.files.practice.logo import load_logo, read_logo
from estimator.inputs.practice.logo import Logo
from estimator.inputs.practice.settings import Paper
from estimator.pdf.print import make_sheet
from estimator.sheets.registry import KINDS, SheetReader
from tests.builders import TODAY
from tests.edges.test_option_sheet import CASES, PRACTICE
from tests.papers import drawn_anew, find_failures
from tests.problem_builders import list_places, refuses
from tests.quote_builders import make_demo_papers

WORDING = files.load_wording()
BLUE = (20, 60, 140)


def make_png(size: tuple[int, int] = (400, 160), mode: str = "RGBA", **options: object) -> bytes:
    """Left half blue, right half empty: see-through where the picture can be."""
    image = Image.new("RGBA", size, (0, 0, 0, 0))
    image.paste((*BLUE, 255), (0, 0, size[0] // 2, size[1]))
    out = io.BytesIO()
    image.convert(mode).save(out, "PNG", **options)
    return out.getvalue()


def claim_size(data: bytes, width: int, height: int) -> bytes:
    return data[:16] + struct.pack(">II", width, height) + data[24:]


LOGO = read_logo(make_png(), "logo.png")
PAPERS = make_demo_papers()


def make(key: str = "option", logo: Logo | None = LOGO, *, grey: bool = False) -> bytes:
    settings = replace(PRACTICE.settings, logo=logo, logo_file="logo.png" if logo else "")
    estimate = replace(CASES["demo"], practice=replace(PRACTICE, settings=settings))
    kind = next(kind for kind in KINDS if kind.key == key)
    return make_sheet(kind, estimate, 0, wording=WORDING, today=TODAY, paper=Paper.LETTER, grey=grey, papers=PAPERS)


def find_images(data: bytes) -> list[dict[str, object]]:
    with pikepdf.open(io.BytesIO(data)) as pdf:
        return [
            {"space": str(image.ColorSpace), "mask": "/SMask" in image, "width": int(image.Width)}
            for image in pdf.objects
            if isinstance(image, pikepdf.Stream) and image.get("/Subtype") == "/Image"
        ]


@pytest.mark.parametrize("grey", [False, True], ids=["colour", "grey"])
@pytest.mark.parametrize("key", [kind.key for kind in KINDS if kind.reader is SheetReader.PATIENT])
def test_a_sheet_with_a_logo_passes_both_standards(key: str, grey: bool) -> None:
    """PDF/UA-1 (ISO 14289-1) and PDF/A-2a (ISO 19005-2), validated with page-validation (rule)."""
    data = make(key, grey=grey)
    for profile in ("ua1", "2a"):
        assert find_failures(data, profile) == []


@pytest.mark.parametrize(("grey", "space"), [(False, "/DeviceRGB"), (True, "/DeviceGray")])
def test_the_logo_is_one_opaque_picture_in_the_colours_of_the_sheet(grey: bool, space: str) -> None:
    assert find_images(make(grey=grey)) == [{"space": space, "mask": False, "width": 360}]


def test_equal_logos_give_equal_bytes() -> None:
    with drawn_anew():
        assert make(logo=read_logo(make_png(), "a.png")) == make(logo=read_logo(make_png(), "b.png"))


def test_the_logo_is_read_out_as_the_name_of_the_practice_before_the_first_line() -> None:
    with pikepdf.open(io.BytesIO(make())) as pdf:
        first, second = list(pdf.Root.StructTreeRoot.K.K)[:2]
        assert (str(first.S), str(first.Alt)) == ("/Figure", "Harbor Row Dental (invented)")
        assert str(second.S) == "/P"
        left, bottom, right, top = (float(side) for side in first.A.BBox)
    assert top - bottom <= 12 / 25.4 * 72 + 0.1
    assert right - left <= 50 / 25.4 * 72 + 0.1
    assert right == pytest.approx(612 - 72, abs=0.1)


def test_a_telephone_number_or_a_day_beside_a_logo_is_not_torn_apart() -> None:
    settings = replace(
        PRACTICE.settings, logo=LOGO, address="12 Harbor Row, Sampletown (invented)", phone="555-0142",
        emergency_phone="555-0143",
    )  # fmt: skip
    estimate = replace(CASES["demo"], practice=replace(PRACTICE, settings=settings))
    data = make_sheet(KINDS[0], estimate, 0, wording=WORDING, today=TODAY, paper=Paper.LETTER)
    lines = PdfReader(io.BytesIO(data)).pages[0].extract_text().splitlines()[:5]
    for part in (settings.address, "when we are closed: 555-0143", "November 25, 2026"):
        assert [line for line in lines if part in line], part


def test_a_logo_adds_no_page() -> None:
    assert len(PdfReader(io.BytesIO(make())).pages) == len(PdfReader(io.BytesIO(make(logo=None))).pages)


@pytest.mark.parametrize("key", [kind.key for kind in KINDS if kind.reader is not SheetReader.PATIENT])
def test_sheets_for_the_office_and_the_laboratory_have_no_logo(key: str) -> None:
    assert not find_images(make(key))


@pytest.mark.parametrize("mode", ["RGBA", "RGB", "LA", "L", "P", "1"])
def test_every_usual_kind_of_png_is_taken(mode: str) -> None:
    logo = read_logo(make_png(mode=mode), "logo.png")
    assert (logo.width_px, logo.height_px) == (360, 144)


def test_what_is_see_through_becomes_white() -> None:
    assert (LOGO.pixels[:3], LOGO.pixels[-3:]) == (bytes(BLUE), b"\xff\xff\xff")


def test_a_colour_profile_in_the_file_is_taken_into_account() -> None:
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    logo = read_logo(make_png(mode="RGB", icc_profile=profile), "logo.png")
    assert max(abs(a - b) for a, b in zip(logo.pixels[:3], BLUE, strict=True)) <= 2


@pytest.mark.parametrize(("data", "message"), [
    (b"", "got another kind of file; expected a PNG picture"),
    (b"GIF89a" + bytes(40), "got another kind of file"),
    (make_png()[:60], "got a PNG picture that is broken"),
    (make_png((20, 100)), "got 20 by 100 pixels; expected 32 to 3000 pixels each way"),
    (claim_size(make_png(), 90_000, 90_000), "got 90000 by 90000 pixels"),
    (make_png((1300, 100)), "expected one side at most 12 times the other"),
    (make_png(mode="RGB", icc_profile=b"x" * 200), "got a PNG picture that is broken"),
], ids=["empty", "gif", "cut short", "small", "bomb", "flat", "broken profile"])  # fmt: skip
def test_a_file_that_is_no_logo_is_a_problem(data: bytes, message: str) -> None:
    with refuses(message):
        read_logo(data, "logo.png")


def test_a_file_that_is_too_large_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "logo.png"
    path.write_bytes(make_png() + bytes(1_000_000))
    with refuses("a file of at most 1 MB"):
        load_logo(path)


def write_settings(folder: Path, name: str) -> Path:
    path = folder / "settings.toml"
    path.write_text(f"[practice]\nlogo = '{name}'\n", encoding="utf-8")
    return path


def test_the_logo_lies_in_the_practice_folder(tmp_path: Path) -> None:
    write_settings(tmp_path, "art/logo.PNG")
    (tmp_path / "art").mkdir()
    (tmp_path / "art" / "logo.PNG").write_bytes(make_png())
    assert files.load_practice(tmp_path, today=TODAY).settings.logo == LOGO


def test_a_logo_that_is_not_there_is_a_problem_of_the_folder_and_of_the_file(tmp_path: Path) -> None:
    path = write_settings(tmp_path, "logo.png")
    with refuses(r"logo\.png: got no such file or directory; expected a file that can be read"):
        files.load_practice(tmp_path, today=TODAY)
    assert [problem.file for problem in files.check_file(path, today=TODAY)] == ["logo.png"]


@pytest.mark.parametrize("name", ["/etc/logo.png", "../logo.png", "a/../../logo.png", "C:/logo.png", "a\\logo.png",
                                  "logo.svg", "https://elsewhere.example/logo.png"])  # fmt: skip
def test_a_logo_is_never_looked_for_outside_the_folder(name: str, tmp_path: Path) -> None:
    path = write_settings(tmp_path, name)
    assert list_places(files.check_file(path, today=TODAY)) == ["practice.logo"]


def test_a_logo_without_its_pixels_cannot_be_made() -> None:
    with pytest.raises(ValueError, match="'pixels' must have 12 bytes"):
        Logo(width_px=2, height_px=2, pixels=b"")
