"""Rain by text: whose plots it counts for, how far it is trusted, and how it is taken back."""

from collections.abc import Iterator

import pytest

from gateway.agronomy.book import Event
from tests.houses import READER, STRANGER, TestHouse, open_test_house

LEADER = STRANGER


@pytest.fixture
def home(database_url: str) -> Iterator[TestHouse]:
    """Block Upper with H07 and H08, block Lower with L01; a lead reader reads H08 and L01."""
    opened = open_test_house(database_url)
    opened.add_plot("H07", READER)
    opened.add_plot("H08", LEADER)
    with opened.house.store.begin() as unit:
        upper = opened.block_id
        opened.block_id = unit.schemes.add_block(opened.scheme_id, "Lower", "L1", 30.0)
        unit.commit()
    opened.add_plot("L01", LEADER)
    opened.add_plot("L02")
    opened.block_id = upper
    lead(opened, "H08")
    yield opened
    opened.close()


def lead(home: TestHouse, code: str, role: str | None = "lead-reader") -> None:
    """Make the lead reader's phone lead the block of a plot."""
    with home.house.store.begin() as unit:
        plot = unit.schemes.plot_id(home.scheme_id, code)
        grower = unit.schemes.add_grower(home.scheme_id, "Invented Leader")
        phone = home.phones[LEADER]
        unit.people.enrol_reader(phone.id, plot, grower, "en", None, home.clock.now(), role)
        unit.commit()


def rains(home: TestHouse, code: str) -> list[tuple[float | None, bool, str]]:
    """Rain of a plot's book that still counts: mm, whether told of the block, by whom."""
    with home.house.store.begin(write=False) as unit:
        rows = unit.books.rows(unit.schemes.plot_id(home.scheme_id, code))
    live = [row for row in rows if row.event.kind == "rain" and not row.superseded]
    return [(row.event.mm, row.event.by_block, row.by) for row in live]


def events(home: TestHouse, code: str) -> tuple[Event, ...]:
    with home.house.store.begin(write=False) as unit:
        plot = unit.schemes.plot_id(home.scheme_id, code)
        return unit.books.case(plot, home.clock.now()).case.events


def test_a_lead_readers_rain_counts_for_the_plots_of_the_block(home: TestHouse) -> None:
    assert home.text(LEADER, "H08 rain 20 mm")
    assert rains(home, "H08") == [(20, False, "reader")]
    assert rains(home, "H07") == [(20, True, "lead reader")]
    assert rains(home, "L01") == []
    assert [(e.kind, e.mm, e.by_block) for e in events(home, "H07")] == [("rain", 20, True)]


def test_rain_without_a_plot_counts_for_all_that_are_read_and_all_that_are_led(
    home: TestHouse,
) -> None:
    assert home.text(LEADER, "rain 20 mm"), "who tells of rain gets an answer"
    assert rains(home, "H08") == [(20, True, "reader")]
    assert rains(home, "L01") == [(20, True, "reader")]
    assert rains(home, "H07") == [(20, True, "lead reader")]
    assert rains(home, "L02") == [], "the block of L01 has no lead reader"


def test_a_readers_rain_stays_on_the_plot(home: TestHouse) -> None:
    home.text(READER, "H07 rain 12 mm")
    assert rains(home, "H07") == [(12, False, "reader")]
    assert rains(home, "H08") == []


def test_who_leads_another_block_does_not_speak_for_this_one(home: TestHouse) -> None:
    home.text(LEADER, "L01 rain 8 mm")
    assert rains(home, "L01") == [(8, False, "reader")]
    assert rains(home, "L02") == []
    assert rains(home, "H07") == []


def test_wrong_takes_the_rain_back_from_every_book(home: TestHouse) -> None:
    home.text(READER, "H07 rain 3 mm")
    home.text(LEADER, "H08 rain 200 mm")
    home.text(LEADER, "WRONG")
    assert rains(home, "H08") == []
    assert rains(home, "H07") == [(3, False, "reader")]


def test_rain_of_no_known_depth_is_written_nowhere(home: TestHouse) -> None:
    assert home.text(LEADER, "heavy rain")
    assert rains(home, "H08") == rains(home, "H07") == []


def test_a_role_stays_until_another_is_told(home: TestHouse) -> None:
    lead(home, "H08", None)
    home.text(LEADER, "H08 rain 20 mm")
    assert len(rains(home, "H07")) == 1
    lead(home, "H08", "reader")
    home.text(LEADER, "H08 rain 21 mm")
    assert len(rains(home, "H07")) == 1


def test_the_lead_readers_of_a_plots_block_are_found(home: TestHouse) -> None:
    with home.house.store.begin(write=False) as unit:
        found = {
            code: [p.id for p in unit.people.leaders_of(unit.schemes.plot_id(home.scheme_id, code))]
            for code in ("H07", "H08", "L01")
        }
    leader = home.phones[LEADER].id
    assert found == {"H07": [leader], "H08": [leader], "L01": []}
