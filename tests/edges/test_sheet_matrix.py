"""Every sheet of the set, in each language, on each paper, in each edition, for sets of options that differ."""

import pytest

from estimator import files
from estimator.estimate.result import CaseEstimate
from estimator.inputs.practice.settings import Paper
from estimator.pdf.print import make_sheet
from estimator.sheets.base.financial_inputs import QuotePapers
from estimator.sheets.registry import KINDS, SheetKind, SheetReader
from tests.builders import TODAY
from tests.edges.test_option_sheet import CASES
from tests.papers import PROFILES, find_failures, list_sizes
from tests.quote_builders import DEMO, MESSY, make_demo_papers, make_messy_papers

OPTIONS = ("demo", "nothing fits", "upper jaw, six planned on a scan", "conversion")
"""All three with room; none with room; an upper jaw with six implants; a denture that is kept."""
MONEY = ((DEMO, make_demo_papers()), (MESSY, make_messy_papers()))
LEAST = {False: 12, True: 15}
MOST_BYTES = 400_000


def list_wanted() -> list[tuple[str, SheetKind, CaseEstimate, QuotePapers | None]]:
    """Each sheet about a jaw for each set of options, each paper about money for a plain quote and a messy one."""
    of_jaws = [(case, kind, CASES[case], None) for case in OPTIONS for kind in KINDS if kind.needs is None]
    of_money = [
        (estimate.case.reference, kind, estimate, papers)
        for estimate, papers in MONEY
        for kind in KINDS
        if kind.needs is not None
    ]
    return [*of_jaws, *of_money]


@pytest.mark.parametrize("large", [False, True], ids=["normal", "large"])
@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("language", files.list_languages())
def test_every_sheet_is_sound_and_legible(language: str, paper: Paper, large: bool) -> None:
    """PDF/UA-1 and PDF/A-2a as page-validation checks them; no type under 12 point, in large print under 15."""
    failed = []
    for case, kind, estimate, papers in list_wanted():
        patient = kind.reader is SheetReader.PATIENT
        data = make_sheet(
            kind, estimate, 0, wording=files.load_wording(language if patient else "en"), today=TODAY, paper=paper,
            large=large and patient, papers=papers, grey=paper is Paper.A4,
        )  # fmt: skip
        name = f"{kind.key}, {case}"
        failed += [f"{name}: {profile}" for profile in PROFILES if find_failures(data, profile)]
        if min(list_sizes(data)) < LEAST[large and patient]:
            failed.append(f"{name}: {min(list_sizes(data))} pt")
        if len(data) > MOST_BYTES:
            failed.append(f"{name}: {len(data)} bytes")
    assert not failed
