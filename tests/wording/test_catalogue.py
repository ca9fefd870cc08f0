"""Filling a message: days and numbers by CLDR, nothing lost over a missing field."""

from datetime import date, time

import pytest

from gateway.messages.catalogue import Catalogue, UnknownMessage
from gateway.messages.dates import word_day

WORDS = {
    "date.short": "EEE d MMM",
    "level": "{plot}: {cm} cm on {day}",
    "turn": "from {start}",
    "quoted": "don’t – wait…",
}


def catalogue(language: str = "en") -> Catalogue:
    return Catalogue(language, WORDS, True, None, None, "0" * 64)


def test_places_are_filled_with_words_numbers_and_days() -> None:
    said = catalogue().say("level", plot="H07", cm=-12.0, day=date(2026, 3, 12))
    assert said == "H07: 12 cm on Thu 12 Mar"


@pytest.mark.parametrize(
    ("language", "day", "said"),
    [
        # Unicode CLDR, stand-alone of any of our own tables: abbreviated weekday and month names.
        pytest.param("en", date(2026, 3, 12), "Thu 12 Mar", id="english"),
        pytest.param("id", date(2026, 8, 17), "Sen 17 Agu", id="indonesian month and weekday"),
        pytest.param("id", date(2026, 5, 1), "Jum 1 Mei", id="indonesian May"),
        pytest.param("de", date(2026, 3, 12), "Do 12 März", id="no dots after short names"),
    ],
)
def test_a_day_is_short_and_in_the_grower_s_language(language: str, day: date, said: str) -> None:
    assert word_day(day, "EEE d MMM", language) == said


@pytest.mark.parametrize(
    ("value", "english", "indonesian"),
    [
        pytest.param(-12.0, "12", "12", id="a whole number without sign"),
        pytest.param(12.5, "12.5", "12,5", id="a half by the language's own mark"),
        pytest.param(-16.3, "16.5", "16,5", id="to the nearest half"),
        pytest.param(0.1, "0", "0", id="next to nothing"),
        pytest.param(120, "120", "120", id="a weight"),
    ],
)
def test_a_number_is_no_finer_than_a_half(value: float, english: str, indonesian: str) -> None:
    for language, said in (("en", english), ("id", indonesian)):
        assert catalogue(language).say("level", cm=value) == f": {said} cm on "


def test_a_time_is_on_the_24_hour_clock() -> None:
    assert catalogue().say("turn", start=time(18, 5)) == "from 18:05"


def test_a_missing_field_leaves_its_place_empty_and_loses_no_text() -> None:
    assert catalogue().say("level", plot="H07") == "H07:  cm on "


def test_a_message_that_is_nowhere_is_named() -> None:
    with pytest.raises(UnknownMessage, match=r"answer\.nothing.*catalogue en") as caught:
        catalogue().say("answer.nothing")
    assert caught.value.msgid == "answer.nothing"


def test_what_is_said_has_only_plain_letters() -> None:
    assert catalogue().say("quoted") == "don't - wait..."
