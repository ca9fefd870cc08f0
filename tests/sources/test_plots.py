"""A sheet of plots: what its cells may hold, how lines join, and every mistake at once."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from gateway.advisory.errors import SheetRefused
from gateway.advisory.number import Number
from gateway.advisory.sheets import BlockEntry, PlotEntry, ReaderEntry, SeasonEntry
from gateway.flowfiles.reader import FlowError
from gateway.flowfiles.sheets import load_sheet_bounds
from gateway.settings import shipped
from gateway.sources.plots import COLUMNS, read_plots
from tests.sources.office import known, write

ANN, BEN = Number("+12025550107"), Number("+12025550108")
USUAL = {
    "block": "Upper",
    "outlet": "U1",
    "outlet_lps": "30",
    "plot": "H07",
    "area_ha": "0.4",
    "soil": "Clay loam",
    "latitude": "-15,5",
    "elevation_m": "20",
    "rim_cm": "20",
    "tube_bottom_cm": "−20",
    "bars": "saline; cracking",
    "profile": "first-season",
    "grower": "Ann B",
    "phone": "+1 202 555 0107",
    "language": "en",
    "reads": "soil",
    "method": "transplanted",
    "established_on": "2026-02-10",
    "sown_on": "2026-01-20",
    "variety": "Medium",
    "role": "Lead reader",
    "duration_days": "120",
    "plan": "invented plan",
    "water_ec_ds_m": "1,4",
    "bund_cm": "12",
    "area_confirmed": "no",
    "crop_season": "Cool",
    "photoperiod_sensitive": "no",
    "uneven": "yes",
    "seedlings": "mechanical",
}


def sheet_of(folder: Path, *rows: dict[str, str]) -> Path:
    text = [";".join(COLUMNS)]
    text += [";".join(f'"{row.get(name, "")}"' for name in COLUMNS) for row in rows]
    return write(folder, "\n".join(text) + "\n")


def mistakes(folder: Path, *rows: dict[str, str], **changes: object) -> list[str]:
    with pytest.raises(SheetRefused) as caught:
        read_plots(sheet_of(folder, *rows), known(**changes))
    return [f"{each.line} {each.column}: {each.cure}" for each in caught.value.mistakes]


def test_every_cell_of_a_full_line_is_taken(tmp_path: Path) -> None:
    sheet = read_plots(sheet_of(tmp_path, USUAL), known())
    assert sheet.blocks == (BlockEntry(2, "Upper", "U1", 30),)
    facts = {
        "area_ha": 0.4,
        "latitude": -15.5,
        "elevation_m": 20,
        "rim_cm": 20,
        "tube_bottom_cm": -20,
        "soil": "clay-loam",
        "bars": frozenset({"saline", "cracking"}),
        "profile": "first-season",
        "water_ec_ds_m": 1.4,
        "bund_cm": 12,
        "area_confirmed": False,
    }
    planted, sown = date(2026, 2, 10), date(2026, 1, 20)
    season = SeasonEntry(2, "transplanted", planted, sown, 120, "Medium", "Invented plan")
    season = replace(season, crop_season="cool", photoperiod_sensitive=False, uneven=True)
    season = replace(season, seedlings="mechanical")
    readers = (ReaderEntry(2, ANN, "Ann B", "en", "soil", "lead-reader"),)
    assert sheet.plots == (PlotEntry(2, "H07", "Upper", facts, "Ann B", readers, season),)


def test_a_second_line_of_a_plot_brings_a_second_phone(tmp_path: Path) -> None:
    second = {"plot": "H07", "grower": "Ben B", "phone": "0012025550108", "area_ha": "0,40"}
    (plot,) = read_plots(sheet_of(tmp_path, USUAL, second), known()).plots
    assert [(reader.number, reader.grower) for reader in plot.readers] == [
        (ANN, "Ann B"),
        (BEN, "Ben B"),
    ]
    assert plot.grower == "Ann B"


def test_an_empty_cell_says_nothing_and_none_says_that_there_is_no_bar(tmp_path: Path) -> None:
    plain = {"block": "Lower", "plot": "H08"}
    silent, told = read_plots(
        sheet_of(tmp_path, plain, {**plain, "plot": "H09", "bars": "None"}), known()
    ).plots
    assert (silent.facts, silent.readers, silent.season) == ({}, (), None)
    assert told.facts == {"bars": frozenset()}


WRONG = {
    "no plot": ({"plot": ""}, "plot: must not be empty"),
    "long code": ({"plot": "UPPERFIELD7"}, "plot: need a code of at most 8 characters"),
    "no digit": ({"plot": "NORTH"}, "plot: need letters and a number such as H07"),
    "not sayable": ({"plot": "7"}, "plot: need letters and a number such as H07"),
    "area": ({"area_ha": "4000"}, "area_ha: need 0.005 to 50, got '4000'"),
    "area word": ({"area_ha": "big"}, "area_ha: need a number such as 0.4, got 'big'"),
    "thousands": ({"elevation_m": "1,250.5"}, "elevation_m: need a number"),
    "not finite": ({"area_ha": "nan"}, "area_ha: need a number"),
    "overlong": ({"area_ha": "9" * 400}, "area_ha: need 0.005 to 50"),
    "soil": ({"soil": "mud"}, "soil: need one of clay, clay-loam; got 'mud'"),
    "bottom": ({"tube_bottom_cm": "20"}, "got '20'; below the soil is negative"),
    "bars": ({"bars": "saline;none"}, "bars: need one of saline, cracking; got 'none'"),
    "profile": ({"profile": "usual"}, "profile: need one of first-season"),
    "phone": ({"phone": "+1 202 555"}, "phone: too short or too long for its country; need +"),
    "no country": ({"phone": "2025550107"}, "phone: need digits, with + and the country code"),
    "rounded": ({"phone": "1.20256E+10"}, "phone: the program that wrote the sheet"),
    "amount": ({"phone": "12025550107.0"}, "phone: the program that wrote the sheet"),
    "letters": ({"phone": "+1202555HELP"}, "phone: need digits"),
    "no grower": ({"grower": ""}, "grower: must not be empty"),
    "phone as name": ({"grower": "+12025550107"}, "grower: looks like a phone number"),
    "no phone": ({"phone": ""}, "language: belongs to a phone, and phone is empty"),
    "language": ({"language": "xx"}, "language: need one of en, id; got 'xx'"),
    "reads": ({"reads": "top"}, "reads: need one of soil, rim; got 'top'"),
    "method": ({"method": "thrown"}, "need one of transplanted, wet-seeded, dry-seeded"),
    "no method": ({"method": ""}, "method: must be told with the crop"),
    "day": ({"established_on": "10/02/2026"}, "need a day such as 2026-03-10, got '10/02/2026'"),
    "no such day": ({"established_on": "2026-02-30"}, "established_on: need a day such as"),
    "another year": ({"established_on": "2024-02-10"}, "established_on: need a day from 2025-"),
    "sown late": ({"sown_on": "2026-02-11"}, "sown_on: the nursery is sown before planting"),
    "seeded": ({"method": "wet-seeded"}, "sown_on: seeded rice has its sowing day under"),
    "seedlings": (
        {"method": "dry-seeded", "sown_on": ""},
        "seedlings: seeded rice has none; leave it empty",
    ),
    "age": ({"seedlings": "old"}, "seedlings: need one of mechanical, warm, cool; got 'old'"),
    "crop season": ({"crop_season": "hot"}, "crop_season: need one of cool; got 'hot'"),
    "uneven": ({"uneven": "partly"}, "uneven: need one of yes, y, true, 1, no, n, false, 0"),
    "salt": ({"water_ec_ds_m": "1400"}, "water_ec_ds_m: need 0 to 60, got '1400'"),
    "bund": ({"bund_cm": "-12"}, "bund_cm: need 2 to 100, got '-12'"),
    "confirmed": ({"area_confirmed": "maybe"}, "area_confirmed: need one of yes, y"),
    "half a day": ({"duration_days": "112.5"}, "duration_days: need a whole number"),
    "plan": ({"plan": "other"}, "plan: need one of Invented plan; got 'other'"),
    "no outlet": ({"outlet": ""}, "outlet: the block Upper is new, name its outlet"),
    "no block": ({"block": ""}, "block: the plot H07 is new, name its block"),
}


@pytest.mark.parametrize(("change", "said"), list(WRONG.values()), ids=list(WRONG))
def test_what_a_cell_may_not_hold_is_told_with_line_column_and_cure(
    tmp_path: Path, change: dict[str, str], said: str
) -> None:
    found = mistakes(tmp_path, USUAL | change)
    assert any(each.startswith("2 ") and said in each for each in found), found
    assert "2025550107" not in "".join(found)


JOINED = {
    "told twice": ([{"area_ha": "0.5"}], "3 area_ha: line 2 tells it otherwise for H07; keep one"),
    "two blocks": ([{"block": "Lower", "outlet": ""}], "3 block: line 2 tells it otherwise"),
    "two outlets": (
        [{"plot": "H08", "outlet": "U2"}],
        "3 outlet: line 2 tells it otherwise for Upper; keep one",
    ),
    "two crops": ([{"established_on": "2026-02-11"}], "3 established_on: line 2 tells it"),
    "same phone": ([{}], "3 phone: line 2 lets this phone read H07 already"),
    "two languages": (
        [{"plot": "H08", "language": "id"}],
        "3 language: line 2 gives this phone the language en; keep one",
    ),
    "alike": ([{"plot": "h-07"}], "3 plot: h-07 reads the same as H07 in a text"),
    "alike on record": ([{"plot": "k01"}], "3 plot: k01 reads the same as K01 in a text"),
}


@pytest.mark.parametrize(("more", "said"), list(JOINED.values()), ids=list(JOINED))
def test_lines_that_contradict_each_other_are_told(
    tmp_path: Path, more: list[dict[str, str]], said: str
) -> None:
    found = mistakes(tmp_path, USUAL, *({**USUAL, **each} for each in more))
    assert any(each.startswith(said) for each in found), found


def test_all_mistakes_of_a_sheet_are_told_at_once_by_line(tmp_path: Path) -> None:
    second = {**USUAL, "plot": "H08", "phone": "1", "soil": "mud", "established_on": ""}
    found = mistakes(tmp_path, {**USUAL, "area_ha": "0"}, second)
    assert [each.split(":")[0] for each in found] == [
        "2 area_ha",
        "3 phone",
        "3 soil",
        "3 established_on",
    ]


def test_a_local_number_is_read_where_the_scheme_names_its_country(tmp_path: Path) -> None:
    sheet = read_plots(sheet_of(tmp_path, {**USUAL, "phone": "202-555-0107"}), known(region="US"))
    assert sheet.plots[0].readers[0].number == ANN


def test_the_bounds_are_those_of_the_flows_folder(tmp_path: Path) -> None:
    wide = {**USUAL, "area_ha": "400"}
    assert "need 0.005 to 50" in mistakes(tmp_path, wide)[0]
    text = (shipped("flows") / "sheets.yaml").read_text("utf-8")
    write(
        tmp_path,
        text.replace("area_ha: {least: 0.005, most: 50}", "area_ha: {least: 0.005, most: 500}"),
        "sheets.yaml",
    )
    (plot,) = read_plots(sheet_of(tmp_path, wide), known(bounds=load_sheet_bounds(tmp_path))).plots
    assert plot.facts["area_ha"] == 400


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "area_ha: {least: 0.005, most: 50}",
            "area_ha: {least: 50, most: 5}",
            r":6:20 least: must",
        ),
        (
            "area_ha: {least: 0.005, most: 50}",
            "area_ha: {least: low}",
            r":6:20 least: need a number",
        ),
        ("area_ha: {least: 0.005, most: 50}", "", r"the key area_ha is missing"),
        ("latitude:", "height:", r":8:3 height: unknown key"),
    ],
    ids=["order", "word", "missing", "unknown"],
)
def test_a_mistake_in_the_bounds_is_told_with_its_place(
    tmp_path: Path, old: str, new: str, said: str
) -> None:
    text = (shipped("flows") / "sheets.yaml").read_text("utf-8")
    "role": ({"role": "chief"}, "role: need one of reader, lead-reader; got 'chief'"),
    assert old in text
    write(tmp_path, text.replace(old, new), "sheets.yaml")
    with pytest.raises(FlowError, match=said):
        load_sheet_bounds(tmp_path)
