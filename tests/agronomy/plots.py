"""Invented plots for the tests of judgement: one crop, put into any stage and condition."""

from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import Any

from gateway.agronomy.book import Event
from gateway.agronomy.case import Case, WaterWindow
from gateway.agronomy.plot import Plot
from gateway.agronomy.rules import RuleBook
from gateway.agronomy.season import Season, Split
from gateway.flowfiles.rules import load_rulebook

FLOWS = Path(__file__).parents[2] / "flows"
PLANTED = date(2026, 1, 10)
# A variety of 120 days from a nursery sown 21 days before planting: peak flowering on 20 March.
SEASON = Season("transplanted", PLANTED, sown_on=date(2025, 12, 20), duration_days=120)
PLOT = Plot("H07", area_ha=0.4, soil="clay-loam", bars=frozenset(), outlet_lps=10)
DAY_OF_STAGE = {
    "before-planting": PLANTED - timedelta(days=5),
    "establishment": PLANTED + timedelta(days=5),
    "tillering": PLANTED + timedelta(days=25),
    "panicle": PLANTED + timedelta(days=45),
    "flowering": date(2026, 3, 20),
    "grain-filling": date(2026, 4, 1),
    "ripening": date(2026, 4, 14),
    "harvested": date(2026, 5, 20),
    "unknown": PLANTED + timedelta(days=45),
}


@cache
def book() -> RuleBook:
    """The rule book as shipped."""
    return load_rulebook(FLOWS)


def days(count: int) -> timedelta:
    return timedelta(days=count)


def reading(on: date, level: float | str) -> Event:
    """A reading in cm, or a dry tube for "dry"."""
    if level == "dry":
        return Event("reading", on, dry=True)
    return Event("reading", on, level_cm=float(level))


def in_stage(stage: str, level: float | str | None = None, **parts: Any) -> Case:
    """A plot in a stage, read two days ago and today, unless ``level`` is None."""
    day = DAY_OF_STAGE[stage]
    season = replace(SEASON, duration_days=None) if stage == "unknown" else SEASON
    events: tuple[Event, ...] = ()
    if level is not None:
        before = -18.0 if level == "dry" else float(level) + 1.5
        events = (reading(day - days(2), before), reading(day, level))
    more = parts.pop("events", ())
    return Case(
        **{"as_of": day, "plot": PLOT, "season": season, "events": (*events, *more)} | parts
    )


def with_condition(
    case: Case, nitrogen: str, weeds: str, spray: str, bars: str, supply: str
) -> Case:
    """The case with the words of the judgement table put on it."""
    day, events = case.as_of, case.events
    windows = {
        "due": (Split(day - days(2), day + days(5), 60, "UREA"),),
        "last-days": (Split(day - days(5), day + days(1), 60, "UREA"),),
        "none": (),
    }
    if weeds != "unanswered":
        events = (*events, Event("weeds", day - days(2), amount=weeds))  # type: ignore[arg-type]
    if spray == "yes":
        events = (*events, Event("spray", day - days(2)))
    known_bars = None if bars == "unasked" else frozenset(() if bars == "none" else (bars,))
    water: tuple[WaterWindow, ...] | None = None
    if supply != "unknown":
        window = WaterWindow(day, day + days(60), supply == "sure")
        water = () if supply == "none" else (window,)
    assert case.season is not None
    return replace(
        case,
        events=events,
        plot=replace(case.plot, bars=known_bars),
        season=replace(case.season, nitrogen=windows[nitrogen]),
        next_water=water,
    )
