"""A reading and a flooding of one day: the text and the forecast see them in the same order."""

from datetime import time

import pytest

from gateway.agronomy.book import Event
from gateway.agronomy.judge import judge
from gateway.agronomy.sight import sight_of
from tests.agronomy.books import case_on, day, estimated, flooded, reading
from tests.agronomy.plots import book

EARLY, LATE = time(7, 49), time(7, 50)
LOW = -12.0

HOURS = {
    "same minute": (EARLY, EARLY),
    "first row later": (LATE, EARLY),
    "second row later": (EARLY, LATE),
    "first row without a time": (None, EARLY),
    "second row without a time": (EARLY, None),
    "no times": (None, None),
}


def _flood_last(events: list[Event]) -> bool:
    """By the contract: a reading comes first unless both carry their time, then the later row."""
    if any(event.at is None for event in events):
        return True
    return max(enumerate(events), key=lambda row: (row[1].at, row[0]))[1].kind == "flooded"


@pytest.mark.parametrize("hours", HOURS.values(), ids=HOURS.keys())
@pytest.mark.parametrize("flood_first", [True, False], ids=["flooded, read", "read, flooded"])
def test_sight_and_forecast_agree_on_what_came_last(
    hours: tuple[time | None, time | None], flood_first: bool
) -> None:
    first, second = hours
    events = (
        [flooded(4, at=first), reading(4, LOW, at=second)]
        if flood_first
        else [reading(4, LOW, at=first), flooded(4, at=second)]
    )
    found = estimated(4, [flooded(0), *events])
    sight = sight_of(case_on(4, events), book().practice_of(None))
    assert sight.flooded is _flood_last(events)
    assert found.level_cm is not None
    # Water does not leave within minutes: a low reading after a flooding is doubted, not followed.
    filled = found.level_cm.p50 > 0 and "reading-doubted" not in found.notes
    assert filled is sight.flooded


def test_a_flooding_in_the_minute_of_a_reading_is_not_answered_with_irrigate() -> None:
    events = [reading(4, -16, at=EARLY), flooded(4, at=EARLY)]
    assert judge(case_on(4, events), book()).action == "wait"


def test_a_low_reading_in_the_minute_of_a_flooding_is_asked_for_again_soon() -> None:
    events = [flooded(0), flooded(4, at=EARLY), reading(4, LOW, at=EARLY)]
    advice = judge(case_on(4, events), book())
    assert advice.action == "ask"
    assert advice.next_reading_on == day(5)


def test_of_two_readings_in_one_minute_the_later_row_counts_for_both() -> None:
    events = [flooded(0), reading(4, -12, at=EARLY), reading(4, -2, at=EARLY)]
    sight = sight_of(case_on(4, events), book().practice_of(None))
    turned = [events[0], events[2], events[1]]
    level, other = estimated(4, events).level_cm, estimated(4, turned).level_cm
    assert sight.level_cm == -2
    assert level is not None
    assert other is not None
    assert level.p50 > other.p50
