"""Whole seasons as lines for ``gateway advise``: a plot that dries, is filled and reported on.

The truths of a season (sprayed, barred, under water, in flower by a report) are reckoned here from
the line alone, so that a mistake in the gateway's own holds or calendar is seen.
"""

from datetime import date, timedelta
from typing import Any

from hypothesis import strategies as st

Line = dict[str, Any]

PLANTED = date(2026, 3, 2)
KEPT_BARS = frozenset({"saline", "acid-sulphate", "cadmium"})
RAISED = {"by": "officer Anu", "on": "2026-02-20", "reason": "a good season", "from_cm": -15}
PEAK_AFTER_HEADS, WINDOW, SEEDED_WINDOW = 2, 7, 10


def on(day: int) -> str:
    return (PLANTED + timedelta(days=day)).isoformat()


def day_of(line: Line) -> int:
    return (date.fromisoformat(line["as_of"]) - PLANTED).days


def told(line: Line, *kinds: str) -> list[tuple[int, Line]]:
    """The events of these kinds up to the line's day, with their day after planting."""
    days = [((date.fromisoformat(e["on"]) - PLANTED).days, e) for e in line["events"]]
    return [(day, e) for day, e in days if e["kind"] in kinds and day <= day_of(line)]


def is_sprayed(line: Line) -> bool:
    """Whether a spray must still stay in: 7 days where nobody said how long."""
    return any(day_of(line) < day + e.get("hold_days", 7) for day, e in told(line, "spray"))


def is_barred(line: Line) -> bool:
    return bool(KEPT_BARS & set(line["plot"].get("bars") or ()))


def was_submerged(line: Line) -> bool:
    return any(day_of(line) < day + 7 for day, _ in told(line, "submerged"))


def is_in_flower(line: Line) -> bool:
    """Whether the last report of heads or flowers puts this day into the flowering days."""
    peaks = [
        (day, day + PEAK_AFTER_HEADS * (e["kind"] == "heading"))
        for day, e in told(line, "heading", "flowering")
    ]
    even = line["season"]["method"] == "transplanted"
    return bool(peaks) and abs(day_of(line) - max(peaks)[1]) <= (WINDOW if even else SEEDED_WINDOW)


def should_flower(line: Line) -> bool:
    """Whether this day lies in the flowering days as counted by hand, where no heads were told.

    A crop of 120 days from sowing peaks 30 days before it is ripe. A week either side; ten days
    where it was sown in the field; 14 before and 10 after where nobody told the nursery's day, with
    seedlings of 21 days. Heat units may add days to these, and take none away.
    """
    season = line["season"]
    if told(line, "heading", "flowering"):
        return False
    if season["method"] != "transplanted":
        sown, before, after = 0, SEEDED_WINDOW, SEEDED_WINDOW
    else:
        sown = -21
        before, after = (WINDOW, WINDOW) if "sown_on" in season else (14, 10)
    peak = sown + season["duration_days"] - 30
    return peak - before <= day_of(line) <= peak + after


def with_level(line: Line, level: float) -> Line:
    """The line with another reading of today in the place of its last one."""
    before = [e for e in line["events"] if (e["kind"], e["on"]) != ("reading", line["as_of"])]
    today = {"on": line["as_of"], "kind": "reading", "level_cm": level}
    return line | {"events": [*before, today]}


def read_twice(line: Line, level: float) -> Line:
    """The line with a level read yesterday and today, so that neither is doubted."""
    recent = {on(day_of(line) - ago) for ago in range(2)}
    wet = ("reading", "flooded")
    before = [e for e in line["events"] if e["kind"] not in wet or e["on"] not in recent]
    yesterday = {"on": on(day_of(line) - 1), "kind": "reading", "level_cm": level + 0.5}
    return with_level(line | {"events": [*before, yesterday]}, level)


def without_water(line: Line) -> Line:
    """The line without what was read in the tube or let in."""
    return line | {"events": [e for e in line["events"] if e["kind"] not in ("reading", "flooded")]}


@st.composite
def waters(draw: st.DrawFn, as_of: int) -> list[Line]:
    """Readings every few days of a plot that falls, floodings told at last, up to ``as_of``."""
    level, day, events = 4.0, max(0, as_of - 24), []
    fall = draw(st.integers(4, 25)) / 10
    while day < as_of:
        events.append({"on": on(day), "kind": "reading", "level_cm": round(level, 1)})
        if level < draw(st.integers(-15, -8)):
            events.append({"on": on(day), "kind": "flooded", "to_cm": 5})
            level = 5.0
        step = draw(st.integers(1, 4))
        day, level = day + step, max(-19.0, level - fall * step)
    return [*events, {"on": on(as_of), "kind": "reading", "level_cm": round(level, 1)}]


@st.composite
def reports(draw: st.DrawFn, as_of: int) -> list[Line]:
    """What else may have been told: heads at a time that can be, sprays, weeds, plants drowned."""
    heads = draw(
        st.lists(st.tuples(st.sampled_from(["heading", "flowering"]), st.integers(50, 95)))
    )
    found = [{"on": on(day), "kind": kind} for kind, day in heads[:2] if day <= as_of]
    for kind in draw(
        st.lists(st.sampled_from(["spray", "weeds", "submerged", "nitrogen"]), max_size=2)
    ):
        event: Line = {"on": on(as_of - draw(st.integers(0, 9))), "kind": kind}
        if kind == "spray" and draw(st.booleans()):
            event["hold_days"] = draw(st.integers(1, 14))
        found.append(event)
    return found


@st.composite
def weather(draw: st.DrawFn, as_of: int) -> list[Line]:
    """None, or the temperatures since the nursery: a usual, a cool or a hot season."""
    tmin = draw(st.sampled_from([None, 14, 20, 25]))
    if tmin is None:
        return []
    days = range(-25, as_of + 4)
    return [{"on": on(n), "tmin": tmin, "tmax": tmin + 9, "rain_mm": 0} for n in days]


@st.composite
def plots(draw: st.DrawFn) -> Line:
    bars = st.lists(
        st.sampled_from([*sorted(KEPT_BARS), "fast-draining", "unlevelled"]), max_size=1
    )
    plot: Line = {
        "code": "H07",
        "bars": draw(bars),
        "area_ha": 0.4,
        "outlet_lps": 10,
        "latitude": 15,
    }
    plot["soil"] = draw(st.sampled_from(["clay", "clay-loam", "loam", "sandy-loam"]))
    if draw(st.booleans()):
        plot |= {"threshold_cm": -20, "tube_bottom_cm": -25, "threshold_raised": RAISED}
    if draw(st.booleans()):
        plot["profile"] = "first-season"
    return plot


@st.composite
def lines(draw: st.DrawFn, first: int = 3, last: int = 108) -> Line:
    """A plot at some day of its season, counted from planting, with all that was told so far."""
    as_of = draw(st.integers(first, last))
    method = draw(st.sampled_from(["transplanted", "transplanted", "wet-seeded"]))
    season: Line = {"method": method, "established_on": on(0), "duration_days": 120}
    if method == "transplanted" and draw(st.booleans()):
        season["sown_on"] = on(-21)
    if draw(st.booleans()):
        opens = as_of - draw(st.integers(-1, 6))
        season["nitrogen"] = [
            {"from": on(opens), "to": on(opens + 6), "kg_ha": 60, "product": "UREA"}
        ]
    line: Line = {"as_of": on(as_of), "plot": draw(plots()), "season": season}
    line |= {
        "events": [*draw(waters(as_of)), *draw(reports(as_of))],
        "weather": draw(weather(as_of)),
    }
    turns = st.lists(st.tuples(st.integers(-1, 8), st.integers(0, 5), st.booleans()), max_size=3)
    if (windows := draw(st.one_of(st.none(), turns))) is not None:
        line["next_water"] = [
            {"from": on(as_of + a), "to": on(as_of + a + n), "sure": sure} for a, n, sure in windows
        ]
    return line
