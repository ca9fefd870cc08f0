"""The pages of the office, on real parts: what they show, to whom, and how they are guarded."""

import re
from datetime import timedelta

import pytest

from gateway.web.picture import picture_of
from tests.houses import READER
from tests.web.visits import TOKEN, texted


def test_the_log_shows_who_when_what_and_what_became_of_it(place, officer):
    texted(place, "H07 -12")
    html = officer.get("/log").text
    for shown in ("Grower of H07", "H07 -12", "understood", "delivered", "Tue 10 Mar 2026 09:00"):
        assert shown in html, shown
    assert READER.masked in html


@pytest.mark.parametrize(
    ("query", "shown"),
    [
        ("", {"H07 -12", "H07 15", "thanks"}),
        ("plot=H07", {"H07 -12", "H07 15"}),
        ("plot=h07", {"H07 -12", "H07 15"}),
        ("plot=H99", set()),
        ("outcome=ask", {"H07 15"}),
        ("outcome=reject", {"thanks"}),
        ("outcome=junk", {"H07 -12", "H07 15", "thanks"}),
        ("way=in", {"H07 -12", "H07 15", "thanks"}),
        ("way=out", set()),
        ("words=THANKS", {"thanks"}),
        ("words=%25", set()),
        ("state=delivered", {"H07 -12", "H07 15"}),
        ("state=undeliverable", set()),
        ("from=2026-03-10&to=2026-03-10", {"H07 -12", "H07 15", "thanks"}),
        ("from=2026-03-11", set()),
        ("to=2026-03-09", set()),
        ("from=junk&page=junk", {"H07 -12", "H07 15", "thanks"}),
        ("page=999999999", {"H07 -12", "H07 15", "thanks"}),
        ("_external=1&_scheme=evil&endpoint=x&words=thanks", {"thanks"}),
    ],
)
def test_the_log_is_filtered(place, officer, query, shown):
    texted(place, "H07 -12", "H07 15", "thanks")
    answer = officer.get(f"/log?{query}")
    assert answer.status_code == 200
    table = answer.text.partition("<tbody>")[2]
    assert {b for b in ("H07 -12", "H07 15", "thanks") if f">{b}<" in table} == shown
    assert ("No text fits this filter" in answer.text) == (not shown)


def test_the_log_is_paged_and_keeps_its_filter(place, officer):
    texted(place, *(f"H07 -{1 + n % 9}.{n // 9}" for n in range(51)))
    first = officer.get("/log?plot=H07").text
    assert "Page 1 of 2" in first
    older = re.search(r'rel="next" href="([^"]+)"', first)[1].replace("&amp;", "&")
    assert "plot=H07" in older
    second = officer.get(older).text
    assert "Page 2 of 2" in second
    assert second.count("<tr>") < first.count("<tr>")


def test_an_empty_log_says_so(officer):
    assert "No text has come in or gone out yet" in officer.get("/log").text


def test_what_was_not_understood_lies_in_heaps(place, officer):
    texted(place, "H07 15", "thanks")
    assert ">H07 15<" in officer.get("/unclear?heap=ask").text
    assert ">thanks<" in officer.get("/unclear?heap=reject").text
    assert "No text lies here" in officer.get("/unclear?heap=failed").text
    assert officer.get("/unclear?heap=junk").status_code == 200


def test_unreadable_callbacks_are_listed_with_their_cause(place, officer):
    officer.client.post("/carrier/simulator/text", data=b'{"text": 1}', headers=TOKEN)
    html = officer.get("/unclear?heap=unreadable").text
    assert "simulator" in html
    assert "11 bytes" in html


def test_the_plots_are_listed_with_their_newest_advice(place, officer):
    texted(place, "H07 -12")
    html = officer.get("/plots").text
    for shown in ("H07", "Upper", "Grower of H07", "wait, do not irrigate yet", "below the soil"):
        assert shown in html, shown


@pytest.mark.parametrize(
    ("query", "is_shown"),
    [
        ("block=Upper", True),
        ("block=Lower", False),
        ("action=wait", True),
        ("action=drain", False),
        ("stage=flowering", False),
        ("page=9", False),
    ],
)
def test_the_plots_are_filtered(place, officer, query, is_shown):
    texted(place, "H07 -12")
    assert (">H07<" in officer.get(f"/plots?{query}").text) == is_shown


def test_the_page_of_a_plot_shows_tube_season_advice_book_and_texts(place, officer):
    texted(place, "H07 -12")
    html = officer.get("/plots/H07").text
    assert html.count("<svg") >= 3
    for shown in (
        "Field tube of H07",
        "Water level of H07 over the season",
        "Advice of Tue 10 Mar 2026",
        "12 cm below the soil",
        "Stages by date",
        "Event book",
        "transplanted on",
    ):
        assert shown in html, shown
    assert ">H07 -12<" in html


def test_a_plot_without_a_crop_or_a_reading_has_a_page_too(place, officer):
    place.add_plot("K01")
    with place.house.store.begin() as unit:
        from gateway.agronomy.plot import Plot

        unit.schemes.add_plot(place.scheme_id, place.block_id, Plot("K02"), "")
        unit.commit()
    assert "No reading has come in yet" in officer.get("/plots/K01").text
    assert "No crop is on record" in officer.get("/plots/K02").text


def looked_into(html: str) -> list[str]:
    """What stands in the list of plots under To look into, plot by plot."""
    return re.findall('data-label="To look into">([^<]*)<', html)


def test_readings_that_look_made_up_are_listed_for_the_office(place, officer):
    for _ in range(4):
        texted(place, "H07 -12")
        place.clock.move(timedelta(days=1))
    texted(place, "H07 -12")
    assert looked_into(officer.get("/plots").text) == ["the same number again and again"]
    assert ">H07<" in officer.get("/plots?concern=same-number-again").text
    assert ">H07<" not in officer.get("/plots?concern=falls-too-fast").text
    assert "is the tube really read?" in officer.get("/plots/H07").text


def test_a_bund_that_leaks_day_after_day_is_listed_for_the_office(place, officer):
    for level in (1, 2, 1, 0.5):
        texted(place, "H07 flooded")
        place.clock.move(timedelta(days=1))
        texted(place, f"H07 {level} above")
        place.clock.move(timedelta(days=1))
    assert looked_into(officer.get("/plots?concern=loses-too-much").text) == ["a leaking bund?"]
    assert "a crab hole" in officer.get("/plots/H07").text


def test_a_reader_whose_plots_are_all_alike_is_named_on_their_pages(place, officer):
    for code in ("H08", "H09", "H10", "H11"):
        place.add_plot(code, READER)
    for number, code in enumerate(("H07", "H08", "H09", "H10")):
        texted(place, f"{code} -12")
        place.clock.move(timedelta(minutes=number + 1))
    alike = "One reader reports the same level from several plots"
    assert alike not in officer.get("/plots/H07").text
    texted(place, "H11 -12")
    assert alike in officer.get("/plots/H07").text
    assert alike in officer.get("/plots/H11").text


@pytest.mark.parametrize(
    "address", ["/plots/X99", "/plots/%3Cscript%3E", "/phones/999", "/nowhere"]
)
def test_what_is_not_on_record_gets_a_page_of_ours(supervisor, address):
    answer = supervisor.get(address)
    assert answer.status_code == 404
    assert "There is no such page, plot or phone" in answer.text


def test_a_reading_that_was_taken_back_is_drawn_no_more_and_shown_as_replaced(place, officer):
    texted(place, "H07 -12", "H07 wrong")
    page = place.house.app.extensions["desk"].plot_page(place.scheme_id, "H07")
    assert [row.superseded for row in page.rows if row.event.kind == "reading"] == [True]
    assert "reading" not in [mark.kind for mark in picture_of(page).marks]
    assert "replaced, no longer counts" in officer.get("/plots/H07").text
