"""The water account against fields whose water was measured as it was put on."""

from datetime import timedelta
from random import Random

import pytest

from gateway.agronomy.book import Event
from gateway.agronomy.case import Case, WeatherDay
from gateway.agronomy.plot import Plot
from gateway.agronomy.savings import CAUTION, Account, account
from gateway.agronomy.stages import calendar_of
from gateway.trial.field import Eye, Field, Ground, Sky, ground_of
from tests.agronomy.books import SEASON, START, day, estimated, flooded, reading, weather
from tests.agronomy.plots import book

KC = 1.1


def counted(events: list[Event], days: list[WeatherDay], today: int) -> Account | None:
    practice = book().practice_of(None)
    case = Case(day(today), Plot("H07", soil="loam"), SEASON, tuple(events), tuple(days))
    calendar = calendar_of(SEASON, practice, case.events, case.as_of, case.plot.soil)
    return account(case, calendar, practice)


def grown(ground: Ground, rng: Random, rainy: float) -> tuple[Account, float, float]:
    """A season of dry-downs read every second day: the account, the true water and the twin's."""
    sky, eye = Sky(rng, rainy=rainy), Eye(rng, gross_share=0)
    plot, twin = Field(ground, rng), Field(ground, rng)
    events, days, put_on, twins = [flooded(0)], list[WeatherDay](), 0.0, 0.0
    pending = 0.0
    for number in range(70):
        et0, rain = sky.day()
        days.append(WeatherDay(day(number), et0_mm=et0, rain_mm=rain))
        for each in (plot, twin):
            each.pass_day(KC * et0, rain)
        if twin.level_cm <= 2:
            pending += twin.flood(5, doubt_cm=0)
        if (number + 1) % 2 == 0:
            level = eye.read(plot.level_cm, -20)
            events.append(reading(number + 1, "dry" if level is None else level))
            if plot.level_cm <= -14:
                put_on += plot.flood(5, doubt_cm=0.3)
                events.append(flooded(number + 1))
                twins, pending = twins + pending, 0.0
    found = counted(events, days, 70)
    assert found is not None
    return found, put_on, twins


@pytest.mark.parametrize("rainy", [0.0, 0.12], ids=["dry", "rainy"])
def test_the_account_comes_near_the_water_that_was_put_on(rainy: float) -> None:
    near, within = 0, 0
    for seed in range(10):
        rng = Random(seed)
        found, put_on, twin = grown(ground_of(rng, 5, 1.6, 0.4), rng, rainy)
        near += abs(found.put_on_mm.p50 - put_on) < 0.2 * put_on
        within += abs(found.twin_mm.p50 - twin) < 0.25 * twin
    assert near >= 7
    assert within >= 8


def test_alternate_drying_takes_less_than_the_twin_where_water_leaks() -> None:
    rng = Random(4)
    found, put_on, twin = grown(Ground(seepage_mm_d=8, storage_mm_cm=1.5, fade_cm=15), rng, 0.0)
    assert put_on < twin
    assert found.less_mm.p10 <= found.less_mm.p50 <= found.less_mm.p90
    assert len(found.drained) == found.floodings


def test_without_rain_what_goes_in_is_what_goes_out() -> None:
    """The twin's water is its loss over the same days, within one filling (3 cm): by hand."""
    days = weather(60, et0=5.0)
    events = [flooded(0)]
    for number in range(4):
        events += [
            reading(8 * number + 4, 1),
            reading(8 * number + 8, -14),
            flooded(8 * number + 8),
        ]
    found = counted(events, days, 40)
    assert found is not None
    loss = estimated(32, events, days, soil="loam").loss_mm_d.p50
    assert found.since == START
    assert found.until == START + timedelta(days=32)
    assert found.floodings == 4
    assert found.twin_mm.p50 == pytest.approx(32 * loss, abs=35)


def test_days_below_the_surface_are_counted_for_each_dry_spell() -> None:
    events = [flooded(0), reading(4, 2), reading(7, 0), reading(10, -8), flooded(10)]
    events += [reading(13, 4), flooded(13)]
    found = counted(events, weather(30), 14)
    assert found is not None
    assert len(found.drained) == 1
    assert found.drained[0] == pytest.approx(3, abs=1.2)


def test_fewer_than_two_floodings_give_no_account() -> None:
    assert counted([], weather(30), 20) is None
    assert counted([flooded(0), reading(5, 1)], weather(30), 20) is None


def test_floodings_of_an_earlier_season_do_not_count() -> None:
    old = [Event("flooded", day(n - 200), to_cm=5) for n in (0, 10)]
    assert counted([*old, flooded(0)], weather(30), 20) is None


def test_the_caution_always_stands_beside_the_figures() -> None:
    found = counted([flooded(0), reading(8, -14), flooded(8)], weather(30), 10)
    assert found is not None
    assert found.caution == CAUTION
    assert "may not be the local practice" in CAUTION


def test_rain_spares_the_twin_its_water() -> None:
    wet = counted([flooded(0), reading(8, -14), flooded(8)], weather(30), 10)
    rain = counted([flooded(0), reading(8, -14), flooded(8)], weather(30, rain={4: 40}), 10)
    assert wet is not None
    assert rain is not None
    assert rain.twin_mm.p50 < wet.twin_mm.p50
    assert rain.rain_mm == 40
