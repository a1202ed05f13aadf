"""What is not included, once: the practice's own list, with the options that charge an item all the same."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from estimator.base.told import Name
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate
from estimator.inputs.options.variants import Variant
from estimator.proposal.statement import Chosen, Exclusion

OTHER_JAW = "a denture for the other jaw"
"""The item that ships for it: it does not hold where both jaws are treated."""


def list_exclusions(estimate: CaseEstimate) -> tuple[Exclusion, ...]:
    """Every item of the practice's list, free text or a variant by its key or name, with the options that charge it."""
    return tuple(_settle_item(item, estimate) for item in estimate.practice.settings.not_included)


def name_exclusions(settled: Iterable[Exclusion], said: Iterable[Exclusion]) -> tuple[Exclusion, ...]:
    """The same exclusions under the names that another language has for them, in the same order."""
    return tuple(replace(one, item=other.item) for one, other in zip(settled, said, strict=True))


def _settle_item(item: str, estimate: CaseEstimate) -> Exclusion:
    if item == OTHER_JAW and len(estimate.jaws) > 1:
        return Exclusion(item=Name(key="", label=item), charged_in=tuple(place for place, *_ in _list_offers(estimate)))
    variant = _find_variant(item, estimate)
    if variant is None:
        return Exclusion(item=Name(key="", label=item))
    charged = tuple(place for place, jaw, made in _list_offers(estimate) if _charges(made, jaw, variant, estimate))
    label = variant.patient_name if item == variant.key else item
    name = Name(key=f"variant.{variant.key}.patient_name", label=label)
    return Exclusion(item=name, variant=variant.key, charged_in=charged)


def _find_variant(item: str, estimate: CaseEstimate) -> Variant | None:
    variants = estimate.practice.variants.values()
    return next((one for one in variants if item in (one.key, one.name, one.patient_name)), None)


def _list_offers(estimate: CaseEstimate) -> Iterator[tuple[Chosen, JawEstimate, Estimate]]:
    for jaw in estimate.jaws:
        yield from (((jaw.jaw.arch, made.key), jaw, made) for made in jaw.estimates)


def _charges(made: Estimate, jaw: JawEstimate, variant: Variant, estimate: CaseEstimate) -> bool:
    """Whether the variant is done with this option: by its fee lines, or where it has none by what it changes."""
    if all(one.key != variant.key for one in made.variants):
        return False
    option = next(one for one in estimate.practice.options if one.key == made.key)
    rule = variant.find_rule(option, jaw.jaw)
    fees = set(rule.list_fees()) if rule else set()
    return not fees or bool(fees & {line.key for line in made.fees.lines})
