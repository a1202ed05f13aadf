"""Disk: bytes become rows and documents with their places; shipped data and practice folders become a Practice."""

from importlib import import_module
from typing import TYPE_CHECKING

from estimator.files.languages import list_languages, load_family, load_syllables, load_wording
from estimator.files.loading import (
    find_own_fees,
    find_plans,
    load_case,
    load_cautions,
    load_demo,
    load_fees,
    load_payment_ways,
    load_practice,
    load_proposal,
    load_shipped_evidence,
    load_usual_arches,
    load_variants,
    parse_case,
    parse_proposal,
)
from estimator.files.practice.closed_days import load_closed_days
from estimator.files.reading import decode_text, parse_csv, parse_toml
from estimator.files.shipped import DATA, find_demo_fees

if TYPE_CHECKING:
    from estimator.files.checking import check_file
    from estimator.files.demo import write_demo
    from estimator.files.practice.jurisdictions import load_disclaimers, load_profile, load_shipped_profiles
    from estimator.files.practice.plans import load_plan, load_plan_answer
    from estimator.files.settled import load_usual_terms, settle_offer

__all__ = [
    "DATA",
    "check_file",
    "decode_text",
    "find_demo_fees",
    "find_own_fees",
    "find_plans",
    "list_languages",
    "load_case",
    "load_cautions",
    "load_closed_days",
    "load_demo",
    "load_disclaimers",
    "load_family",
    "load_fees",
    "load_payment_ways",
    "load_plan",
    "load_plan_answer",
    "load_practice",
    "load_profile",
    "load_proposal",
    "load_shipped_evidence",
    "load_shipped_profiles",
    "load_syllables",
    "load_usual_arches",
    "load_usual_terms",
    "load_variants",
    "load_wording",
    "parse_case",
    "parse_csv",
    "parse_proposal",
    "parse_toml",
    "settle_offer",
    "write_demo",
]

# What a plain estimate does not need is loaded where it is first asked for, so that no estimate waits for it.
_LATER = {
    "check_file": "estimator.files.checking",
    "load_disclaimers": "estimator.files.practice.jurisdictions",
    "load_plan": "estimator.files.practice.plans",
    "load_plan_answer": "estimator.files.practice.plans",
    "load_profile": "estimator.files.practice.jurisdictions",
    "load_shipped_profiles": "estimator.files.practice.jurisdictions",
    "load_usual_terms": "estimator.files.settled",
    "settle_offer": "estimator.files.settled",
    "write_demo": "estimator.files.demo",
}


def __getattr__(name: str) -> object:
    """What is loaded when it is first asked for, from the module that has it."""
    if name not in _LATER:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(_LATER[name]), name)
