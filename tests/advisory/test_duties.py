"""A duty of the calendar: once, at the right hour, and never to a phone that left."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from gateway.advisory.parcels import State
from gateway.agronomy.book import Event
from gateway.messages.segments import count_segments
from tests.calendars import calendar_of
from tests.houses import READER, STRANGER, TestHouse, open_test_house

# Sown 20 days before planting, 120 days long: peak flowering 70 days after planting, and the window
# from 7 days before it (a fortnight around peak flowering, common practice).
WINDOW_OPENS = 63


@pytest.fixture
def home(database_url: str, tmp_path: Path) -> Iterator[TestHouse]:
    """A house whose calendar has this duty alone, with plot H07 in tillering."""
    opened = open_test_house(database_url, calendar_of(tmp_path, "flowering-begins"))
    opened.add_plot("H07", READER)
    yield opened
    opened.close()


def texts_to(home: TestHouse, number=STRANGER) -> list[str]:  # type: ignore[no-untyped-def]
    inbox = home.house.simulators["simulator"].inbox(number)
    return [shown.text for shown in inbox]


def test_the_flowering_window_is_announced_the_day_before_it_opens(home: TestHouse) -> None:
    home.add_plot("K12", STRANGER, planted_days_ago=WINDOW_OPENS - 1)
    assert home.house.owe() == 1
    home.settle()
    (text,) = texts_to(home)
    assert text.startswith("Trial Office")
    assert "K12" in text
    assert count_segments(text).segments == 1


@pytest.mark.parametrize("days", [WINDOW_OPENS - 2, WINDOW_OPENS + 4])
def test_it_is_not_announced_too_early_nor_when_it_would_be_stale(
    home: TestHouse, days: int
) -> None:
    home.add_plot("K12", STRANGER, planted_days_ago=days)
    assert home.house.owe() == 0


def test_any_number_of_ticks_owe_it_once(home: TestHouse) -> None:
    home.add_plot("K12", STRANGER, planted_days_ago=WINDOW_OPENS - 1)
    for _ in range(5):
        home.house.owe()
        home.settle()
        home.clock.move(timedelta(hours=5))
    assert len(texts_to(home)) == 1


def test_it_waits_for_the_morning_and_is_caught_up_after_downtime(home: TestHouse) -> None:
    home.add_plot("K12", STRANGER, planted_days_ago=WINDOW_OPENS - 2)
    home.clock.move(timedelta(hours=16))  # 01:00 of the next day in the scheme's zone
    assert home.house.owe() == 1
    home.settle()
    assert texts_to(home) == []
    home.clock.move(timedelta(hours=5, minutes=1))  # past 06:00
    home.settle()
    assert len(texts_to(home)) == 1


def test_quiet_hours_are_kept_even_for_a_text_that_was_put_earlier(home: TestHouse) -> None:
    home.add_plot("K12", STRANGER, planted_days_ago=WINDOW_OPENS - 1)
    home.house.simulators["simulator"].behave(link_down=True)
    home.house.owe()
    home.settle()
    home.house.simulators["simulator"].behave(link_down=False)
    home.clock.move(timedelta(hours=12))  # 21:00 there
    home.settle()
    assert texts_to(home) == []
    with home.house.store.begin(write=False) as unit:
        assert unit.outbox.get(1).state is State.HELD
    home.clock.move(timedelta(hours=9))  # 06:00 of the next day
    home.settle()
    assert len(texts_to(home)) == 1


def test_consent_is_asked_again_when_the_text_leaves(home: TestHouse) -> None:
    home.add_plot("K12", STRANGER, planted_days_ago=WINDOW_OPENS - 1)
    home.house.owe()
    with home.house.store.begin() as unit:
        unit.people.set_left(home.phones[STRANGER].id, True, home.clock.now())
        unit.commit()
    home.settle()
    assert texts_to(home) == []
    with home.house.store.begin(write=False) as unit:
        assert unit.outbox.get(1).state is State.WITHDRAWN


def test_a_phone_that_left_is_owed_no_text(home: TestHouse) -> None:
    home.add_plot("K12", STRANGER, planted_days_ago=WINDOW_OPENS - 1)
    with home.house.store.begin() as unit:
        unit.people.set_left(home.phones[STRANGER].id, True, home.clock.now())
        unit.commit()
    assert home.house.owe() == 0


def test_a_plot_under_water_is_owed_nothing_by_the_calendar(home: TestHouse) -> None:
    plot_id = home.add_plot("K12", STRANGER, planted_days_ago=WINDOW_OPENS - 1)
    with home.house.store.begin() as unit:
        unit.books.append(plot_id, Event("submerged", home.today), "reader", home.clock.now())
        unit.commit()
    assert home.house.owe() == 0


def add_heading(home: TestHouse, plot_id: int, days_from_today: int) -> None:
    with home.house.store.begin() as unit:
        on = home.today + timedelta(days=days_from_today)
        unit.books.append(plot_id, Event("heading", on), "officer", home.clock.now())
        unit.commit()


def test_a_small_move_after_sending_is_not_owed_again_a_large_one_is(home: TestHouse) -> None:
    plot_id = home.add_plot("K12", STRANGER, planted_days_ago=WINDOW_OPENS - 1)
    home.house.owe()
    home.settle()
    # The window opened at day 63, for a peak at day 70. Heads out today (day 62 + 2 = peak at 64)
    # move it to day 57: six days, more than three, but by then its own text would be stale.
    add_heading(home, plot_id, 0)
    assert home.house.owe() == 0
    home.clock.move(timedelta(days=10))
    # Late heads: half out on day 72, so the peak is day 74 and the window opens at day 67: passed.
    add_heading(home, plot_id, 0)
    assert home.house.owe() == 0
    assert len(texts_to(home)) == 1


def test_an_unsent_text_of_the_old_day_is_withdrawn_and_owed_anew(home: TestHouse) -> None:
    plot_id = home.add_plot("K12", STRANGER, planted_days_ago=WINDOW_OPENS - 1)
    home.house.simulators["simulator"].behave(link_down=True)
    home.house.owe()
    add_heading(home, plot_id, 0)  # the window now opened five days ago
    home.house.owe()
    with home.house.store.begin(write=False) as unit:
        assert unit.outbox.get(1).state is State.WITHDRAWN


def test_the_reader_of_a_plot_not_in_season_is_left_alone(home: TestHouse) -> None:
    assert home.house.owe() == 0
    assert texts_to(home, READER) == []
