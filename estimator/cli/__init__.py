"""The command line: estimate, check, wording, demo, app. Exit codes: 0 done, 1 the input has problems, 2 wrong usage.

Each command loads what it needs when it runs, so that none waits for the model, the paper or the app of another.
"""

import argparse
import json
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from estimator import files
from estimator.base.problems import InputError, Problem
from estimator.cli.arguments import make_parser
from estimator.cli.offering import apply_arguments
from estimator.cli.printing import run_wording, write_calendars, write_sheets

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from estimator.estimate.result import CaseEstimate
    from estimator.estimate.visits.snapshot import Dates
    from estimator.inputs.case.model import Case
    from estimator.inputs.plans.model import BenefitPlan
    from estimator.inputs.practice_bundle import Practice
    from estimator.proposal.model import Proposal
    from estimator.proposal.statement import Statement


def main(argv: list[str] | None = None) -> int:
    """Run one command and return its exit code."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:  # a Windows console may not be UTF-8, and names come in any script
            reconfigure(encoding="utf-8", errors="replace")
    arguments, extra = make_parser().parse_known_args(argv)
    if extra and arguments.command != "app":
        make_parser().error(f"unknown: {' '.join(extra)}")
    try:
        return _run(arguments, tuple(extra))
    except InputError as error:
        _print_problems(error.problems)
        return 1
    except BrokenPipeError:  # the reader of a pipe has seen enough
        sys.stdout = None
        return 0
    except OSError as error:
        print(
            f"{error.filename or 'file'}: got {error.strerror or error}; expected a place that can be written",
            file=sys.stderr,
        )
        return 1


def _print_problems(problems: "Iterable[Problem]") -> None:
    from estimator.sheets.export.problem_lines import write_problem

    for problem in problems:
        print(write_problem(problem, files.load_wording()), file=sys.stderr)


def _run(arguments: argparse.Namespace, extra: tuple[str, ...]) -> int:
    match arguments.command:
        case "estimate":
            return _run_estimate(arguments)
        case "check":
            return _run_check(arguments.files)
        case "wording":
            return run_wording(arguments.practice)
        case "demo":
            return _run_demo(arguments)
        case _:
            from estimator.ui.shell.launch import launch

            return launch(arguments.port, extra)


def _run_estimate(arguments: argparse.Namespace) -> int:
    from estimator.estimate.result import estimate_case

    read, practice = _load_both(arguments)
    today = date.today()  # noqa: DTZ011 - a paper is of the day on this machine
    if arguments.fees is None and files.find_own_fees(arguments.practice, today) is None:
        print("No --fees given: the demo fee schedule is used, and its prices are invented.", file=sys.stderr)
    plans = _load_plans(arguments.plan, read.case, practice)
    estimate = estimate_case(read.case, practice, years=arguments.years or read.years)
    _refuse_contradictions(estimate, arguments.case.name)
    proposal = apply_arguments(read, arguments, estimate, plans)
    statement = files.settle_offer(proposal, estimate, today=today)
    dates = _make_dates(practice, proposal.start_on) if proposal.start_on else None
    benefits = _make_benefits(estimate, proposal, statement)
    _show(estimate, statement, as_json=arguments.json, dates=dates, benefits=benefits)
    if arguments.out is not None:
        keys = tuple(arguments.sheets.split(","))
        write_sheets(estimate, proposal, statement, arguments.out, keys=keys, quiet=arguments.json)
        write_calendars(estimate, statement, arguments.out, quiet=arguments.json)
    return 0


def _refuse_contradictions(estimate: "CaseEstimate", file: str) -> None:
    """Lengths of both jaws that cannot all be are a mistake in the entry: the app shows it, a file is sent back."""
    from estimator.estimate.clearance.findings.shared_space import list_contradictions

    practice = estimate.practice
    problems = list_contradictions(estimate.case, practice.usual_arches, practice.evidence, file=file)
    if problems:
        raise InputError(problems)


def _load_both(arguments: argparse.Namespace) -> "tuple[Proposal, Practice]":
    """What the case file offers, and the practice; with the problems of both together, those of the case first."""
    problems: list[Problem] = []
    proposal, practice = None, None
    try:
        practice = files.load_practice(arguments.practice, fees=arguments.fees)
    except InputError as error:
        problems += error.problems
    fees = practice.fees if practice else None
    try:
        today = date.today()  # noqa: DTZ011 - an age is counted in local days
        proposal = files.load_proposal(arguments.case, today=today, fees=fees)
    except InputError as error:
        problems[:0] = error.problems
    if proposal is None or practice is None:
        raise InputError(problems)
    return proposal, practice


def _load_plans(paths: list[Path], case: "Case", practice: "Practice") -> "list[BenefitPlan]":
    """The plans named, with the problems of all of them together."""
    problems = [Problem(file=p.name, code="plans.third") for p in paths[2:]]
    plans = []
    for path in paths:
        try:
            today = date.today()  # noqa: DTZ011 - what a plan told is dated in local days
            plans.append(files.load_plan(path, today=today, born=case.patient.born, fees=practice.fees))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    return plans


def _make_benefits(estimate: "CaseEstimate", proposal: "Proposal", statement: "Statement") -> "list[dict[str, Any]]":
    """What plans pay of each option alone."""
    plans = proposal.help.plans
    if not plans:
        return []
    from estimator.proposal.benefit_snapshot import take_benefit_snapshot
    from estimator.proposal.pricing import settle_profile

    profile, problems = settle_profile(estimate.practice)
    if problems:
        raise InputError(problems)
    dates = _make_dates(estimate.practice, proposal.start_on or statement.made_on)
    return take_benefit_snapshot(estimate, statement, plans, profile, files.load_wording(), dates)


def _make_dates(practice: "Practice", start: date) -> "Dates":
    from estimator.estimate.visits.snapshot import Dates

    return Dates(start=start, closed=files.load_closed_days(practice.settings.calendar, start=start))


def _show(
    estimate: "CaseEstimate",
    statement: "Statement",
    *,
    as_json: bool,
    dates: "Dates | None" = None,
    benefits: "Sequence[dict[str, Any]]" = (),
) -> None:
    if as_json:
        from estimator.estimate.snapshot import take_snapshot
        from estimator.proposal.snapshot import statement_to_dict

        shown = take_snapshot(estimate, dates=dates) | ({"benefits": benefits} if benefits else {})
        shown["statement"] = statement_to_dict(statement)
        print(json.dumps(shown, ensure_ascii=False, indent=1))
        return
    from estimator.sheets.export.terminal import write_text

    print(write_text(estimate, statement, files.load_wording()), end="")
    if benefits:
        from estimator.proposal.benefit_snapshot import write_benefit_text

        print(write_benefit_text(benefits, estimate), end="")


def _run_check(paths: list[Path]) -> int:
    problems = [problem for path in paths for problem in files.check_file(path, today=date.today())]  # noqa: DTZ011
    _print_problems(problems)
    if not problems:
        print(f"No problems in {', '.join(path.name for path in paths)}.")
    return 1 if problems else 0


def _run_demo(arguments: argparse.Namespace) -> int:
    if arguments.write is not None:
        for path in files.write_demo(arguments.write):
            print(f"Written: {path}")
        case, practice = arguments.write / "case.toml", arguments.write / "practice"
        print(f"Edit them, then: estimator estimate {case} --practice {practice}")
        return 0
    from estimator.estimate.result import estimate_case
    from estimator.proposal.usual import make_usual_proposal

    today = date.today()  # noqa: DTZ011 - a paper is of the day on this machine
    estimate = estimate_case(*files.load_demo(today=today))
    proposal = make_usual_proposal(estimate)
    statement = files.settle_offer(proposal, estimate, today=today)
    _show(estimate, statement, as_json=False)
    write_sheets(estimate, proposal, statement, arguments.out)
    return 0
