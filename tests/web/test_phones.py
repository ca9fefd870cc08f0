"""The simulated phones: texts and dialogues travel as from a real one."""

import re
from dataclasses import replace

import pytest

from gateway.intake import take_keepers
from gateway.web.app import create_app
from tests.web.conftest import Visitor
from tests.web.visits import phone_page


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


def test_a_reading_is_dialled_in_and_stands_in_the_log(place, supervisor):
    page = phone_page(supervisor)
    screens = []
    for entry in ("*707#", "1", "1", "12"):
        supervisor.send(page, f"{page}/dial", entry=entry)
        html = supervisor.get(page).text
        screens.append(screen_of(html))
    assert len(set(screens)) == 4
    assert "12 cm BELOW" in screens[3]
    assert "The dialogue has ended" in html
    assert "12 cm below" in supervisor.get("/log").text


def test_hanging_up_closes_the_dialogue(supervisor):
    page = phone_page(supervisor)
    supervisor.send(page, f"{page}/dial", entry="*707#")
    assert "Hang up" in supervisor.get(page).text
    supervisor.send(page, f"{page}/dial", **{"hang-up": "1"})
    assert 'class="screen"' not in supervisor.get(page).text


def test_hanging_up_is_told_to_the_dialogue(place):
    desk, steps = place.house.app.extensions["desk"], []

    def dial(step):
        steps.append(step)
        return desk.dial(step)

    visitor = Visitor(create_app(replace(desk, dial=dial)).test_client()).sign_in("sela")
    page = phone_page(visitor)
    visitor.send(page, f"{page}/dial", entry="*707#")
    visitor.send(page, f"{page}/dial", **{"hang-up": "1"})
    assert [(step.entry, step.gone) for step in steps] == [(None, False), (None, True)]
    assert steps[0].session == steps[1].session


def test_a_wrong_code_leads_nowhere(place, supervisor):
    page = phone_page(supervisor)
    supervisor.send(page, f"{page}/dial", entry="*1#")
    assert "This code leads nowhere" in supervisor.get(page).text


def screen_of(html: str) -> str:
    return re.search(r'class="screen".*?</p>', html, re.S)[0]


def test_a_phone_is_found_by_grower_or_plot(supervisor):
    assert "Grower of H07" in supervisor.get("/phones?find=h07").text
    assert "No phone fits" in supervisor.get("/phones?find=zzz").text


@pytest.mark.parametrize(
    ("join", "yes", "asked"),
    [
        ("JOIN", "YES", "What is your name?"),
        ("INSCRIRE", "OUI", "Quel est votre nom?"),
        ("DAFTAR", "YA", "Siapa nama Anda?"),
        ("SALI", "OO", "Ano ang pangalan mo?"),
        ("DANG KY", "DONG Y", "Ban ten gi?"),
        ("যোগদান", "হ্যাঁ", "আপনার নাম কী?"),
        ("जुड़ो", "हाँ", "आपका नाम क्या है?"),
    ],
)
def test_a_new_phone_is_taken_and_joins_in_its_language(place, supervisor, join, yes, asked):
    taken = supervisor.send("/phones", "/phones/new", number="+1 202 555 0155")
    page = taken.headers["Location"].partition("#")[0]
    assert "Not enrolled" in supervisor.get(page).text
    for said in (join, yes):
        supervisor.send(page, f"{page}/text", body=said)
        place.settle()
    assert supervisor.get(f"{page}/thread").json[-1]["text"].startswith(asked)
    assert "not enrolled" in supervisor.get("/phones").text


def test_a_number_that_is_none_takes_no_phone_and_says_why(supervisor):
    answer = supervisor.send("/phones", "/phones/new", number="twelve")
    assert answer.status_code == 422
    assert "not a phone number" in answer.text


def test_a_keeper_of_an_outlet_has_a_phone_on_the_page_too(place, supervisor, tmp_path):
    sheet = tmp_path / "keepers.csv"
    sheet.write_text("outlet,name,role,phone\nU1,Pela Orun,gate-keeper,+12025550171\n", "utf-8")
    take_keepers(place.house, sheet, False)
    assert "Pela Orun" in supervisor.get("/phones").text
