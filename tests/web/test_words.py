"""Words, moments and query strings of the pages."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gateway.advisory.parcels import NO_RECEIPT, NOT_SENT, State
from gateway.agronomy.advice import Action, Band, Stage
from gateway.agronomy.book import EVENT_KINDS, Event
from gateway.flowfiles.rules import load_rulebook
from gateway.web import places, words
from gateway.web.patience import Patience
from gateway.web.reasons import WORDS, reason_words
from gateway.web.shown import day_shown, moment_after, moment_shown, text_shown

FLOWS = Path(__file__).parents[2] / "flows"
NOW = datetime(2026, 3, 9, 22, 30, tzinfo=UTC)


def test_every_state_has_a_word_and_a_shape_of_its_own_word():
    assert set(words.STATES) == {state.value for state in State}
    assert len({word for word, _ in words.STATES.values()}) == len(State)


def test_ends_that_differ_for_the_grower_differ_in_shape():
    shapes = [words.state_shape(s) for s in ("delivered", "undeliverable", "expired", "in doubt")]
    assert len(set(shapes)) == 4


@pytest.mark.parametrize(
    ("why", "said", "operators"),
    [
        pytest.param(NOT_SENT, "too late, never sent", False, id="it never left"),
        pytest.param(NO_RECEIPT, "sent, no receipt came", False, id="it left, nothing came back"),
        pytest.param("EXPIRED 4", "given up, not known to have arrived", True, id="operator"),
        pytest.param("", "given up, not known to have arrived", False, id="nothing known"),
    ],
)
def test_a_text_given_up_says_whether_it_was_sent(why, said, operators):
    assert words.state_word("expired", why) == said
    assert words.by_operator(why) is operators
    assert words.state_word("delivered", why) == "delivered"


def test_every_stage_action_and_event_has_words():
    assert set(words.STAGES) == set(get_args(Stage))
    assert set(words.ACTIONS) == set(get_args(Action))
    assert set(words.EVENTS) == EVENT_KINDS


def test_every_row_of_the_decision_table_has_words_for_its_reason():
    book = load_rulebook(FLOWS)
    assert {row.name for row in book.table.rows} <= set(WORDS)


def test_every_bar_of_the_practice_has_words():
    assert set(load_rulebook(FLOWS).practice.bars) <= set(WORDS)


def test_a_reason_that_the_office_added_shows_itself():
    assert reason_words("gate-broken") == "Gate broken."


@pytest.mark.parametrize(
    ("level", "said"),
    [
        (None, "not known"),
        (0.0, "at the soil surface"),
        (-0.04, "at the soil surface"),
        (-12.0, "12 cm below the soil"),
        (4.5, "4.5 cm above the soil"),
    ],
)
def test_a_level_is_said_without_a_sign(level, said):
    assert words.level_words(level) == said


@pytest.mark.parametrize(
    ("band", "said"),
    [
        (Band(-14.9, -13, -11.6), "11.5 to 15 cm below the soil"),
        (Band(0.3, 1.4, 2.4), "0.5 to 2.5 cm above the soil"),
        (Band(-1.1, 0, 1.1), "1 cm below to 1 cm above the soil"),
        (Band(-2, -1, 0), "0 to 2 cm below the soil"),
        (Band(-12, -12, -12), "12 cm below the soil"),
    ],
)
def test_a_band_is_said_as_one_reach(band, said):
    assert words.band_words(band) == said


def test_what_was_reckoned_is_said_to_the_half_centimetre():
    assert words.reckoned_words(-13.2) == "13 cm below the soil"
    assert words.reckoned_words(1.4) == "1.5 cm above the soil"
    assert words.reckoned_words(None) == "not known"


def test_an_event_is_told_with_its_numbers():
    spray = Event("spray", date(2026, 3, 1), product="P", hold_days=7, reentry_hours=48)
    assert words.event_details(spray) == "P, hold 7 days, no entry for 48 h"
    assert words.event_details(Event("reading", date(2026, 3, 1), dry=True)) == "tube dry"
    doubtful = Event("reading", date(2026, 3, 1), level_cm=-9, doubtful=True)
    assert words.event_details(doubtful) == "9 cm below the soil, not trusted by the office"
    assert words.event_details(Event("tall", date(2026, 3, 1), height_cm=12)) == "12 cm tall"


def test_moments_are_those_of_the_scheme():
    assert moment_shown(NOW, "Asia/Manila") == "Tue 10 Mar 2026 06:30"
    assert moment_shown(None, "Asia/Manila") == ""


def test_the_day_is_left_out_only_when_it_is_the_same_there():
    earlier = NOW - timedelta(hours=6)  # 00:30 on the same day of the scheme
    assert moment_after(NOW, earlier, "Asia/Manila") == "06:30"
    assert moment_after(NOW, earlier, "UTC") == "22:30"
    day_before = NOW - timedelta(hours=7)
    assert moment_after(NOW, day_before, "Asia/Manila") == "Tue 10 Mar 2026 06:30"


def test_days_are_shown_with_their_weekday():
    assert day_shown("2026-03-10") == day_shown(date(2026, 3, 10)) == "Tue 10 Mar 2026"
    assert day_shown(None) == ""


def test_turning_marks_and_controls_are_made_visible():
    assert text_shown("H07 \u202e21-\x00\x1b") == "H07 [U+202E]21-␀␛"


def test_joiners_that_scripts_need_and_new_lines_stay():
    assert text_shown("क्\u200dष\n") == "क्\u200dष\n"


def test_a_number_inside_a_text_is_masked():
    assert text_shown("call me at +1 202 555 0107 please") == "call me at •••••07 please"


@given(st.dictionaries(st.sampled_from(["page", "from", "to", "words", "plot"]), st.text()))
def test_no_query_string_is_too_strange(query):
    assert places.page_of(query) >= 1
    day = places.day_of(query, "from")
    assert day is None or isinstance(day, date)
    assert places.words_of(query, "words") != ""


@pytest.mark.parametrize("day", [date.min, date.max, date(2026, 3, 10)], ids=str)
@pytest.mark.parametrize("zone", ["Asia/Manila", "America/New_York", "UTC"])
def test_a_day_begins_and_ends_for_every_zone(day, zone):
    assert places.day_begins(day, zone) is not None
    if day != date.max:
        length = places.day_ends(day, zone) - places.day_begins(day, zone)
        assert timedelta(hours=0) < length <= timedelta(hours=25)


def test_a_day_of_the_scheme_begins_at_its_own_midnight():
    begins = places.day_begins(date(2026, 3, 10), "Asia/Manila")
    assert begins == datetime(2026, 3, 9, 16, 0, tzinfo=UTC)


def test_five_failures_are_free_and_then_the_pauses_double():
    patience, now = Patience(), NOW
    for _ in range(5):
        assert not patience.must_wait("Maro", now)
        patience.failed("Maro", now)
    assert patience.must_wait("maro ", now + timedelta(seconds=29))
    assert not patience.must_wait("Maro", now + timedelta(seconds=30))
    patience.failed("Maro", now)
    assert patience.must_wait("Maro", now + timedelta(seconds=59))
    assert not patience.must_wait("Maro", now + timedelta(seconds=60))


def test_no_pause_is_longer_than_a_quarter_of_an_hour():
    patience = Patience()
    for _ in range(400):
        patience.failed("Maro", NOW)
    assert not patience.must_wait("Maro", NOW + timedelta(minutes=15))


def test_one_name_does_not_slow_down_another_and_the_right_password_forgives():
    patience = Patience()
    for _ in range(6):
        patience.failed("Maro", NOW)
    assert not patience.must_wait("Sela", NOW)
    patience.entered("Maro")
    assert not patience.must_wait("Maro", NOW)
