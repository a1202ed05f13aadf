"""The whole set, and many sets one after the other, against WeasyPrint on the same pages in the same run."""

import gc
import logging
import tracemalloc
from functools import cache
from typing import Any

import pytest

from estimator import files
from estimator.estimate.result import CaseEstimate, estimate_case
from estimator.inputs.practice.settings import Paper
from estimator.pdf.print import make_job, make_sheet
from estimator.sheets.registry import KINDS
from tests.bench.html_sheet import write_html
from tests.bench.reference import race
from tests.builders import TODAY

try:
    import weasyprint
except OSError:
    pytest.skip("WeasyPrint finds no Pango on this machine", allow_module_level=True)

logging.getLogger("weasyprint").setLevel(logging.ERROR)
SET = tuple(kind for kind in KINDS if kind.needs is None)
CHOSEN = "individual_attachments"


@cache
def load_case() -> CaseEstimate:
    return estimate_case(*files.load_demo(today=TODAY))


def print_set() -> int:
    """Bytes of all sheets that need no quote."""
    wording = files.load_wording()
    return sum(
        len(
            make_sheet(
                kind, load_case(), 0, wording=wording, today=TODAY, paper=Paper.LETTER,
                chosen=CHOSEN if kind.by_option else "",
            )
        )
        for kind in SET
    )  # fmt: skip


def write_reference() -> tuple[str, ...]:
    wording = files.load_wording()
    jobs = (
        (kind, make_job(kind, load_case(), 0, wording=wording, today=TODAY, paper=Paper.LETTER, chosen=CHOSEN))
        for kind in SET
    )
    return tuple(write_html(kind.make(job)) for kind, job in jobs)


@pytest.mark.benchmark(min_rounds=3, max_time=3)
def test_the_set_is_no_slower_than_the_reference_renderer(benchmark: Any) -> None:
    """Under 1.5 s where the reference takes 4 s and more (a quiet machine with two cores)."""
    pages = write_reference()
    benchmark(print_set)
    ours, reference = race(
        print_set, lambda: [weasyprint.HTML(string=html).write_pdf(pdf_variant="pdf/ua-1") for html in pages], rounds=3
    )
    print(f"\nour set of {len(SET)} sheets {ours:.2f} s, reference {reference:.2f} s, ratio {ours / reference:.2f}")
    assert ours <= 0.5 * reference


def test_memory_stays_flat_however_many_sets_are_printed() -> None:
    """Within 0.5 MB after four more sets, where one set alone takes more than that while it is made."""
    for _ in range(2):
        print_set()
    gc.collect()
    tracemalloc.start()
    print_set()
    gc.collect()
    before, peak = tracemalloc.get_traced_memory()
    for _ in range(4):
        print_set()
    gc.collect()  # a document refers to itself, so that it goes when the collector comes by
    after = tracemalloc.get_traced_memory()[0]
    tracemalloc.stop()
    print(f"\nheld {before / 1e6:.1f} MB, after four more sets {after / 1e6:.1f} MB, peak of one {peak / 1e6:.1f} MB")
    assert after - before < 5e5 < peak
