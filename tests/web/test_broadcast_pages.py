"""The pages of broadcasts and costs: an officer writes, another releases, all see how it goes."""

import re
from typing import Any

import pytest

from gateway.advisory.budget import Budget, Cap
from gateway.advisory.carrier_profile import Price
from tests.houses import READER, TestHouse
from tests.manyphones import number, run
from tests.web.conftest import Visitor

FILLED: dict[str, Any] = {
    "title": "Office shut",
    "on": "2026-03-10",
    "at": "09:00",
    "source": "own",
    "text-en": "{scheme}: the office is shut on Friday. Text HELP",
    "read-en": "N. Neighbour",
}


def write(visitor: Visitor, **changes: Any) -> str:
    """The address of a draft."""
    answer = visitor.send("/broadcasts/new", "/broadcasts/new", **(FILLED | changes))
    assert answer.status_code == 302, answer.text
    return str(answer.location)


def release(visitor: Visitor, address: str) -> Any:
    seen = re.search(r'name="seen" value="([^"]+)"', visitor.get(address).text)
    assert seen
    return visitor.send(address, f"{address}/release", seen=seen[1])


def test_an_officer_writes_looks_releases_and_sees_it_arrive(
    place: TestHouse, officer: Visitor
) -> None:
    address = write(officer)
    page = officer.get(address).text
    assert "Trial Office: the office is shut on Friday. Text HELP" in page
    assert READER.reveal() not in page
    assert "Grower of H07" in page
    assert release(officer, address).status_code == 302
    run(place.house, place)
    place.text(READER, "thanks")
    page = officer.get(address).text
    assert "1 delivered" in page
    assert "thanks" in page
    assert "Office shut" in officer.get("/broadcasts").text


def test_crop_safety_is_released_by_another_officer_only(
    officer: Visitor, supervisor: Visitor
) -> None:
    address = write(officer, safety="yes")
    page = officer.get(address).text
    assert "Release to" not in page
    assert "another officer must release it" in page
    assert release(officer, address).status_code == 409
    assert release(supervisor, address).status_code == 302


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"title": ""}, "title"),
        ({"on": "soon"}, "on which day"),
        ({"text-en": ""}, "write one in a language"),
        ({"text-en": "{office}: shut"}, "Nothing fills"),
        ({"source": "broadcast.canal-shut"}, "places"),
        ({"source": "answer.wait"}, "not one that may be sent"),
    ],
)
def test_what_the_form_lacks_is_said_and_nothing_is_lost(
    officer: Visitor, changes: dict[str, str], words: str
) -> None:
    filled = FILLED | {"title": "Kept words"} | changes
    answer = officer.send("/broadcasts/new", "/broadcasts/new", **filled)
    assert answer.status_code == 422
    assert words in answer.text
    assert filled["title"] in answer.text
    assert "None was written yet" in officer.get("/broadcasts").text


def test_rough_words_are_named_before_they_are_sent(officer: Visitor) -> None:
    text = "Tomorrow hold at -15 cm, 5 kg, 3 h, 2 bags until 12/3"
    page = officer.get(write(officer, **{"text-en": text})).text
    for about in ("begin with", "sign that growers misread", "word that growers", "in figures"):
        assert about in page


def test_a_draft_in_words_that_nobody_has_read_aloud_is_not_released(officer: Visitor) -> None:
    address = write(officer, **{"read-en": ""})
    assert "nobody is named" in officer.get(address).text
    assert release(officer, address).status_code == 409


def test_pause_go_on_and_cancel_leave_an_audit(place: TestHouse, officer: Visitor) -> None:
    address = write(officer)
    release(officer, address)
    place.house.put_broadcasts()
    for step, words in (
        ("pause", "1 held back"),
        ("go-on", "1 waiting"),
        ("cancel", "1 withdrawn"),
    ):
        assert officer.send("/account", f"{address}/{step}").status_code == 302
        assert words in officer.get(address).text
    assert officer.send("/account", f"{address}/no-such").status_code == 404
    with place.house.store.begin_work(write=False) as work:
        noted = [row.what for row in work.conn.exec_driver_sql("SELECT what FROM audit")]
    assert [what for what in noted if what.startswith("broadcast")] == [
        "broadcast written",
        "broadcast released",
        "broadcast paused",
        "broadcast released",
        "broadcast cancelled",
    ]


def test_without_a_cap_the_page_of_costs_says_so(officer: Visitor) -> None:
    assert "No cap is set" in officer.get("/broadcasts/costs").text


def test_costs_are_shown_by_month_and_grower_and_warn(place: TestHouse) -> None:
    prices = {"simulator": Price(0.5, "XXX")}
    place.house.budget = Budget(Cap(1.2, "XXX"), 0.8, prices)
    place.text(READER, "H07 BELOW 8")
    place.text(READER, "H07 BELOW 9")
    page = Visitor(place.house.app.test_client()).sign_in("maro").get("/broadcasts/costs").text
    assert "1.00 of 1.20 XXX are spent" in page
    assert "Mar 2026" in page
    assert "Grower of H07" in page


def test_the_pages_need_somebody_signed_in(visitor: Visitor) -> None:
    for address in ("/broadcasts", "/broadcasts/new", "/broadcasts/1", "/broadcasts/costs"):
        assert visitor.get(address).status_code == 302


def test_no_broadcast_of_that_number_is_said(officer: Visitor) -> None:
    assert officer.get("/broadcasts/99").status_code == 404


def test_a_test_goes_to_the_phone_that_is_named(place: TestHouse, officer: Visitor) -> None:
    address = write(officer)
    answer = officer.send(address, f"{address}/try", number=number(77).reveal())
    assert answer.status_code == 302
    place.settle()
    assert place.house.simulators["simulator"].inbox(number(77))
    assert officer.send(address, f"{address}/try", number="nobody").status_code == 409
