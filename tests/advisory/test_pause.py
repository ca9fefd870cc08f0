"""Advice that rests: nothing leaves, whoever texts is told so, and it goes on afterwards."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from gateway.advisory.errors import NotOnRecord
from gateway.advisory.mayleave import RESTS
from gateway.advisory.parcels import Parcel, State
from gateway.advisory.pause import NewPause, NotPaused
from gateway.advisory.records import Dial, Scheme
from tests.houses import READER, TestHouse

LAST = date(2026, 3, 14)
HEADING_NEAR = 60
"""Days after planting at which a crop of 120 days is in flower, and reminders of it are safety."""


def scheme_of(home: TestHouse) -> Scheme:
    return home.house.scheme


def pause(home: TestHouse, **changes: object) -> int:
    """A pause of plot H07 to LAST, by an officer."""
    told = {"plot": "H07", "block": None, "reason": "tubes moved", "last_on": LAST}
    new = NewPause(**{**told, "safety": "pause", **changes})  # type: ignore[arg-type]
    return home.house.pause_advice(scheme_of(home), "A. Officer", new)


def duties_sent(home: TestHouse) -> list[Parcel]:
    """Every reminder in the outbox, whatever became of it."""
    with home.house.store.begin_work(write=False) as work:
        numbers = [row[0] for row in work.conn.exec_driver_sql("SELECT id FROM outbox").all()]
    with home.house.store.begin(write=False) as unit:
        parcels = [unit.outbox.get(number) for number in numbers]
    return [parcel for parcel in parcels if parcel.kind == "duty"]


@pytest.mark.parametrize("what", ["plot", "block", "scheme"])
def test_a_text_about_a_resting_plot_is_written_down_and_answered_without_advice(
    home: TestHouse, what: str
) -> None:
    with home.house.store.begin(write=False) as unit:
        plot_id = unit.schemes.plot_id(home.scheme_id, "H07")
    named = {"plot": {}, "block": {"plot": None, "block": "Upper"}, "scheme": {"plot": None}}[what]
    pause(home, **named)
    (answer,) = home.text(READER, "H07 16 below")
    assert answer.startswith("H07: written down. Our advice rests until Sat 14 Mar.")
    with home.house.store.begin(write=False) as unit:
        assert [row.event.level_cm for row in unit.books.rows(plot_id)] == [-16]
        assert unit.advices.latest(plot_id) is None


def test_whoever_asks_or_has_no_water_is_told_that_advice_rests_and_nothing_else(
    home: TestHouse,
) -> None:
    assert "IRRIGATE" in home.text(READER, "H07 16 below")[0]
    pause(home)
    rests = "Our advice rests until Sat 14 Mar. A question? Text H07 HELP, the office will call"
    assert home.text(READER, "H07 WHY") == [f"H07: {rests.replace('Our', 'our')}"]
    assert home.text(READER, "WHY") == [f"H07: {rests.replace('Our', 'our')}"]
    assert home.text(READER, "H07 AGAIN") == [f"H07: {rests.replace('Our', 'our')}"]
    assert home.text(READER, "H07 NO WATER") == [f"H07: written down. {rests}"]
    with home.house.store.begin(write=False) as unit:
        rows = unit.books.rows(unit.schemes.plot_id(home.scheme_id, "H07"))
    assert [row.event.kind for row in rows] == ["reading", "no-water"]


def test_of_several_plots_the_reasons_are_those_of_one_that_is_advised(home: TestHouse) -> None:
    home.add_plot("H08", READER)
    home.text(READER, "H08 16 below")
    home.clock.move(timedelta(minutes=5))
    home.text(READER, "H07 16 below")
    pause(home)
    (why,) = home.text(READER, "WHY")
    assert why.startswith("H08")


def test_the_dialled_menu_says_that_advice_rests(home: TestHouse) -> None:
    home.text(READER, "H07 16 below")
    pause(home)
    dialled = Dial("simulator", "s1", READER, None, home.clock.now())
    shown = home.house.dial(dialled).text
    place = next(line[0] for line in shown.splitlines() if "My plots now" in line)
    then = home.house.dial(replace(dialled, entry=place)).text
    assert "H07 advice rests until Sat 14 Mar" in then


def test_with_call_the_office_the_answer_says_so(home: TestHouse) -> None:
    pause(home, safety="call")
    (answer,) = home.text(READER, "H07 16 below")
    assert "ASK the office" in answer


def test_other_plots_of_the_phone_are_advised_as_ever(home: TestHouse) -> None:
    home.add_plot("H08", READER)
    pause(home)
    rests, advice = home.text(READER, "H07 16 below, H08 16 below")
    assert rests.startswith("H07: written down.")
    assert advice.startswith("H08")
    assert "IRRIGATE" in advice


def test_a_pause_ends_by_itself_and_can_be_ended_once(home: TestHouse) -> None:
    first = pause(home)
    assert home.house.pause_advice.end(scheme_of(home), "A. Officer", first)
    assert not home.house.pause_advice.end(scheme_of(home), "A. Officer", first)
    assert "IRRIGATE" in home.text(READER, "H07 16 below")[0]
    pause(home, last_on=home.today)
    assert "rests" in home.text(READER, "H07 17 below")[0]
    home.clock.move(timedelta(days=1))
    assert "IRRIGATE" in home.text(READER, "H07 18 below")[0]
    lines = home.house.pause_advice.lines(scheme_of(home))
    assert [(line.what, bool(line.ended_by)) for line in lines] == [
        ("plot H07", False),
        ("plot H07", True),
    ]


def test_reminders_that_wait_are_taken_back_and_none_is_owed_until_the_end(
    home: TestHouse,
) -> None:
    home.add_plot("H09", READER, planted_days_ago=HEADING_NEAR)
    home.house.owe()
    waiting = [p for p in duties_sent(home) if p.state is State.WAITING]
    assert waiting
    pause(home, plot="H09")
    pause(home)
    assert {p.state for p in duties_sent(home)} == {State.WITHDRAWN}
    before = len(duties_sent(home))
    home.clock.move(timedelta(days=1))
    home.house.owe()
    assert len(duties_sent(home)) == before
    home.clock.move_to(datetime(2026, 3, 15, 1, tzinfo=UTC))
    home.house.owe()
    assert len(duties_sent(home)) > before


def test_crop_safety_becomes_a_call_for_the_office(home: TestHouse) -> None:
    home.add_plot("H09", READER, planted_days_ago=HEADING_NEAR)
    pause(home, plot=None, safety="call")
    for _ in range(4):
        home.clock.move(timedelta(hours=12))
        home.house.owe()
        home.settle()
    told = [parcel.text for parcel in duties_sent(home)]
    assert told
    assert all("advice rests until Sat 14 Mar" in text for text in told)
    assert all("ASK the office" in text for text in told)


def test_what_slipped_into_the_outbox_is_held_at_the_door(home: TestHouse) -> None:
    """A process that reckoned before the pause may write its reminder down just after it."""
    home.add_plot("H09", READER, planted_days_ago=HEADING_NEAR)
    home.house.owe()
    one = duties_sent(home)[0]
    with home.house.store.begin() as unit:
        now = home.clock.now()
        ends = now + timedelta(days=2)
        args = (home.scheme_id, None, home.block_id, "late", "pause", now, LAST, ends, "A.")
        unit.pauses.add(*args)  # type: ignore[arg-type]
        unit.commit()
    with home.house.store.begin(write=False) as unit:
        ruling = home.house.may_leave(unit, one, home.clock.now())
    assert ruling is not None
    assert (ruling.verdict, ruling.words, ruling.until) == ("hold", RESTS, ends)


@pytest.mark.parametrize(
    ("wrong", "error", "cure"),
    [
        ({"reason": "  "}, NotPaused, "needs its reason"),
        ({"last_on": date(2026, 3, 9)}, NotPaused, "must be 2026-03-10 or later"),
        ({"block": "Upper"}, NotPaused, "not both"),
        ({"plot": "H99"}, NotOnRecord, "no plot H99"),
        ({"plot": None, "block": "Nowhere"}, NotOnRecord, "no block Nowhere"),
    ],
)
def test_a_pause_that_cannot_be_is_refused(
    home: TestHouse, wrong: dict[str, object], error: type[Exception], cure: str
) -> None:
    with pytest.raises(error, match=cure):
        pause(home, **wrong)
    assert home.house.pause_advice.lines(scheme_of(home)) == []
