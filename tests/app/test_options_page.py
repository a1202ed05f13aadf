"""The options page, driven by AppTest from the entry script."""

from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

import estimator

ENTRY = Path(estimator.__file__).parent / "ui" / "entry.py"


@pytest.fixture(scope="module")
def page() -> AppTest:
    return AppTest.from_file(str(ENTRY), default_timeout=20).run()


def test_the_page_opens_without_an_exception(page: AppTest) -> None:
    assert not page.exception
    assert page.title[0].value == "Options"


def test_the_demo_is_marked_as_invented(page: AppTest) -> None:
    assert any("Demo prices, invented." in text.value for text in page.markdown)


def test_the_three_pictures_have_their_headings(page: AppTest) -> None:
    assert [h.value for h in page.header] == ["Room", "Time", "Cost over 10 years", "The same in words"]


def test_the_table_has_every_option_and_no_treatment(page: AppTest) -> None:
    table = page.table[0].value
    assert list(table["Option"]) == [
        "Conventional denture",
        "Individual attachments",
        "Connecting bar",
        "No treatment now",
    ]
    assert list(table["First cost"]) == [2250, 4980, 8590, 0]


def test_nothing_of_the_practice_cost_is_on_it(page: AppTest) -> None:
    """Demo conventional denture: costs the practice 1,650.00, margin 600.00."""
    shown = " ".join([*(t.value for t in page.markdown), page.table[0].value.to_string()])
    assert "margin" not in shown.lower()
    assert "1,650" not in shown
