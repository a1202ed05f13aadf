"""Settings: what a chair hour costs, and tax."""

from decimal import Decimal

import pytest

from estimator.base.problems import InputError
from estimator.files import parse_toml
from estimator.inputs.fees.schedule import FeeKind
from estimator.inputs.practice.settings import Settings, read_settings
from tests.problem_builders import say_problems

YEAR = "[cost]\noverhead_per_year = 600000\nchairs = 1\nweeks = 40\ndays = 5\nhours = 8\n"


def read(text: str) -> Settings:
    return read_settings(parse_toml(text, "settings.toml"), file="settings.toml", locales=("en_US",))


def list_problems(text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        read(text)
    return say_problems(caught.value.problems)


@pytest.mark.parametrize(("text", "cost"), [
    ("[cost]\nchair_hour = 240.00\n", "240.00"), (YEAR, "375"), (YEAR + "share_in_use = 0.75\n", "500"),
])  # fmt: skip
def test_a_chair_hour_is_typed_in_or_worked_out(text: str, cost: str) -> None:
    assert read(text).chair_cost_per_hour == Decimal(cost)


def test_without_either_a_chair_hour_has_no_price() -> None:
    assert read("").chair_cost_per_hour is None


@pytest.mark.parametrize(("text", "message"), [
    (YEAR + "chair_hour = 240\n", "cost.chair_hour: got 240; expected chair_hour or overhead_per_year, not both"),
    (YEAR.replace("hours = 8\n", ""), "cost.hours: got nothing; expected working hours a day"),
    (YEAR.replace("days = 5", "days = 8"), "cost.days: got 8; expected working days a week, up to 7"),
    (YEAR + "share_in_use = 80\n", "cost.share_in_use: got 80; expected a share above 0 and up to 1"),
    (YEAR.replace("chairs = 1", "chairs = 0"), "cost.chairs: got 0; expected chairs from 1 to 100"),
    ("[cost]\nlaboratory_remakes = 4\n", "cost.laboratory_remakes: got 4; expected a share from 0 to 0.5"),
    ("[tax]\nlaboratory = 8\n", "tax.laboratory: got 8; expected a share from 0 to 1"),
    ("[tax]\nvisits = 0.08\n", "an unknown field 'visits'"),
    ('[tax]\nreason = "a\\nb"\n', "tax.reason"),
])  # fmt: skip
def test_what_cannot_be_is_refused_with_its_place(text: str, message: str) -> None:
    problems = list_problems(text)
    assert any(message in problem for problem in problems), problems


def test_a_missing_field_is_named_once() -> None:
    assert len(list_problems(YEAR.replace("hours = 8\n", "").replace("days = 5\n", ""))) == 2


def test_tax_is_by_kind_and_nothing_by_default() -> None:
    assert read("").tax.rates == ()
    tax = read('[tax]\nlaboratory = 0.08\nvisit = 0\nreason = "treatment of a person"\n').tax
    assert tax.rates == ((FeeKind.LABORATORY, Decimal("0.08")),)
    assert tax.reason == "treatment of a person"


def test_unsaved_work_is_kept_for_thirty_days_unless_the_practice_says_otherwise() -> None:
    assert read("").working_copy_days == 30
    assert read("[records]\nworking_copy_days = 7\n").working_copy_days == 7


def test_unsaved_work_cannot_be_thrown_away_on_the_day_it_is_typed() -> None:
    assert list_problems("[records]\nworking_copy_days = 0\n") == [
        "settings.toml, records.working_copy_days: got 0; expected a whole number from 1 to 3650"
    ]
