"""Every page is driven from the entry script, as the browser would; nothing touches the real user's folder."""

from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

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
    app.button("open_demo").click().run()
    return app


def show(text: str) -> str:
    """A text as a reader sees it: a backslash only keeps a sign from being markup."""
    return text.replace("\\", "")
