"""What a treatment costs the practice is for the office: nothing a patient is given depends on it."""

import io
import itertools
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from pypdf import PdfReader

from estimator import files
from estimator.estimate.result import CaseEstimate
from estimator.inputs.case.model import Arch
from estimator.inputs.fees.schedule import FeeKind, FeeTax
from estimator.inputs.payment.model import Adjustment, Portion
from estimator.inputs.practice.settings import Paper, Settings
from estimator.inputs.practice_bundle import Practice
from estimator.pdf.print import make_job, print_sheets
from estimator.proposal.model import Proposal
from estimator.sheets.base.blocks import Block, KeepTogether, TableBlock
from estimator.sheets.base.financial_inputs import QuotePapers
from estimator.sheets.registry import KINDS, SheetReader, find_kinds
from tests.builders import TODAY, estimate_all, load_demo_practice, make_jaw
from tests.quote_builders import make_demo_papers, make_demo_quote, make_usual_quote

PLAIN = load_demo_practice()


def put_costs(practice: Practice, *, chair: str, remakes: str, seed: int) -> Practice:
    """Costs in every line that nothing else in the practice looks like."""
    odd = itertools.count(seed)
    lines = {k: replace(v, practice_cost=Decimal(next(odd)) / 100) for k, v in practice.fees.lines.items()}
    settings = Settings(chair_cost_per_hour=Decimal(chair), laboratory_remakes=Decimal(remakes))
    return replace(practice, settings=settings, fees=replace(practice.fees, lines=lines))


COSTLY = put_costs(PLAIN, chair="361.37", remakes="0.07", seed=12_137)
CHEAP = replace(put_costs(PLAIN, chair="0", remakes="0", seed=0), settings=Settings())


def estimate(practice: Practice) -> CaseEstimate:
    return estimate_all(make_jaw("9.5"), make_jaw("16", arch=Arch.MAXILLA, implants=6), practice=practice)


def make_papers(made: CaseEstimate) -> QuotePapers:
    """The quote of the practice's own estimate, with milestones, a benefit estimate and a self-pay estimate."""
    quote = make_usual_quote(made, "individual_attachments")
    by_stage = replace(quote, ways=make_demo_quote().ways)
    return replace(make_demo_papers(), quote=by_stage)


def print_patient_sheets(practice: Practice, folder: Path) -> dict[str, bytes]:
    kinds = [kind for kind in KINDS if kind.reader is SheetReader.PATIENT]
    made = print_sheets(
        (made_of := estimate(practice)),
        folder,
        wording=files.load_wording(),
        today=TODAY,
        kinds=kinds,
        chosen="individual_attachments",
        papers=make_papers(made_of),
    )
    return {path.name: path.read_bytes() for _kind, path in made}


def test_name_text_and_metadata_of_a_sheet_are_the_same_whatever_the_practice_s_costs_are(tmp_path: Path) -> None:
    """Byte by byte: so there is no place in a file or its name where a cost could stand."""
    costly, cheap = estimate(COSTLY), estimate(CHEAP)
    assert costly.jaws[0].estimates[0].practice_cost != cheap.jaws[0].estimates[0].practice_cost
    assert print_patient_sheets(COSTLY, tmp_path / "a") == print_patient_sheets(CHEAP, tmp_path / "b")


def list_tables(blocks: tuple[Block, ...]) -> Iterator[TableBlock]:
    for block in blocks:
        if isinstance(block, TableBlock):
            yield block
        if isinstance(block, KeepTogether):
            yield from list_tables(block.blocks)


def test_the_office_reads_the_price_that_the_patient_reads_and_what_a_discount_leaves() -> None:
    made = estimate_all(make_jaw("12"), practice=COSTLY)
    tenth = Adjustment(reason="courtesy", portion=Portion(percent=Decimal(10)))
    (kind,) = find_kinds(("office",))
    job = make_job(
        kind, made, 0, wording=files.load_wording(), today=TODAY, paper=Paper.LETTER,
        proposal=Proposal(case=made.case, adjustments=(tenth,)),
    )  # fmt: skip
    row = next(row for table in list_tables(kind.make(job).blocks) for row in table.rows if "7,731.00" in row)
    cost = made.jaws[0].estimates[-1].practice_cost.cost_total
    assert cost is not None
    assert row[2:4] == (f"{cost:,.2f}", f"{Decimal(7731) - cost:,.2f}".replace("-", "\N{MINUS SIGN}"))


@pytest.mark.parametrize("word", ["margin", "chair", "overhead", "practice_cost", "under its cost", "361.37"])
def test_no_sheet_says_a_word_of_it(word: str, tmp_path: Path) -> None:
    for name, data in print_patient_sheets(COSTLY, tmp_path).items():
        reader = PdfReader(io.BytesIO(data))
        xmp = reader.trailer["/Root"]["/Metadata"].get_data().decode("utf-8")  # type: ignore[index]
        text = " ".join([name, str(reader.metadata), xmp, *(page.extract_text() for page in reader.pages)])
        assert word not in text.lower()


def read_sheet(practice: Practice, folder: Path) -> str:
    data = next(iter(print_patient_sheets(practice, folder).values()))
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages).split())


def test_tax_and_the_reason_for_none_are_printed(tmp_path: Path) -> None:
    tax = FeeTax(rates=((FeeKind.LABORATORY, Decimal("0.1")),), reason="treatment of a person is exempt")
    practice = replace(PLAIN, fees=replace(PLAIN.fees, tax=tax))
    denture = estimate(practice).jaws[0].estimates[0].fees
    text = read_sheet(practice, tmp_path)
    assert f"Tax {denture.tax_total:,}" in text
    assert f"To begin with {denture.total:,}" in text
    assert "No tax where none is shown: treatment of a person is exempt." in text


def test_a_practice_that_says_nothing_of_tax_prints_nothing_of_it(tmp_path: Path) -> None:
    assert "tax" not in read_sheet(PLAIN, tmp_path).lower().split()
