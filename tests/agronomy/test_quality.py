"""Readings that look made up, doses that must be asked about, and salt that was measured."""

from dataclasses import replace

import pytest

from gateway.agronomy.bars import bars_of, effect_of
from gateway.agronomy.book import Event
from gateway.agronomy.case import Case, WeatherDay
from gateway.agronomy.nitrogen import dose_doubts
from gateway.agronomy.plot import Plot
from gateway.agronomy.quality import Look, all_alike, flags_of
from gateway.agronomy.season import Split
from tests.agronomy.plots import PLANTED, SEASON, book, days, in_stage

PRACTICE = book().practice


def read(*levels: float | None) -> Case:
    """One reading a day from the planting on; None is a dry tube."""
    events = tuple(
        Event("reading", PLANTED + days(n), level_cm=level, dry=level is None)
        for n, level in enumerate(levels, start=1)
    )
    return Case(PLANTED + days(len(levels)), Plot("H07"), SEASON, events)


@pytest.mark.parametrize(
    ("levels", "flags"),
    [
        ([-7, -7, -7], set()),
        ([-7, -7, -7, -7], {"same-number-again"}),
        ([-7, -7, None, -7, -7], {"same-number-again"}),
        ([-7, -7, -7, -7, -9], set()),
        ([0, -5, -10, 5, 0, -5], {"round-numbers-only"}),
        ([0, -5, -10, 5, 0], set()),
        ([0, -5, -10, 4, 0, -5], set()),
        ([-3, 0, -5, -10, 5, 0, -5], {"round-numbers-only"}),
        ([-10] * 6, {"same-number-again", "round-numbers-only"}),
        ([], set()),
    ],
)
def test_the_same_number_and_round_numbers_are_flagged(
    levels: list[float | None], flags: set[str]
) -> None:
    """Four times the same, and six round ones: common practice, no source."""
    assert set(flags_of(read(*levels), PRACTICE.quality)) == flags


def test_a_number_that_the_office_distrusts_is_named_on_its_day() -> None:
    event = Event("reading", PLANTED + days(30), level_cm=-8, doubtful=True)
    case = Case(event.on, Plot("H07"), SEASON, (event,))
    assert set(flags_of(case, PRACTICE.quality)) == {"reading-marked-doubtful"}
    assert set(flags_of(replace(case, as_of=event.on + days(1)), PRACTICE.quality)) == set()


@pytest.mark.parametrize(
    ("kg_ha", "plan", "confirmed", "doubts"),
    [
        (65, None, None, ()),
        (65, 26, True, ()),
        (65, 22, True, ()),
        (65, 21.6, True, ("dose-above-plan",)),
        (65, None, False, ("area-not-confirmed",)),
        (65, 10, False, ("area-not-confirmed", "dose-above-plan")),
        (None, 10, False, ()),
    ],
)
def test_a_dose_is_asked_about_when_it_exceeds_the_plan_by_a_fifth(
    kg_ha: float | None, plan: float | None, confirmed: bool | None, doubts: tuple[str, ...]
) -> None:
    """0.4 ha x 65 kg/ha is 26 kg, which is 1.2 times 21.67 kg."""
    case = in_stage("tillering", -6)
    case = replace(case, plot=replace(case.plot, area_confirmed=confirmed))
    split = Split(case.as_of, case.as_of, kg_ha, "UREA", plan)
    assert dose_doubts(case, split, PRACTICE.nitrogen) == doubts


@pytest.mark.parametrize(
    ("salt", "effect"),
    [(None, "none"), (0.4, "none"), (1.9, "none"), (1.91, "keep-flooded"), (9, "keep-flooded")],
)
def test_field_water_above_the_published_limit_bars_drying(salt: float | None, effect: str) -> None:
    """Yield falls above 1.9 dS/m in the field water (Zeng, Shannon and Roberts 2002, California
    Agriculture 56(6):189-198)."""
    plot = Plot("H07", bars=frozenset({"cracking"}), water_ec_ds_m=salt)
    case = Case(PLANTED, plot, SEASON)
    assert effect_of(case, PRACTICE) == effect
    assert bars_of(case, PRACTICE) >= {"cracking"}


def test_salty_canal_water_outweighs_every_other_bar() -> None:
    bars = frozenset({"saline", "salty-water", "cracking"})
    assert effect_of(Case(PLANTED, Plot("H07", bars=bars), SEASON), PRACTICE) == "ask"


# -- a fall that ignores weather ------------------------------------------------------------------


def rainy(levels: list[float], rain: dict[int, float | None], *told: Event) -> set[str]:
    """The flags of one reading a day from the planting on, with the gauge's rain by day."""
    case = read(*levels)
    sky = tuple(WeatherDay(PLANTED + days(n), 5.0, rain.get(n, 0.0)) for n in range(len(levels)))
    case = replace(case, events=(*case.events, *told), weather=sky)
    return set(flags_of(case, PRACTICE.quality)) & {"fall-ignores-weather"}


EVEN = [5.0 - n for n in range(12)]
WET: dict[int, float | None] = {3: 30, 6: 25, 9: 40}
HONEST = [5.0, 4, 3, 4, 3, 2, 3, 2, 1, 2, 1, 0]


def test_a_level_that_falls_evenly_through_heavy_rain_is_flagged() -> None:
    """Three spans with 20 mm or more, and the water fell as fast as ever: common practice."""
    assert rainy(EVEN, WET) == {"fall-ignores-weather"}


@pytest.mark.parametrize(
    ("levels", "rain"),
    [
        (EVEN, {}),
        (EVEN, {3: 30, 6: 25}),
        (EVEN, {3: 30, 6: 25, 9: 19}),
        (HONEST, WET),
        (EVEN, {3: 30, 6: 25, 9: 40, **dict.fromkeys((0, 1, 2, 4, 5, 7, 8, 10), 25.0)}),
        (EVEN, {n: (30 if n in (3, 6, 9) else None) for n in range(12)}),
    ],
    ids=["dry", "twice", "a little rain", "rose each time", "always rain", "gauge away"],
)
def test_a_fall_that_weather_may_explain_is_not_flagged(
    levels: list[float], rain: dict[int, float | None]
) -> None:
    assert rainy(levels, rain) == set()


def test_the_plots_own_dry_sky_goes_before_the_gauge() -> None:
    own = [Event("rain", PLANTED + days(n), mm=0) for n in WET]
    assert rainy(EVEN, WET, *own) == set()


def test_a_flooding_between_two_readings_is_no_fall() -> None:
    floods = [Event("flooded", PLANTED + days(n), to_cm=5) for n in WET]
    assert rainy(EVEN, WET, *floods) == set()


# -- all plots of one reader alike -----------------------------------------------------------------


def looks(*by_day: list[float]) -> list[Look]:
    """The levels of one reader's plots, day by day."""
    return [
        Look(f"H{plot:02d}", PLANTED + days(n), level)
        for n, levels in enumerate(by_day)
        for plot, level in enumerate(levels)
    ]


@pytest.mark.parametrize(
    ("by_day", "alike"),
    [
        ([[-7, -7, -7, -7, -7]], True),
        ([[-7, -7, -7, -7]], False),
        ([[-7, -7], [-9, -9], [-11, -11], [-13, -13]], True),
        ([[-7, -7], [-9, -9], [-11, -11]], False),
        ([[-7, -7, -7], [-9, -10, -9], [-11, -11, -11]], False),
        ([[-9, -10], [-7, -7, -7], [-11, -11, -11]], True),
        ([[5, 5, 5, 5, 5]], False),
        ([[-7]] * 9, False),
        ([], False),
    ],
    ids=["five", "four", "two", "two short", "one unlike", "since", "ponded", "one plot", "none"],
)
def test_all_plots_of_one_reader_alike_is_flagged(by_day: list[list[float]], alike: bool) -> None:
    """Four readings that only repeat another plot's of the day: common practice, no source."""
    assert all_alike(looks(*by_day), PRACTICE.quality) is alike
    assert all_alike(reversed(looks(*by_day)), PRACTICE.quality) is alike
