"""A quote in the words of the patient who reads it, on the screen and in an e-mail: those of its paper."""

from estimator import files
from estimator.estimate.result import CaseEstimate
from estimator.pdf.print import make_job
from estimator.quote.quote import Quote
from estimator.sheets.base.financial_inputs import QuotePapers
from estimator.sheets.financial.wording import PaperWords, open_quote_paper
from estimator.sheets.registry import find_kinds
from estimator.ui.shell import session
from estimator.ui.shell.parts.print_edition import find_language


def open_quote_words(estimate: CaseEstimate, quote: Quote) -> PaperWords:
    """Words, days and amounts of that quote in the language chosen for its papers."""
    (kind,) = find_kinds(("quote",))
    job = make_job(
        kind, estimate, 0, wording=files.load_wording(find_language(estimate)), today=session.get_today(),
        paper=estimate.practice.settings.paper, papers=QuotePapers(quote=quote),
    )  # fmt: skip
    return open_quote_paper(job, "quote.table")
