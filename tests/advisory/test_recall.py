"""Texts called back: who got them, one correction each, and never twice."""

from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import insert

from gateway.advisory.errors import NotOnRecord
from gateway.advisory.mending import Suspect
from gateway.advisory.number import Number
from gateway.agronomy.case import WeatherDay
from gateway.store.tables.office import audit
from tests.houses import READER, TODAY, TestHouse

OTHER, THIRD = Number("+12025550108"), Number("+12025550109")


@pytest.fixture
def told(home: TestHouse) -> TestHouse:
    """Three phones, one of two plots; two of them got advice, the third nothing."""
    home.add_plot("H08", READER)
    home.add_plot("K01", OTHER)
    home.add_plot("K02", THIRD)
    home.text(READER, "H07 16 below, H08 3 above")
    home.text(OTHER, "K01 16 below")
    return home


def suspect(home: TestHouse, about: str) -> Suspect:
    found = home.house.recall.suspects(home.house.scheme)
    return next(each for each in found if each.about == about)


def corrections(home: TestHouse, number: Number) -> list[str]:
    """The corrections that a phone shows."""
    shown = home.house.simulators["simulator"].inbox(number)
    return [text.text for text in shown if "WRONG, forget" in text.text]


def test_everybody_advised_by_a_version_of_the_rules_gets_one_correction(told: TestHouse) -> None:
    found = suspect(told, "rules")
    assert found.texts == 3
    shown = told.house.recall.preview(told.house.scheme, "rules", found.name)
    assert [each.misled.plots for each in shown] == [("H07", "H08"), ("K01",)]
    assert all(each.segments == 1 for each in shown)
    assert corrections(told, READER) == []
    assert told.house.recall(told.house.scheme, "A. Officer", "rules", found.name) == 2
    assert told.house.recall(told.house.scheme, "A. Officer", "rules", found.name) is None
    told.settle()
    assert corrections(told, READER) == [shown[0].text]
    assert corrections(told, OTHER) == [shown[1].text]
    assert corrections(told, THIRD) == []
    assert shown[0].text == (
        "Trial Office: our texts on H07 H08 since Tue 10 Mar were WRONG, forget them. "
        "LOOK in the tube and text H07 BELOW 10 or what you see"
    )
    assert suspect(told, "rules").recalled_at is not None


def test_phones_that_left_are_not_written_to(told: TestHouse) -> None:
    told.text(OTHER, "stop")
    found = suspect(told, "rules")
    shown = told.house.recall.preview(told.house.scheme, "rules", found.name)
    assert [each.misled.plots for each in shown] == [("H07", "H08")]


def test_a_correction_waits_for_the_end_of_the_quiet_hours(told: TestHouse) -> None:
    told.clock.move_to(datetime(2026, 3, 10, 16, tzinfo=UTC))  # midnight in the scheme's zone
    told.house.recall(told.house.scheme, "A.", "rules", suspect(told, "rules").name)
    told.settle()
    assert corrections(told, READER) == []
    told.clock.move_to(datetime(2026, 3, 10, 22, tzinfo=UTC))
    told.settle()
    assert len(corrections(told, READER)) == 1


def tell_weather(home: TestHouse, source: str, *days: int) -> None:
    """Weather of some days from today on, from a source, a minute later."""
    home.clock.move(timedelta(minutes=1))
    weather = [WeatherDay(TODAY + timedelta(days=n), et0_mm=5.0, rain_mm=0.0) for n in days]
    with home.house.store.begin() as unit:
        unit.schemes.add_weather(home.scheme_id, weather, source, home.clock.now())
        unit.commit()
    home.clock.move(timedelta(minutes=1))


def test_weather_misled_whoever_was_advised_while_it_was_in_use(told: TestHouse) -> None:
    tell_weather(told, "wrong gauge", 0, 1)
    told.text(OTHER, "K01 17 below")
    tell_weather(told, "right gauge", 0)
    told.text(THIRD, "K02 16 below")  # one day of the wrong gauge is in use still
    tell_weather(told, "right gauge", 1)
    told.text(READER, "H07 17 below")
    found = next(
        each
        for each in told.house.recall.suspects(told.house.scheme)
        if each.title.startswith("wrong gauge")
    )
    shown = told.house.recall.preview(told.house.scheme, "weather", found.name)
    assert [each.misled.plots for each in shown] == [("K01",), ("K02",)]


def test_a_sheet_misled_those_of_the_plots_that_it_brought_or_changed(told: TestHouse) -> None:
    at = told.clock.now()
    noted = [
        ("plots added", {"sheet": "plots.csv", "new plots": "K01 K09"}),
        ("plot changed", {"sheet": "plots.csv", "plot": "K02", "soil now": "sand"}),
        ("sheet enrolled", {"sheet": "plots.csv", "new plots": 2}),
    ]
    with told.house.store.begin_work() as work:
        for what, on in noted:
            values = {"scheme_id": told.scheme_id, "who": "A.", "what": what, "on": on, "at": at}
            work.conn.execute(insert(audit).values(**values))
        work.conn.commit()
    told.clock.move(timedelta(hours=1))
    told.text(OTHER, "K01 17 below")
    told.text(READER, "H07 17 below")
    found = suspect(told, "import")
    assert found.title == "plots.csv"
    shown = told.house.recall.preview(told.house.scheme, "import", found.name)
    assert [each.misled.plots for each in shown] == [("K01",)]


@pytest.mark.parametrize(
    ("about", "name"),
    [
        ("rules", "no such digest"),
        ("weather", "2026-03-10T01:00:00+00:00 nowhere"),
        ("weather", "yesterday nowhere"),
        ("import", "2026-03-10T01:00:00 plots.csv"),
    ],
)
def test_what_is_not_on_record_cannot_be_called_back(
    told: TestHouse, about: str, name: str
) -> None:
    with pytest.raises(NotOnRecord):
        told.house.recall(told.house.scheme, "A.", about, name)  # type: ignore[arg-type]
