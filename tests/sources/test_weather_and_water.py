"""Sheets of weather and of water to come: their cells, and what becomes of them in the store."""

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest
from sqlalchemy import select

from gateway.advisory.errors import SheetRefused
from gateway.agronomy.case import WaterWindow, WeatherDay
from gateway.intake import take_water, take_weather
from gateway.sources.water import read_water
from gateway.sources.weather import read_weather
from gateway.store.tables.crop import weather
from gateway.store.tables.office import audit
from tests.houses import READER, TestHouse, open_test_house
from tests.sources.office import BOUNDS, TODAY, write

DAY = date(2026, 3, 9)
FULL = "on,tmin,tmax,rain_mm,et0_mm,rhmin,rhmax,wind_ms,sun_h,radiation_mj\n"
BLOCKS = {"Upper": "U1", "Middle": "U1", "Lower": "L1"}


@pytest.fixture
def home(database_url: str) -> Iterator[TestHouse]:
    """A house with block Upper behind U1 and plot H07, on each database in turn."""
    opened = open_test_house(database_url)
    opened.add_plot("H07", READER)
    yield opened
    opened.house.store.close()


# -- weather --------------------------------------------------------------------------------------


def test_every_value_of_a_day_is_taken(tmp_path: Path) -> None:
    text = FULL + '2026-03-09,22,"31,5",12,4.8,60,95,2,7,21\n'
    sheet = read_weather(write(tmp_path, text), BOUNDS, TODAY)
    day = WeatherDay(DAY, 4.8, 12, 22, 31.5, 60, 95, 2, 7, 21)
    assert (sheet.name, sheet.days) == ("sheet.csv", ((2, day),))


@pytest.mark.parametrize(
    ("cells", "humidity"),
    [("68,,", (68, 68)), ("68,54,82", (54, 82)), (",54,", (54, None)), ("68,,82", (None, 82))],
)
def test_a_mean_humidity_serves_where_nothing_else_is_told(
    tmp_path: Path, cells: str, humidity: tuple[float | None, float | None]
) -> None:
    text = f"on,rhmean,rhmin,rhmax\n2026-03-09,{cells}\n"
    ((_, day),) = read_weather(write(tmp_path, text), BOUNDS, TODAY).days
    assert (day.rhmin, day.rhmax) == humidity


def test_wind_of_another_height_comes_to_two_metres(tmp_path: Path) -> None:
    """10 km/h at 10 m is 2.078 m/s at 2 m: FAO-56 example 18."""
    text = f"on,wind_ms,wind_height_m\n2026-03-08,2,\n2026-03-09,{10 / 3.6:.6f},10\n"
    days = [day for _, day in read_weather(write(tmp_path, text), BOUNDS, TODAY).days]
    assert [day.wind_ms for day in days] == [2, pytest.approx(2.078, abs=0.001)]


WRONG = {
    "fahrenheit": ("tmax", "88", "2 tmax: need -30 to 57 degrees C, got '88'"),
    "wind in km/h": ("wind_ms", "72", "2 wind_ms: need 0 to 40 m/s, got '72'"),
    "negative rain": ("rain_mm", "-1", "2 rain_mm: need 0 to 1825 mm"),
    "no value": ("rain_mm", "", "2 on: tells nothing of its day; need one of et0_mm"),
    "trace": ("rain_mm", "T", "2 rain_mm: need a number such as 0.4, got 'T'"),
    "humidity": ("rhmax", "101", "2 rhmax: need 5 to 100 percent"),
}


@pytest.mark.parametrize(("column", "cell", "said"), list(WRONG.values()), ids=list(WRONG))
def test_weather_that_cannot_be_is_told_with_its_cure(
    tmp_path: Path, column: str, cell: str, said: str
) -> None:
    with pytest.raises(SheetRefused, match=r".*") as caught:
        read_weather(write(tmp_path, f"on,{column}\n2026-03-09,{cell}\n"), BOUNDS, TODAY)
    assert said in str(caught.value)


def test_days_and_pairs_of_values_must_be_in_order(tmp_path: Path) -> None:
    text = (
        "on,tmin,tmax,rhmin,rhmax\n"
        "2026-03-08,32,22,95,60\n"
        "2026-03-08,22,32,,\n"
        ",22,32,,\n"
        "2027-03-08,22,32,,\n"
        "8 March,22,32,,\n"
    )
    with pytest.raises(SheetRefused) as caught:
        read_weather(write(tmp_path, text), BOUNDS, TODAY)
    assert [f"{m.line} {m.column}: {m.cure[:24]}" for m in caught.value.mistakes] == [
        "2 tmin: 32 must not lie above tm",
        "2 rhmin: 95 must not lie above rh",
        "3 on: line 2 tells of this day",
        "4 on: must not be empty",
        "5 on: need a day from 2016-03-",
        "6 on: need a day such as 2026-",
    ]


def load(home: TestHouse, folder: Path, text: str, check: bool = False) -> list[str]:
    found = take_weather(home.house, write(folder, text), check)
    return [str(each) for each in found.all]


def sky(home: TestHouse) -> tuple[WeatherDay, ...]:
    with home.house.store.begin(write=False) as unit:
        plot = unit.schemes.plot_id(home.scheme_id, "H07")
        return unit.books.case(plot, home.clock.now()).case.weather


def rows(home: TestHouse) -> int:
    with home.house.store.begin_work(write=False) as work:
        return len(work.rows(select(weather)))


def test_weather_reaches_the_judgement_and_a_later_sheet_counts(
    home: TestHouse, tmp_path: Path
) -> None:
    assert load(home, tmp_path, "on,et0_mm,rain_mm\n2026-03-09,4.8,0\n") == [
        "new day 2026-03-09 (line 2)"
    ]
    assert sky(home) == (WeatherDay(DAY, et0_mm=4.8, rain_mm=0),)
    home.clock.move(timedelta(hours=1))
    assert load(home, tmp_path, "on,et0_mm,rain_mm\n2026-03-09,5.1,12\n") == [
        "changed day 2026-03-09 (line 2): rain_mm 0 -> 12; et0_mm 4.8 -> 5.1"
    ]
    assert sky(home) == (WeatherDay(DAY, et0_mm=5.1, rain_mm=12),)
    assert rows(home) == 2


def test_the_same_weather_again_is_not_written_and_a_check_writes_nothing(
    home: TestHouse, tmp_path: Path
) -> None:
    text = "on,et0_mm\n2026-03-09,4.8\n2026-03-10,5\n"
    assert load(home, tmp_path, text, check=True) == [
        "new day 2026-03-09 (line 2)",
        "new day 2026-03-10 (line 3)",
    ]
    assert rows(home) == 0
    load(home, tmp_path, text)
    assert load(home, tmp_path, text)[0].startswith("unchanged")
    assert rows(home) == 2
    with home.house.store.begin_work(write=False) as work:
        ((what, on),) = [(r.what, r.on) for r in work.rows(select(audit))]
    assert (what, on["new days"], on["sheet"]) == ("weather loaded", 2, "sheet.csv")


def test_a_rain_gauge_and_a_weather_station_do_not_erase_each_other(
    home: TestHouse, tmp_path: Path
) -> None:
    load(home, tmp_path, "on,et0_mm,rain_mm\n2026-03-09,4.8,0\n")
    load(home, tmp_path, "on,rain_mm\n2026-03-09,7.5\n")
    assert sky(home) == (WeatherDay(DAY, et0_mm=4.8, rain_mm=7.5),)
    load(home, tmp_path, "on,tmin,tmax\n2026-03-09,22,32\n")
    assert sky(home) == (WeatherDay(DAY, rain_mm=7.5, tmin=22, tmax=32),)


def test_an_empty_sheet_of_weather_is_nothing(home: TestHouse, tmp_path: Path) -> None:
    assert load(home, tmp_path, FULL) == []


# -- water ----------------------------------------------------------------------------------------


def test_turns_are_those_of_every_block_behind_an_outlet(tmp_path: Path) -> None:
    text = (
        "outlet,block,from,to,sure\n"
        "U1,,2026-03-11,2026-03-12,yes\n"
        ",Upper,2026-03-18,2026-03-19,No\n"
        "L1,,,,\n"
    )
    turns = read_water(write(tmp_path, text), BOUNDS, TODAY, BLOCKS).blocks
    first = WaterWindow(date(2026, 3, 11), date(2026, 3, 12), True)
    second = WaterWindow(date(2026, 3, 18), date(2026, 3, 19), False)
    told = {name: [turn.window for turn in each] for name, each in turns.items()}
    assert told == {"Upper": [first, second], "Middle": [first], "Lower": [None]}


NO_WATER = {
    "outlet": ("U9,,2026-03-11,2026-03-12,yes", "no outlet 'U9' is on record; known: U1, L1"),
    "block": (",Far,2026-03-11,2026-03-12,yes", "block: no block 'Far' is on record; known: Upper"),
    "both": ("L1,Upper,2026-03-11,2026-03-12,yes", "outlet: the block Upper lies behind U1"),
    "neither": (",,2026-03-11,2026-03-12,yes", "outlet: name an outlet, or a block"),
    "half": ("U1,,2026-03-11,,yes", "to: must not be empty"),
    "unsaid": ("U1,,2026-03-11,2026-03-12,", "sure: must not be empty"),
    "perhaps": ("U1,,2026-03-11,2026-03-12,perhaps", "sure: need one of yes, y, true"),
    "backwards": ("U1,,2026-03-12,2026-03-11,yes", "to: need a day from 2026-03-12 on"),
    "another year": ("U1,,2028-03-11,2028-03-12,yes", "from: need a day from 2025-"),
}


@pytest.mark.parametrize(("row", "said"), list(NO_WATER.values()), ids=list(NO_WATER))
def test_a_turn_that_cannot_be_is_told_with_its_cure(tmp_path: Path, row: str, said: str) -> None:
    path = write(tmp_path, f"outlet,block,from,to,sure\n{row}\n")
    with pytest.raises(SheetRefused) as caught:
        read_water(path, BOUNDS, TODAY, BLOCKS)
    assert any(m.line == 2 and said in f"{m.column}: {m.cure}" for m in caught.value.mistakes)


@pytest.mark.parametrize(
    ("second", "said"),
    [
        ("U1,2026-03-12,2026-03-14,yes", ":3 from: overlaps the turn of line 2"),
        ("U1,,,", ":3 from: line 2 tells of this outlet too; keep one"),
    ],
    ids=["overlap", "none beside a turn"],
)
def test_turns_that_contradict_each_other_are_told(tmp_path: Path, second: str, said: str) -> None:
    text = f"outlet,from,to,sure\nU1,2026-03-11,2026-03-12,yes\n{second}\n"
    with pytest.raises(SheetRefused, match=said):
        read_water(write(tmp_path, text), BOUNDS, TODAY, BLOCKS)


def test_power_hours_stand_beside_turns_and_may_overlap_them(
    home: TestHouse, tmp_path: Path
) -> None:
    text = (
        "outlet,water_source,from,to,sure\n"
        "U1,,2026-03-11,2026-03-12,yes\n"
        "U1,own pump,2026-03-12,2026-03-12,yes\n"
        "U1,hired-pump,,,\n"
    )
    path = write(tmp_path, text)
    assert [str(each) for each in take_water(home.house, path, False).all] == [
        "new turn list of Upper (line 2): turns unknown -> 2026-03-11 to 2026-03-12",
        "new power list of Upper, own-pump (line 3): "
        "days with power unknown -> 2026-03-12 to 2026-03-12",
        "new power list of Upper, hired-pump (line 4): days with power unknown -> none known",
    ]
    assert {each.how for each in take_water(home.house, path, False).all} == {"unchanged"}


def test_power_is_told_by_the_hour_and_two_turns_of_one_day_by_theirs(
    home: TestHouse, tmp_path: Path
) -> None:
    text = (
        "outlet,water_source,from,to,sure,starts,ends\n"
        "U1,own-pump,2026-03-11,2026-03-14,yes,22:00,02:30\n"
        "U1,own-pump,2026-03-11,2026-03-14,yes,6:00,09:00:00\n"
    )
    path = write(tmp_path, text)
    assert [str(each) for each in take_water(home.house, path, False).all] == [
        "new power list of Upper, own-pump (line 2): days with power unknown -> "
        "2026-03-11 to 2026-03-14 06:00-09:00, 2026-03-11 to 2026-03-14 22:00-02:30"
    ]
    assert {each.how for each in take_water(home.house, path, False).all} == {"unchanged"}
    with home.house.store.begin(write=False) as unit:
        known = unit.register.of(home.scheme_id).blocks["Upper"].told_of("own-pump")
    assert known is not None
    assert [window.hours_a_day for window in known] == [3.0, 4.5]


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("U1,2026-03-11,2026-03-12,yes,06:00,", "2 ends: must not be empty"),
        ("U1,2026-03-11,2026-03-12,yes,6 am,09:00", "2 starts: need an hour such as 06:00"),
        ("U1,2026-03-11,2026-03-12,yes,24:00,09:00", "2 starts: need an hour such as 06:00"),
        ("U1,,,,06:00,09:00", "2 from: must not be empty"),
        (
            "U1,2026-03-11,2026-03-12,yes,22:00,02:00\nU1,2026-03-12,2026-03-12,yes,01:00,03:00",
            "3 from: overlaps the turn of line 2",
        ),
        (
            "U1,2026-03-11,2026-03-12,yes,22:00,02:00\nU1,2026-03-12,2026-03-12,yes,,",
            "3 from: overlaps the turn of line 2",
        ),
    ],
    ids=["no end", "words", "no such hour", "no days", "at once", "within a whole day"],
)
def test_hours_that_cannot_be_are_told_with_their_cure(tmp_path: Path, row: str, said: str) -> None:
    path = write(tmp_path, f"outlet,from,to,sure,starts,ends\n{row}\n")
    with pytest.raises(SheetRefused, match=said):
        read_water(path, BOUNDS, TODAY, BLOCKS)


def test_a_kind_of_water_that_is_none_is_told_with_its_cure(tmp_path: Path) -> None:
    text = "outlet,water_source,from,to,sure\nU1,bucket,2026-03-11,2026-03-12,yes\n"
    with pytest.raises(SheetRefused, match=":2 water_source: need one of gravity-turn, own-pump"):
        read_water(write(tmp_path, text), BOUNDS, TODAY, BLOCKS)


def test_water_told_replaces_what_was_known(home: TestHouse, tmp_path: Path) -> None:
    def take(text: str, check: bool = False) -> list[str]:
        path = write(tmp_path, "outlet,from,to,sure\n" + text)
        return [str(each) for each in take_water(home.house, path, check).all]

    def known() -> tuple[WaterWindow, ...] | None:
        with home.house.store.begin(write=False) as unit:
            plot = unit.schemes.plot_id(home.scheme_id, "H07")
            return unit.books.case(plot, home.clock.now()).case.next_water

    window = WaterWindow(date(2026, 3, 11), date(2026, 3, 12), True)
    turn = "U1,2026-03-11,2026-03-12,yes\n"
    assert take(turn, check=True) == [
        "new turn list of Upper (line 2): turns unknown -> 2026-03-11 to 2026-03-12"
    ]
    assert known() is None
    take(turn)
    assert known() == (window,)
    assert take(turn) == ["unchanged turn list of Upper (line 2)"]
    assert take("U1,,,\n") == [
        "changed turn list of Upper (line 2): turns 2026-03-11 to 2026-03-12 -> none known"
    ]
    assert known() == ()
    with home.house.store.begin_work(write=False) as work:
        noted = [row.what for row in work.rows(select(audit).order_by(audit.c.id))]
    assert noted == ["water loaded", "turn list changed", "water loaded"]
