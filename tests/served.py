"""The installed command and Debian's Chromium; nothing touches the real user's folder."""

import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

CHROMIUM = shutil.which("chromium")
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update"]
SCREEN_PX = 1280
ROOT = Path(__file__).resolve().parents[1]


class Server:
    """The app as the command serves it, on a free port of this machine, with a user's folder of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.process: subprocess.Popen[bytes] | None = None
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port: int = probe.getsockname()[1]

    @property
    def url(self) -> str:
        """The address of the first page."""
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> float:
        """Start it and wait until it answers; returns how long that took [s]."""
        command = [sys.executable, "-m", "estimator", "app", "--port", str(self.port), "--server.headless=true"]
        environment = {**os.environ, "PYTHONPATH": str(ROOT), "OVERDENTURE_DATA": str(self.folder / "user")}
        begin = time.perf_counter()
        self.process = subprocess.Popen(
            command, cwd=self.folder, env=environment, stdout=subprocess.DEVNULL, start_new_session=True
        )
        for _ in range(300):
            try:
                with urllib.request.urlopen(f"{self.url}/_stcore/health", timeout=1):  # noqa: S310
                    return time.perf_counter() - begin
            except OSError:
                assert self.process.poll() is None, "the app stopped by itself"
                time.sleep(0.1)
        raise AssertionError("the app did not start within 30 seconds")

    def kill(self) -> None:
        """Kill it and what it has started, without a word, as when the power goes."""
        assert self.process is not None
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait(timeout=20)
        self.process = None

    def stop(self) -> None:
        """Stop it and wait until it is gone."""
        if self.process is not None:
            self.process.terminate()
            self.process.wait(timeout=20)
            self.process = None


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    made = Server(tmp_path)
    made.start()
    yield made
    made.stop()


@pytest.fixture(scope="module")
def shared_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    made = Server(tmp_path_factory.mktemp("served"))
    made.start()
    yield made
    made.stop()


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    if CHROMIUM is None:
        pytest.skip("no chromium on this machine (Debian: apt-get install chromium)")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()


def open_tab(browser: Browser, url: str, *, dark: bool = False, fineness: int = 1) -> Page:
    """A tab of its own, as another person at another desk would open it; `fineness` is dots a pixel, each way."""
    context = browser.new_context(
        viewport={"width": SCREEN_PX, "height": 1200}, color_scheme="dark" if dark else "light", accept_downloads=True,
        device_scale_factor=fineness,
    )  # fmt: skip
    page = context.new_page()
    page.goto(url)
    page.get_by_role("heading", level=1).first.wait_for(timeout=30_000)
    return page


FIRST = "Case"
"""The page that needs no name in the address."""


def go(page: Page, name: str) -> None:
    """To another page by the navigation on top."""
    page.get_by_role("link", name=name, exact=True).first.click()
    page.wait_for_url(re.compile(rf"/({name.lower()}){'?' if name == FIRST else ''}(\?.*)?$"), timeout=20_000)
    page.get_by_role("heading", level=1).first.wait_for(timeout=20_000)
    settle(page)


def settle(page: Page) -> None:
    """Wait until no run of the page is under way."""
    page.wait_for_timeout(250)
    page.wait_for_selector("[data-testid=stApp][data-test-script-state=notRunning]", timeout=20_000)


def open_demo(page: Page) -> None:
    """The demo case, on the Case page."""
    page.get_by_role("button", name="Open the demo case").click()
    page.get_by_label("Reference").wait_for(timeout=20_000)
    settle(page)


def type_into(page: Page, label: str, text: str) -> None:
    """Type into a field and leave it."""
    field = page.get_by_label(label, exact=True)
    field.fill(text)
    field.press("Enter")
    settle(page)
