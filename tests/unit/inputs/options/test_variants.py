"""Variants as data: what is read, what a case may ask for, and every problem."""

from typing import Any

import pytest

from estimator import files
from estimator.base.problems import InputError
from estimator.inputs.case.model import Retention
from estimator.inputs.case.reader import read_case
from estimator.inputs.options.variants import Variant, read_variants
from tests.builders import TODAY, case_document, load_demo_practice
from tests.problem_builders import say_problems

VARIANTS = files.load_variants()
RULE: dict[str, Any] = {"charges": [{"fee": "sedation", "at": ["surgery"]}]}


def list_problems(document: dict[str, Any]) -> str:
    with pytest.raises(InputError) as caught:
        read_case(document, file="case.toml", today=TODAY, health_flags=(), variants=VARIANTS)
    return "\n".join(say_problems(caught.value.problems))


def test_a_jaw_asks_for_variants_grafts_and_retention() -> None:
    document = case_document(variants=["sedation", "two_stage"], graft_sites=2, retention="medium")
    jaw = read_case(document, file="case.toml", today=TODAY, health_flags=(), variants=VARIANTS).jaws[0]
    assert (jaw.variants, jaw.graft_sites, jaw.retention) == (("sedation", "two_stage"), 2, Retention.MEDIUM)


def test_a_jaw_asks_for_nothing_and_starts_light() -> None:
    jaw = read_case(case_document(), file="case.toml", today=TODAY, health_flags=(), variants=VARIANTS).jaws[0]
    assert (jaw.variants, jaw.graft_sites, jaw.retention) == ((), 0, Retention.LIGHT)


@pytest.mark.parametrize(("changes", "message"), [
    ({"variants": ["sedaton"]}, "'sedation' perhaps"),
    ({"variants": "sedation"}, "a list of words"),
    ({"variants": ["graft"]}, "expected one of"),
    ({"graft_sites": 9}, "jaws[1].graft_sites: got 9"),
    ({"retention": "hard"}, "jaws[1].retention"),
    ({"variants": ["immediate_denture"]}, "jaws[1].extractions: got 0; expected 1 or more teeth to remove"),
    ({"variants": ["immediate_denture", "interim_denture"], "extractions": 1}, "expected one of the two"),
])  # fmt: skip
def test_a_wish_that_cannot_be_is_refused(changes: dict[str, Any], message: str) -> None:
    assert message in list_problems(case_document(**changes))


@pytest.mark.parametrize(("variant", "message"), [
    ({"rules": [RULE]}, "variants[1].key"),
    ({"key": "x", "name": "X", "patient_name": "x"}, "at least one table [[variants.rules]]"),
    ({"key": "x", "name": "X", "patient_name": "x", "rules": [{"charges": [{"fee": "sedation"}]}]}, 'such as ["surgery"]'),
    ({"key": "x", "name": "X", "patient_name": "x", "rules": [{"routes": ["planed"]}]}, "'planned' perhaps"),
    ({"key": "x", "name": "X", "patient_name": "x", "rules": [{"visits": [{"key": "v", "what": "V"}]}]}, "such as [\"delivery\"]"),
    ({"key": "x", "name": "X", "patient_name": "x", "rules": [{**RULE, "wait": 3}]}, "unknown field 'wait'"),
])  # fmt: skip
def test_a_bad_variant_is_refused(variant: dict[str, Any], message: str) -> None:
    with pytest.raises(InputError) as caught:
        read_variants({"variants": [variant]}, file="variants.toml")
    assert message in "\n".join(say_problems(caught.value.problems))


@pytest.mark.parametrize("variant", VARIANTS.values(), ids=lambda v: v.key)
def test_a_shipped_variant_names_lines_visits_and_words_that_there_are(variant: Variant) -> None:
    practice = load_demo_practice()
    added = {v.step.key for other in VARIANTS.values() for rule in other.rules for v in rule.visits}
    visits = {step.key for option in practice.options for step in option.visits} | added
    for rule in variant.rules:
        assert set(rule.list_fees()) <= set(practice.fees.lines)
        named = {key for charge in rule.charges for key in charge.at} | set(rule.wait_from)
        assert named | {key for visit in rule.visits for key in visit.start} <= visits
    assert set(variant.excludes) <= set(VARIANTS)
    trade = ("overdenture", "mandible", "maxilla", "graft", "interim", "reline", "opposing")
    assert not [word for word in trade if word in variant.patient_name.lower()]
