"""A sheet of plots: what its cells may hold, how lines join, and every mistake at once."""

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from gateway.advisory.errors import SheetRefused
from gateway.advisory.number import Number
from gateway.advisory.register import PlotOnRecord, SeasonOnRecord
from gateway.advisory.sheets import BlockEntry, PlotEntry, ReaderEntry, SeasonEntry
from gateway.agronomy.plot import Plot, ThresholdRaised
from gateway.agronomy.season import Season
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
    "role": "Lead reader",
    "method": "transplanted",
    "established_on": "2026-02-10",
    "sown_on": "2026-01-20",
    "variety": "Medium",
    "duration_days": "120",
    "plan": "invented plan",
    "water_ec_ds_m": "1,4",
    "bund_cm": "12",
    "area_confirmed": "no",
    "crop_season": "Cool",
    "photoperiod_sensitive": "no",
    "uneven": "yes",
    "seedlings": "mechanical",
    "threshold_cm": "-10",
    "water_source": "Own pump",
    "pump_lps": "6,5",
}
RAISED = {
    "block": "Lower",
    "plot": "H08",
    "tube_bottom_cm": "-25",
    "threshold_cm": "-20",
    "raised_by": "A. Officer",
    "raised_on": "2026-02-12",
    "raised_reason": "last season went well",
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
        "water_source": "own-pump",
        "outlet_lps": 6.5,
        "threshold_cm": -10,
    }
    planted, sown = date(2026, 2, 10), date(2026, 1, 20)
    season = SeasonEntry(2, "transplanted", planted, sown, 120, "Medium", "Invented plan")
    season = replace(season, crop_season="cool", photoperiod_sensitive=False, uneven=True)
    season = replace(season, seedlings="mechanical")
    readers = (ReaderEntry(2, ANN, "Ann B", "en", "soil", "lead-reader"),)
    assert sheet.plots == (PlotEntry(2, "H07", "Upper", facts, "Ann B", readers, season),)


def test_a_deeper_dry_limit_comes_with_who_allowed_it_and_from_where(tmp_path: Path) -> None:
    (plot,) = read_plots(sheet_of(tmp_path, RAISED), known()).plots
    told = ThresholdRaised("A. Officer", date(2026, 2, 12), "last season went well", -15)
    assert (plot.facts["threshold_cm"], plot.facts["threshold_raised"]) == (-20, told)


DEEPER = {
    "nobody": ({"raised_by": ""}, "raised_by: deeper than -15 needs an officer's name, a day"),
    "no day": ({"raised_on": ""}, "raised_on: deeper than -15 needs an officer's name, a day"),
    "no reason": ({"raised_reason": ""}, "raised_reason: deeper than -15 needs an officer's name"),
    "a mark": ({"raised_by": "-"}, "raised_by: need words, not a mark"),
    "to come": ({"raised_on": "2026-03-11"}, "raised_on: need a day from 2016-03-02 to 2026-03-10"),
    "a number": ({"threshold_cm": "20"}, "need -60 to -1 cm, got '20'; below the soil is negative"),
    "two steps": ({"threshold_cm": "-25"}, "threshold_cm: from -15 one season may go 5 cm deeper"),
    "short tube": (
        {"tube_bottom_cm": "-18"},
        "threshold_cm: -20 lies deeper than the tube's bottom",
    ),
    "barred": ({"bars": "cracking;saline"}, "threshold_cm: saline forbids drying"),
    "first season": ({"profile": "first-season"}, "the profile first-season allows none deeper"),
    "not deeper": ({"threshold_cm": "-15"}, "raised_by: -15 is no deeper than the usual -15"),
    "no limit": ({"threshold_cm": ""}, "raised_by: belongs to a dry limit, and threshold_cm is"),
    "no pump": ({"pump_lps": "6"}, "pump_lps: belongs to a pump, and water_source names none"),
    "a turn": (
        {"pump_lps": "6", "water_source": "gravity-turn"},
        "pump_lps: belongs to a pump, and water_source names none",
    ),
}


@pytest.mark.parametrize(("changes", "said"), list(DEEPER.values()), ids=list(DEEPER))
def test_a_dry_limit_that_nobody_may_set_is_told_with_its_cure(
    tmp_path: Path, changes: dict[str, str], said: str
) -> None:
    found = mistakes(tmp_path, RAISED | changes)
    assert [each for each in found if each.startswith("2 ") and said in each], found


def on_record(**facts: Any) -> dict[str, PlotOnRecord]:
    """H08 with two seasons behind it."""
    seasons = {day: SeasonOnRecord(1, Season("transplanted", day), None) for day in PLANTED}
    return {"H08": PlotOnRecord(1, "Lower", Plot("H08", **facts), None, None, seasons, {})}


PLANTED = (date(2025, 7, 10), date(2026, 1, 20))
EARLIER = ThresholdRaised("B. Officer", date(2025, 8, 1), "went well", -15)
LATELY = ThresholdRaised("B. Officer", date(2026, 2, 1), "went well", -15)


@pytest.mark.parametrize(
    ("before", "level", "said"),
    [
        ({"threshold_cm": -20.0, "threshold_raised": EARLIER}, "-25", None),
        ({"threshold_cm": -20.0, "threshold_raised": LATELY}, "-25", "B. Officer went deeper on"),
        ({"threshold_cm": -20.0, "threshold_raised": EARLIER}, "-26", "from -20 one season may"),
        ({"threshold_cm": -10.0}, "-20", "from -10 one season may go 5 cm deeper; need -15"),
        ({"threshold_cm": -20.0, "threshold_raised": LATELY}, "-20", None),
        ({"threshold_cm": -25.0, "threshold_raised": LATELY}, "-20", None),
    ],
    ids=["next season", "same season", "two steps", "from ten", "put right", "less deep"],
)
def test_a_plot_goes_deeper_one_step_a_season(
    tmp_path: Path, before: dict[str, Any], level: str, said: str | None
) -> None:
    row = RAISED | {"threshold_cm": level, "tube_bottom_cm": "-30"}
    if said is None:
        (plot,) = read_plots(sheet_of(tmp_path, row), known(plots=on_record(**before))).plots
        assert plot.facts["threshold_cm"] == float(level)
    else:
        (found,) = mistakes(tmp_path, row, plots=on_record(**before))
        assert said in found


def test_a_season_that_the_same_sheet_begins_is_another_season(tmp_path: Path) -> None:
    before = on_record(threshold_cm=-20.0, threshold_raised=LATELY)
    row = RAISED | {"threshold_cm": "-25", "tube_bottom_cm": "-30", "raised_on": "2026-03-10"}
    near = row | {"method": "transplanted", "established_on": "2026-02-01"}
    (found,) = mistakes(tmp_path, near, plots=before)
    assert "one step a season" in found
    assert known().bounds.days.same_crop.most < (date(2026, 3, 9) - PLANTED[1]).days
    begun = row | {"method": "transplanted", "established_on": "2026-03-09"}
    (plot,) = read_plots(sheet_of(tmp_path, begun), known(plots=before)).plots
    assert plot.facts["threshold_raised"].from_cm == -20


def test_a_dry_limit_on_record_may_be_told_again_without_its_officer(tmp_path: Path) -> None:
    before = on_record(threshold_cm=-20.0, threshold_raised=LATELY)
    row = {"plot": "H08", "threshold_cm": "-20"}
    (plot,) = read_plots(sheet_of(tmp_path, row), known(plots=before)).plots
    assert plot.facts == {}


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
    "role": ({"role": "chief"}, "role: need one of reader, lead-reader; got 'chief'"),
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
    assert old in text
    write(tmp_path, text.replace(old, new), "sheets.yaml")
    with pytest.raises(FlowError, match=said):
        load_sheet_bounds(tmp_path)
