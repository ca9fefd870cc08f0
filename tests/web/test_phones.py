"""The simulated phones: texts and dialogues travel as from a real one."""

import re

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
