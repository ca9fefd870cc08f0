"""The pages in a real browser: width, keyboard, scripts, and texts that appear by themselves."""

import pytest

from tests.houses import READER

PAGES = [
    "/log",
    "/unclear",
    "/plots",
    "/plots/H07",
    "/phones",
    "/account",
    "/calendar",
    "/broadcasts",
    "/broadcasts/new",
    "/mend",
]


@pytest.mark.parametrize("width", [1280, 360])
def test_no_page_is_wider_than_its_window(place, open_page, width):
    place.text(READER, "H07 -12")
    place.text(READER, "W" * 3_000)
    page = open_page(width)
    for address in [*PAGES, phone_address(page)]:
        page.goto(address)
        beyond = page.evaluate(
            "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        )
        assert beyond == 0, address


def test_the_chart_fits_the_window_it_is_shown_in(place, open_page):
    place.text(READER, "H07 -12")
    for width, shown, hidden in ((1280, ".wide", ".lately"), (360, ".lately", ".wide")):
        page = open_page(width)
        page.goto("/plots/H07")
        assert page.is_visible(f"{shown} svg.season")
        assert not page.is_visible(f"{hidden} svg.season")


def test_a_drawing_is_known_to_assistive_software_by_name(place, open_page):
    place.text(READER, "H07 -12")
    page = open_page()
    page.goto("/plots/H07")
    drawing = page.get_by_role("img", name="Water level of H07 over the season").first
    assert drawing.is_visible()
    assert page.get_by_role("img", name="Field tube of H07").is_visible()


def test_new_texts_appear_by_themselves(place, open_page):
    page = open_page()
    page.goto(phone_address(page))
    page.fill("#body", "H07 -12")
    page.click("form.write button")
    page.wait_for_load_state()
    page.evaluate("window.still = true")
    place.settle()
    page.wait_for_selector("li.theirs:not(.pending)", timeout=10_000)
    assert "Do not irrigate yet" in page.text_content("li.theirs .said")
    assert page.evaluate("window.still") is True
    assert page.locator("#thread li").count() == 2


def test_without_scripts_a_link_shows_new_texts(place, open_page):
    page = open_page(scripts=False)
    page.goto(phone_address(page))
    page.fill("#body", "H07 -12")
    page.click("form.write button")
    place.settle()
    page.click("text=Look for new texts")
    assert "Do not irrigate yet" in page.text_content("li.theirs .said")
    assert not page.is_visible(".keypad")


def test_a_code_is_dialled_on_the_keypad(open_page):
    page = open_page(360)
    page.goto(phone_address(page))
    page.fill("#entry", "")
    for key in "*7007#":
        page.click(f'.keypad [data-key="{key}"]')
    page.click(".keypad [data-wipe]")
    assert page.input_value("#entry") == "*7007"
    page.fill("#entry", "*707#")
    page.click("form.dial button[type=submit]")
    assert page.text_content(".screen").strip()
    assert page.is_visible("text=Hang up")
    for entry, shown in (("1", "where is the water"), ("1", "how many cm BELOW")):
        page.wait_for_selector("#entry:focus")
        page.keyboard.type(entry)
        page.keyboard.press("Enter")
        page.wait_for_selector(f".screen:has-text('{shown}')")
    page.click('.keypad [data-key="7"]')
    page.click("form.dial button[type=submit]")
    assert "7 cm BELOW" in page.text_content(".screen")
    assert page.is_visible("text=The dialogue has ended")


def test_what_growers_write_runs_in_no_browser(place, open_page):
    place.text(READER, "<script>window.bitten = 1</script><img src=x onerror='window.bitten = 1'>")
    place.text(READER, "H07 -12 </bdi></td><svg onload='window.bitten = 1'>")
    page = open_page()
    for address in ["/log", "/unclear?heap=ask", "/unclear?heap=reject", phone_address(page)]:
        page.goto(address)
        page.wait_for_timeout(300)
        assert page.evaluate("window.bitten") is None, address


def test_the_keyboard_reaches_the_page_past_the_menu(open_page):
    page = open_page()
    page.goto("/plots")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Go to the page"
    page.keyboard.press("Enter")
    assert page.url.endswith("#page")


def phone_address(page) -> str:
    page.goto("/phones")
    return page.get_attribute(".handsets a", "href")
