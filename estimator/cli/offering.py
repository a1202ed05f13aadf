"""What is offered: the case file's own proposal with the arguments on top of it, and the papers of it."""

import argparse
from dataclasses import replace
from typing import TYPE_CHECKING

from estimator.base.problems import InputError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from estimator.estimate.result import CaseEstimate
    from estimator.inputs.plans.model import BenefitPlan
    from estimator.proposal.model import Proposal
    from estimator.proposal.statement import Statement
    from estimator.sheets.base.financial_inputs import QuotePapers


def apply_arguments(
    proposal: "Proposal", arguments: argparse.Namespace, estimate: "CaseEstimate", plans: "Sequence[BenefitPlan]"
) -> "Proposal":
    """The proposal with what the arguments say in place of it. Raises InputError for an option that no jaw has."""
    from estimator.proposal.model import Edition, HelpState, PlanHelp
    from estimator.proposal.usual import check_chosen, make_usual_proposal

    for key in (arguments.option, *(key for _, key in proposal.chosen if not arguments.option)):
        check_chosen(key, estimate)
    return replace(
        proposal,
        chosen=make_usual_proposal(estimate, arguments.option).chosen if arguments.option else proposal.chosen,
        help=PlanHelp(state=HelpState.KNOWN, plans=tuple(plans)) if plans else proposal.help,
        start_on=arguments.start or proposal.start_on,
        years=estimate.years,
        language=arguments.language or proposal.language,
        edition=Edition.LARGE if arguments.large_print else proposal.edition,
    )


def list_offered_papers(statement: "Statement") -> "QuotePapers | None":
    """The quote of what is decided and what plans pay of it; None while every jaw is open.

    Raises InputError with why what is chosen cannot be quoted.
    """
    from estimator.sheets.base.financial_inputs import QuotePapers

    if not statement.decided:
        return None
    if statement.quote is None:
        raise InputError(statement.problems)
    return QuotePapers(quote=statement.quote, benefits=statement.help)
