"""A reading that was asked for and does not come: once more, the lead reader, the office."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from gateway.advisory.number import Number
from tests.calendars import calendar_of
from tests.houses import READER, TestHouse, open_test_house

LEAD = Number("+12025550141")
DAY = timedelta(days=1)


@pytest.fixture
def home(database_url: str, tmp_path: Path) -> Iterator[TestHouse]:
    """Plot H07 in tillering, and K12 beside it, whose reader leads the block."""
    names = ("reading-due", "reading-missed", "reading-missed-lead", "dry-soon")
    opened = open_test_house(database_url, calendar_of(tmp_path, *names))
    plot_id = opened.add_plot("K12", LEAD, planted_days_ago=-30)
    with opened.house.store.begin() as unit:
        grower, now = unit.schemes.add_grower(opened.scheme_id, "Lead"), opened.clock.now()
        phone = opened.phones[LEAD].id
        unit.people.enrol_reader(phone, plot_id, grower, "en", None, now, "lead-reader")
        unit.commit()
    opened.add_plot("H07", READER)
    yield opened
    opened.close()


def live(home: TestHouse, days: int) -> dict[Number, list[str]]:
    """So many days on, an hour at a time around dawn; what each phone got."""
    got: dict[Number, list[str]] = {READER: [], LEAD: []}
    simulator = home.house.simulators["simulator"]
    before = {number: len(simulator.inbox(number)) for number in got}
    for _ in range(days * 4):
        home.house.owe()
        home.settle()
        home.clock.move(DAY / 4)
    for number in got:
        got[number] = [shown.text for shown in simulator.inbox(number)[before[number] :]]
    return got


def test_a_missed_reading_is_asked_for_once_more_then_by_the_lead_reader_then_shown(
    home: TestHouse,
) -> None:
    first = live(home, 1)
    assert [("LOOK in the tube" in text) for text in first[READER]] == [True]
    again = live(home, 1)
    assert ["no word" in text for text in again[READER]] == [True]
    assert again[LEAD] == []
    lead = live(home, 1)
    assert lead[READER] == []
    assert ["no word on H07" in text for text in lead[LEAD]] == [True]
    rest = live(home, 6)
    assert rest == {READER: [], LEAD: []}


def test_the_lead_reader_can_answer_for_the_plot_and_it_is_asked_for_no_more(
    home: TestHouse,
) -> None:
    live(home, 3)
    (answer,) = home.text(LEAD, "H07 BELOW 9")
    assert "9 cm BELOW" in answer
    assert live(home, 1) == {READER: [], LEAD: []}


def test_a_bare_level_of_a_lead_reader_is_of_the_own_plot(home: TestHouse) -> None:
    (answer,) = home.text(LEAD, "below 9")
    assert answer.startswith("K12")


def test_another_reader_cannot_report_a_plot_that_is_not_theirs(home: TestHouse) -> None:
    (answer,) = home.text(READER, "K12 BELOW 9")
    assert "not on the list" in answer


def test_nobody_is_asked_before_the_day_that_was_named(home: TestHouse) -> None:
    live(home, 1)
    assert any("look" in text.casefold() for text in home.text(READER, "H07 ABOVE 4"))
    assert live(home, 2)[READER] == []


def test_a_precaution_goes_when_the_forecast_sees_the_plot_at_its_limit_and_nobody_looks(
    home: TestHouse,
) -> None:
    home.text(READER, "H07 BELOW 11")
    days = [live(home, 1)[READER] for _ in range(12)]
    got = [text for day in days for text in day]
    precautions = [text for text in got if "may be dry by now" in text]
    assert len(precautions) == 1
    assert precautions in days, "it goes alone: the reading is not asked for once more beside it"
    asked = [text for text in got if "LOOK in the tube" in text and text not in precautions]
    assert got.index(asked[0]) < got.index(precautions[0])


def test_who_always_tells_by_the_named_day_is_asked_only_once_it_is_over(
    home: TestHouse,
) -> None:
    faithful = home.house.papers.duties.faithful_looks
    for _ in range(faithful + 1):
        home.text(READER, "H07 ABOVE 4")
        home.clock.move(DAY)
    home.text(READER, "H07 ABOVE 4")
    with home.house.store.begin(write=False) as unit:
        plot_id = unit.schemes.plot_id(home.scheme_id, "H07")
        record = unit.advices.latest(plot_id)
    assert record is not None
    named = record.advice.next_reading_on
    assert named is not None
    while home.today < named:
        assert live(home, 1)[READER] == []
    day_named = live(home, 1)[READER]
    assert day_named == []
    assert len(live(home, 1)[READER]) == 1
