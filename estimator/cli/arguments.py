"""What the commands are called and what each takes; values are checked as they are read."""

import argparse
from datetime import date
from pathlib import Path

from estimator import files


def make_parser() -> argparse.ArgumentParser:
    """All commands with what each takes."""
    parser = argparse.ArgumentParser(
        prog="estimator", description="Room, time, cost and upkeep of each option for a jaw with no teeth.",
        epilog="The tool informs; the licensed clinician and the patient decide; local law applies.",
    )  # fmt: skip
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    _add_estimate(commands)
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


def _add_estimate(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    estimate = commands.add_parser("estimate", help="estimate every option of a case")
    estimate.add_argument("case", type=Path, metavar="CASE.toml")
    estimate.add_argument(
        "--fees", type=Path, metavar="F.csv", help="fee schedule (default: the practice's, else the demo's)"
    )
    estimate.add_argument("--practice", type=Path, metavar="DIR", help="practice folder")
    estimate.add_argument(
        "--years", type=_read_years, metavar="N", help="years to look ahead, 1 to 30 (default: the case's, else 10)"
    )
    _add_printing(estimate)
    estimate.add_argument(
        "--start",
        type=_read_day,
        metavar="DATE",
        help="day of the first visit, such as 2026-12-01: "
        "days for every visit, and a calendar file of each option beside the sheets",
    )
    estimate.add_argument(
        "--plan",
        type=Path,
        action="append",
        default=[],
        metavar="PLAN.toml",
        help="benefit plan, at most two, first one first: what it would pay of each option from --start or today on",
    )
    estimate.add_argument("--json", action="store_true", help="print JSON instead of text")


def _add_printing(estimate: argparse.ArgumentParser) -> None:
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
        "--language", choices=files.list_languages(), metavar="CODE",
        help=f"language of sheets for patients: {', '.join(files.list_languages())} (default: the patient's)",
    )  # fmt: skip
    estimate.add_argument("--large-print", action="store_true", help="print sheets for patients in 18 point")


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
