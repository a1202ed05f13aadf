"""The option sheet in a warm process against WeasyPrint on the same pages with PDF/UA-1, in the same run."""

import io
import logging
from typing import Any

import page as validator
import pytest
from pypdf import PdfReader

from estimator import files
from estimator.estimate.result import estimate_case
from estimator.inputs.practice.settings import Paper
from estimator.pdf.draw import draw_sheet
from estimator.sheets.base.context import SheetJob
from estimator.sheets.option_sheet.summary import write_option_sheet
from tests.bench.html_sheet import write_html
from tests.bench.reference import race
from tests.builders import TODAY

try:
    import weasyprint
except OSError:
    pytest.skip("WeasyPrint finds no Pango on this machine", allow_module_level=True)

logging.getLogger("weasyprint").setLevel(logging.ERROR)


def make_job() -> SheetJob:
    estimate = estimate_case(*files.load_demo(today=TODAY))
    return SheetJob(
        estimate=estimate,
        jaw=estimate.jaws[0],
        wording=files.load_wording(),
        day=TODAY,
        text_width_mm=165.1,
        number="C-1042-1",
    )


def render_reference(html: str) -> bytes:
    data: bytes = weasyprint.HTML(string=html).write_pdf(pdf_variant="pdf/ua-1")
    return data


@pytest.mark.benchmark(min_rounds=5, max_time=3)
def test_the_option_sheet_is_no_slower_than_the_reference_renderer(benchmark: Any) -> None:
    """Under 0.3 s where the reference takes 0.9 s (a quiet machine with two cores).

    The reference gets the finished texts; ours also writes them from the estimate.
    """
    job = make_job()
    html = write_html(write_option_sheet(job))
    pages = [len(PdfReader(io.BytesIO(d)).pages) for d in (draw_sheet(write_option_sheet(job)), render_reference(html))]
    assert abs(pages[0] - pages[1]) <= 2
    assert validator.validate_pdf_bytes(draw_sheet(write_option_sheet(job)), profile="ua1").is_compliant
    benchmark(lambda: draw_sheet(write_option_sheet(job), paper=Paper.LETTER))
    ours, reference = race(lambda: draw_sheet(write_option_sheet(job)), lambda: render_reference(html), rounds=7)
    print(
        f"\nour sheet {1000 * ours:.0f} ms, reference {1000 * reference:.0f} ms, ratio {ours / reference:.2f}, pages {pages}"
    )
    assert ours <= 0.34 * reference
