"""A case for a denture alone: every page says what it can, and why the rest does not apply."""

import pytest
from streamlit.testing.v1 import AppTest

from tests.app.conftest import KEYS, Go
from tests.app.test_case_page import find


@pytest.fixture
def denture_only(app: AppTest) -> AppTest:
    app.button("new_case").click().run()
    return find(app, "number_input", "mandible_implants").set_value(0).run()  # type: ignore[no-any-return]


@pytest.mark.parametrize("key", KEYS)
def test_a_page_stands_for_a_case_without_implants(denture_only: AppTest, go: Go, key: str) -> None:
    assert denture_only.session_state["case"].jaws[0].implants == 0
    page = go(key)
    assert not page.error, [error.value for error in page.error]


def test_options_say_why_those_on_implants_do_not_apply(denture_only: AppTest, go: Go) -> None:
    said = "\n".join(table.value.to_string() for table in go("options").table)
    assert denture_only.session_state["case"].jaws[0].implants == 0
    assert "needs implants; in this jaw none are planned" in said
