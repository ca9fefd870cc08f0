"""Stop and mend: what an officer stops, tells of a block, undoes and calls back in the browser."""

import re

import pytest

from tests.houses import READER, TestHouse
from tests.web.conftest import Visitor

TOMORROW = "2026-03-11"


def forms(html: str, action: str) -> list[dict[str, str]]:
    """The hidden fields of each form that goes there."""
    found = re.findall(rf'<form[^>]*action="{action}"[^>]*>(.*?)</form>', html, re.DOTALL)
    field = re.compile(r'<input type="hidden" name="([^"]+)" value="([^"]*)">')
    return [{k: v for k, v in field.findall(each) if k != "form"} for each in found]


def test_a_pause_is_set_shown_and_ended(place: TestHouse, officer: Visitor) -> None:
    told = {"plot": "h07", "last_on": TOMORROW, "reason": "tubes moved", "safety": "call"}
    assert officer.send("/mend", "/mend/pauses", **told).status_code == 302
    page = officer.get("/mend").text
    assert "plot H07" in page
    assert "tubes moved" in page
    assert "Advice rests until" in officer.get("/plots/H07").text
    assert "ASK the office" in place.text(READER, "H07 16 below")[0]
    assert officer.send("/mend", "/mend/pauses/1/end").status_code == 302
    assert "Advice rests until" not in officer.get("/plots/H07").text
    assert officer.send("/mend", "/mend/pauses/1/end").status_code == 409
    assert "IRRIGATE" in place.text(READER, "H07 16 below")[0]


@pytest.mark.parametrize(
    "wrong", [{"last_on": ""}, {"reason": " "}, {"plot": "Z99"}, {"safety": "else"}]
)
def test_a_pause_that_cannot_be_says_so(officer: Visitor, wrong: dict[str, str]) -> None:
    told = {"plot": "H07", "last_on": TOMORROW, "reason": "tubes moved", "safety": "call"}
    answer = officer.send("/mend", "/mend/pauses", **(told | wrong))
    assert answer.status_code == 409
    assert 'role="alert"' in answer.text
    assert "No advice has been paused" in answer.text


def test_a_fact_of_a_block_is_shown_written_and_undone(place: TestHouse, officer: Visitor) -> None:
    place.text(READER, "H07 16 below")
    told = {"of": "Upper", "kind": "flooded", "on": "2026-03-10", "cm": "5", "left_out": ""}
    shown = officer.send("/mend", "/mend/facts", **told)
    assert "Nothing is written yet" in shown.text
    assert "irrigated on Tue 10 Mar, 5 cm" in shown.text
    assert "irrigate" in shown.text
    assert "Nothing was told of a whole block" in officer.get("/mend").text
    (written,) = forms(shown.text, "/mend/facts")
    assert officer.send("/mend", "/mend/facts", **written).status_code == 302
    assert "irrigated on Tue 10 Mar" in officer.get("/mend").text
    assert officer.send("/mend", "/mend/facts/1/undo").status_code == 302
    assert officer.send("/mend", "/mend/facts/1/undo").status_code == 409
    assert officer.send("/mend", "/mend/facts/99/undo").status_code == 409


@pytest.mark.parametrize("rain", ["", "much", "nan", "-5"])
def test_rain_without_its_depth_is_refused(officer: Visitor, rain: str) -> None:
    told = {"of": "Upper", "kind": "rain", "on": "2026-03-10", "mm": rain}
    answer = officer.send("/mend", "/mend/facts", **told)
    assert answer.status_code == 409
    assert "rain needs its mm" in answer.text


def test_only_a_supervisor_calls_texts_back(place: TestHouse, officer: Visitor) -> None:
    place.text(READER, "H07 16 below")
    page = officer.get("/mend").text
    assert "by a supervisor" in page
    assert forms(page, "/mend/recalls") == []
    assert officer.send("/mend", "/mend/recalls", about="rules", name="any").status_code == 403


def test_corrections_are_shown_then_sent_once(place: TestHouse, supervisor: Visitor) -> None:
    place.text(READER, "H07 16 below")
    asked = forms(supervisor.get("/mend").text, "/mend/recalls")[0]
    assert asked["about"] == "rules"
    shown = supervisor.send("/mend", "/mend/recalls", **asked)
    assert "Corrections, not sent yet" in shown.text
    assert READER.reveal() not in shown.text
    (send,) = forms(shown.text, "/mend/recalls")
    assert supervisor.send("/mend", "/mend/recalls", **send).status_code == 302
    assert supervisor.send("/mend", "/mend/recalls", **send).status_code == 409
    place.settle()
    last = place.house.simulators["simulator"].inbox(READER)[-1].text
    assert "WRONG, forget them" in last
    assert "called back" in supervisor.get("/mend").text


def test_what_may_be_called_back_is_a_closed_list(supervisor: Visitor) -> None:
    assert supervisor.send("/mend", "/mend/recalls", about="moon", name="x").status_code == 400
