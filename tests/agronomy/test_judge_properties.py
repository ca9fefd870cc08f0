"""What must hold for any plot, whatever was reported: nothing safe is traded for water."""

from dataclasses import replace
from datetime import date, time

from hypothesis import given, settings
from hypothesis import strategies as st

from gateway.agronomy.advice import Advice
from gateway.agronomy.book import EVENT_KINDS, Event
from gateway.agronomy.case import Case, WaterWindow, WeatherDay
from gateway.agronomy.holds import holds_of
from gateway.agronomy.judge import judge
from gateway.agronomy.plot import Plot, ThresholdRaised
from gateway.agronomy.season import Season, Split
from tests.agronomy.plots import PLANTED, book, days

DRYING = frozenset({"wait", "dry-to-fertilise", "no-more-water", "drain", "let-out"})
LETTING = frozenset({"let-out", "drain"})
KEPT_BARS = frozenset({"saline", "acid-sulphate", "cadmium"})
# From the driest advice to the wettest: nobody to water, to hold what stands, to add water.
WETNESS = {
    "let-out": 0,
    "drain": 0,
    "no-more-water": 0,
    "dry-to-fertilise": 1,
    "fertilise-shallow": 1,
    "wait": 1,
    "none": 1,
    "ask": 2,
    "keep-moist": 3,
    "keep-flooded": 3,
    "top-up": 4,
    "reflood": 5,
    "reflood-after-nitrogen": 5,
}

tenths = st.integers(-190, 140).map(lambda n: n / 10)
levels = st.one_of(st.none(), tenths)
day_of_season = st.integers(-10, 150)
clock = st.one_of(st.none(), st.builds(time, st.integers(0, 23), st.integers(0, 59)))


@st.composite
def seasons(draw: st.DrawFn) -> Season:
    method = draw(st.sampled_from(["transplanted", "wet-seeded", "dry-seeded"]))
    age = draw(st.one_of(st.none(), st.integers(10, 40)))
    splits = draw(st.lists(st.tuples(st.integers(5, 100), st.integers(0, 9)), max_size=3))
    return Season(
        method,  # type: ignore[arg-type]
        PLANTED,
        PLANTED - days(age) if age and method == "transplanted" else None,
        draw(st.one_of(st.none(), st.integers(85, 160))),
        draw(st.one_of(st.none(), st.integers(40, 120).map(lambda n: PLANTED + days(n)))),
        tuple(Split(PLANTED + days(a), PLANTED + days(a + n), 60, "UREA") for a, n in splits),
    )


@st.composite
def events(draw: st.DrawFn, as_of: date) -> Event:
    kind = draw(st.sampled_from(sorted(EVENT_KINDS - {"reading", "harvest"})))
    day = as_of - days(draw(st.integers(-3, 30)))
    amount = draw(st.sampled_from(["few", "many", None])) if kind == "weeds" else None
    return Event(
        kind,  # type: ignore[arg-type]
        day,
        draw(clock),
        to_cm=draw(st.one_of(st.none(), st.integers(1, 9).map(float)))
        if kind == "flooded"
        else None,
        mm=draw(st.floats(0, 120)) if kind == "rain" else None,
        amount=amount,  # type: ignore[arg-type]
        hold_days=draw(st.one_of(st.none(), st.integers(0, 20))) if kind == "spray" else None,
    )


@st.composite
def plots(draw: st.DrawFn) -> Plot:
    raised = ThresholdRaised("A. Officer", PLANTED, "went well")
    deep = draw(st.booleans())
    bars = st.frozensets(st.sampled_from(sorted(book().practice.bars)), max_size=3)
    return Plot(
        "H07",
        area_ha=draw(st.one_of(st.none(), st.floats(0.02, 5))),
        soil=draw(st.sampled_from([None, "clay", "loam", "sand", "gumbo"])),
        tube_bottom_cm=draw(st.sampled_from([None, -12.0, -20.0, -35.0])),
        threshold_cm=-20.0 if deep else draw(st.sampled_from([None, -15.0, -10.0])),
        threshold_raised=raised if deep else None,
        bars=draw(st.one_of(st.none(), bars)),
        outlet_lps=draw(st.one_of(st.none(), st.floats(0.5, 60))),
        profile=draw(st.sampled_from([None, "first-season"])),
    )


@st.composite
def cases(draw: st.DrawFn) -> Case:
    as_of = PLANTED + days(draw(day_of_season))
    seen = draw(st.lists(st.tuples(st.integers(0, 12), levels, clock), max_size=4))
    readings = [
        Event("reading", as_of - days(ago), at, level_cm=level, dry=level is None)
        for ago, level, at in seen
    ]
    others = draw(st.lists(events(as_of), max_size=4))
    rain = draw(st.lists(st.floats(0, 60), max_size=4))
    windows = st.lists(st.tuples(st.integers(-4, 14), st.integers(0, 9), st.booleans()), max_size=3)
    turns = draw(st.one_of(st.none(), windows))
    return Case(
        as_of,
        draw(plots()),
        draw(seasons()),
        (*readings, *others),
        tuple(WeatherDay(as_of + days(n), rain_mm=mm) for n, mm in enumerate(rain)),
        None
        if turns is None
        else tuple(WaterWindow(as_of + days(a), as_of + days(a + n), s) for a, n, s in turns),
    )


def told(case: Case) -> Advice:
    return judge(case, book())


@settings(max_examples=150, deadline=None)
@given(cases())
def test_every_case_has_an_answer_that_is_whole(case: Case) -> None:
    advice = told(case)
    assert advice.reasons
    assert len(set(advice.reasons)) == len(advice.reasons)
    if advice.water_mm is None:
        assert (advice.water_m3, advice.hours) == (None, None)
    else:
        assert advice.water_mm >= 0
        assert advice.flood_to_cm is not None
        assert advice.action in (
            "reflood",
            "top-up",
            "reflood-after-nitrogen",
            "keep-flooded",
            "keep-moist",
        )
    if advice.next_reading_on is not None:
        assert advice.next_reading_on >= case.as_of
    elif advice.action not in ("none", "drain", "no-more-water"):
        raise AssertionError("a growing crop is looked at again")


@settings(max_examples=150, deadline=None)
@given(cases())
def test_no_advice_asks_to_dry_a_flowering_barred_or_submerged_plot(case: Case) -> None:
    advice = told(case)
    assert case.season is not None
    if advice.stage in ("ripening", "harvested", "before-planting"):
        return
    holds = holds_of(case, book().practice_of(case.plot.profile))
    too_much = advice.action == "let-out" and (
        "too-deep" in advice.reasons or "submerged" in advice.reasons
    )
    wet = advice.stage == "flowering" or holds.submerged != "no"
    wet = wet or bool(KEPT_BARS & (case.plot.bars or frozenset()))
    if wet and not too_much:
        assert advice.action not in DRYING


@settings(max_examples=150, deadline=None)
@given(cases(), st.integers(0, 6))
def test_nothing_leaves_a_sprayed_plot_and_nobody_is_sent_into_it(case: Case, ago: int) -> None:
    spray = Event("spray", case.as_of - days(ago), hold_days=7, reentry_hours=48)
    advice = told(replace(case, events=(*case.events, spray)))
    assert advice.action not in LETTING | {"dry-to-fertilise", "fertilise-shallow"}
    assert advice.action != "reflood-after-nitrogen"
    if advice.next_reading_on is not None and ago < 2:
        assert advice.next_reading_on >= spray.on + days(2)


@settings(max_examples=150, deadline=None)
@given(cases(), tenths, tenths)
def test_a_lower_level_never_yields_a_drier_action(case: Case, one: float, other: float) -> None:
    """The first and only look at the plot, so that no reading is doubted for an earlier one."""
    low, high = sorted((one, other))
    quiet = tuple(e for e in case.events if e.kind not in ("reading", "flooded"))
    plot = replace(case.plot, tube_bottom_cm=None)
    found = [
        told(
            replace(
                case,
                plot=plot,
                events=(*quiet, Event("reading", case.as_of, level_cm=level)),
                next_water=None,
            )
        )
        for level in (low, high)
    ]
    assert WETNESS[found[0].action] >= WETNESS[found[1].action]


@settings(max_examples=150, deadline=None)
@given(cases())
def test_what_is_not_known_never_makes_the_advice_less_cautious(case: Case) -> None:
    """Not asked about soil, supply unknown, nursery date unknown: as wet as with good facts, or
    wetter. Outside the end of the season, which an unknown date can only move."""
    assert case.season is not None
    good = replace(case, plot=replace(case.plot, bars=frozenset()), next_water=None)
    known = told(good)
    unasked = told(replace(good, plot=replace(good.plot, bars=None)))
    assert WETNESS[unasked.action] >= WETNESS[known.action]
    undated = told(replace(good, season=replace(case.season, duration_days=None)))
    if known.stage in ("flowering", "panicle", "tillering") and undated.stage == "unknown":
        assert WETNESS[undated.action] >= WETNESS[known.action] or undated.action == "ask"


@settings(max_examples=100, deadline=None)
@given(cases())
def test_the_order_of_entry_does_not_matter_to_the_action(case: Case) -> None:
    forwards, backwards = told(case), told(replace(case, events=case.events[::-1]))
    same_day = {(e.kind, e.on) for e in case.events}
    if len(same_day) == len(case.events):
        assert (forwards.action, forwards.reasons) == (backwards.action, backwards.reasons)


@settings(max_examples=100, deadline=None)
@given(cases())
def test_judging_twice_says_the_same(case: Case) -> None:
    assert told(case) == told(case)
