"""Journeys of real users through the installed command, and what tabs and reloads do."""

import io
from pathlib import Path

from playwright.sync_api import Browser, Page, expect
from pypdf import PdfReader

from tests.builders import CHECKOUT
from tests.served import Server, go, open_demo, open_tab, settle, type_into

FEES = (CHECKOUT / "demo_fees.csv").read_text(encoding="utf-8")


def choose(page: Page, label: str, option: str) -> None:
    """One of the options of a select box."""
    page.get_by_role("combobox", name=label).first.click()
    page.get_by_role("option", name=option, exact=True).first.click()
    settle(page)


def press_choice(page: Page, name: str) -> None:
    """One of a row of choices."""
    page.get_by_role("radio", name=name).or_(page.get_by_role("button", name=name, exact=True)).first.click()
    settle(page)


def test_from_a_new_patient_to_a_downloaded_sheet(chromium: Browser, server: Server) -> None:
    page = open_tab(chromium, server.url)
    page.get_by_role("button", name="New case").click()
    page.get_by_label("Reference").wait_for()
    type_into(page, "Reference", "K-7")
    type_into(page, "Patient's name (optional, any script)", "Łukasz Żółć")
    type_into(page, "Implants", "4")
    choose(page, "They are", "in place")
    press_choice(page, "One number for all sites")
    type_into(page, "Space at the tightest site, mm", "11.5")
    page.get_by_text("Set-up accepted").click()
    settle(page)
    go(page, "Options")
    page.get_by_text("Individual attachments: room to spare: 3.25").wait_for()
    go(page, "Sheets")
    with page.expect_download(timeout=30_000) as waiting:
        page.get_by_role("button", name="Download: Option sheet (PDF)").click()
    assert waiting.value.suggested_filename == "option_sheet_K-7_mandible.pdf"
    data = Path(waiting.value.path()).read_bytes()
    text = " ".join(" ".join(p.extract_text() for p in PdfReader(io.BytesIO(data)).pages).split())
    for words in ("Łukasz Żółć", "You have 11.5\N{NO-BREAK SPACE}mm", "4,980 to begin with", "8,590.00"):
        assert words.replace("\N{NO-BREAK SPACE}", " ") in text.replace("\N{NO-BREAK SPACE}", " ")
    page.context.close()


def upload(page: Page, name: str, text: str) -> None:
    """Give a file to the only uploader of the page."""
    file = {"name": name, "mimeType": "text/csv", "buffer": text.encode("utf-8")}
    page.locator("input[type=file]").first.set_input_files(file)  # type: ignore[arg-type]
    settle(page)


def test_own_fees_with_problems_are_mended_and_change_the_prices(chromium: Browser, server: Server) -> None:
    dearer = FEES.replace("Delivery of a denture,visit,jaw,320.00", "Delivery of a denture,visit,jaw,420.00")
    broken = dearer.replace("Jaw record,visit,jaw,260.00,,40", "Jaw record,visit,jaw,26O.00,,-40")
    page = open_tab(chromium, server.url)
    open_demo(page)
    go(page, "Fees")
    upload(page, "ours.csv", broken)
    page.get_by_text("ours.csv was not taken: 2 problems.").wait_for()
    expect(page.get_by_text('row 6, column "fee"')).to_have_count(1)
    expect(page.get_by_text('row 6, column "minutes"')).to_have_count(1)
    go(page, "Quote")
    page.get_by_text("Total 2,250.00").wait_for()
    go(page, "Fees")
    upload(page, "ours.csv", dearer)
    page.get_by_role("button", name="Use this schedule").click()
    settle(page)
    go(page, "Quote")
    page.get_by_text("Total 2,350.00").wait_for()
    page.context.close()


def test_a_saved_case_reopens_after_a_restart(chromium: Browser, server: Server) -> None:
    page = open_tab(chromium, server.url)
    open_demo(page)
    type_into(page, "Reference", "SAVED-1")
    page.get_by_role("button", name="Save", exact=True).click()
    settle(page)
    page.context.close()
    server.stop()
    server.start()
    page = open_tab(chromium, f"{server.url}/records")
    page.get_by_role("button", name="Open", exact=True).click()
    settle(page)
    page.get_by_text("Open in this tab: SAVED-1, saved.").wait_for()
    go(page, "Case")
    expect(page.get_by_label("Reference")).to_have_value("SAVED-1")
    expect(page.get_by_label("Patient's name (optional, any script)")).to_have_value("Nguyễn Thị Ánh (invented)")
    go(page, "Records")
    page.get_by_role("button", name="Duplicate").click()
    settle(page)
    expect(page.get_by_role("button", name="Open", exact=True)).to_have_count(2)
    page.get_by_role("button", name="Delete", exact=True).first.click()
    page.get_by_role("button", name="Delete for good").click()
    settle(page)
    expect(page.get_by_role("button", name="Open", exact=True)).to_have_count(1)
    page.context.close()


def test_two_tabs_do_not_mix(chromium: Browser, shared_server: Server) -> None:
    one, other = open_tab(chromium, shared_server.url), open_tab(chromium, shared_server.url)
    open_demo(one)
    open_demo(other)
    type_into(one, "Reference", "ONE")
    type_into(other, "Reference", "OTHER")
    for page, reference in ((one, "ONE"), (other, "OTHER")):
        go(page, "Options")
        page.get_by_text(f"Case {reference}.").wait_for()
        page.context.close()


def test_what_was_typed_is_there_after_a_page_change(chromium: Browser, shared_server: Server) -> None:
    page = open_tab(chromium, shared_server.url)
    open_demo(page)
    type_into(page, "Reference", "not complete !")
    go(page, "Fees")
    go(page, "Case")
    expect(page.get_by_label("Reference")).to_have_value("not complete !")
    page.get_by_text("This case is not complete yet: 1 problem.").wait_for()
    page.context.close()


def test_a_price_is_changed_the_open_case_requoted_and_the_calendar_sent(chromium: Browser, server: Server) -> None:
    """What the front office does when prices change; nothing is typed twice, and the calendar names no patient."""
    page = open_tab(chromium, server.url)
    open_demo(page)
    go(page, "Fees")
    grid = page.get_by_test_id("stDataFrame").first.bounding_box()
    assert grid is not None
    page.mouse.click(grid["x"] + 310, grid["y"] + 52)  # the fee of the first line
    page.keyboard.press("Enter")
    page.wait_for_timeout(400)
    page.keyboard.press("Control+A")
    page.keyboard.type("155", delay=60)
    page.keyboard.press("Enter")
    settle(page)
    expect(page.get_by_text("2,265.00").first).to_be_visible()
    page.get_by_role("button", name="Save as a new version").click()
    settle(page)
    go(page, "Quote")
    expect(page.get_by_text("Total 2,265.00").first).to_be_visible()
    go(page, "Visits")
    with page.expect_download(timeout=30_000) as waiting:
        page.get_by_role("button", name="Download these days (iCalendar)").click()
    text = Path(waiting.value.path()).read_text(encoding="utf-8")
    assert "BEGIN:VEVENT" in text
    assert "C-1042" in text
    assert "Nguy" not in text


def click_cell(page: Page, right: int) -> None:
    """A cell in the first row of the first table that is edited, so many pixels from its left side."""
    grid = page.get_by_test_id("stDataFrame").first
    grid.scroll_into_view_if_needed()
    box = grid.bounding_box()
    assert box is not None
    page.mouse.click(box["x"] + right, box["y"] + 52)
    settle(page)
    page.wait_for_timeout(400)


def test_a_quote_is_typed_kept_and_shown_at_the_table_and_nothing_typed_is_lost(
    chromium: Browser, server: Server
) -> None:
    """The browser has values of its own: what was typed must be there again after a look at the table or elsewhere."""
    page = open_tab(chromium, server.url)
    open_demo(page)
    go(page, "Quote")
    click_cell(page, 120)  # the empty row, which becomes the first one
    page.keyboard.type("courtesy", delay=60)
    page.keyboard.press("Enter")
    click_cell(page, 600)
    page.keyboard.press("Enter")
    page.wait_for_timeout(400)
    page.keyboard.type("10", delay=60)
    page.keyboard.press("Enter")
    settle(page)
    expect(page.get_by_text("To pay 2,025.00 USD").first).to_be_visible()
    page.get_by_text("In instalments", exact=True).click()
    settle(page)
    type_into(page, "Instalments", "9")
    type_into(page, "Made by", "Front office")
    page.get_by_role("button", name="Keep this quote").click()
    expect(page.get_by_text("Kept as C-1042-Q1, version 1").first).to_be_visible()
    page.get_by_text("At the table", exact=True).click()
    expect(page.get_by_text("You pay", exact=True).first).to_be_visible()
    assert page.get_by_text("Provider").count() == 0
    page.get_by_text("At the table", exact=True).click()
    expect(page.get_by_label("Instalments", exact=True)).to_have_value("9")
    go(page, "Options")
    go(page, "Quote")
    expect(page.get_by_label("Instalments", exact=True)).to_have_value("9")
    expect(page.get_by_text("To pay 2,025.00 USD").first).to_be_visible()
    expect(page.get_by_text("Nothing has changed since C-1042-Q1, version 1.").first).to_be_visible()
    page.context.close()


def take_paper(page: Page, title: str) -> str:
    """Draw a paper about money, download it and read its text."""
    page.get_by_role("button", name=f"Draw: {title}").click()
    offer = page.get_by_role("button", name=f"Download: {title} (PDF)")
    offer.wait_for(timeout=30_000)
    with page.expect_download(timeout=30_000) as waiting:
        offer.click()
    pages = PdfReader(io.BytesIO(Path(waiting.value.path()).read_bytes())).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split()).replace("\N{NO-BREAK SPACE}", " ")


def test_the_front_office_makes_quote_benefit_estimate_and_payment_plan_by_the_page_alone(
    chromium: Browser, server: Server
) -> None:
    """Eleven steps. Plan 785.04, written off 90.00 and the patient's 4,104.96 are the fee of 4,980.00, on each paper."""
    page = open_tab(chromium, server.url)
    open_demo(page)
    go(page, "Quote")
    choose(page, "Option", "Individual attachments")
    choose(page, "Benefit plan", "Plan A (invented)")
    page.get_by_text("In instalments", exact=True).click()
    settle(page)
    type_into(page, "Instalments", "6")
    expect(page.get_by_text("To pay 4,104.96 USD").first).to_be_visible()
    quote = take_paper(page, "Fee quote")
    payment = take_paper(page, "Payment plan")
    benefit = take_paper(page, "Benefit estimate")
    assert all(amount in quote for amount in ("4,980.00", "785.04", "90.00", "4,104.96"))
    assert all(
        amount in benefit for amount in ("4,980.00", "785.04", "90.00", "4,104.96", "not a guarantee of payment")
    )
    assert all(amount in payment for amount in ("4,104.96", "820.99", "547.33", "547.32"))
    type_into(page, "Made by", "Front office")
    page.get_by_role("button", name="Keep this quote").click()
    expect(page.get_by_text("Kept as C-1042-Q1, version 1").first).to_be_visible()
    page.context.close()
