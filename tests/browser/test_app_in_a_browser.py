"""The installed command in a real browser: it serves the comparison, to this machine only, and asks nobody else."""

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, sync_playwright

BROWSER = shutil.which("chromium")
needs_browser = pytest.mark.skipif(
    BROWSER is None, reason="no chromium on this machine (Debian: apt-get install chromium)"
)


def find_free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


def wait_until_served(port: int, server: subprocess.Popen[bytes]) -> None:
    for _ in range(120):
        try:
            with urllib.request.urlopen(f"http://127.0.0.1:{port}/_stcore/health", timeout=1):
                return
        except OSError:
            assert server.poll() is None, "the app stopped by itself"
            time.sleep(0.25)
    raise AssertionError("the app did not start within 30 seconds")


@pytest.fixture(scope="module")
def port(tmp_path_factory: pytest.TempPathFactory) -> Iterator[int]:
    number = find_free_port()
    command = [sys.executable, "-m", "estimator", "app", "--port", str(number), "--server.headless=true"]
    root = Path(__file__).resolve().parents[2]
    environment = {**os.environ, "PYTHONPATH": str(root)}
    server = subprocess.Popen(
        command, cwd=tmp_path_factory.mktemp("elsewhere"), env=environment, stdout=subprocess.DEVNULL
    )
    try:
        wait_until_served(number, server)
        yield number
    finally:
        server.terminate()
        server.wait(timeout=20)


@pytest.fixture(scope="module")
def asked() -> list[str]:
    return []


@pytest.fixture(scope="module")
def page(port: int, asked: list[str]) -> Iterator[Page]:
    with sync_playwright() as playwright:
        flags = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update"]
        browser = playwright.chromium.launch(executable_path=BROWSER, args=flags)
        opened = browser.new_page(viewport={"width": 1280, "height": 1400})
        opened.on("request", lambda request: asked.append(request.url))
        opened.goto(f"http://127.0.0.1:{port}")
        opened.get_by_role("heading", name="The same in words").wait_for(timeout=30_000)
        opened.wait_for_timeout(1500)
        yield opened
        browser.close()


@needs_browser
def test_the_comparison_shows_three_pictures_and_a_table(page: Page) -> None:
    assert page.locator("[data-testid=stVegaLiteChart]").count() == 3
    assert page.get_by_text("8,590.00").count() == 1


@needs_browser
def test_no_error_box_is_shown(page: Page) -> None:
    assert page.locator("[data-testid=stException]").count() == 0


@needs_browser
def test_the_browser_asks_nobody_but_this_machine(page: Page, port: int, asked: list[str]) -> None:
    assert page.title()
    elsewhere = [url for url in asked if f"//127.0.0.1:{port}" not in url and not url.startswith(("data:", "blob:"))]
    assert elsewhere == []


def test_the_app_listens_on_this_machine_only(port: int) -> None:
    own = socket.gethostbyname_ex(socket.gethostname())[2]
    for address in (a for a in own if not a.startswith("127.")):
        with socket.socket() as probe:
            probe.settimeout(1)
            assert probe.connect_ex((address, port)) != 0
    with socket.socket() as probe:
        assert probe.connect_ex(("127.0.0.1", port)) == 0
