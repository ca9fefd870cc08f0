"""Who may see what, what must never show, and what is said when something is wrong."""

import re
from dataclasses import replace

import pytest

from gateway.web.app import create_app
from gateway.web.guard import OPEN_ENDPOINTS
from tests.houses import READER, STRANGER
from tests.web.conftest import Visitor
from tests.web.visits import PAGES, TOKEN, phone_page, texted


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


@pytest.mark.parametrize(
    "body",
    [
        "<script>alert(1)</script> H07 -12",
        '"><img src=x onerror=alert(1)>',
        "'; DROP TABLE x; --",
        "<img src=x>" * 60,
    ],
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
