"""What a grower is told whose reading nothing explains: did you irrigate, or look again now."""

from dataclasses import replace
from datetime import time

import pytest

from gateway.agronomy.advice import Advice
from gateway.agronomy.book import Event
from gateway.agronomy.judge import judge
from gateway.messages.advicewords import word_advice
from gateway.messages.catalogue import Catalogue
from gateway.messages.segments import count_segments
from tests.agronomy.books import SEASON, case_on, flooded, reading
from tests.agronomy.plots import book

IRRIGATED = [reading(3, -16), reading(4, 4)]
FELL = [flooded(3), reading(4, -16)]


def told(events: list[Event]) -> Advice:
    return judge(case_on(4, events), book())


def test_who_irrigates_and_texts_the_level_is_asked_whether_he_did(
    english: Catalogue, indonesian: Catalogue
) -> None:
    advice = told(IRRIGATED)
    assert (advice.action, advice.reasons[0]) == ("ask", "reading-doubted")
    words = word_advice(advice, english)
    assert "Did you irrigate? Text H07 FLOODED." in words
    assert "does not fit" not in words
    assert "15" not in words
    assert "Sudah diairi? Balas H07 DIAIRI." in word_advice(advice, indonesian)


def test_his_answer_flooded_is_believed() -> None:
    assert told([*IRRIGATED, flooded(4)]).action == "wait"


@pytest.mark.parametrize("lowest", [-16, -15, "dry"], ids=["past the limit", "at it", "dry"])
def test_a_doubted_low_reading_is_looked_at_again_now(
    lowest: float | str, english: Catalogue, indonesian: Catalogue
) -> None:
    advice = told([flooded(3), reading(4, lowest, at=time(7))])
    assert (advice.action, advice.reasons[0]) == ("ask", "reading-doubted")
    words = word_advice(advice, english)
    assert "LOOK AGAIN NOW. Still 15 or more below, or dry: IRRIGATE." in words
    assert "Fri" not in words
    assert "LIHAT LAGI SEKARANG" in word_advice(advice, indonesian)


def test_a_number_that_no_tube_shows_is_not_taken_for_a_flooding(english: Catalogue) -> None:
    words = word_advice(told([flooded(0), reading(3, -6), reading(4, 45)]), english)
    assert "Did you irrigate" not in words
    assert "does not fit" in words


@pytest.mark.parametrize("events", [IRRIGATED, FELL], ids=["rose", "fell"])
def test_either_is_one_text(events: list[Event], english: Catalogue, indonesian: Catalogue) -> None:
    for catalogue in (english, indonesian):
        assert count_segments(word_advice(told(events), catalogue)).segments == 1


@pytest.mark.parametrize("day_of", [49, 52], ids=["in the window", "at its peak"])
def test_in_flower_an_unexplained_rise_is_never_a_reason_to_wait(day_of: int) -> None:
    case = case_on(day_of, [reading(day_of - 1, -16), reading(day_of, 4)])
    flowering = replace(SEASON, flowering_seen_on=case.as_of)
    assert judge(replace(case, season=flowering), book()).action in ("ask", "reflood", "top-up")
