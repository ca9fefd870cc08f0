"""The pages of the office, on real parts: what they show, to whom, and how they are guarded."""

import re
from dataclasses import replace

import pytest

from gateway.web.app import create_app
from gateway.web.guard import OPEN_ENDPOINTS
from tests.houses import READER, STRANGER, TestHouse
from tests.web.conftest import SECRETS, Visitor

PAGES = ["/log", "/unclear", "/plots", "/plots/H07", "/phones", "/phones/1", "/account"]
TOKEN = {"X-Carrier-Token": SECRETS["GATEWAY_SIMULATOR_TOKEN"]}


def texted(place: TestHouse, *bodies: str) -> None:
    for body in bodies:
        place.text(READER, body)


# -- who may see ----------------------------------------------------------------------------------


def test_every_page_but_the_open_ones_asks_who_one_is(place, visitor):
    rules = [
        rule
        for rule in place.house.app.url_map.iter_rules()
        if rule.endpoint not in OPEN_ENDPOINTS and not rule.endpoint.startswith("callbacks.")
    ]
    assert len(rules) > 8
    for rule in rules:
        address = re.sub("<[^>]+>", "1", rule.rule)
        if "GET" in rule.methods:
            assert visitor.get(address).location.startswith("/sign-in"), address
        else:
            answer = visitor.send("/sign-in", address)
            assert answer.location.startswith("/sign-in"), address


@pytest.mark.parametrize("page", [*PAGES, "/sign-in", "/health", "/nowhere"])
def test_every_answer_is_closed_to_foreign_scripts_frames_and_caches(supervisor, page):
    headers = supervisor.get(page).headers
    policy = headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["X-Frame-Options"] == "DENY"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize("page", [*PAGES, "/sign-in"])
def test_no_page_has_inline_scripts_styles_or_foreign_addresses(place, supervisor, page):
    texted(place, "H07 -12")
    html = supervisor.get(page).text
    assert not re.search(r"<script(?! src=)|<style|\sstyle=|\son\w+=|javascript:", html)
    foreign = re.findall(r'(?:href|src|action)="(?:https?:)?//[^"]*"', html)
    assert not foreign


def test_only_a_supervisor_texts_in_a_growers_name(officer, supervisor):
    assert officer.get("/phones").status_code == 403
    assert officer.send("/account", "/phones/1/text", body="H07 -12").status_code == 403
    assert "Phones" not in officer.get("/account").text.split("</nav>")[0]
    assert supervisor.get("/phones").status_code == 200


def test_without_a_simulator_there_is_no_phones_page(place):
    desk = replace(place.house.app.extensions["desk"], phones=None)
    visitor = Visitor(create_app(desk).test_client()).sign_in("sela")
    assert visitor.get("/phones").status_code == 404
    assert "/phones" not in visitor.get("/log").text


# -- the reply log --------------------------------------------------------------------------------


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


# -- not understood -------------------------------------------------------------------------------


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


# -- plots ----------------------------------------------------------------------------------------


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


@pytest.mark.parametrize(
    "address", ["/plots/X99", "/plots/%3Cscript%3E", "/phones/999", "/nowhere"]
)
def test_what_is_not_on_record_gets_a_page_of_ours(supervisor, address):
    answer = supervisor.get(address)
    assert answer.status_code == 404
    assert "There is no such page, plot or phone" in answer.text


# -- phones ---------------------------------------------------------------------------------------


def phone_page(supervisor: Visitor) -> str:
    return re.search(r'href="(/phones/\d+)"', supervisor.get("/phones").text)[1]


def test_a_text_written_on_a_phone_travels_and_its_answer_comes_back(place, supervisor):
    page = phone_page(supervisor)
    assert supervisor.send(page, f"{page}/text", body="H07 -12").status_code == 302
    place.settle()
    texts = supervisor.get(f"{page}/thread").json
    assert [text["mine"] for text in texts] == [True, False]
    assert texts[0]["text"] == "H07 -12"
    assert "Do not irrigate yet" in texts[1]["text"]
    assert "Do not irrigate yet" in supervisor.get(page).text


def test_a_text_that_did_not_reach_the_phone_says_why(place, supervisor):
    page = phone_page(supervisor)
    supervisor.send(page, f"{page}/text", body="H07 -12")
    place.house.simulators["simulator"].pump(place.clock.now())
    (_, ours) = supervisor.get(f"{page}/thread").json
    assert ours["note"] == "not on this phone: waiting to leave"


def test_dialling_opens_a_dialogue_that_goes_on_and_ends(supervisor):
    page = phone_page(supervisor)
    supervisor.send(page, f"{page}/dial", entry="*707#")
    first = supervisor.get(page).text
    assert 'class="screen"' in first
    supervisor.send(page, f"{page}/dial", entry="1")
    second = supervisor.get(page).text
    assert screen_of(second) != screen_of(first)
    supervisor.send(page, f"{page}/dial", **{"hang-up": "1"})
    assert 'class="screen"' not in supervisor.get(page).text


def test_a_wrong_code_leads_nowhere(place, supervisor):
    page = phone_page(supervisor)
    supervisor.send(page, f"{page}/dial", entry="*1#")
    assert "This code leads nowhere" in supervisor.get(page).text


def screen_of(html: str) -> str:
    return re.search(r'class="screen".*?</p>', html, re.S)[0]


def test_a_phone_is_found_by_grower_or_plot(supervisor):
    assert "Grower of H07" in supervisor.get("/phones?find=h07").text
    assert "No phone fits" in supervisor.get("/phones?find=zzz").text


# -- what must never show -------------------------------------------------------------------------


@pytest.mark.parametrize(
    "body",
    ["<script>alert(1)</script> H07 -12", '"><img src=x onerror=alert(1)>', "'; DROP TABLE x; --"],
)
def test_what_growers_write_is_never_markup(place, supervisor, body):
    texted(place, body)
    for page in [*PAGES, "/unclear?heap=ask", "/unclear?heap=reject", "/log?words=" + body]:
        html = supervisor.get(page).text
        assert "<script>alert" not in html, page
        assert "<img" not in html, page


def test_a_long_text_is_folded_and_turning_marks_are_named(place, supervisor):
    texted(place, "y" * 10_000, "\u202e H07 -12")
    html = supervisor.get("/log").text
    assert "all 10000 characters" in html
    assert "\u202e" not in html
    assert "[U+202E]" in html


def test_a_known_number_stands_in_full_on_no_page_and_in_no_log(place, supervisor, caplog):
    caplog.set_level("DEBUG")
    texted(place, f"H07 -12 call {READER.reveal()}", "H07 15")
    place.text(STRANGER, "who is this")
    supervisor.client.post(
        "/carrier/simulator/text", data=f"[{READER.reveal()}".encode(), headers=TOKEN
    )
    page = phone_page(supervisor)
    supervisor.send(page, f"{page}/dial", entry="*707#")
    for address in [*PAGES, page, f"{page}/thread", "/health", "/unclear?heap=unreadable"]:
        supervisor.get(address)
    said = "".join(supervisor.seen) + caplog.text
    for number in (READER.reveal(), STRANGER.reveal()):
        assert number[1:] not in said
        assert number[-7:] not in said
        assert number[-7:-4] + " " + number[-4:] not in said


# -- trouble --------------------------------------------------------------------------------------


def test_a_fault_gives_a_reference_and_the_log_the_rest(place, caplog):
    def broken(scheme_id: int, code: str):
        raise ValueError(f"broken for {READER.reveal()}")

    desk = replace(place.house.app.extensions["desk"], plot_page=broken)
    visitor = Visitor(create_app(desk).test_client()).sign_in("maro")
    answer = visitor.get("/plots/H07")
    assert answer.status_code == 500
    reference = re.search(r"Reference: <strong[^>]*>([0-9a-f]{8})<", answer.text)[1]
    assert "broken" not in answer.text
    assert "Traceback" not in answer.text
    assert reference in caplog.text
    assert "ValueError: broken for" in caplog.text
    assert READER.reveal()[1:] not in caplog.text


def test_pages_say_when_the_store_is_away(place, officer, tmp_path):
    assert officer.get("/log").status_code == 200
    place.house.store.close()
    (tmp_path / "kept").rename(tmp_path / "away")
    answer = officer.get("/log")
    assert answer.status_code == 503
    assert "records cannot be reached" in answer.text
    assert officer.get("/health").status_code == 503
    assert officer.get("/health").json["store"] == "down"


def test_health_needs_no_sign_in_and_tells_of_nobody(place, visitor):
    texted(place, "H07 -12")
    answer = visitor.get("/health")
    assert (answer.status_code, answer.json["store"]) == (200, "ok")
    for personal in ("Grower", READER.reveal()[1:], READER.masked):
        assert personal not in answer.text


def test_the_address_of_the_house_leads_to_the_log(officer):
    assert officer.get("/").location == "/log"
