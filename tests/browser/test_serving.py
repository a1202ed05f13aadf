"""What the app serves and to whom: this machine only, and it asks nobody else."""

import socket
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from estimator.ui.shell.navigation import PAGES
from tests.served import Server, go, open_demo, open_tab


@pytest.fixture(scope="module")
def asked() -> list[str]:
    return []


@pytest.fixture(scope="module")
def tab(chromium: Browser, shared_server: Server, asked: list[str]) -> Iterator[Page]:
    page = open_tab(chromium, shared_server.url)
    page.on("request", lambda request: asked.append(request.url))
    open_demo(page)
    yield page
    page.context.close()


@pytest.mark.parametrize("name", [entry.title for entry in PAGES])
def test_a_page_opens_by_the_navigation_without_an_error_box(tab: Page, name: str) -> None:
    go(tab, name)
    assert tab.locator("[data-testid=stException]").count() == 0


def test_the_options_show_five_pictures_and_the_first_costs(tab: Page) -> None:
    go(tab, "Options")
    tab.get_by_role("heading", name="Cost so far, year by year").wait_for()
    expect(tab.locator("[data-testid=stVegaLiteChart]")).to_have_count(5)
    expect(tab.get_by_text("8,590.00").first).to_be_visible()


def test_the_browser_asks_nobody_but_this_machine(tab: Page, shared_server: Server, asked: list[str]) -> None:
    assert tab.title()
    assert len(asked) > 10
    own = (shared_server.url, shared_server.url.replace("http", "ws"), "data:", "blob:")
    assert [url for url in asked if not url.startswith(own)] == []


def test_the_app_listens_on_this_machine_only(shared_server: Server) -> None:
    own = socket.gethostbyname_ex(socket.gethostname())[2]
    for address in (a for a in own if not a.startswith("127.")):
        with socket.socket() as probe:
            probe.settimeout(1)
            assert probe.connect_ex((address, shared_server.port)) != 0
    with socket.socket() as probe:
        assert probe.connect_ex(("127.0.0.1", shared_server.port)) == 0
