"""The judgement where rules overlap, and the numbers that go with an advice."""

from dataclasses import replace
from datetime import date, time
from typing import Any

import pytest

from gateway.agronomy.advice import Advice, DateBand
from gateway.agronomy.book import Event
from gateway.agronomy.case import Case, WaterWindow, WeatherDay
from gateway.agronomy.judge import judge
from gateway.agronomy.plot import ThresholdRaised
from gateway.agronomy.season import Approval, Season, Split
from tests.agronomy.plots import DAY_OF_STAGE, PLANTED, PLOT, SEASON, book, days, in_stage, reading


def told(case: Case) -> Advice:
    return judge(case, book())


def once(stage: str, level: float) -> Case:
    return in_stage(stage, events=(reading(DAY_OF_STAGE[stage], level),))


def plot(case: Case, **parts: Any) -> Case:
    return replace(case, plot=replace(case.plot, **parts))


def season(case: Case, **parts: Any) -> Case:
    assert case.season is not None
    return replace(case, season=replace(case.season, **parts))


def due(case: Case, first: int = -2, last: int = 5) -> Case:
    split = Split(case.as_of + days(first), case.as_of + days(last), 65, "UREA")
    return season(case, nitrogen=(split,))


def water(case: Case, *windows: tuple[int, int, bool]) -> Case:
    found = (WaterWindow(case.as_of + days(a), case.as_of + days(b), s) for a, b, s in windows)
    return replace(case, next_water=tuple(found))


def seeded(age: int, *levels: float, method: str = "wet-seeded", **parts: Any) -> Case:
    day = PLANTED + days(age)
    crop = Season(method, PLANTED, duration_days=115)  # type: ignore[arg-type]
    return Case(day, PLOT, crop, tuple(reading(day, level) for level in levels), **parts)


# -- the plain rules ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("stage", "level", "action"),
    [
        ("tillering", -12, "wait"),
        ("tillering", -14.9, "wait"),
        ("tillering", -15, "reflood"),
        ("tillering", -16, "reflood"),
        ("panicle", -14, "wait"),
        ("grain-filling", -15, "reflood"),
        ("flowering", 2.1, "keep-flooded"),
        ("flowering", 2, "top-up"),
        ("flowering", 1, "top-up"),
        ("flowering", 0, "reflood"),
        ("flowering", -1, "reflood"),
        ("tillering", 10, "wait"),
        ("tillering", 10.5, "let-out"),
    ],
)
def test_the_plain_rules_hold_to_the_millimetre(stage: str, level: float, action: str) -> None:
    assert told(once(stage, level)).action == action


def test_a_plot_that_was_read_often_is_watered_when_tomorrow_is_too_late() -> None:
    """Two readings in the soil teach the fall; a plot read once is watered at the threshold."""
    day = DAY_OF_STAGE["tillering"]
    events = (reading(day - days(4), -1), reading(day - days(2), -7.5), reading(day, -14.4))
    advice = told(in_stage("tillering", events=events))
    assert (advice.action, advice.reasons[0]) == ("reflood", "tomorrow-too-late")


def test_a_reflood_is_to_5_cm_with_its_water_by_tomorrow() -> None:
    advice = told(in_stage("tillering", -16))
    assert (advice.flood_to_cm, advice.detail.act_by) == (5, advice.as_of + days(1))
    assert advice.water_mm is not None
    assert advice.water_mm > 50  # 5 cm to stand, and what the soil takes
    assert advice.water_m3 == pytest.approx(4 * advice.water_mm)  # 0.4 ha
    assert advice.hours == pytest.approx(advice.water_m3 / 36, abs=0.001)  # 10 L/s
    assert advice.next_reading_on is not None
    assert advice.next_reading_on > advice.as_of + days(1)


def test_wait_names_no_water_and_a_day_to_look_again() -> None:
    advice = told(in_stage("tillering", -8))
    assert (advice.flood_to_cm, advice.water_mm, advice.water_m3, advice.hours) == (None,) * 4
    assert advice.next_reading_on is not None
    assert 1 <= (advice.next_reading_on - advice.as_of).days <= 7
    assert (advice.detail.seen_cm, advice.detail.threshold_cm) == (-8, -15)


def test_volumes_are_null_without_area_and_hours_without_an_outlet() -> None:
    bare = told(plot(in_stage("tillering", -16), area_ha=None, outlet_lps=None))
    assert bare.water_mm is not None
    assert (bare.water_m3, bare.hours) == (None, None)


@pytest.mark.parametrize("stage", ["before-planting", "harvested"])
def test_outside_the_season_nothing_is_asked_or_computed(stage: str) -> None:
    advice = told(in_stage(stage, -8))
    assert (advice.action, advice.level_cm, advice.next_reading_on) == ("none", None, None)
    assert advice.threshold_on == DateBand()


def test_without_a_season_a_fact_is_asked_for() -> None:
    advice = told(replace(in_stage("tillering", -20), season=None))
    assert (advice.stage, advice.action) == ("unknown", "ask")
    assert advice.reasons == ("no-season-on-record",)


# -- the flowering window -------------------------------------------------------------------------


def test_a_dry_tube_at_flowering_always_gets_water_the_same_day() -> None:
    advice = told(in_stage("flowering", "dry"))
    assert (advice.action, advice.detail.seen_dry) == ("reflood", True)
    assert advice.detail.act_by == advice.as_of
    assert advice.detail.keep_until == date(2026, 3, 27)


def test_heads_move_the_window_at_once() -> None:
    case = in_stage("panicle", -10)
    assert told(case).action == "wait"
    moved = replace(case, events=(*case.events, Event("heading", case.as_of)))
    assert (told(moved).stage, told(moved).action) == ("flowering", "reflood")


def test_the_next_look_never_lies_past_the_start_of_the_window() -> None:
    day = date(2026, 3, 12)  # the window begins on the 13th
    events = (reading(day - days(2), 4), reading(day, 3.5))
    advice = told(replace(in_stage("panicle"), as_of=day, events=events))
    assert advice.next_reading_on == day + days(1)
    assert advice.detail.flowering_from == day + days(1)


def test_an_unknown_seedling_age_brings_the_water_in_a_week_earlier() -> None:
    day = date(2026, 3, 8)
    case = replace(in_stage("panicle"), as_of=day, events=(reading(day, -3),))
    assert told(case).action == "wait"
    unsure = told(season(case, sown_on=None))
    assert (unsure.stage, unsure.action) == ("flowering", "reflood")
    assert "seedling-age-assumed" in unsure.reasons


def test_a_missing_duration_is_met_with_the_care_of_flowering() -> None:
    advice = told(in_stage("unknown", -3))
    assert (advice.stage, advice.action) == ("unknown", "reflood")
    assert "duration-unknown" in advice.reasons


# -- young plants ---------------------------------------------------------------------------------


@pytest.mark.parametrize("method", ["wet-seeded", "dry-seeded"])
def test_a_seedbed_is_kept_saturated_without_standing_water(method: str) -> None:
    advice = told(seeded(4, -2, method=method))
    assert (advice.stage, advice.action, advice.flood_to_cm) == ("establishment", "keep-moist", 0)
    assert advice.water_mm is not None
    assert told(seeded(4, 0.0, method=method)).water_mm is None


@pytest.mark.parametrize(
    ("age", "level", "action"),
    [
        (4, 3, "keep-moist"),
        (4, 3.5, "let-out"),
        (9, -4, "keep-moist"),
        (10, -4, "keep-flooded"),
        (15, 3.5, "let-out"),
        (15, 2, "keep-flooded"),
        (20, 4, "let-out"),
        (21, 4, "wait"),
    ],
)
def test_young_seeded_stands_get_little_water(age: int, level: float, action: str) -> None:
    assert told(seeded(age, level)).action == action


def test_water_for_young_plants_has_a_ceiling() -> None:
    assert told(seeded(15, -2)).flood_to_cm == 3
    assert told(in_stage("establishment", -2)).flood_to_cm == 5
    assert told(in_stage("establishment", 8)).action == "keep-flooded"  # let out above 10 only


def test_few_weeds_open_the_drying_a_week_after_planting() -> None:
    case = replace(in_stage("establishment"), as_of=PLANTED + days(8))
    case = replace(case, events=(reading(case.as_of, -4),))
    asked = told(case)
    assert (asked.stage, asked.action) == ("establishment", "keep-flooded")
    assert "weeds-not-answered" in asked.reasons
    few = (*case.events, Event("weeds", PLANTED + days(6), amount="few"))
    assert (told(replace(case, events=few)).stage, told(replace(case, events=few)).action) == (
        "tillering",
        "wait",
    )
    assert told(plot(replace(case, events=few), profile="first-season")).action == "keep-flooded"


def test_weeds_without_an_amount_are_many() -> None:
    case = in_stage("tillering", -6, events=(Event("weeds", DAY_OF_STAGE["tillering"]),))
    advice = told(case)
    assert (advice.action, advice.reasons[0]) == ("keep-flooded", "weed-hold")
    assert advice.detail.keep_until == advice.as_of + days(13)
    assert advice.water_mm is not None


# -- nitrogen -------------------------------------------------------------------------------------


def test_a_split_goes_on_bare_soil_and_is_flooded_the_same_day() -> None:
    advice = told(water(due(in_stage("tillering", -14)), (0, 1, True), (5, 40, True)))
    assert advice.action == "reflood-after-nitrogen"
    assert (advice.detail.product, advice.detail.product_kg) == ("UREA", 26)  # 65 kg/ha on 0.4 ha
    assert (advice.flood_to_cm, advice.detail.act_by) == (5, advice.as_of)
    assert advice.detail.water_sure is True


def test_without_sure_water_the_split_waits_and_the_crop_does_not() -> None:
    waits = told(water(due(in_stage("tillering", -8)), (3, 40, True)))
    assert (waits.action, "nitrogen-waits-for-water" in waits.reasons) == ("wait", True)
    assert told(water(due(in_stage("tillering", -15)), (3, 40, True))).action == "reflood"
    assert told(water(due(once("tillering", -14)))).action == "wait"


def test_an_unknown_supply_says_only_when_water_is_sure() -> None:
    advice = told(due(in_stage("tillering", -6)))
    assert (advice.action, advice.detail.water_sure) == ("reflood-after-nitrogen", None)
    assert "supply-unknown" in advice.reasons


def test_standing_water_falls_to_the_surface_and_never_deeper_for_a_split() -> None:
    advice = told(due(in_stage("tillering", 3)))
    assert (advice.action, advice.flood_to_cm) == ("dry-to-fertilise", None)
    plain = told(in_stage("tillering", 3))
    assert advice.next_reading_on is not None
    assert plain.next_reading_on is not None
    assert advice.next_reading_on <= plain.next_reading_on


def test_heavy_rain_ahead_postpones_and_offers_again() -> None:
    case = due(in_stage("tillering", -6))
    rain = (WeatherDay(case.as_of, rain_mm=12), WeatherDay(case.as_of + days(1), rain_mm=14))
    advice = told(replace(case, weather=rain))
    assert (advice.action, "nitrogen-postponed-for-rain" in advice.reasons) == ("wait", True)
    assert advice.next_reading_on is not None
    assert advice.next_reading_on <= case.as_of + days(2)
    dry = tuple(replace(day, rain_mm=5) for day in rain)
    assert told(replace(case, weather=dry)).action == "reflood-after-nitrogen"


@pytest.mark.parametrize(
    ("level", "action"),
    [(3, "fertilise-shallow"), (3.1, "dry-to-fertilise"), (0, "reflood-after-nitrogen")],
)
def test_in_the_last_days_shallow_water_will_do(level: float, action: str) -> None:
    assert told(due(in_stage("tillering", level), -5, 1)).action == action
    assert told(due(in_stage("tillering", level), -5, 0)).action == action


def test_fertiliser_on_bare_soil_calls_for_water_the_same_day() -> None:
    case = due(in_stage("tillering", -6))
    spread = replace(case, events=(*case.events, Event("nitrogen", case.as_of)))
    advice = told(spread)
    assert (advice.action, advice.reasons[0]) == ("reflood", "fertiliser-spread")
    flooded = replace(spread, events=(*spread.events, Event("flooded", case.as_of, to_cm=5)))
    assert told(flooded).action == "wait"


def test_no_split_lapses_silently() -> None:
    held = told(due(plot(in_stage("tillering", 6), bars=frozenset({"saline"}))))
    assert (held.action, "nitrogen-held" in held.reasons) == ("keep-flooded", True)
    assert "nitrogen-missed" in told(due(in_stage("tillering", -6), -9, -1)).reasons


def test_a_too_dry_plot_is_watered_before_it_is_fertilised() -> None:
    advice = told(due(in_stage("tillering", -21)))
    assert (advice.action, advice.detail.too_dry) == ("reflood", True)
    assert advice.detail.act_by == advice.as_of


# -- sprays, too much water, submergence ----------------------------------------------------------


def sprayed(case: Case, ago: int = 2, **parts: Any) -> Case:
    spray = Event("spray", case.as_of - days(ago), **parts)
    return replace(case, events=(*case.events, spray))


@pytest.mark.parametrize("stage", ["establishment", "tillering", "flowering", "ripening"])
def test_nothing_is_let_out_in_a_spray_hold(stage: str) -> None:
    advice = told(sprayed(in_stage(stage, 14)))
    assert advice.action not in ("let-out", "drain", "dry-to-fertilise")
    assert advice.detail.not_before == advice.as_of + days(5)
    assert told(sprayed(in_stage(stage, 14), ago=8)).action in ("let-out", "drain")


def test_a_flowering_need_in_a_spray_hold_is_met_at_the_inlet_only() -> None:
    advice = told(sprayed(in_stage("flowering", -1)))
    assert (advice.action, "inlet-only" in advice.reasons) == ("reflood", True)


def test_nobody_is_sent_in_during_the_re_entry_hours() -> None:
    advice = told(sprayed(in_stage("tillering", -14), ago=0))
    assert advice.next_reading_on is not None
    assert advice.next_reading_on >= advice.as_of + days(2)


def test_nitrogen_waits_for_the_end_of_a_spray_hold() -> None:
    advice = told(sprayed(due(in_stage("tillering", -6))))
    assert (advice.action, "nitrogen-held" in advice.reasons) == ("wait", True)


def test_a_submerged_plot_is_let_out_and_then_kept_wet() -> None:
    case = in_stage("tillering", events=(Event("submerged", DAY_OF_STAGE["tillering"] - days(1)),))
    assert told(case).action == "let-out"
    fallen = replace(case, events=(*case.events, reading(case.as_of, 4)))
    assert (told(fallen).action, told(fallen).reasons[0]) == ("keep-flooded", "after-submergence")
    assert told(sprayed(case)).action == "ask"


def test_let_out_goes_down_to_what_the_stand_may_keep() -> None:
    assert told(in_stage("tillering", 14)).flood_to_cm == 5
    assert told(seeded(15, 6.0)).flood_to_cm == 3


def test_what_has_not_happened_yet_changes_nothing() -> None:
    case = in_stage("tillering", -8)
    later = [
        Event(kind, case.as_of + days(1), level_cm=-20 if kind == "reading" else None)  # type: ignore[arg-type]
        for kind in ("reading", "flooded", "nitrogen", "weeds", "spray", "heading", "submerged")
    ]
    found = told(replace(case, events=(*case.events, *later)))
    assert found.reasons == (*told(case).reasons, "later-events-left-out")
    assert replace(found, reasons=told(case).reasons) == told(case)


def test_what_is_left_out_is_said_where_no_season_is_on_record_too() -> None:
    later = Event("flooded", DAY_OF_STAGE["tillering"] + days(1))
    case = replace(in_stage("tillering"), season=None, events=(later,))
    assert told(case).reasons == ("no-season-on-record", "later-events-left-out")


def test_a_pump_of_one_s_own_is_water_at_hand_and_said_to_be_taken_so() -> None:
    case = in_stage("tillering", -16)
    pumped = replace(case, plot=replace(case.plot, water_source="own-pump"))
    assert "supply-unknown" in told(case).reasons
    assert "own-pump-at-hand" in told(pumped).reasons
    assert told(pumped).detail.water_sure is True
    powerless = told(replace(pumped, next_water=()))
    assert "own-pump-at-hand" not in powerless.reasons
    assert "no-water-known" in powerless.reasons


def test_nitrogen_without_a_named_approver_is_said_to_have_none() -> None:
    split = Split(DAY_OF_STAGE["tillering"], DAY_OF_STAGE["tillering"] + days(5), 60, "UREA")
    case = in_stage("tillering", -3)
    due = replace(case, season=replace(case.season, nitrogen=(split,)))
    named = replace(due.season, nitrogen_approved=Approval("A. Approver"))
    assert "approver-not-named" in told(due).reasons
    assert "approver-not-named" not in told(replace(due, season=named)).reasons
    assert "approver-not-named" not in told(case).reasons


def test_a_ripe_plot_under_water_and_sprayed_gets_no_water() -> None:
    case = sprayed(in_stage("ripening"))
    under = replace(case, events=(*case.events, Event("submerged", case.as_of)))
    assert told(under).action == "no-more-water"


# -- bars -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("bar", ["saline", "acid-sulphate", "cadmium"])
@pytest.mark.parametrize("stage", ["tillering", "panicle", "grain-filling"])
def test_a_barred_plot_never_dries(bar: str, stage: str) -> None:
    """Zeng, Shannon and Roberts 2002: field water above 1.9 dS/m cuts yield. Acid-sulphate soil and
    cadmium: Sci Total Environ 839:156245, 2022, and common practice."""
    for level, wet in ((4, False), (-4, True)):
        advice = told(plot(in_stage(stage, level), bars=frozenset({bar})))
        assert (advice.action, advice.flood_to_cm) == ("keep-flooded", 5)
        assert (advice.water_mm is not None) == wet
        assert bar in advice.reasons


def test_salty_canal_water_is_never_called_for() -> None:
    for stage in ("tillering", "flowering", "establishment"):
        advice = told(plot(in_stage(stage, -16), bars=frozenset({"salty-water"})))
        assert (advice.action, advice.water_mm) == ("ask", None)


def test_a_soil_that_was_not_asked_about_is_said() -> None:
    assert "soil-not-checked" in told(plot(in_stage("tillering", -8), bars=None)).reasons
    assert "soil-not-checked" not in told(in_stage("tillering", -8)).reasons


def test_a_cracking_soil_is_watered_at_10_below() -> None:
    assert told(plot(in_stage("tillering", -10), bars=frozenset({"cracking"}))).action == "reflood"
    assert told(plot(once("tillering", -9), bars=frozenset({"cracking"}))).action == "wait"


def test_a_raised_threshold_ends_at_panicle_initiation() -> None:
    raised = ThresholdRaised("A. Officer", PLANTED, "sure water, level field")
    deep = {"threshold_cm": -20, "threshold_raised": raised}
    assert told(plot(in_stage("tillering", -17), **deep)).action == "wait"
    assert told(plot(in_stage("tillering", "dry"), **deep)).action == "reflood"
    assert told(plot(in_stage("panicle", -17), **deep)).action == "reflood"


# -- readings -------------------------------------------------------------------------------------


def test_a_dry_tube_means_irrigate() -> None:
    advice = told(in_stage("tillering", "dry"))
    assert (advice.action, advice.detail.seen_dry, advice.detail.seen_cm) == ("reflood", True, None)


@pytest.mark.parametrize("stage", ["tillering", "panicle", "grain-filling", "flowering"])
def test_without_a_reading_inside_the_gap_somebody_must_look(stage: str) -> None:
    never = told(in_stage(stage))
    assert (never.action, never.next_reading_on, never.water_mm) == ("ask", never.as_of, None)
    case = in_stage(stage)
    old = told(replace(case, events=(reading(case.as_of - days(9), 4),)))
    assert (old.action, old.reasons[0].startswith("reading-overdue")) == ("ask", True)


def test_a_flooding_counts_as_sight_of_the_water() -> None:
    case = in_stage("tillering")
    flooded = replace(case, events=(Event("flooded", case.as_of - days(1), to_cm=5),))
    assert told(flooded).action == "wait"


@pytest.mark.parametrize(
    ("read_at", "flooded_at", "seen"),
    [
        (None, None, None),
        (time(17), None, None),
        (time(7), time(9), None),
        (time(17), time(9), 3.5),
    ],
    ids=["no times", "one time", "read before", "read after"],
)
def test_on_one_day_a_reading_comes_before_a_flooding_unless_both_carry_times(
    read_at: time | None, flooded_at: time | None, seen: float | None
) -> None:
    day = DAY_OF_STAGE["tillering"]
    events = (
        Event("reading", day, at=read_at, level_cm=3.5),
        Event("flooded", day, at=flooded_at, to_cm=5),
    )
    assert told(in_stage("tillering", events=events)).detail.seen_cm == seen


def test_a_flooding_after_the_reading_settles_its_need() -> None:
    day = DAY_OF_STAGE["tillering"]
    dry = (reading(day - days(2), -14), reading(day, -16))
    assert told(in_stage("tillering", events=dry)).action == "reflood"
    flooded = (*dry, Event("flooded", day, to_cm=5))
    assert told(in_stage("tillering", events=flooded)).action == "wait"


@pytest.mark.parametrize("level", [-80, 75])
def test_an_impossible_reading_is_asked_about_and_steers_nothing(level: float) -> None:
    day = DAY_OF_STAGE["tillering"]
    events = (reading(day - days(2), 2), reading(day, level))
    advice = told(in_stage("tillering", events=events))
    assert (advice.action, advice.water_mm) == ("ask", None)
    assert advice.level_cm is not None
    assert -20 < advice.level_cm.p50 < 10


def test_an_impossible_reading_at_flowering_gets_the_safer_of_asking_and_water() -> None:
    day = DAY_OF_STAGE["flowering"]
    low = told(in_stage("flowering", events=(reading(day - days(1), 5), reading(day, -80))))
    assert (low.action, low.detail.act_by) == ("reflood", day)
    high = told(in_stage("flowering", events=(reading(day - days(1), 9), reading(day, 75))))
    assert high.action == "ask"


def test_a_level_deeper_than_the_tube_cannot_be() -> None:
    case = plot(in_stage("tillering", -40), tube_bottom_cm=-20)
    assert told(case).action == "ask"
    assert told(plot(in_stage("tillering", -22), tube_bottom_cm=-20)).action == "reflood"


# -- supply ---------------------------------------------------------------------------------------


def test_the_last_water_before_the_threshold_is_taken_early() -> None:
    advice = told(water(in_stage("tillering", -10), (0, 0, True), (20, 21, True)))
    assert (advice.action, advice.reasons[0]) == ("reflood", "last-water-before-threshold")
    soon = told(water(in_stage("tillering", -6), (0, 30, True)))
    assert soon.action == "wait"


def test_a_need_without_water_in_sight_goes_to_the_office() -> None:
    advice = told(water(once("tillering", -13.5)))
    assert (advice.action, advice.reasons[0]) == ("ask", "no-water-before-threshold")
    dry = told(water(in_stage("tillering", -16)))
    assert (dry.action, "no-water-known" in dry.reasons) == ("reflood", True)


# -- the end --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("day", "level", "action"),
    [
        (date(2026, 4, 9), -16, "reflood"),
        (date(2026, 4, 9), -8, "wait"),
        (date(2026, 4, 10), -16, "no-more-water"),
        (date(2026, 4, 10), 4, "no-more-water"),
        (date(2026, 4, 12), 4, "drain"),
        (date(2026, 4, 12), -4, "no-more-water"),
    ],
    ids=[
        "last irrigation day, dry",
        "last irrigation day, moist",
        "after it",
        "after it, standing",
        "a week before harvest, standing",
        "a week before harvest, bare",
    ],
)
def test_water_ends_20_days_after_flowering(day: date, level: float, action: str) -> None:
    events = (reading(day - days(1), level + 0.5), reading(day, level))
    advice = told(Case(day, PLOT, SEASON, events))
    assert advice.action == action
    assert advice.detail.harvest_on == date(2026, 4, 19)


def test_a_profile_nobody_knows_is_said_and_the_usual_practice_holds() -> None:
    advice = told(plot(in_stage("tillering", -8), profile="second-season"))
    assert (advice.action, "profile-unknown" in advice.reasons) == ("wait", True)


def test_an_unheard_of_soil_is_said() -> None:
    assert "soil-unknown" in told(plot(in_stage("tillering", -8), soil="gumbo")).reasons
