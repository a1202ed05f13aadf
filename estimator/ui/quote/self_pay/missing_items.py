"""What a self-pay estimate still lacks, in words."""

from collections.abc import Sequence

from estimator.base.problems import Problem, free_problem
from estimator.quote.self_pay.good_faith_estimate import SelfPayEstimate


def say_missing(made: SelfPayEstimate, missing: Sequence[str]) -> str:
    """Empty elements in words, the service codes of many lines as one."""
    codes = [place for place in missing if place.endswith("service_code")]
    others = [name_missing(made, place) for place in missing if place not in codes]
    return "; ".join(others + ([f"service codes of {len(codes)} items"] if codes else []))


def name_missing(made: SelfPayEstimate, place: str) -> str:
    """What an empty element is called: npi of Harbor Row Surgery."""
    names = {
        "patient.name": "name of the patient",
        "patient.born": "day of birth",
        "primary_service": "primary service",
        "disclaimers.right_to_dispute": "where a dispute is begun",
        "disclaimers.separate_list": "phone",
    }
    if not place.startswith("groups["):
        return names.get(place, place)
    number, _, rest = place.removeprefix("groups[").partition("]")
    who = made.groups[int(number) - 1].provider
    return f"{rest.rpartition('.')[2]} of {who.name or who.key}"


def blame_missing(made: SelfPayEstimate, place: str) -> Problem:
    """An empty element as a problem, each service code with its item."""
    named = name_missing(made, place)
    if place.endswith("service_code"):
        group, item = (int(part.partition("]")[0]) for part in place.split("[")[1:])
        named = f"service code of {made.groups[group - 1].items[item - 1].description}"
    return free_problem(file="self-pay estimate", place=named, found="nothing", expected="what the rule asks for")
