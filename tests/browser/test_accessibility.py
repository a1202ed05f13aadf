"""axe-core on every page with the demo case open: no serious or critical finding."""

from collections.abc import Iterator
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from estimator.ui.shell.navigation import PAGES
from tests.served import Server, go, open_demo, open_tab, settle

STREAMLIT_OWN: dict[str, tuple[str, ...]] = {}
"""Rule: parts of the selectors of elements that Streamlit makes and nothing of ours can change."""


@pytest.fixture(scope="module", params=["light", "dark"])
def tab(request: pytest.FixtureRequest, chromium: Browser, shared_server: Server) -> Iterator[Page]:
    page = open_tab(chromium, shared_server.url, dark=request.param == "dark")
    open_demo(page)
    yield page
    page.context.close()


@pytest.mark.parametrize("name", [entry.title for entry in PAGES])
def test_a_page_has_no_serious_or_critical_finding(tab: Page, name: str) -> None:
    go(tab, name)
    tab.wait_for_timeout(800)
    found = Axe().run(tab).response["violations"]
    assert [finding for violation in found for finding in list_findings(violation)] == []


def test_chosen_health_flags_read_well_too(tab: Page) -> None:
    go(tab, "Case")
    tab.get_by_text("Health: nothing marked").click()
    tab.get_by_role("button", name="smoking", exact=True).click()
    tab.get_by_role("heading", level=1).click()  # away from the button, whose look while in use is Streamlit's own
    settle(tab)
    found = Axe().run(tab).response["violations"]
    assert [finding for violation in found for finding in list_findings(violation)] == []


def list_findings(violation: dict[str, Any]) -> list[str]:
    if violation["impact"] not in ("serious", "critical"):
        return []
    known = STREAMLIT_OWN.get(violation["id"], ())
    targets = [f"{' '.join(map(str, node['target']))} {node['html'][:120]}" for node in violation["nodes"]]
    return [f"{violation['id']}: {t}" for t in targets if not any(part in t for part in known)]
