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

if TYPE_CHECKING:
    from collections.abc import Sequence

    from estimator.estimate.result import CaseEstimate
    from estimator.estimate.visits_snapshot import Dates
    from estimator.inputs.case import Case
    from estimator.inputs.plans import BenefitPlan
    from estimator.inputs.practice import Practice
    from estimator.sheets.papers import QuotePapers


def main(argv: list[str] | None = None) -> int:
    """Run one command and return its exit code."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:  # a Windows console may not be UTF-8, and names come in any script
            reconfigure(encoding="utf-8", errors="replace")
    arguments, extra = _make_parser().parse_known_args(argv)
    if extra and arguments.command != "app":
        _make_parser().error(f"unknown: {' '.join(extra)}")
    try:
        return _run(arguments, tuple(extra))
    except InputError as error:
        for problem in error.problems:
            print(problem, file=sys.stderr)
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


def _run(arguments: argparse.Namespace, extra: tuple[str, ...]) -> int:
    match arguments.command:
        case "estimate":
            return _run_estimate(arguments)
        case "check":
            return _run_check(arguments.files)
        case "wording":
            return _run_wording(arguments.practice)
        case "demo":
            return _run_demo(arguments)
        case _:
            from estimator.ui.launch import launch

            return launch(arguments.port, extra)


def _make_parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="estimator", description="Room, time, cost and upkeep of each option for a jaw with no teeth.",
        epilog="The tool informs; the licensed clinician and the patient decide; local law applies.",
    )  # fmt: skip
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    estimate = commands.add_parser("estimate", help="estimate every option of a case")
    estimate.add_argument("case", type=Path, metavar="CASE.toml")
    estimate.add_argument(
        "--fees", type=Path, metavar="F.csv", help="fee schedule (default: the practice's, else the demo's)"
    )
    estimate.add_argument("--practice", type=Path, metavar="DIR", help="practice folder")
    estimate.add_argument(
        "--years", type=_read_years, default=10, metavar="N", help="years to look ahead, 1 to 30 (default 10)"
    )
    estimate.add_argument("--out", type=Path, metavar="DIR", help="print sheets (PDF) into this folder")
    estimate.add_argument(
        "--sheets",
        default="option",
        metavar="LIST",
        help="which: option, consent, care, trial, office, work_order, parts, quote, payment, or all (default option)",
    )
    estimate.add_argument(
        "--option", default="", metavar="KEY", help="the option agreed on, for sheets made for one and for a quote"
    )
    estimate.add_argument(
        "--start",
        type=_read_day,
        metavar="DATE",
        help="day of the first visit, such as 2026-12-01: "
        "days for every visit, and a calendar file of each option beside the sheets",
    )
    estimate.add_argument(
        "--language", choices=files.list_languages(), metavar="CODE",
        help=f"language of sheets for patients: {', '.join(files.list_languages())} (default: the practice's)",
    )  # fmt: skip
    estimate.add_argument("--large-print", action="store_true", help="print sheets for patients in 18 point")
    estimate.add_argument(
        "--plan",
        type=Path,
        action="append",
        default=[],
        metavar="PLAN.toml",
        help="benefit plan, at most two, first one first: what it would pay of each option from --start or today on",
    )
    estimate.add_argument("--json", action="store_true", help="print JSON instead of text")
    check = commands.add_parser("check", help="list every problem of the files of a case and a practice")
    check.add_argument("files", type=Path, nargs="+", metavar="FILE")
    wording = commands.add_parser("wording", help="whether the words of the sheets are approved, and their mark")
    wording.add_argument("--practice", type=Path, metavar="DIR", help="practice folder")
    demo = commands.add_parser("demo", help="the demo case: comparison and option sheet")
    demo.add_argument("--out", type=Path, default=Path("overdenture_demo"), metavar="DIR", help="folder for the sheet")
    demo.add_argument("--write", type=Path, metavar="DIR", help="copy case, fees and a practice folder to edit")
    app = commands.add_parser("app", help="open the app in a browser, on this machine only")
    app.add_argument("--port", type=_read_port, metavar="N")
    return parser


def _read_years(text: str) -> int:
    if text.isascii() and text.isdigit() and 1 <= int(text) <= 30:
        return int(text)
    raise argparse.ArgumentTypeError(f"got '{text}'; expected whole years from 1 to 30")


def _read_day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"got '{text}'; expected a day, such as 2026-12-01") from None


def _read_port(text: str) -> int:
    if text.isascii() and text.isdigit() and 1024 <= int(text) <= 65535:
        return int(text)
    raise argparse.ArgumentTypeError(f"got '{text}'; expected a port from 1024 to 65535")


def _run_estimate(arguments: argparse.Namespace) -> int:
    from estimator.estimate.result import estimate_case

    problems: list[Problem] = []
    case, practice = None, None
    try:
        case = files.load_case(arguments.case, today=date.today())  # noqa: DTZ011 - an age is counted in local days
    except InputError as error:
        problems += error.problems
    try:
        practice = files.load_practice(arguments.practice, fees=arguments.fees)
    except InputError as error:
        problems += error.problems
    if case is None or practice is None:
        raise InputError(problems)
    if arguments.fees is None and _uses_demo_fees(practice):
        print("No --fees given: the demo fee schedule is used, and its prices are invented.", file=sys.stderr)
    plans = _load_plans(arguments.plan, case, practice)
    estimate = estimate_case(case, practice, years=arguments.years)
    dates = _make_dates(practice, arguments.start) if arguments.start else None
    benefits = _make_benefits(estimate, plans, arguments)
    _show(estimate, as_json=arguments.json, dates=dates, benefits=benefits)
    if arguments.out is not None:
        keys = tuple(arguments.sheets.split(","))
        _print_sheets(
            estimate, arguments.out, keys=keys, chosen=arguments.option, folder_of=arguments.practice,
            language=arguments.language, large=arguments.large_print, quiet=arguments.json,
        )  # fmt: skip
        _write_calendars(estimate, arguments.out, dates, quiet=arguments.json)
    return 0


def _load_plans(paths: list[Path], case: "Case", practice: "Practice") -> "list[BenefitPlan]":
    """The plans named, with the problems of all of them together."""
    problems = [Problem(file=p.name, place="", found="a third plan", expected="at most two plans") for p in paths[2:]]
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


def _make_benefits(
    estimate: "CaseEstimate", plans: "list[BenefitPlan]", arguments: argparse.Namespace
) -> "list[dict[str, Any]]":
    if not plans:
        return []
    from estimator.quote.benefit_snapshot import take_benefit_snapshot

    profile = files.load_profile(arguments.practice).settle_fees(estimate.practice.fees)
    dates = _make_dates(estimate.practice, arguments.start or date.today())  # noqa: DTZ011
    return take_benefit_snapshot(estimate, plans, profile, files.load_wording(), dates)


def _make_dates(practice: "Practice", start: date) -> "Dates":
    from estimator.estimate.visits_snapshot import Dates

    return Dates(start=start, closed=files.load_closed_days(practice.settings.calendar, start=start))


def _write_calendars(estimate: "CaseEstimate", folder: Path, dates: "Dates | None", *, quiet: bool) -> None:
    if dates is None:
        return
    from estimator.sheets.calendar_file import list_calendars

    for name, text in list_calendars(estimate, dates, today=date.today()):  # noqa: DTZ011
        path = folder / name
        path.write_text(text, encoding="utf-8", newline="")
        print(f"Calendar: {path}", file=sys.stderr if quiet else sys.stdout)


def _uses_demo_fees(practice: "Practice") -> bool:
    return practice.fees.file == files.find_demo_fees().name


def _show(
    estimate: "CaseEstimate",
    *,
    as_json: bool,
    dates: "Dates | None" = None,
    benefits: "Sequence[dict[str, Any]]" = (),
) -> None:
    if as_json:
        from estimator.estimate.snapshot import take_snapshot

        shown = take_snapshot(estimate, dates=dates) | ({"benefits": benefits} if benefits else {})
        print(json.dumps(shown, ensure_ascii=False, indent=1))
        return
    from estimator.sheets.text import write_text

    print(write_text(estimate, files.load_wording(), dates=dates), end="")
    if benefits:
        from estimator.quote.benefit_snapshot import write_benefit_text

        print(write_benefit_text(benefits, estimate), end="")


def _print_sheets(
    estimate: "CaseEstimate",
    folder: Path,
    *,
    keys: tuple[str, ...] = ("option",),
    chosen: str = "",
    language: str | None = None,
    large: bool = False,
    quiet: bool = False,
    folder_of: Path | None = None,
) -> None:
    from estimator.pdf.print import print_sheets
    from estimator.sheets.kinds import KINDS, Reader, check_chosen, check_papers, find_kinds, list_possible

    check_chosen(chosen, estimate)
    wanted = KINDS if keys == ("all",) else find_kinds(keys)
    about_money = bool(chosen) and any(kind.needs for kind in wanted)
    papers = _make_papers(estimate, chosen, folder_of) if about_money else None
    kinds = list_possible(papers) if wanted is KINDS else wanted
    check_papers(kinds, papers)
    wording = files.load_wording(language or estimate.practice.settings.language)
    if any(kind.reader is Reader.PATIENT for kind in kinds):
        _warn_of_wording(estimate.practice)
    made = print_sheets(
        estimate, folder, wording=wording, today=date.today(), kinds=kinds, chosen=chosen,  # noqa: DTZ011
        papers=papers, office_wording=files.load_wording(), large=large,
    )  # fmt: skip
    for kind, path in made:
        print(f"{kind.title}: {path}", file=sys.stderr if quiet else sys.stdout)


def _make_papers(estimate: "CaseEstimate", chosen: str, folder: Path | None) -> "QuotePapers":
    """The quote for the option agreed on, at the practice's usual terms."""
    from estimator.quote.usual import make_usual_quote
    from estimator.sheets.papers import QuotePapers

    today, profile = date.today(), files.load_profile(folder)  # noqa: DTZ011
    return QuotePapers(quote=make_usual_quote(estimate, chosen, profile, files.load_wording(), made_on=today))


def _warn_of_wording(practice: "Practice") -> None:
    from estimator.sheets.approval import Approval, find_approval

    state = find_approval(practice, files.load_wording())
    if state is Approval.NONE:
        print("Sample wording: nobody in the practice has approved it, and every page says so.", file=sys.stderr)
    elif state is Approval.LAPSED:
        print("The wording has changed since it was approved, and every page says so.", file=sys.stderr)


def _run_wording(folder: Path | None) -> int:
    from estimator.sheets.approval import mark_wording

    practice, wording = files.load_practice(folder), files.load_wording()
    mark = mark_wording(practice, wording)
    print(f"Mark of the words that patients read ({wording.language}): {mark}")
    print(f'When they are approved, settings.toml says: [wording] approved_by, approved_on, approved_text = "{mark}"')
    _warn_of_wording(practice)
    return 0


def _run_check(paths: list[Path]) -> int:
    problems = [problem for path in paths for problem in files.check_file(path, today=date.today())]  # noqa: DTZ011
    for problem in problems:
        print(problem, file=sys.stderr)
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

    estimate = estimate_case(*files.load_demo(today=date.today()))  # noqa: DTZ011
    _show(estimate, as_json=False)
    _print_sheets(estimate, arguments.out)
    return 0
