"""The jaw from above on the Case page, by mouse, finger and keys: nothing that is typed or moved is lost."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.served import Server, go, open_demo, open_tab, settle, type_into

SPACES = ("12.35", "13.45", "12.55", "11.65")
TISSUES = ("2.15", "1.25", "3.35", "2.45")


@pytest.fixture
def page(chromium: Browser, shared_server: Server) -> Iterator[Page]:
    page = open_tab(chromium, shared_server.url)
    open_demo(page)
    field(page, 1, "space, mm").wait_for()
    yield page
    page.context.close()


def field(page: Page, site: int, what: str) -> Any:
    return page.get_by_label(f"Site {site}: {what}", exact=True)


def find_dot(page: Page, site: int) -> Any:
    return page.get_by_role("slider", name=re.compile(f"^Site {site}:"))


def find_middle(place: Any) -> tuple[float, float]:
    place.scroll_into_view_if_needed()
    box = place.bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def drag(page: Page, site: int, right: float, down: float) -> None:
    x, y = find_middle(find_dot(page, site))
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + right / 2, y + down / 2, steps=4)
    page.mouse.move(x + right, y + down, steps=4)
    page.mouse.up()


def open_more(page: Page, site: int) -> None:
    page.get_by_role("button", name=f"More of site {site}").click()


@pytest.mark.parametrize("delay_ms", [20, 40, 90])
def test_nothing_is_lost_at_any_typing_speed(page: Page, delay_ms: int) -> None:
    field(page, 1, "space, mm").click()
    for space, tissue in zip(SPACES, TISSUES, strict=True):
        for number in (space, tissue):
            page.keyboard.press("Control+A")
            page.keyboard.type(number, delay=delay_ms)
            page.keyboard.press("Enter")
    settle(page)
    page.reload()
    for site, (space, tissue) in enumerate(zip(SPACES, TISSUES, strict=True), 1):
        expect(field(page, site, "space, mm")).to_have_value(space, timeout=20_000)
        expect(field(page, site, "tissue, mm")).to_have_value(tissue)


@pytest.mark.parametrize("delay_ms", [20, 90])
def test_leans_and_places_are_kept_when_tab_goes_through_all_that_opens(page: Page, delay_ms: int) -> None:
    open_more(page, 2)
    field(page, 2, "depth, mm").click()
    typed = {"depth, mm": "0.75", "width, mm": "9.50", "lean to distal, °": "7", "lean to facial, °": "-5"}
    for number in (*typed.values(), "8 right"):
        page.keyboard.press("Control+A")
        page.keyboard.type(number, delay=delay_ms)
        page.keyboard.press("Tab")
    settle(page)
    page.reload()
    page.get_by_role("button", name="More of site 2").click()
    for what, number in typed.items():
        expect(field(page, 2, what)).to_have_value(number.replace("-", "\N{MINUS SIGN}"), timeout=20_000)
    expect(field(page, 2, "at, mm from the midline")).to_have_value("8.0 right")


def test_a_dragged_dot_takes_its_number_and_the_distances_with_it(page: Page) -> None:
    open_more(page, 4)
    drag(page, 4, 20, -60)
    settle(page)
    at = field(page, 4, "at, mm from the midline").input_value()
    assert float(at.removesuffix(" left")) > 25
    assert find_dot(page, 4).get_attribute("aria-valuetext") == f"{at}, mm from the midline"
    expect(page.get_by_text("Between implants").first).not_to_contain_text("13.0, 17.1, 13.0")
    page.reload()
    open_more(page, 4)
    expect(field(page, 4, "at, mm from the midline")).to_have_value(at, timeout=20_000)


def test_arrow_keys_move_a_dot_by_half_a_millimetre(page: Page) -> None:
    open_more(page, 4)
    find_dot(page, 4).focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowLeft")
    expect(field(page, 4, "at, mm from the midline")).to_have_value("22.5 left")
    page.wait_for_timeout(700)
    settle(page)
    page.reload()
    open_more(page, 4)
    expect(field(page, 4, "at, mm from the midline")).to_have_value("22.5 left", timeout=20_000)


def test_a_finger_drags_a_dot(chromium: Browser, shared_server: Server) -> None:
    context = chromium.new_context(viewport={"width": 390, "height": 900}, has_touch=True, is_mobile=True)
    page = context.new_page()
    page.goto(shared_server.url)
    open_demo(page)
    x, y = find_middle(find_dot(page, 1))
    touch = context.new_cdp_session(page)
    for kind, points in (
        ("touchStart", [(x, y)]),
        ("touchMove", [(x - 8, y - 20)]),
        ("touchMove", [(x - 10, y - 45)]),
        ("touchEnd", []),
    ):
        at = [{"x": one, "y": other} for one, other in points]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": at})
    expect(find_dot(page, 1)).not_to_have_attribute("aria-valuenow", "20")
    context.close()


def test_row_and_dot_in_hand_are_marked_together(page: Page) -> None:
    field(page, 3, "tissue, mm").click()
    expect(find_dot(page, 3)).to_have_class(re.compile("chosen"))
    x, y = find_middle(find_dot(page, 2))
    page.mouse.click(x, y)
    expect(page.get_by_role("group", name="Site 2")).to_have_class(re.compile("chosen"))
    expect(page.get_by_role("group", name="Site 3")).not_to_have_class(re.compile("chosen"))


def test_a_dot_is_large_enough_for_a_finger(page: Page) -> None:
    page.set_viewport_size({"width": 390, "height": 900})
    page.wait_for_timeout(400)
    for site in range(1, 5):
        box = find_dot(page, site).locator("circle.body").bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= 28


def test_save_stores_the_number_that_is_left_by_the_click(page: Page) -> None:
    field(page, 4, "tissue, mm").fill("3.05")
    page.get_by_role("button", name="Save", exact=True).click()
    settle(page)
    expect(page.get_by_text("Saved.", exact=True)).to_be_visible()
    go(page, "Records")
    page.get_by_role("button", name="Open", exact=True).first.click()
    settle(page)
    go(page, "Case")
    expect(field(page, 4, "tissue, mm")).to_have_value("3.05", timeout=20_000)


def test_a_number_that_is_left_by_going_to_another_page_is_kept(page: Page) -> None:
    field(page, 4, "tissue, mm").fill("3.15")
    go(page, "Fees")
    go(page, "Case")
    expect(field(page, 4, "tissue, mm")).to_have_value("3.15", timeout=20_000)


def test_what_is_typed_elsewhere_leaves_half_typed_numbers_alone(page: Page) -> None:
    """A run of the page that comes while somebody types draws nothing anew."""
    type_into(page, "Reference", "a b")  # a problem comes up below
    field(page, 2, "space, mm").click()
    page.keyboard.press("Control+A")
    page.keyboard.type("14.2")
    page.get_by_label("Reference").evaluate("field => field.blur()")
    settle(page)
    expect(field(page, 2, "space, mm")).to_have_value("14.2")
    expect(field(page, 2, "space, mm")).to_be_focused()


def test_what_is_no_number_stays_in_its_field_and_is_not_counted(page: Page) -> None:
    field(page, 1, "tissue, mm").fill("2.o")
    field(page, 1, "tissue, mm").press("Enter")
    expect(page.get_by_text("“2.o” is not a number")).to_be_visible()
    expect(field(page, 1, "tissue, mm")).to_have_value("2.o")
    field(page, 1, "tissue, mm").fill("2,5")
    field(page, 1, "tissue, mm").press("Enter")
    expect(field(page, 1, "tissue, mm")).to_have_value("2.50")
    expect(page.get_by_text("is not a number")).to_have_count(0)


class Hand:
    """Counts what a user does: a click, a drag, a number typed and its field left, or a key that only moves on."""

    def __init__(self, page: Page) -> None:
        self.page, self.actions = page, 0

    def click(self, place: Any) -> None:
        self.actions += 1
        place.click()
        settle(self.page)

    def drag(self, site: int, right: float, down: float) -> None:
        self.actions += 1
        drag(self.page, site, right, down)

    def type(self, number: str, leave: str = "Enter") -> None:
        self.actions += 1
        self.page.keyboard.press("Control+A")
        self.page.keyboard.type(number, delay=20)
        self.page.keyboard.press(leave)

    def tab_to(self, label: str) -> None:
        while self.find_focus() != label:
            self.actions += 1
            assert self.actions < 40, f"not at {label} yet, but at {self.find_focus()}"
            self.page.keyboard.press("Tab")

    def find_focus(self) -> str:
        """The name of the field in hand, inside our own component too."""
        return str(
            self.page.evaluate(
                """() => {
                    let at = document.activeElement;
                    while (at.shadowRoot?.activeElement) at = at.shadowRoot.activeElement;
                    return at.getAttribute('aria-label') ?? at.id;
                }"""
            )
        )


def check_four(page: Page, *, placed: bool) -> None:
    for site, (space, tissue) in enumerate(zip(SPACES, TISSUES, strict=True), 1):
        expect(field(page, site, "space, mm")).to_have_value(space)
        expect(field(page, site, "tissue, mm")).to_have_value(tissue)
    go(page, "Options")
    expect(page.get_by_text("Individual attachments: room to spare").first).to_be_visible()
    open_bar = page.get_by_text("Connecting bar: not measured yet: where the implants stand")
    expect(open_bar).to_have_count(0) if placed else expect(open_bar.first).to_be_visible()


def type_four(hand: Hand) -> None:
    for number in (number for pair in zip(SPACES, TISSUES, strict=True) for number in pair):
        hand.type(number)
    settle(hand.page)


def test_four_implants_take_at_most_25_actions_by_mouse(chromium: Browser, shared_server: Server) -> None:
    page = open_tab(chromium, shared_server.url)
    hand = Hand(page)
    hand.click(page.get_by_role("button", name="New case"))
    hand.click(page.get_by_label("Implants", exact=True))
    hand.type("4")
    expect(field(page, 4, "space, mm")).to_be_visible(timeout=20_000)
    settle(page)
    hand.click(field(page, 1, "space, mm"))
    type_four(hand)
    for site, right, down in ((1, -5, -20), (2, -6, -3), (3, 6, -3), (4, 5, -20)):
        hand.drag(site, right, down)
    settle(page)
    assert hand.actions <= 25
    expect(page.get_by_text("Between implants").first).to_be_visible()
    check_four(page, placed=True)
    page.context.close()


def test_four_implants_take_at_most_25_actions_by_keys(chromium: Browser, shared_server: Server) -> None:
    """From the first field of a new case on."""
    page = open_tab(chromium, shared_server.url)
    page.get_by_role("button", name="New case").click()
    page.get_by_label("Reference").focus()
    hand = Hand(page)
    hand.tab_to("Implants")
    hand.type("4", leave="Tab")
    expect(field(page, 4, "space, mm")).to_be_visible(timeout=20_000)
    settle(page)
    hand.tab_to("Site 1: space, mm")
    type_four(hand)
    assert hand.actions <= 25
    check_four(page, placed=False)
    page.context.close()


def test_spaces_that_were_set_aside_show_again_and_outlive_the_next_number(page: Page) -> None:
    page.get_by_role("radio", name="Not measured yet").click()
    settle(page)
    expect(field(page, 1, "space, mm")).to_have_value("")
    page.get_by_role("radio", name="Site by site").click()
    settle(page)
    expect(field(page, 1, "space, mm")).to_have_value(re.compile(r"^12\.?0*$"), timeout=20_000)
    type_into(page, "Site 2: tissue, mm", "2.25")
    settle(page)
    page.reload()
    for site, space in enumerate((r"12\.?", r"13\.25", r"12\.75", r"11\.5"), 1):
        expect(field(page, site, "space, mm")).to_have_value(re.compile(f"^{space}0*$"), timeout=20_000)
    expect(field(page, 2, "tissue, mm")).to_have_value("2.25")
