"""Every model and its list of fields say the same, and each example of a list is one that its reader takes."""

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from types import UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

import pytest

from estimator.base.declared import Field, FieldKind, Section, read_declared, walk_declared
from estimator.base.fields import Fields
from estimator.base.problems import Problem
from estimator.files import parse_toml
from estimator.inputs.payment.jurisdiction import Profile
from estimator.inputs.payment.jurisdiction_fields import PROFILE
from estimator.inputs.plans.declared import PLAN
from estimator.inputs.plans.model import BenefitPlan
from estimator.inputs.practice.settings import SETTINGS, Settings

MODELS = [
    (SETTINGS, Settings, {"logo.width_px", "logo.height_px", "logo.pixels", "translations.language"}, set()),
    (PROFILE, Profile, {"texts.values"}, {"based_on"}),
    (PLAN, BenefitPlan, set(), {"classes.patient_pays_percent", "percentages_checked", "member.born"}),
]
"""A list, its model, what of the model no field says (read from elsewhere), and fields that are for reading alone."""
IDS = [model.__name__ for _, model, *_ in MODELS]


def list_model(model: Any, path: str = "") -> Iterator[str]:
    """The way to each plain value of a model: through models in it, alone or in a tuple; a mapping is one value."""
    hints = get_type_hints(model)
    for field in fields(model):
        place, hint = f"{path}{field.name}", hints[field.name]
        inside = next((one for one in list_types(hint) if is_dataclass(one)), None)
        if inside is None:
            yield place
        else:
            yield from list_model(inside, f"{place}.")


def list_types(hint: Any) -> tuple[Any, ...]:
    return get_args(hint) if get_origin(hint) in (Union, UnionType, tuple) else (hint,)


def list_declared(section: Section, path: str = "") -> Iterator[str]:
    """The way to each value that a list leads to, as the model names it."""
    for part in section.parts:
        if isinstance(part, Field):
            yield path + part.path
        else:
            place = path + part.attribute
            yield from [place] if part.each else list_declared(part, f"{place}." if part.attribute else path)


def shorten(place: str, known: set[str]) -> str:
    """The place itself, or the one it lies in where that is one value of the model."""
    while place not in known and "." in place:
        place = place.rpartition(".")[0]
    return place


@pytest.mark.parametrize(("section", "model", "elsewhere", "unkept"), MODELS, ids=IDS)
def test_every_value_of_a_model_has_a_declared_field(
    section: Section, model: type, elsewhere: set[str], unkept: set[str]
) -> None:
    known = set(list_model(model))
    declared = {shorten(place, known) for place in list_declared(section)}
    assert known - declared == elsewhere


@pytest.mark.parametrize(("section", "model", "elsewhere", "unkept"), MODELS, ids=IDS)
def test_every_declared_field_leads_to_a_value_of_the_model(
    section: Section, model: type, elsewhere: set[str], unkept: set[str]
) -> None:
    known = set(list_model(model))
    assert {place for place in list_declared(section) if shorten(place, known) not in known} == unkept


OF_CALLERS = {
    FieldKind.CURRENCY: "USD", FieldKind.AMOUNT: 50, FieldKind.PERCENT: 80, FieldKind.PAST_DAY: None,
    FieldKind.FEE_LINES: [], FieldKind.CLASSES: [], FieldKind.PROFILE: "generic",
}  # fmt: skip
DECLARED = [
    pytest.param(part, id=f"{model.__name__} {place}")
    for section, model, *_ in MODELS
    for place, part in walk_declared(section)
    if isinstance(part, Field) and "<" not in place.rpartition(".")[2]
]


@pytest.mark.parametrize("field", DECLARED)
def test_the_example_of_a_field_is_one_that_it_takes(field: Field) -> None:
    assert field.example
    assert field.label
    table = parse_toml(f"{field.key} = {field.example}", "example.toml")
    problems: list[Problem] = []
    readers: Mapping[FieldKind, Any] = {kind: lambda table, field, _: table.get_raw(field.key) for kind in OF_CALLERS}
    read = read_declared(
        Fields(table, file="example.toml", problems=problems), Section(parts=(field,)), readers=readers
    )
    assert problems == []
    assert read[field.key] not in (None, "", ())
