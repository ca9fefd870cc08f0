"""No power: the plots that a pump waters have no water, until there is power again."""

from collections.abc import Iterator
from datetime import time, timedelta
from pathlib import Path

import pytest

from gateway.advisory.number import Number
from gateway.agronomy.case import WaterWindow
from gateway.agronomy.plot import Plot, WaterSource
from gateway.intake import take_keepers
from tests.houses import PLAN, READER, TestHouse, open_test_house

KEEPER = Number("+12025550142")


def plot(source: WaterSource | None) -> Plot:
    return Plot("H07", 0.4, "clay-loam", bars=frozenset(), water_source=source, outlet_lps=5)


@pytest.fixture
def home(database_url: str) -> Iterator[TestHouse]:
    """H07 has a pump of its own, K12 a turn of the canal; the same phone reads both."""
    opened = open_test_house(database_url)
    opened.add_plot("H07", READER, plot=plot("own-pump"), plan=PLAN)
    opened.add_plot("K12", READER, plot=plot("gravity-turn"))
    yield opened
    opened.close()


def no_water(home: TestHouse, code: str) -> bool:
    """Whether a report that no water came stands in the plot's book."""
    with home.house.store.begin(write=False) as unit:
        rows = unit.books.rows(unit.schemes.plot_id(home.scheme_id, code))
    return any(row.event.kind == "no-water" and not row.superseded for row in rows)


@pytest.mark.parametrize("text", ["NO POWER", "H07 NO POWER", "H07 power cut"])
def test_a_pump_without_power_is_water_missing_and_a_turn_is_not(
    home: TestHouse, text: str
) -> None:
    (answer,) = home.text(READER, text)
    assert "Keep away from pumps and wires that are wet" in answer
    assert (no_water(home, "H07"), no_water(home, "K12")) == (True, False)


def test_fertiliser_waits_while_there_is_no_power_and_is_due_once_there_is(home: TestHouse) -> None:
    home.text(READER, "H07 NO POWER")
    assert "no fertiliser" in home.text(READER, "H07 BELOW 3")[0]
    home.text(READER, "DONE")
    assert not no_water(home, "H07")
    assert "Flood same day" in home.text(READER, "H07 BELOW 3")[0]


def test_wrong_takes_the_report_back(home: TestHouse) -> None:
    home.text(READER, "H07 NO POWER")
    home.text(READER, "WRONG")
    assert not no_water(home, "H07")


def test_the_keeper_of_the_pump_speaks_for_the_plots_behind_it(
    home: TestHouse, tmp_path: Path
) -> None:
    sheet = tmp_path / "keepers.csv"
    sheet.write_text("outlet,name,role,phone\nU1,Odo Ranel,pump-operator,+12025550142\n", "utf-8")
    take_keepers(home.house, sheet, False)
    home.text(KEEPER, "NO POWER")
    assert (no_water(home, "H07"), no_water(home, "K12")) == (True, False)
    home.text(KEEPER, "WRONG")
    assert not no_water(home, "H07")
    home.text(KEEPER, "NO POWER")
    home.text(KEEPER, "DONE")
    assert not no_water(home, "H07")


def test_the_hour_of_the_power_is_told_and_comes_out_the_same_again(home: TestHouse) -> None:
    night = WaterWindow(home.today, home.today + timedelta(days=9), True, time(22, 0), time(2, 30))
    with home.house.store.begin() as unit:
        unit.schemes.add_water(home.block_id, [night], "own-pump")
        unit.commit()
    home.add_plot("M03", READER, plot=plot("own-pump"))
    (answer,) = home.text(READER, "M03 BELOW 16")
    assert "Power from 22:00: IRRIGATE" in answer
    assert "Mind wet wires" in answer
    explanation = home.house.explain(1)
    assert explanation.case.next_water == (night,)
    assert explanation.same
