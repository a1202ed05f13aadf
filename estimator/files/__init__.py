"""Disk: bytes become rows and documents with their places; shipped data and practice folders become a Practice."""

from estimator.files.checking import check_file
from estimator.files.demo import write_demo
from estimator.files.languages import list_languages, load_syllables, load_wording
from estimator.files.loading import (
    DATA,
    find_demo_fees,
    load_case,
    load_cautions,
    load_demo,
    load_fees,
    load_practice,
    load_shipped_evidence,
)
from estimator.files.reading import decode_text, parse_csv, parse_toml

__all__ = [
    "DATA",
    "check_file",
    "decode_text",
    "find_demo_fees",
    "list_languages",
    "load_case",
    "load_cautions",
    "load_demo",
    "load_fees",
    "load_practice",
    "load_shipped_evidence",
    "load_syllables",
    "load_wording",
    "parse_csv",
    "parse_toml",
    "write_demo",
]
