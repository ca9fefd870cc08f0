"""Readings that look made up: named beside the advice, for the office to look into."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from statistics import median

from gateway.agronomy.balance import rain_told
from gateway.agronomy.book import Event
from gateway.agronomy.case import Case
from gateway.agronomy.order import in_order
from gateway.agronomy.practice import QualityPractice


def flags_of(case: Case, known: QualityPractice) -> Iterator[str]:
    """Reason codes: the same number again and again, round numbers and nothing else, a fall that
    rain never slows.
    """
    levels = _levels(case)
    last = levels[-known.same_count :]
    if len(last) == known.same_count and len(set(last)) == 1:
        yield "same-number-again"
    round_ones = levels[-known.round_count :]
    if len(round_ones) == known.round_count and all(n % known.round_cm == 0 for n in round_ones):
        yield "round-numbers-only"
    if any(e.kind == "reading" and e.doubtful and e.on == case.as_of for e in case.events):
        yield "reading-marked-doubtful"
    if _ignores_weather(case, known):
        yield "fall-ignores-weather"


def _levels(case: Case) -> list[float]:
    """The levels read this season, in the order of their days."""
    first = case.season.established_on if case.season else case.as_of
    read = [e for e in case.events if e.kind == "reading" and first <= e.on <= case.as_of]
    return [e.level_cm for e in sorted(read, key=lambda e: e.on) if e.level_cm is not None]


# -- rain that never shows ------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Span:
    """From one reading to the next without a flooding: the fall in cm a day, the rain in mm."""

    fall_cm_d: float
    rain_mm: float


def _ignores_weather(case: Case, known: QualityPractice) -> bool:
    """Whether the water fell as fast as ever over each of the latest rainy spans."""
    looks = _looks_in_turn(case)
    if len(looks) < 2 * known.weather_count:
        return False
    days = {day.on: day.rain_mm for day in case.weather} | dict(rain_told(case))
    if sum(mm or 0.0 for mm in days.values()) < known.weather_count * known.weather_rain_mm:
        return False
    spans = list(_spans(looks, days))
    dry = [span.fall_cm_d for span in spans if not span.rain_mm]
    rainy = [span.fall_cm_d for span in spans if span.rain_mm >= known.weather_rain_mm]
    if min(len(dry), len(rainy)) < known.weather_count:
        return False
    return min(rainy[-known.weather_count :]) >= median(dry)


def _looks_in_turn(case: Case) -> list[tuple[Event, Event]]:
    """Two levels of different days each, with no flooding and no dry tube between."""
    first = case.season.established_on if case.season else case.as_of
    told = in_order(e for e in case.events if first <= e.on <= case.as_of)
    return [
        (before, after)
        for before, after in pairwise(told)
        if before.level_cm is not None and after.level_cm is not None and before.on < after.on
    ]


def _spans(
    looks: Iterable[tuple[Event, Event]], days: Mapping[date, float | None]
) -> Iterator[Span]:
    """The spans of those looks over which the rain of every day is known, in mm."""
    for before, after in looks:
        apart = (after.on - before.on).days
        rain = [days.get(before.on + timedelta(days=n)) for n in range(apart)]
        if None not in rain:
            fall = (before.level_cm or 0.0) - (after.level_cm or 0.0)
            yield Span(fall / apart, sum(mm or 0.0 for mm in rain))


# -- all plots of one reader alike ----------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Look:
    """What one reader reported of one plot; level in cm."""

    plot: str
    on: date
    level_cm: float


def all_alike(looks: Iterable[Look], known: QualityPractice) -> bool:
    """Whether a reader's plots showed one and the same level, each day until the latest.

    Counted are readings that only repeat another plot's of the day. Standing water does not count:
    after one flooding many plots show the same.
    """
    by_day: dict[date, dict[str, float]] = defaultdict(dict)
    for look in looks:
        if look.level_cm < 0:
            by_day[look.on][look.plot] = look.level_cm
    repeated = 0
    for on in sorted(by_day, reverse=True):
        levels = by_day[on].values()
        if len(set(levels)) > 1:
            break
        repeated += len(levels) - 1
    return repeated >= known.alike_count
