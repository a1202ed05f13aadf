"""Every page is driven from the entry script, as the browser would; nothing touches the real user's folder."""

import json
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from streamlit import config
from streamlit.components.v2 import manifest_scanner
from streamlit.testing.v1 import AppTest

import estimator
from estimator.ui.shell.navigation import PAGES, find_pages_folder
from tests.papers import share_papers

__all__ = ["share_papers"]

ENTRY = Path(estimator.__file__).parent / "ui" / "shell" / "entry.py"
KEYS = [page.key for page in PAGES]

Go = Callable[[str], AppTest]


@pytest.fixture(scope="session", autouse=True)
def spare_the_server() -> Iterator[None]:
    """Two settings that the app is served with, and what Streamlit does for a server and no test asks for.

    Each new app looks through all installed packages for components, and each run ends with a search of the memory.
    """
    settings = {"browser.gatherUsageStats": False, "runner.magicEnabled": False, "runner.postScriptGC": False}
    before = {name: config.get_option(name) for name in settings}
    for name, value in settings.items():
        config.set_option(name, value)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(manifest_scanner, "scan_component_manifests", cache(manifest_scanner.scan_component_manifests))
        yield
    for name, value in before.items():
        config.set_option(name, value)


@pytest.fixture
def user_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("OVERDENTURE_DATA", str(tmp_path / "user"))
    return tmp_path / "user"


@pytest.fixture
def app(user_folder: Path) -> AppTest:
    assert user_folder
    return AppTest.from_file(str(ENTRY), default_timeout=20).run()


@pytest.fixture
def go(app: AppTest) -> Go:
    """Go to a page of the app by its key."""

    def switch(key: str) -> AppTest:
        app.switch_page(str(find_pages_folder() / f"{key}.py")).run()
        assert not app.exception, [e.message for e in app.exception]
        return app

    return switch


@pytest.fixture
def demo(app: AppTest) -> AppTest:
    return open_demo(app)


def open_demo(app: AppTest) -> AppTest:
    """Open the demo case; from then on the tab holds the practice as its folder was."""
    return app.button("open_demo").click().run()


def show(text: str) -> str:
    """A text as a reader sees it: a backslash only keeps a sign from being markup."""
    return text.replace("\\", "")


def read_plan(app: AppTest, jaw: int = 0) -> dict[str, Any]:
    """What the page has handed over to the plan of a jaw, the first of the page's."""
    data: dict[str, Any] = json.loads(app.get("bidi_component")[jaw].proto.json)
    return data


def type_in_plan(app: AppTest, site: int, jaw: int = 0, **numbers: Any) -> AppTest:
    """Leave fields of a site in the plan, as its component tells it: every row, with what was typed."""
    rows = read_plan(app, jaw)["rows"]
    rows[site] |= numbers
    states = app._tree.get_widget_states()
    states.widgets.add(id=app.get("bidi_component")[jaw].proto.id, json_value=json.dumps({"rows": rows}))
    app._run(states)
    assert not app.exception, [e.message for e in app.exception]
    return app
