"""The page People: an officer decides who may join, and sees whom no phone reaches."""

import re

from tests.houses import READER, STRANGER, TestHouse
from tests.web.conftest import Visitor

TOLD = ("JOIN", "YES", "Ama Tavo", "H07", "2", "1")


def asked(place: TestHouse) -> None:
    for each in TOLD:
        place.text(STRANGER, each)


def test_an_officer_sees_a_request_and_confirms_it(place: TestHouse, officer: Visitor) -> None:
    asked(place)
    page = officer.get("/people").text
    assert "Ama Tavo" in page
    assert "read by 1 phone" in page
    assert STRANGER.reveal() not in page
    (address,) = re.findall(r'action="(/people/requests/\d+/confirm)"', page)
    assert officer.send("/people", address, code="H07").status_code == 302
    assert "Nobody waits." in officer.get("/people").text
    assert place.text(STRANGER, "H07 BELOW 10")
    again = officer.send("/account", address, code="H07")
    assert again.status_code == 409
    assert "Nothing was done" in again.text


def test_an_officer_refuses(place: TestHouse, officer: Visitor) -> None:
    asked(place)
    (address,) = re.findall(r'action="(/people/requests/\d+/refuse)"', officer.get("/people").text)
    assert officer.send("/people", address).status_code == 302
    place.settle()
    inbox = place.house.simulators["simulator"].inbox(STRANGER)
    assert "was not put on the list" in inbox[-1].text


def test_a_plot_that_is_not_there_is_not_confirmed(place: TestHouse, officer: Visitor) -> None:
    asked(place)
    (address,) = re.findall(r'action="(/people/requests/\d+/confirm)"', officer.get("/people").text)
    answer = officer.send("/people", address, code="Q99\x00")
    assert answer.status_code == 409
    assert "Ama Tavo" in answer.text


def test_a_plot_whose_phone_left_stands_among_those_no_phone_reaches(
    place: TestHouse, officer: Visitor
) -> None:
    assert "Each plot has a phone" in officer.get("/people").text
    place.text(READER, "STOP")
    assert "its phones have left" in officer.get("/people").text


def test_nobody_decides_without_signing_in(place: TestHouse, visitor: Visitor) -> None:
    asked(place)
    answer = visitor.send("/sign-in", "/people/requests/1/refuse")
    assert answer.status_code == 302
    assert len(place.house.store.people_views.requests(place.scheme_id)) == 1
