# ruff: noqa: E501 - the table reads best with a line for each mistake
"""The contract of ``gateway advise``: JSON in, JSON out, and an answer to every mistake."""

import json
from contextlib import suppress
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gateway.agronomy.advice import Advice
from gateway.agronomy.case import Case
from gateway.agronomy.judge import judge
from gateway.agronomy.season import Approval
from gateway.lines.advise import (
    AdviseReply,
    advise_line,
    advise_schema,
    case_from_json,
    case_to_json,
    setting_from_json,
    setting_to_json,
)
from gateway.lines.pipe import LineError
from tests.agronomy.plots import book
from tests.agronomy.test_judge_properties import cases

BASE: dict[str, Any] = {
    "as_of": "2026-02-14",
    "plot": {"code": "H07"},
    "season": {
        "method": "transplanted",
        "established_on": "2026-01-20",
        "sown_on": "2025-12-30",
        "duration_days": 120,
    },
    "events": [{"on": "2026-02-14", "kind": "reading", "level_cm": -12}],
}
FULL: dict[str, Any] = {
    "as_of": "2026-02-14",
    "plot": {
        "code": "H07",
        "area_ha": 0.4,
        "soil": "Clay loam",
        "latitude": 15.5,
        "elevation_m": 20,
        "rim_cm": 20,
        "tube_bottom_cm": -22,
        "threshold_cm": -20,
        "threshold_raised": {
            "by": "A. Officer",
            "on": "2026-01-20",
            "reason": "a good season",
            "from_cm": -15,
        },
        "bars": [],
        "water_ec_ds_m": 1.2,
        "bund_cm": 25,
        "area_confirmed": True,
        "water_source": "own-pump",
        "outlet_lps": 10,
        "profile": None,
    },
    "season": BASE["season"]
    | {"nitrogen_approved": {"by": "A. Approver", "on": "2026-01-05", "source": "trials"}}
    | {"nitrogen": [{"from": "2026-02-12", "to": "2026-02-18", "kg_ha": 65, "product": "UREA"}]},
    "events": [
        {"on": "2026-02-01", "at": "06:10", "kind": "reading", "level_cm": 3},
        {"on": "2026-02-02", "kind": "flooded", "to_cm": 5},
        {"on": "2026-02-03", "kind": "rain", "mm": 4.5},
        {"on": "2026-02-03", "kind": "weeds", "amount": "few"},
        {"on": "2026-02-03", "kind": "spray", "product": "x", "hold_days": 2, "reentry_hours": 24},
        {"on": "2026-02-14", "kind": "reading", "dry": True, "level_cm": None},
    ],
    "weather": [
        {"on": "2026-02-13", "et0_mm": 5.1, "rain_mm": 0},
        {"on": "2026-02-14", "tmin": 22, "tmax": 33, "rhmin": 40, "rhmax": 90, "wind_ms": 1.5},
    ],
    "next_water": [{"from": "2026-02-14", "to": "2026-02-15", "sure": True}],
    "habit": {
        "mean": [0.7, 0.4, 0, 0.02],
        "covariance": [0.1, 0, 0, 0, 0, 0.1, 0, 0, 0, 0, 0.01, 0, 0, 0, 0, 0.0001],
    },
}


def words(advice: Advice) -> dict[str, str]:
    return {"en": f"{advice.plot} {advice.action}"}


def reply(case: Any) -> dict[str, Any]:
    return advise_line(case if isinstance(case, str) else json.dumps(case), book(), words)


def changed(**parts: Any) -> dict[str, Any]:
    """The base with keys of plot, season or the top replaced."""
    case = json.loads(json.dumps(BASE))
    for key, value in parts.items():
        if isinstance(value, dict) and isinstance(case.get(key), dict):
            case[key] |= value
        else:
            case[key] = value
    return case


def test_a_plain_case_is_answered_with_every_key_of_the_contract() -> None:
    found = reply(BASE)
    assert list(found) == list(AdviseReply.model_fields)
    assert (found["stage"], found["action"]) == ("tillering", "wait")
    assert found["level_cm"]["p10"] <= found["level_cm"]["p50"] <= found["level_cm"]["p90"]
    assert found["threshold_on"]["p10"] <= found["threshold_on"]["p50"]
    assert date.fromisoformat(found["next_reading_on"]) > date(2026, 2, 14)
    assert found["flood_to_cm"] is None
    assert found["text"] == {"en": "H07 wait"}


def test_every_optional_field_is_taken() -> None:
    case = case_from_json(json.dumps(FULL), book())
    assert (case.plot.soil, case.plot.threshold_cm, case.plot.bars) == (
        "clay-loam",
        -20,
        frozenset(),
    )
    assert case.season is not None
    assert case.season.nitrogen[0].kg_ha == 65
    assert case.season.nitrogen_approved == Approval("A. Approver", date(2026, 1, 5), "trials")
    assert case.next_water is not None
    assert case.habit is not None
    assert case.habit.mean == (0.7, 0.4, 0.0, 0.02)
    found = reply(FULL)
    assert found["action"] == "reflood-after-nitrogen"  # dry at -22, the threshold is -20
    assert found["water_m3"] == pytest.approx(4 * found["water_mm"])


@pytest.mark.parametrize(
    ("parts", "reason"),
    [
        ({}, "soil-not-checked"),
        ({"season": {"sown_on": None}}, "seedling-age-assumed"),
        ({"as_of": "2026-01-22"}, "weeds-not-answered"),
        ({"events": None}, "no-reading-yet"),
        ({"season": {"duration_days": None}, "as_of": "2026-04-20"}, "duration-unknown"),
        ({"season": None}, "no-season-on-record"),
    ],
    ids=["bars", "nursery", "weeds", "events", "duration", "season"],
)
def test_what_is_missing_is_assumed_and_said(parts: dict[str, Any], reason: str) -> None:
    assert reason in reply(changed(**parts))["reasons"]


MISTAKES: list[tuple[Any, str]] = [
    ({"plot": {"threshold_cm": 15}}, "plot.threshold_cm: levels below the surface are negative; write -15"),
    ({"plot": {"threshold_cm": -18}}, "plot.threshold_cm: -18 is deeper than -15; need threshold_raised"),
    ({"plot": {"threshold_cm": -25, "threshold_raised": FULL["plot"]["threshold_raised"]}}, "deeper than the tube's bottom at -20"),
    ({"plot": {"threshold_cm": -14, "tube_bottom_cm": -12}}, "deeper than the tube's bottom at -12"),
    ({"plot": {"tube_bottom_cm": 20}}, "plot.tube_bottom_cm: the bottom lies below the surface; write -20"),
    ({"plot": {"bars": ["salty"]}}, "plot.bars: need names of saline"),
    ({"plot": {"profile": "second-season"}}, "plot.profile: need one of first-season, usual"),
    ({"plot": {"colour": "green"}}, "plot.colour: unknown key"),
    ({"plot": {"area_ha": 0}}, "plot.area_ha: need more than 0"),
    ({"plot": {"area_ha": "0.4"}}, "plot.area_ha: need a number, got '0.4'"),
    ({"plot": {"area_ha": True}}, "plot.area_ha: need a number, got True"),
    ({"plot": {"latitude": 91}}, "plot.latitude: need at most 90"),
    ({"plot": {"code": ""}}, "plot.code:"),
    ({"plot": 5}, "plot: need an object, got 5"),
    ({"as_of": "2026-02-30"}, "as_of: need a real date as 2026-02-14, got '2026-02-30'"),
    ({"as_of": "14/02/2026"}, "as_of: need a real date"),
    ({"as_of": 20260214}, "as_of: need a date as 2026-02-14"),
    ({"as_of": "2026-02-14T06:00:00"}, "as_of: need a real date"),
    ({"as_of": "0001-01-01"}, "as_of: need at least 1900-01-01"),
    ({"season": {"method": "floating"}}, "season.method: need one of"),
    ({"season": {"established_on": None}}, "season.established_on: need a date"),
    ({"season": {"sown_on": "2026-02-01"}}, "season.sown_on: the nursery is sown before planting"),
    ({"season": {"method": "wet-seeded"}}, "season.sown_on: seeded rice has its sowing day in established_on"),
    ({"season": {"duration_days": 12}}, "season.duration_days: need at least 60"),
    ({"season": {"duration_days": 99.5}}, "season.duration_days: need a whole number"),
    ({"season": {"nitrogen": [{"from": "2026-02-18", "to": "2026-02-12"}]}}, "season.nitrogen[0].from: must not lie after to"),
    ({"events": [{"on": "2026-02-14", "kind": "reading"}]}, 'events[0].level_cm: need a level in cm, or "dry": true'),
    ({"events": [{"on": "2026-02-14", "kind": "reading", "dry": True, "level_cm": 3}]}, "a dry tube has no level"),
    ({"events": [{"on": "2026-02-14", "kind": "reading", "level_cm": -500}]}, "events[0].level_cm: need at least -100"),
    ({"events": [{"on": "2026-02-14", "kind": "reading", "mm": 5}]}, "events[0].mm: unknown key"),
    ({"events": [{"on": "2026-02-14", "kind": "hail"}]}, "events[0]: kind: need one of 'reading'"),
    ({"events": [{"on": "2026-02-14"}]}, "events[0]: the key kind is missing"),
    ({"events": [{"kind": "tall"}]}, "events[0].on: is missing"),
    ({"events": [{"on": "2026-02-14", "at": "25:00", "kind": "tall"}]}, "events[0].at: need a time as 06:30"),
    ({"events": [{"on": "2026-02-14", "kind": "rain", "mm": -1}]}, "events[0].mm: need at least 0"),
    ({"events": [{"on": "2026-02-14", "kind": "weeds", "amount": "some"}]}, "events[0].amount: need one of"),
    ({"events": {}}, "events: need a list, got an object"),
    ({"weather": [{"on": "2026-02-14", "tmin": 30, "tmax": 20}]}, "weather[0].tmin: must not be above tmax"),
    ({"next_water": [{"from": "2026-02-14", "to": "2026-02-15"}]}, "next_water[0].sure: is missing"),
    ({"next_water": [{"from": "2026-02-16", "to": "2026-02-15", "sure": False}]}, "next_water[0].from: must not lie after to"),
    ({"habit": {"mean": [0.7, 0.4, 0, 0.02], "covariance": [-0.1] * 16}}, "habit.covariance: need a symmetric matrix"),
    ({"habit": {"mean": [0.7, 0.4], "covariance": [0] * 16}}, "habit.mean:"),
    ({"extra": 1}, "extra: unknown key"),
    ({"profile": "usual", "plot": {"profile": "first-season"}}, "profile: the plot names another"),
]  # fmt: skip


@pytest.mark.parametrize(("parts", "cure"), MISTAKES, ids=[m[1][:50] for m in MISTAKES])
def test_a_mistake_names_its_key_and_cure(parts: dict[str, Any], cure: str) -> None:
    with pytest.raises(LineError) as caught:
        reply(changed(**parts))
    assert cure in str(caught.value)


@pytest.mark.parametrize(
    "line",
    [
        "{",
        "[]",
        "5",
        "null",
        '"text"',
        "\x00",
        "nonsense",
        "[" * 100_000,
        '{"as_of": ' + "1" * 6000 + "}",
        json.dumps(BASE).replace("-12", "NaN"),
        json.dumps(BASE).replace("-12", "-Infinity"),
        json.dumps(BASE).replace("-12", "1e999"),
        json.dumps(BASE).replace("H07", "\\ud800"),
    ],
    ids=lambda line: line[:12].replace("\x00", "NUL"),
)
def test_what_is_no_case_at_all_is_answered_in_words(line: str) -> None:
    with pytest.raises(LineError) as caught:
        reply(line)
    assert 5 < len(str(caught.value)) < 500


@settings(max_examples=200, deadline=None)
@given(
    st.recursive(
        st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=5),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(st.sampled_from([*FULL, "code", "on", "kind"]), inner, max_size=4)
        ),
        max_leaves=12,
    ),
    st.sampled_from(sorted(FULL)),
)
def test_any_value_in_any_place_is_answered(value: Any, key: str) -> None:
    with suppress(LineError):
        assert reply(FULL | {key: value})["action"]


@settings(max_examples=100, deadline=None)
@given(cases())
def test_a_case_survives_its_json(case: Case) -> None:
    short = replace(case, plot=replace(case.plot, tube_bottom_cm=-35.0))
    again = case_from_json(json.dumps(case_to_json(short)), book())
    assert again == short
    assert judge(again, book()) == judge(short, book())


def test_the_profile_may_stand_beside_the_plot_or_in_it() -> None:
    for parts in ({"profile": "first-season"}, {"plot": {"profile": "first-season"}}):
        case = case_from_json(json.dumps(changed(**parts)), book())
        assert case.plot.profile == "first-season"


def test_plot_and_season_alone_are_kept_and_read_back() -> None:
    case = case_from_json(json.dumps(FULL), book())
    kept = json.dumps(setting_to_json(case.plot, case.season))
    assert setting_from_json(kept) == (case.plot, case.season)
    bare = json.dumps(setting_to_json(case.plot, None))
    assert setting_from_json(bare) == (case.plot, None)


def test_the_schema_names_both_directions_and_closes_the_input() -> None:
    schema = advise_schema()
    assert set(schema) == {"input", "output"}
    assert schema["input"]["additionalProperties"] is False
    assert set(schema["input"]["properties"]) == {*FULL, "profile"}
    parts = schema["input"]["$defs"]
    assert set(parts["PlotPart"]["properties"]) == set(FULL["plot"])
    assert {"from", "to", "kg_ha", "product", "plan_kg"} == set(parts["SplitPart"]["properties"])
    assert schema["output"]["required"] == list(AdviseReply.model_fields)


def test_every_reply_fits_its_own_schema() -> None:
    for case in (BASE, FULL, changed(season=None), changed(as_of="2026-12-01")):
        AdviseReply.model_validate_json(json.dumps(reply(case)))
