"""What must hold for any plot, whatever was reported: nothing safe is traded for water."""

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from datetime import date, time
from functools import cache
from typing import TypeVar, get_args

from hypothesis import given, settings
from hypothesis import strategies as st

from gateway.agronomy.advice import Advice
from gateway.agronomy.bars import bars_of
from gateway.agronomy.book import EVENT_KINDS, Event
from gateway.agronomy.case import Case, WaterWindow, WeatherDay
from gateway.agronomy.holds import Holds, holds_of
from gateway.agronomy.judge import judge
from gateway.agronomy.plot import Plot, ThresholdRaised, WaterSource
from gateway.agronomy.rules import RuleBook
from gateway.agronomy.season import Approval, Season, Split
from gateway.flowfiles.rules import rulebook_from_texts
from tests.agronomy.plots import PLANTED, book, days

T = TypeVar("T")
DRYING = frozenset({"wait", "dry-to-fertilise", "no-more-water", "drain", "let-out"})
LETTING = frozenset({"let-out", "drain"})
KEPT_BARS = frozenset({"saline", "acid-sulphate", "cadmium"})
KINDS = [*sorted(EVENT_KINDS - {"reading", "harvest"}), "spray", "submerged", "weeds"]
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
growing, any_day = st.integers(5, 95), st.integers(-10, 150)
day_of_season = st.one_of(growing, growing, growing, growing, any_day)
clock = st.one_of(st.none(), st.none(), st.builds(time, st.integers(0, 23), st.integers(0, 59)))


def mostly(usual: T, *others: T) -> st.SearchStrategy[T]:
    """The usual two times out of three, else one of the others."""
    return st.sampled_from([usual] * 2 * len(others) + list(others))


@st.composite
def seasons(draw: st.DrawFn, as_of: date) -> Season:
    method = draw(st.sampled_from(["transplanted", "wet-seeded", "dry-seeded"]))
    age = draw(st.one_of(st.none(), st.integers(10, 40), st.just(21)))
    splits = draw(st.lists(st.tuples(st.integers(-9, 3), st.integers(1, 12)), max_size=2))
    return Season(
        method,  # type: ignore[arg-type]
        PLANTED,
        PLANTED - days(age) if age and method == "transplanted" else None,
        draw(st.one_of(st.integers(85, 160), st.integers(105, 120), st.none())),
        draw(mostly(None, *(PLANTED + days(n) for n in range(40, 120, 8)))),
        tuple(Split(as_of + days(a), as_of + days(a + n), 60, "UREA") for a, n in splits),
        variety=draw(mostly(None, "medium", "tall-local", "moonrise")),
        crop_season=draw(st.sampled_from([None, "wet", "cool"])),
        photoperiod_sensitive=draw(mostly(None, None, None, False, True)),
        uneven=draw(st.booleans()),
        seedlings=draw(st.sampled_from([None, "mechanical", "cool"])),
        nitrogen_approved=draw(st.sampled_from([None, Approval("A. Approver", PLANTED)])),
    )


@st.composite
def events(draw: st.DrawFn, as_of: date) -> Event:
    kind = draw(st.sampled_from(KINDS))
    day = as_of - days(draw(st.one_of(st.integers(0, 6), st.integers(-3, 30))))
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
        height_cm=draw(st.one_of(st.none(), st.floats(5, 110))) if kind == "tall" else None,
    )


@st.composite
def plots(draw: st.DrawFn) -> Plot:
    raised = ThresholdRaised("A. Officer", PLANTED, "went well")
    deep = draw(st.booleans())
    bars = st.frozensets(st.sampled_from(sorted(book().practice.bars)), max_size=3)
    kept_bars = st.sampled_from(sorted(KEPT_BARS)).map(lambda bar: frozenset({bar}))
    return Plot(
        "H07",
        area_ha=draw(st.one_of(st.none(), st.floats(0.02, 5))),
        soil=draw(st.sampled_from([None, "clay", "loam", "sand", "gumbo"])),
        tube_bottom_cm=draw(st.sampled_from([None, -12.0, -20.0, -35.0])),
        threshold_cm=-20.0 if deep else draw(st.sampled_from([None, -15.0, -10.0])),
        threshold_raised=raised if deep else None,
        bars=draw(st.one_of(st.just(frozenset()), st.none(), kept_bars, bars)),
        outlet_lps=draw(st.one_of(st.none(), st.floats(0.5, 60))),
        profile=draw(st.sampled_from([None, "first-season"])),
        latitude=draw(st.sampled_from([None, 15.0])),
        water_ec_ds_m=draw(mostly(None, 0.8, 3.0)),
        bund_cm=draw(st.sampled_from([None, 8.0, 30.0])),
        area_confirmed=draw(st.sampled_from([None, True, False])),
        water_source=draw(st.sampled_from([None, *get_args(WaterSource)])),
    )


@st.composite
def cases(draw: st.DrawFn) -> Case:
    as_of = PLANTED + days(draw(day_of_season))
    doubts = mostly(False, False, False, True)
    ago = st.one_of(st.just(0), st.integers(0, 12))
    seen = draw(st.lists(st.tuples(ago, levels, clock, doubts), max_size=3))
    readings = [
        Event("reading", as_of - days(ago), at, level_cm=level, dry=level is None, doubtful=doubt)
        for ago, level, at, doubt in seen
    ]
    others = draw(st.lists(events(as_of), max_size=3))
    rain = draw(st.lists(st.floats(0, 60), max_size=4))
    warm = draw(st.one_of(st.none(), st.tuples(st.integers(5, 25), st.integers(1, 15))))
    windows = st.lists(st.tuples(st.integers(-4, 14), st.integers(0, 9), st.booleans()), max_size=3)
    turns = draw(st.one_of(st.none(), windows))
    return Case(
        as_of,
        draw(plots()),
        draw(seasons(as_of)),
        (*readings, *others),
        (
            *_warm_days(as_of, warm),
            *(_rainy(as_of + days(n), mm, warm) for n, mm in enumerate(rain)),
        ),
        None
        if turns is None
        else tuple(WaterWindow(as_of + days(a), as_of + days(a + n), s) for a, n, s in turns),
    )


def _warm_days(as_of: date, warm: tuple[int, int] | None) -> list[WeatherDay]:
    return [_rainy(as_of - days(n), 0, warm) for n in range(30, 0, -1)] if warm else []


def _rainy(on: date, mm: float, warm: tuple[int, int] | None) -> WeatherDay:
    low, more = warm or (None, None)
    return WeatherDay(on, rain_mm=mm, tmin=low, tmax=low + more if low and more else None)


@cache
def switched_on() -> RuleBook:
    """The rule book of an office that has switched on what may be switched on."""
    practice = book().files["practice.yaml"]
    for key in ("cold", "heat"):
        assert practice.count(f"  {key}: no\n") == 1
        practice = practice.replace(f"  {key}: no\n", f"  {key}: yes\n")
    practice = practice.replace("  in_holds: wait ", "  in_holds: shallow ")
    return rulebook_from_texts({**book().files, "practice.yaml": practice})


def told(case: Case, rules: RuleBook | None = None) -> Advice:
    return judge(case, rules or book())


books = st.sampled_from([book, switched_on])


@settings(max_examples=150, deadline=None)
@given(cases(), books)
def test_every_case_has_an_answer_that_is_whole(case: Case, rules: Callable[[], RuleBook]) -> None:
    advice = told(case, rules())
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
@given(cases(), books)
def test_no_advice_asks_to_dry_a_flowering_barred_or_submerged_plot(
    case: Case, rules: Callable[[], RuleBook]
) -> None:
    advice = told(case, rules())
    assert case.season is not None
    if advice.stage in ("ripening", "harvested", "before-planting"):
        return
    holds = holds_of(case, book().practice_of(case.plot.profile))
    too_much = advice.action == "let-out" and (
        "too-deep" in advice.reasons or "submerged" in advice.reasons
    )
    wet = advice.stage == "flowering" or holds.submerged != "no"
    wet = wet or bool(KEPT_BARS & bars_of(case, book().practice))
    wet = wet or "cold-forecast" in advice.reasons or "heat-forecast" in advice.reasons
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
@given(cases(), tenths, tenths, books)
def test_a_lower_level_never_yields_a_drier_action(
    case: Case, one: float, other: float, rules: Callable[[], RuleBook]
) -> None:
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
            ),
            rules(),
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
    undated = told(replace(good, season=replace(case.season, duration_days=None, variety=None)))
    if known.stage in ("flowering", "panicle", "tillering") and undated.stage == "unknown":
        assert WETNESS[undated.action] >= WETNESS[known.action] or undated.action == "ask"


@settings(max_examples=150, deadline=None)
@given(cases())
def test_an_unknown_supply_is_no_less_cautious_than_sure_water(case: Case) -> None:
    always = (WaterWindow(case.as_of - days(1), case.as_of + days(90), True),)
    quiet = tuple(e for e in case.events if e.kind != "no-water")
    sure = told(replace(case, events=quiet, next_water=always))
    unknown = told(replace(case, events=quiet, next_water=None))
    assert WETNESS[unknown.action] >= WETNESS[sure.action]


@settings(max_examples=150, deadline=None)
@given(cases())
def test_an_unknown_age_of_seedlings_is_no_less_cautious_than_the_very_age(case: Case) -> None:
    """Compared with a crop whose nursery was sown on the very day that would be assumed."""
    assert case.season is not None
    plain = replace(case.season, method="transplanted", seedlings=None, uneven=False, sown_on=None)
    exact = replace(plain, sown_on=PLANTED - days(book().practice.calendar.seedling_age_days))
    known, assumed = told(replace(case, season=exact)), told(replace(case, season=plain))
    assert WETNESS[assumed.action] >= WETNESS[known.action] or assumed.action == "ask"


@settings(max_examples=150, deadline=None)
@given(cases())
def test_salt_that_nobody_measured_is_as_cautious_as_sweet_water(case: Case) -> None:
    sweet = told(replace(case, plot=replace(case.plot, water_ec_ds_m=0.5)))
    unknown = told(replace(case, plot=replace(case.plot, water_ec_ds_m=None)))
    salty = told(replace(case, plot=replace(case.plot, water_ec_ds_m=4.0)))
    assert WETNESS[unknown.action] >= WETNESS[sweet.action]
    if salty.action not in ("let-out", "fertilise-shallow"):  # too deep, or its last days
        assert WETNESS[salty.action] >= min(WETNESS[sweet.action], WETNESS["keep-flooded"])


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


SITUATIONS: dict[str, Callable[[Case, Advice], bool]] = {
    "flowering, read today": lambda case, told: told.stage == "flowering" and _read(case),
    "flowering, not read": lambda case, told: told.stage == "flowering" and not _read(case),
    "barred": lambda case, told: bool(KEPT_BARS & bars_of(case, book().practice)),
    "sprayed": lambda case, told: _holds(case).free_on is not None,
    "under water": lambda case, told: _holds(case).submerged == "under",
    "after lying under water": lambda case, told: _holds(case).submerged == "recovering",
    "weedy": lambda case, told: _holds(case).weeds_until is not None,
    "nitrogen open": lambda case, told: any(
        each.from_ <= case.as_of <= each.to
        for each in case.season.nitrogen or ()  # type: ignore[union-attr]
    ),
    "soil not asked": lambda case, told: case.plot.bars is None,
    "supply unknown": lambda case, told: case.next_water is None,
    "no water to come": lambda case, told: case.next_water == (),
    "stage unknown": lambda case, told: told.stage == "unknown",
    "never read": lambda case, told: "no-reading-yet" in told.reasons,
    "read too long ago": lambda case, told: "reading-overdue" in told.reasons,
    "doubted": lambda case, told: "reading-doubted" in told.reasons,
}


def _read(case: Case) -> bool:
    return any(e.kind == "reading" and e.on == case.as_of for e in case.events)


def _holds(case: Case) -> Holds:
    return holds_of(case, book().practice_of(case.plot.profile))


def test_the_generated_cases_hold_each_situation_that_the_properties_speak_of() -> None:
    """Of growing crops: else a property could hold only because nothing was ever put to it."""
    found: Counter[str] = Counter()

    @settings(max_examples=250, deadline=None, database=None, derandomize=True)
    @given(cases())
    def look(case: Case) -> None:
        advice = told(case)
        if advice.stage not in ("before-planting", "ripening", "harvested"):
            found.update(name for name, holds in SITUATIONS.items() if holds(case, advice))

    look()
    assert [name for name in SITUATIONS if found[name] < 3] == [], found
