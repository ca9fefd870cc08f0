"""Losses that no field has: what they are taken from, and what they must not be mistaken for."""

from random import Random

import pytest

from gateway.agronomy.book import Event
from gateway.agronomy.losses import losses_that_cannot_be
from gateway.trial.field import Eye, Field, Sky, ground_of
from tests.agronomy.books import case_on, falling, flooded, reading, weather
from tests.agronomy.plots import book

PRACTICE = book().practice_of(None)
ALIKE = range(8, 19)
HIGH, LOW = {"loses-too-much"}, {"loses-too-little"}


def said(today: int, events: list[Event], rain: dict[int, float] | None = None, **plot) -> set[str]:
    case = case_on(today, events, weather(today, rain=rain), **plot)
    return set(losses_that_cannot_be(case, PRACTICE))


def daily(start: float, fall: float, *days: int) -> list[Event]:
    """Flooded on each of these days and read the next morning."""
    return [e for n in days for e in (flooded(n, start), reading(n + 1, start - fall))]


@pytest.mark.parametrize(
    ("today", "events", "found"),
    [
        (7, daily(5, 4, 0, 2, 4, 6), HIGH),
        (7, daily(5, 1, 0, 2, 4, 6), set()),
        (3, daily(5, 4, 0, 2), set()),
        (18, [flooded(0), *(reading(n, -4) for n in ALIKE)], LOW),
        (18, [flooded(0), *(reading(n, 5) for n in range(2, 20, 2))], LOW),
        (10, [flooded(0), reading(5, -4), reading(6, -4), reading(7, -4)], set()),
        (18, [*falling(0, 2, -2, -6, -10), *falling(10, 2, -2, -6, -10)], set()),
        (6, [flooded(0), reading(6, "dry")], set()),
        (6, [], set()),
    ],
    ids=[
        "leaking bund",
        "sound bund",
        "too few days",
        "clogged tube",
        "topped up in silence",
        "alike for two days",
        "sound dry-downs",
        "dry tube",
        "nothing told",
    ],
)
def test_only_losses_that_go_on_for_days_are_named(
    today: int, events: list[Event], found: set[str]
) -> None:
    assert said(today, events) == found


def test_a_sandy_plot_may_lose_what_a_clay_one_may_not() -> None:
    assert said(7, daily(5, 4, 0, 2, 4, 6), soil="clay") == HIGH
    assert said(7, daily(5, 4, 0, 2, 4, 6), soil="sand") == set()


def test_rain_explains_a_level_that_does_not_fall() -> None:
    events = [flooded(0), *(reading(n, 5) for n in range(2, 20, 2))]
    assert said(18, events, rain=dict.fromkeys(range(19), 8.0)) == set()


def test_sound_fields_are_hardly_ever_named() -> None:
    """Sixty invented fields, sound to the eye of a usual reader, over eight weeks of some rain."""
    named = 0
    for seed in range(60):
        rng = Random(seed)
        field, sky, eye = Field(ground_of(rng, 4, 1.6, 0.4), rng), Sky(rng, rainy=0.1), Eye(rng)
        events, rain = [flooded(0)], dict[int, float]()
        for number in range(56):
            et0, rain[number] = sky.day()
            field.pass_day(1.1 * et0, rain[number])
            if number % 2:
                level = eye.read(field.level_cm, -20)
                events.append(reading(number + 1, "dry" if level is None else level))
            if field.level_cm <= -14:
                field.flood(5, doubt_cm=0.5)
                events.append(flooded(number + 1))
        named += any(said(day, events, rain) for day in (20, 40, 56))
    assert named <= 3
