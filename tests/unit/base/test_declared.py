"""Fields declared once: read with their limits, written again, explained in a file and in a table."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Any

import pytest

from estimator.base.declared import (
    Field,
    FieldKind,
    Section,
    label_fields,
    read_declared,
    walk_declared,
    write_declared,
    write_toml_value,
)
from estimator.base.field_reference import comment_declared, tabulate_declared
from estimator.base.fields import Fields
from estimator.base.problems import Problem
from estimator.files import parse_toml
from tests.problem_builders import say_problems


class Season(StrEnum):
    SPRING = "spring"
    AUTUMN = "autumn"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bed:
    name: str
    area: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Garden:
    owner: str
    season: Season = Season.SPRING
    beds: tuple[Bed, ...] = ()
    opened: date | None = None


BED = Section(
    key="beds", repeated=True, help="One a bed.", attribute="beds",
    parts=(
        Field(key="name", kind=FieldKind.LINE, label="Name", required=True, longest=10, example='"roses"'),
        Field(key="area", kind=FieldKind.NUMBER, label="Area", help="In square metres.", high=50, example="2.5",
              code="number.amount"),
    ),
)  # fmt: skip
GARDEN = Section(
    parts=(
        Field(key="name", kind=FieldKind.LINE, label="Owner", required=True, attribute="owner", example='"A. Example"'),
        Field(key="season", kind=FieldKind.CHOICE, label="Season", choices=Season, default=Season.SPRING,
              example='"autumn"'),
        Field(key="opened", kind=FieldKind.DAY, label="Opened", required=True, missing="calendar.closed_from",
              example="2026-04-01"),
        BED,
    ),
)  # fmt: skip


def read(section: Section, table: dict[str, Any], **more: Any) -> tuple[dict[str, Any], list[str]]:
    problems: list[Problem] = []
    values = read_declared(Fields(table, file="g.toml", problems=problems), section, **more)
    return values, say_problems(problems)


def test_what_is_left_out_is_the_declared_default() -> None:
    values, problems = read(GARDEN, {"name": "A", "opened": date(2026, 4, 1)})
    assert (values["season"], problems) == (Season.SPRING, [])


def test_a_default_of_the_reader_stands_in_place_of_the_declared_one_and_of_what_is_needed() -> None:
    values, problems = read(GARDEN, {}, defaults={"season": Season.AUTUMN, "name": "B", "opened": date(2026, 1, 1)})
    assert (values["season"], values["name"], problems) == (Season.AUTUMN, "B", [])


@pytest.mark.parametrize(("section", "table", "message"), [
    (GARDEN, {"name": "A"}, "g.toml, opened: got nothing; expected the first closed day, such as 2026-04-01"),
    (BED, {"name": "a name too long"}, "name: got 'a name too long'; expected one line of at most 10 characters"),
    (BED, {"name": "a", "area": 51}, "area: got 51; expected an amount of 0 or more, such as 2.5"),
    (GARDEN, {"name": "A", "opened": date(2026, 4, 1), "season": "sprin"}, "'spring' perhaps"),
])  # fmt: skip
def test_a_limit_of_the_list_is_kept_when_reading(section: Section, table: dict[str, Any], message: str) -> None:
    (problem,) = read(section, table)[1]
    assert message in problem


def test_a_kind_that_only_the_caller_knows_is_read_by_the_caller() -> None:
    amount = Section(parts=(Field(key="price", kind=FieldKind.AMOUNT, label="Price"),))
    values, _ = read(
        amount, {"price": 3}, readers={FieldKind.AMOUNT: lambda table, field, _: table.get_raw(field.key) * 2}
    )
    assert values == {"price": 6}


def test_a_model_is_written_without_what_is_a_default_anyway() -> None:
    garden = Garden(owner="A", beds=(Bed(name="roses", area=Decimal("2.5")), Bed(name="herbs")))
    beds = [{"name": "roses", "area": Decimal("2.5")}, {"name": "herbs"}]
    assert write_declared(GARDEN, garden) == {"name": "A", "beds": beds}


def test_a_field_that_is_not_declared_has_no_label_to_ask_by() -> None:
    with pytest.raises(KeyError, match="beds declares no 'colour'"):
        BED.get_field("colour")


def test_each_field_is_known_by_its_place() -> None:
    assert [place for place, _ in walk_declared(GARDEN)] == [
        "name", "season", "opened", "beds[]", "beds[].name", "beds[].area",
    ]  # fmt: skip


def test_a_file_explains_what_it_holds_once_and_shows_the_rest_behind_a_sign() -> None:
    text = comment_declared(GARDEN, {"name": "A", "beds": [{"name": "roses"}, {"name": "herbs"}]}, head="A garden.")
    assert text.splitlines() == [
        "# A garden.",
        'name = "A"                       # Owner.',
        '# season = "autumn"              # Season. spring | autumn',
        "# opened = 2026-04-01            # Opened.",
        "",
        "[[beds]]                         # One a bed.",
        'name = "roses"                   # Name.',
        "# area = 2.5                     # In square metres.",
        "",
        "[[beds]]",
        'name = "herbs"',
    ]


def test_a_table_that_a_file_does_not_have_stands_in_it_as_an_example() -> None:
    lines = comment_declared(GARDEN, {"name": "A"}, head="A garden.").splitlines()
    assert "# [[beds]]                       # One a bed." in lines
    assert '# name = "roses"                 # Name.' in lines


def test_a_file_with_comments_holds_the_same_values() -> None:
    document = {"name": 'A "quoted" \\ name', "beds": [{"name": "é", "area": Decimal("1.50")}]}
    assert parse_toml(comment_declared(GARDEN, document, head="A garden."), "g.toml") == document


def test_a_table_of_fields_says_limits_and_what_stands_where_nothing_is_said() -> None:
    assert tabulate_declared(GARDEN).splitlines()[2:] == [
        "| `name` | Owner. | text of at most 120 characters | needed |",
        '| `season` | Season. | `spring`, `autumn` | `"spring"` |',
        "| `opened` | Opened. | a day, such as `2026-11-25` | needed |",
        "| `beds[]` | One a bed. | a table, as often as needed |  |",
        "| `beds[].name` | Name. | text of at most 10 characters | needed |",
        "| `beds[].area` | In square metres. | a number from 0 to 50 | nothing |",
    ]


@pytest.mark.parametrize(("value", "text"), [
    (True, "true"), (3, "3"), (Decimal("0.5"), "0.5"), (date(2026, 1, 2), "2026-01-02"), (["a", 'b"'], '["a", "b\\""]'),
])  # fmt: skip
def test_a_value_is_written_as_toml_has_it(value: object, text: str) -> None:
    assert write_toml_value(value) == text


def test_a_table_is_no_value_on_one_line() -> None:
    with pytest.raises(TypeError):
        write_toml_value({})


def test_forms_find_what_a_field_is_called_by_its_path() -> None:
    assert label_fields(GARDEN)["beds", 1, "name"] == "Name"
    assert label_fields(GARDEN)["name",] == "Owner"


def test_a_field_that_the_caller_reads_is_left_to_it_and_still_known() -> None:
    problems: list[Problem] = []
    table = Fields({"name": 3}, file="g.toml", problems=problems)
    values = read_declared(table, BED, skip=("name",))
    table.refuse_others()
    assert (values, problems) == ({"area": None}, [])
