"""The cards in a real browser, on paper: one A5 page a plot, true to the millimetre, nothing cut.

A5 is 148 x 210 mm (ISO 216), 420 x 595 pt at 72 pt an inch.
"""

import re

import pytest

from gateway.advisory.number import Number
from gateway.agronomy.plot import Plot

LANGUAGES = ("en", "fr", "id", "fil", "vi", "bn", "hi")
BARRED = frozenset({"saline"})
MM = 25.4 / 96  # a CSS pixel on paper
BOX = re.compile(rb"/MediaBox ?\[0 0 ([\d.]+) ([\d.]+)\]")

MEASURES = """() => [...document.querySelectorAll('.card')].map(card => {
  const box = each => each.getBoundingClientRect(), page = box(card);
  const parts = [...card.querySelectorAll('.words li, .says, .scenes li > p, .strip, h2, .plot')];
  return {
    lang: card.lang, width: page.width, height: page.height,
    bar: box(card.querySelector('.check-bar')).height,
    pieces: [...card.querySelectorAll('.cut')].map(each => box(each).height),
    below: Math.max(...parts.map(each => box(each).bottom)) - page.bottom,
    right: Math.max(...parts.map(each => box(each).right)) - page.right,
    spilt: card.scrollHeight - card.clientHeight + card.scrollWidth - card.clientWidth,
    scene: Math.min(...[...card.querySelectorAll('svg.scene')].map(each => box(each).height)),
  };
})"""


@pytest.fixture
def printed(place, open_page):
    """A block with a card in each language, with soils and tubes that need most room."""
    for at, language in enumerate(LANGUAGES):
        for kind, bars, bottom in (("A", BARRED, None), ("B", frozenset(), -38.0)):
            code, phone = f"{kind}{at}LONGER", Number(f"+1202555{100 + at}{ord(kind) % 10}")
            plot = Plot(code, 0.4, "clay", 15.0, 20.0, 20.0, bars=bars, tube_bottom_cm=bottom)
            place.add_plot(code, phone, plot=plot, language=language)
    page = open_page()
    page.goto("/cards?block=Upper")
    page.emulate_media(media="print")
    return page


def test_each_card_is_one_page_of_a5(printed):
    cards = printed.locator(".card").count()
    pages = BOX.findall(printed.pdf(prefer_css_page_size=True))
    assert len(pages) == cards == 2 * len(LANGUAGES) + 1
    for width, height in pages:
        assert float(width) == pytest.approx(420, abs=1)
        assert float(height) == pytest.approx(595, abs=1)


def test_the_bar_is_ten_centimetres_and_nothing_leaves_its_page(printed):
    found = printed.evaluate(MEASURES)
    assert {each["lang"] for each in found} == set(LANGUAGES)
    for card in found:
        assert card["width"] * MM == pytest.approx(148, abs=0.5), card
        assert card["height"] * MM == pytest.approx(210, abs=0.5), card
        assert card["bar"] * MM == pytest.approx(100, abs=0.5), card
        assert card["below"] <= -4 / MM, card
        assert card["right"] <= -4 / MM, card
        assert card["spilt"] == 0, card
        assert card["scene"] * MM > 15, card
    lengths = [sum(card["pieces"]) * MM for card in found]
    assert sorted({round(length) for length in lengths}) == [260, 440]  # 6 cm above to 20, to 38


@pytest.mark.parametrize("width", [1280, 360])
def test_the_blocks_and_the_cards_fit_the_screen(open_page, width):
    page = open_page(width)
    for address in ("/blocks", "/cards?plot=H07"):
        page.goto(address)
        wide = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        assert page.evaluate(wide) <= 0, address


def test_a_block_is_printed_from_its_line(open_page):
    page = open_page()
    page.goto("/blocks")
    page.get_by_role("link", name="Print cards").click()
    assert page.locator(".card").count() == 1
    page.goto("/plots/H07")
    page.get_by_role("link", name="Print its card").click()
    assert page.locator(".card b").inner_text() == "H07"
