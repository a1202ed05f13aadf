"""What a self-pay estimate still lacks, in words."""

from collections.abc import Sequence

from estimator.base.problems import FieldPath, Problem
from estimator.quote.self_pay.good_faith_estimate import SelfPayEstimate

_NAMES: dict[FieldPath, str] = {
    ("patient", "name"): "name of the patient",
    ("patient", "born"): "day of birth",
    ("primary_service",): "primary service",
    ("disclaimers", "right_to_dispute"): "where a dispute is begun",
    ("disclaimers", "separate_list"): "phone",
}
ESTIMATE = "self-pay estimate"
"""What problems call the document."""
_CODE = "service_code"


def say_missing(made: SelfPayEstimate, missing: Sequence[FieldPath]) -> str:
    """Empty elements in words, the service codes of many lines as one."""
    codes = [path for path in missing if path[-1] == _CODE]
    others = [name_missing(made, path) for path in missing if path not in codes]
    return "; ".join(others + ([f"service codes of {len(codes)} items"] if codes else []))


def name_missing(made: SelfPayEstimate, path: FieldPath) -> str:
    """What an empty element is called: npi of Harbor Row Surgery; a service code with its item."""
    match path:
        case ("groups", int(group), "items", int(item), "service_code"):
            return f"service code of {made.groups[group - 1].items[item - 1].description}"
        case ("groups", int(group), *_, field):
            who = made.groups[group - 1].provider
            return f"{field} of {who.name or who.key}"
    return _NAMES.get(path, str(path[-1]))


def blame_missing(made: SelfPayEstimate, path: FieldPath) -> Problem:
    """An empty element as a problem, with what it is called."""
    called = {"name": name_missing(made, path)}
    return Problem(file=ESTIMATE, path=path, code="self_pay.missing", expected=called)
