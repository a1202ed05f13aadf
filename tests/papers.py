"""Each paper is drawn once a run and looked at once: all workers share a folder of files named by what they hold.

What a sheet says is written anew in every test; only the drawing of equal blocks, and what outside readers find in equal
files, is taken from the folder. A test about the drawing itself asks for `drawn_anew`.
"""

import io
import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path
from uuid import uuid4

import page as validator
import pytest
from pypdf import PdfReader

from estimator.inputs.practice.settings import Paper
from estimator.pdf import print as printing
from estimator.pdf.draw import draw_sheet
from estimator.sheets.base.blocks import Sheet

PROFILES = ("ua1", "2a")
"""PDF/UA-1 (ISO 14289-1) and PDF/A-2a (ISO 19005-2)."""
_folder: Path | None = None


def use_folder(folder: Path | None) -> None:
    """Keep what is made from now on in this folder, or nowhere."""
    global _folder
    _folder = folder


def make_once(key: str, make: Callable[[], bytes]) -> bytes:
    """What was made for this key before, by any worker of this run; else what `make` gives."""
    if _folder is None:
        return make()
    kept = _folder / sha256(key.encode("utf-8")).hexdigest()
    if not kept.exists():
        part = kept.with_name(f"{kept.name}.{uuid4().hex}")
        part.write_bytes(make())
        part.replace(kept)
    return kept.read_bytes()


def draw_once(sheet: Sheet, *, paper: Paper, grey: bool = False, large: bool = False) -> bytes:
    """As `draw_sheet`; equal blocks on equal paper give the file that was drawn before."""
    key = repr(("drawn", sheet, paper, grey, large))
    assert " at 0x" not in key, "a block that does not show all that it holds cannot be told apart"
    return make_once(key, lambda: draw_sheet(sheet, paper=paper, grey=grey, large=large))


def find_failures(data: bytes, profile: str) -> list[str]:
    """The rules of a standard that a file breaks, as page-validation finds them; none where it is sound."""

    def look() -> bytes:
        result = validator.validate_pdf_bytes(data, profile=profile)
        broken = [str(failure.rule_id) for failure in result.failures]
        assert result.is_compliant or broken
        return json.dumps(broken if not result.is_compliant else []).encode("utf-8")

    found: list[str] = json.loads(make_once(f"{profile} {sha256(data).hexdigest()}", look))
    return found


def read_pages(data: bytes) -> list[str]:
    """What each page says, as pypdf reads it, with ordinary spaces."""

    def read() -> bytes:
        pages = [page.extract_text().replace("\N{NO-BREAK SPACE}", " ") for page in PdfReader(io.BytesIO(data)).pages]
        return json.dumps(pages).encode("utf-8")

    found: list[str] = json.loads(make_once(f"pages {sha256(data).hexdigest()}", read))
    return found


def list_sizes(data: bytes) -> set[float]:
    """Type sizes of everything that is written in a file [pt], as another reader measures them."""

    def measure() -> bytes:
        found: set[float] = set()

        def note(text: str, cm: list[float], tm: list[float], font: object, size: float) -> None:
            if text.strip():
                found.add(round(size * abs(tm[3]) * abs(cm[3]), 2))

        for page in PdfReader(io.BytesIO(data)).pages:
            page.extract_text(visitor_text=note)
        return json.dumps(sorted(found)).encode("utf-8")

    return set(json.loads(make_once(f"sizes {sha256(data).hexdigest()}", measure)))


@contextmanager
def drawn_anew() -> Iterator[None]:
    """Everything inside is drawn, whatever was drawn before: for tests that draw twice."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(printing, "draw_sheet", draw_sheet)
        yield


@pytest.fixture(scope="session", autouse=True)
def share_papers(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """For a folder's conftest: papers printed by its tests, and by those of other such folders, are drawn once."""
    own = tmp_path_factory.getbasetemp()
    folder = (own.parent if own.name.startswith("popen-") else own) / "papers"
    folder.mkdir(exist_ok=True)
    use_folder(folder)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(printing, "draw_sheet", draw_once)
        yield
    use_folder(None)
