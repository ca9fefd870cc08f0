"""Set-up: the office sees which languages nobody has read aloud yet."""

import re

import pytest

from gateway.messages.segments import ROUTINE
from tests.houses import TestHouse
from tests.web.conftest import Visitor


def rows(html: str) -> list[list[str]]:
    found = re.findall(r"<tr>(.*?)</tr>", html, re.DOTALL)[1:]
    return [
        [re.sub(r"<[^>]+>", "", cell) for cell in re.findall(r"<td.*?</td>", row)] for row in found
    ]


def test_every_language_is_listed_with_its_letters_and_marked_drafted(officer: Visitor) -> None:
    listed = rows(officer.get("/set-up").text)
    names = [(row[0].split()[-1], row[1]) for row in listed]
    assert ("vi", "plain letters, unless the phone has chosen") in names
    assert ("vi", "its own script") in names
    assert ("bn", "its own script, unless the phone has chosen") in names
    assert ("bn", "plain letters") in names
    assert ("en", "plain letters, unless the phone has chosen") in names
    assert all(row[2].startswith("DRAFTED") for row in listed)
    assert len(listed) == 10


def test_a_plain_answer_costs_one_segment_and_one_in_script_two(officer: Visitor) -> None:
    for row in rows(officer.get("/set-up").text):
        most = ROUTINE["ucs2" if "script" in row[1] else "gsm7"]
        assert row[4] == ("1 segment" if most == 1 else f"{most} segments")


@pytest.mark.parametrize("language", ["en", "vi", "bn", "of nobody"])
def test_a_broadcast_can_ask_whether_a_language_is_drafted(place: TestHouse, language: str) -> None:
    assert place.house.papers.drafted(language)
