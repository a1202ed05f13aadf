"""Nothing that is typed is lost: a reload, a killed server, the way back, a second tab, a click that leaves a field."""

import signal

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.served import Server, go, open_demo, open_tab, settle, type_into

NAME = "Patient's name (optional, any script)"


def choose(page: Page, label: str, option: str) -> None:
    page.get_by_role("combobox", name=label).first.click()
    page.get_by_role("option", name=option, exact=True).first.click()
    settle(page)


def check_everything(page: Page) -> None:
    """What `type_everything` has typed, page by page."""
    expect(page.get_by_label(NAME)).to_have_value("Ольга", timeout=20_000)
    expect(page.get_by_label("Reference")).to_have_value("K-7")
    expect(page.get_by_label("Site 1: tissue, mm")).to_have_value("2.75")
    go(page, "Quote")
    expect(page.get_by_role("combobox", name="Option").first).to_have_value("Connecting bar")
    expect(page.get_by_label("Instalments", exact=True)).to_have_value("9")


def type_everything(page: Page) -> None:
    open_demo(page)
    type_into(page, NAME, "Ольга")
    type_into(page, "Reference", "K-7")
    type_into(page, "Site 1: tissue, mm", "2.75")
    go(page, "Quote")
    choose(page, "Option", "Connecting bar")
    page.get_by_text("In instalments", exact=True).click()
    settle(page)
    type_into(page, "Instalments", "9")
    go(page, "Case")


def test_a_reload_keeps_everything(chromium: Browser, shared_server: Server) -> None:
    page = open_tab(chromium, shared_server.url)
    type_everything(page)
    page.reload()
    check_everything(page)
    page.context.close()


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="only where a process can be killed without a word")
def test_a_killed_server_that_is_started_again_keeps_everything(chromium: Browser, server: Server) -> None:
    page = open_tab(chromium, server.url)
    type_everything(page)
    address = page.url
    page.context.close()
    server.kill()
    server.start()
    page = open_tab(chromium, address)
    check_everything(page)
    page.context.close()


def test_the_way_back_takes_one_press(chromium: Browser, shared_server: Server) -> None:
    page = open_tab(chromium, shared_server.url)
    open_demo(page)
    go(page, "Options")
    go(page, "Quote")
    page.go_back()
    page.get_by_role("heading", level=1, name="Options").wait_for(timeout=20_000)
    page.go_back()
    page.get_by_role("heading", level=1, name="Case").wait_for(timeout=20_000)
    expect(page.get_by_label("Reference")).to_have_value("C-1042")
    page.context.close()


def test_save_stores_the_field_that_is_left_by_the_click(chromium: Browser, server: Server) -> None:
    page = open_tab(chromium, server.url)
    open_demo(page)
    for name in ("Ольга", "Łukasz", "Ánh", "Zoë"):
        page.get_by_label(NAME).fill(name)
        page.get_by_role("button", name="Save", exact=True).click()
        settle(page)
        expect(page.get_by_text("Saved.", exact=True)).to_be_visible()
        go(page, "Records")
        expect(page.get_by_text(f"C-1042, {name}").first).to_be_visible()
        go(page, "Case")
    page.context.close()
