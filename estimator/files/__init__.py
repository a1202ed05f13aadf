"""Disk: bytes become rows and documents with their places; shipped data and practice folders become a Practice."""

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from estimator.files.demo import write_demo
from estimator.files.languages import list_languages, load_syllables, load_wording
from estimator.files.loading import (
    find_demo_fees,
    find_plans,
    load_case,
    load_cautions,
    load_demo,
    load_fees,
    load_practice,
    load_shipped_evidence,
    load_variants,
    parse_case,
)
from estimator.files.practice.closed_days import load_closed_days
from estimator.files.reading import decode_text, parse_csv, parse_toml
from estimator.files.shipped import DATA

if TYPE_CHECKING:
    from estimator.base.problems import Problem
    from estimator.inputs.fees.schedule import FeeSchedule
    from estimator.inputs.payment.jurisdiction import Profile
    from estimator.inputs.payment.legal_texts import LegalText
    from estimator.inputs.plans.model import BenefitPlan
    from estimator.inputs.plans.predetermination import PlanAnswer

__all__ = [
    "DATA",
    "check_file",
    "decode_text",
    "find_demo_fees",
    "find_plans",
    "list_languages",
    "load_case",
    "load_cautions",
    "load_closed_days",
    "load_demo",
    "load_disclaimers",
    "load_fees",
    "load_plan",
    "load_plan_answer",
    "load_practice",
    "load_profile",
    "load_shipped_evidence",
    "load_shipped_profiles",
    "load_syllables",
    "load_variants",
    "load_wording",
    "parse_case",
    "parse_csv",
    "parse_toml",
    "write_demo",
]

# What a plain estimate does not need is loaded where it is first asked for, so that no estimate waits for it.


def check_file(path: Path, *, today: date) -> "tuple[Problem, ...]":
    """Every problem of a file of any sort, told apart by content."""
    from estimator.files import checking

    return checking.check_file(path, today=today)


def load_plan(path: Path, *, today: date, born: date | None = None, fees: "FeeSchedule | None" = None) -> "BenefitPlan":
    """A benefit plan, held against the patient's birth and a fee schedule where they are given."""
    from estimator.files.practice import plans

    return plans.load_plan(path, today=today, born=born, fees=fees)


def load_plan_answer(path: Path, *, today: date) -> "PlanAnswer":
    """What a plan answered when it was asked before treatment."""
    from estimator.files.practice import plans

    return plans.load_plan_answer(path, today=today)


def load_profile(folder: Path | None = None) -> "Profile":
    """The practice's profile on top of the shipped one it names."""
    from estimator.files.practice import jurisdictions

    return jurisdictions.load_profile(folder)


def load_shipped_profiles() -> "Mapping[str, Profile]":
    """The profiles that ship with the tool, by key."""
    from estimator.files.practice import jurisdictions

    return jurisdictions.load_shipped_profiles()


def load_disclaimers() -> "tuple[LegalText, ...]":
    """What a self-pay estimate must say."""
    from estimator.files.practice import jurisdictions

    return jurisdictions.load_disclaimers()
