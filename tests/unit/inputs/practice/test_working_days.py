"""The calendar of a practice: what is read, and every problem with its place."""

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from estimator import files
from estimator.base.problems import InputError
from estimator.files.loading import load_practice
from estimator.inputs.case.model import Arch
from estimator.inputs.practice.settings import read_settings
from estimator.inputs.practice.working_days import WEEKEND, CalendarSettings, ClosedDays, Weekday
from tests.builders import CHECKOUT, TODAY, estimate_jaw, make_jaw
from tests.problem_builders import say_problem, say_problems


def read(**calendar: Any) -> CalendarSettings:
    return read_settings({"calendar": calendar}, file="settings.toml", locales=("en_US",)).calendar


def test_without_a_calendar_the_weekend_is_closed_and_there_are_no_holidays() -> None:
    assert read_settings({}, file="settings.toml", locales=("en_US",)).calendar == CalendarSettings()
    assert read().closed_weekdays == WEEKEND


def test_a_calendar_is_read_whole() -> None:
    closed = [{"from": date(2026, 12, 24), "to": date(2026, 12, 31), "name": "shut"}, {"from": date(2027, 5, 3)}]
    calendar = read(
        country="US", subdivision="CA", closed_weekdays=["sunday"], closed=closed, healing_weeks={"maxilla": 20}
    )
    assert (calendar.country, calendar.subdivision, calendar.closed_weekdays) == ("US", "CA", (Weekday.SUNDAY,))
    assert [len(closing.list_days()) for closing in calendar.closings] == [8, 1]
    assert calendar.healing_weeks == {Arch.MAXILLA: Decimal(20)}


def test_every_weekday_is_open_or_closed_as_named() -> None:
    monday = date(2026, 11, 30)
    for number, weekday in enumerate(Weekday):
        closed = ClosedDays(weekdays=(weekday,))
        assert not closed.is_open(monday.replace(day=30) if number == 0 else date(2026, 12, number))


BAD = [
    ("a week without an open day", {"closed_weekdays": [day.value for day in Weekday]}, "calendar.closed_weekdays"),
    ("an unknown weekday", {"closed_weekdays": ["sonday"]}, "'sunday' perhaps"),
    ("a subdivision without a country", {"subdivision": "CA"}, "calendar.country"),
    ("a closing without a day", {"closed": [{"name": "shut"}]}, "calendar.closed[1].from"),
    ("a closing that ends first", {"closed": [{"from": date(2026, 5, 2), "to": date(2026, 5, 1)}]}, "closed[1].to"),
    ("a closing of a year", {"closed": [{"from": date(2026, 1, 1), "to": date(2026, 12, 31)}]}, "at most 90 days"),
    ("healing under 0", {"healing_weeks": {"mandible": -1}}, "calendar.healing_weeks.mandible"),
    ("healing of an unknown arch", {"healing_weeks": {"mandibel": 9}}, "'mandible' perhaps"),
    ("a misspelt field", {"contry": "US"}, "'country' perhaps"),
]


@pytest.mark.parametrize(("calendar", "message"), [b[1:] for b in BAD], ids=[b[0] for b in BAD])
def test_a_bad_calendar_is_refused_with_place_found_and_expected(calendar: dict[str, Any], message: str) -> None:
    with pytest.raises(InputError) as caught:
        read(**calendar)
    assert message in "\n".join(say_problems(caught.value.problems))


@pytest.mark.parametrize(("text", "message"), [
    ('country = "QQ"', "settings.toml, calendar.country: got 'QQ'; expected a country of two letters"),
    ('country = "US"\nsubdivision = "Bavaria"', "settings.toml, calendar.subdivision: got 'Bavaria'"),
])  # fmt: skip
def test_a_country_without_known_holidays_is_a_problem_when_loaded_and_when_checked(
    tmp_path: Path, text: str, message: str
) -> None:
    path = tmp_path / "settings.toml"
    path.write_text(f"[calendar]\n{text}\n", encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_practice(tmp_path, fees=CHECKOUT / "demo_fees.csv")
    for problems in (caught.value.problems, files.check_file(path, today=TODAY)):
        assert any(say_problem(problem).startswith(message) for problem in problems)


def test_own_healing_weeks_move_the_teeth_and_are_called_own(tmp_path: Path) -> None:
    (tmp_path / "settings.toml").write_text("[calendar]\nhealing_weeks = { mandible = 6 }\n", encoding="utf-8")
    practice = load_practice(tmp_path, fees=CHECKOUT / "demo_fees.csv")
    bar = estimate_jaw(make_jaw(implants_present=False), practice=practice, years=1)["connecting_bar"]
    assert bar.visits.weeks_to_teeth == 25 - 4
    figure = next(figure for figure in bar.basis if figure.key == "healing_mandible")
    assert (figure.own, figure.value, figure.low) == (True, Decimal(6), Decimal(6))
