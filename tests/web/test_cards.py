"""The printed cards and the blocks they are printed from: whose, in what words, with what marks."""

import re
from dataclasses import replace
from itertools import pairwise

import pytest

from gateway.advisory.number import Number
from gateway.agronomy.plot import Plot
from gateway.messages.heard import Sender
from gateway.messages.interpret import interpret
from gateway.web.cards import says
from gateway.web.cards_scenes import SCENES
from gateway.web.cards_strip import MM, draw_strip, pieces_of
from tests.houses import READER, TestHouse

LANGUAGES = ("en", "fr", "id", "fil", "vi", "bn", "hi")
DRY_SOIL = Plot("H08", 0.4, "clay-loam", 15.0, 20.0, 20.0, bars=frozenset())
READ_AS = {
    "below": ("reading", -12.0),
    "above": ("reading", 3.0),
    "dry": ("dry", None),
    "flooded": ("flooded", None),
    "no-water": ("no-water", None),
    "person": ("help", None),
}


def number(at: int) -> Number:
    return Number(f"+120255501{20 + at}")


def card_of(place: TestHouse, plot: Plot, language: str = "en"):
    place.add_plot("H08", number(8), plot=plot, language=language)
    return place.house.app.extensions["desk"].cards.of_plot(place.house.scheme, "H08")[0]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("scene", SCENES, ids=lambda scene: scene.name)
def test_what_a_card_says_to_text_is_understood_as_its_picture_shows(place, language, scene):
    card = card_of(place, DRY_SOIL, language)
    heard = interpret(
        says(card, scene), Sender(("H08",), language), place.house.papers.vocabulary(language)
    )
    assert heard.outcome == "accept"
    found = [("dry" if r.dry else "reading", r.level_cm) for r in heard.readings]
    found += [(m.kind, m.value) for m in heard.meanings]
    assert found == [READ_AS[scene.name]]


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_card_speaks_the_language_of_who_reads_the_plot(place, officer, language):
    card = card_of(place, DRY_SOIL, language)
    html = officer.get("/cards?plot=h08").text
    assert f'<article class="card" lang="{language}">' in html
    assert card.words.say("card.heading") in html.replace("&#39;", "'")


def test_a_plot_that_nobody_reads_has_its_card_in_the_language_of_the_scheme(place, officer):
    place.add_plot("H09")
    assert '<article class="card" lang="en">' in officer.get("/cards?plot=H09").text


def test_a_block_is_printed_whole_in_the_order_of_its_plots(place, officer):
    for at, code in enumerate(("H20", "H10", "H15")):
        place.add_plot(code, number(at))
    html = officer.get("/cards?block=Upper").text
    assert re.findall(r"<b>(H\d+)</b>", html) == ["H07", "H10", "H15", "H20"]


@pytest.mark.parametrize("query", ["", "?block=Nowhere", "?plot=H99", "?plot=", "?block=%25"])
def test_without_a_plot_there_is_no_card(officer, query):
    assert officer.get(f"/cards{query}").status_code == 404


@pytest.mark.parametrize("page", ["/cards?block=Upper", "/cards?plot=H07", "/blocks"])
def test_only_who_signed_in_sees_them(visitor, page):
    assert visitor.get(page).status_code == 302


def test_a_card_loads_nothing_from_elsewhere_and_bears_no_number(officer):
    answer = officer.get("/cards?plot=H07")
    assert "script" not in answer.text
    assert " style=" not in answer.text
    assert READER.masked not in answer.text
    assert "http" not in answer.text.replace("http://www.w3.org/2000/svg", "")
    assert answer.headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize("bar", ["saline", "acid-sulphate", "cadmium", "salty-water"])
def test_soil_that_must_stay_wet_has_no_dry_limit_on_its_card(place, officer, bar):
    card = card_of(place, replace(DRY_SOIL, bars=frozenset({bar})))
    html = officer.get("/cards?plot=H08").text
    assert card.dry_cm is None
    assert card.words.say("card.keep-wet") in html
    assert card.words.say("card.irrigate") not in html


@pytest.mark.parametrize(
    ("plot", "fill", "dry", "bottom"),
    [
        pytest.param(DRY_SOIL, 5, -15, -20, id="the usual"),
        pytest.param(replace(DRY_SOIL, bars=frozenset({"cracking"})), 5, -10, -20, id="cracks"),
        pytest.param(replace(DRY_SOIL, bund_cm=3.5), 3.5, -15, -20, id="a low bund"),
        pytest.param(replace(DRY_SOIL, tube_bottom_cm=-12.0), 5, -12, -12, id="a short tube"),
        pytest.param(replace(DRY_SOIL, tube_bottom_cm=-38.0), 5, -15, -38, id="a long tube"),
    ],
)
def test_the_marks_are_the_levels_of_the_plot(place, plot, fill, dry, bottom):
    card = card_of(place, plot)
    assert (card.fill_cm, card.dry_cm, card.bottom_cm) == (fill, dry, bottom)
    pieces = pieces_of(card)
    assert pieces[-1].low == bottom
    assert all(above.low == below.high for above, below in pairwise(pieces))
    for level in (fill, dry, bottom):
        assert sum(piece.holds(level) for piece in pieces) == 1


def test_a_centimetre_on_the_strip_is_ten_millimetres(place):
    card = card_of(place, DRY_SOIL)
    assert all(piece.y(-1) - piece.y(0) == MM == 10 for piece in pieces_of(card))
    drawn = draw_strip(card)
    width, height = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', drawn).groups()
    assert f'width="{width}mm"' in drawn
    assert f'height="{height}mm"' in drawn


def test_the_blocks_tell_how_far_each_has_come(place, officer):
    place.add_plot("H08", plot=replace(DRY_SOIL, rim_cm=None))
    place.text(READER, "H07 BELOW 8")
    cells = re.findall(r'<td data-label="([^"]+)">(.*?)</td>', officer.get("/blocks").text)
    found = {label: re.sub("<[^>]+>", "", words).strip() for label, words in cells}
    assert found == {
        "Block": "Upper",
        "Outlet": "U1",
        "Plots": "2",
        "Tube measured": "1 of 2 (50 %)",
        "A phone reads it": "1 of 2 (50 %)",
        "Read at least once": "1 of 2 (50 %)",
        "Water turns": "not told",
        "Cards": "Print cards",
    }


def test_a_phone_that_left_reads_no_plot_of_its_block(place, officer):
    place.text(READER, "STOP")
    assert '<td data-label="A phone reads it">0 of 1' in officer.get("/blocks").text


@pytest.mark.parametrize(
    ("language", "length"), [("hi", "10 सेमी"), ("bn", "১০ সেমি"), ("fr", "10 cm")]
)
def test_the_bar_names_its_length_in_the_words_of_the_card(place, supervisor, language, length):
    place.add_plot("K12", number(9), language=language)
    assert f">{length}</text>" in supervisor.get("/cards?plot=K12").text
