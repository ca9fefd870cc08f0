"""Consent is asked again before anything goes to a phone that may have another owner by now."""

from collections.abc import Iterator
from datetime import timedelta

import pytest

from gateway.advisory.parcels import NewParcel, State
from tests.houses import READER, TestHouse, open_test_house

DAY = timedelta(days=1)
ASKED = "nothing was heard from this phone for long"


@pytest.fixture
def home(database_url: str) -> Iterator[TestHouse]:
    """A house whose plot is not in season, so that the calendar says nothing of its own."""
    opened = open_test_house(database_url)
    opened.add_plot("H07", READER, planted_days_ago=-400)
    yield opened
    opened.close()


def remind(home: TestHouse, safety: bool = False) -> int:
    now = home.clock.now()
    parcel = NewParcel(
        scheme_id=home.scheme_id,
        phone_id=home.phones[READER].id,
        carrier="simulator",
        text="H07: a reminder",
        language="en",
        kind="duty",
        not_before=now,
        valid_until=now + 5 * DAY,
        safety=safety,
    )
    with home.house.store.begin() as unit:
        number = unit.outbox.put(parcel, now)
        unit.commit()
    home.settle()
    assert number is not None
    return number


def state(home: TestHouse, number: int) -> State:
    with home.house.store.begin(write=False) as unit:
        return unit.outbox.get(number).state


def asked(home: TestHouse) -> int:
    inbox = home.house.simulators["simulator"].inbox(READER)
    return sum(ASKED in shown.text for shown in inbox)


def test_after_long_silence_a_question_without_a_name_goes_first(home: TestHouse) -> None:
    home.clock.move(91 * DAY)
    number = remind(home)
    assert (state(home, number), asked(home)) == (State.HELD, 1)
    remind(home)
    assert asked(home) == 1
    assert "You get texts" in home.text(READER, "YES")[0]
    home.clock.move(timedelta(hours=3))
    home.settle()
    assert state(home, number) is State.DELIVERED


def test_before_that_reminders_go(home: TestHouse) -> None:
    home.clock.move(89 * DAY)
    assert (state(home, remind(home)), asked(home)) == (State.DELIVERED, 0)


def test_a_text_of_the_phone_counts_as_word_from_it(home: TestHouse) -> None:
    home.clock.move(60 * DAY)
    home.text(READER, "H07 BELOW 10")
    home.clock.move(60 * DAY)
    assert asked(home) == 0
    assert state(home, remind(home)) is State.DELIVERED


def test_only_a_yes_or_a_report_lets_texts_go_again(home: TestHouse) -> None:
    home.clock.move(91 * DAY)
    number = remind(home)
    home.text(READER, "who is this?")
    home.clock.move(timedelta(hours=3))
    home.settle()
    assert state(home, number) is State.HELD
    home.text(READER, "H07 BELOW 10")
    home.clock.move(timedelta(hours=3))
    home.settle()
    assert state(home, number) is State.DELIVERED


def test_no_ends_all_texts(home: TestHouse) -> None:
    home.clock.move(91 * DAY)
    number = remind(home)
    assert "no more texts" in home.text(READER, "NO")[0]
    assert state(home, number) is State.WITHDRAWN
    (line,) = home.house.store.people_views.lost(home.scheme_id, 10)
    assert (line.plot, line.why) == ("H07", "left")


def test_crop_safety_reaches_a_phone_that_is_only_silent(home: TestHouse) -> None:
    home.clock.move(91 * DAY)
    assert state(home, remind(home, safety=True)) is State.DELIVERED
    assert asked(home) == 1


@pytest.mark.parametrize(
    ("words", "held"),
    [("UNKNOWN_SUBSCRIBER (1)", True), ("absent subscriber", False)],
    ids=["nobody has the number", "switched off"],
)
def test_a_number_without_subscriber_gets_nothing_not_even_crop_safety(
    home: TestHouse, words: str, held: bool
) -> None:
    home.clock.move(timedelta(seconds=1))
    now = home.clock.now()
    with home.house.store.begin() as unit:
        parcel = NewParcel(
            home.scheme_id, home.phones[READER].id, "simulator", "x", "en", "answer", now, now + DAY
        )
        lost = unit.outbox.put(parcel, now)
        assert lost is not None
        for from_, to in (
            (State.WAITING, State.CLAIMED),
            (State.CLAIMED, State.HANDED_OVER),
            (State.HANDED_OVER, State.UNDELIVERABLE),
        ):
            unit.outbox.move(lost, from_, to, now, words=words)
        unit.commit()
    assert (state(home, remind(home, safety=True)) is State.HELD) is held
    lines = home.house.store.people_views.lost(home.scheme_id, 10)
    assert [line.why for line in lines] == (["asked"] if held else [])
