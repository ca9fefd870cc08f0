"""Take a sheet of daily weather in. Weather is append-only: what was known before stays known."""

from dataclasses import fields, replace
from typing import Final

from gateway.advisory.changes import Change, Changes, compare, note_counts
from gateway.advisory.ports import Clock, Store
from gateway.advisory.records import Scheme
from gateway.advisory.sheets import WeatherSheet
from gateway.agronomy.case import WeatherDay

RAIN: Final = ("rain_mm",)
AIR: Final = tuple(f.name for f in fields(WeatherDay) if f.name not in ("on", *RAIN))


def load_weather(
    store: Store, clock: Clock, scheme: Scheme, sheet: WeatherSheet, check: bool = False
) -> Changes:
    """Append every day that is new or told otherwise; with ``check`` it is left without a commit.

    A gauge and a weather station may send sheets of their own: rain, and all that ET0 is made of,
    each stay as they are where a sheet says nothing of them.
    """
    if not sheet.days:
        return Changes(())
    with store.begin() as unit:
        now = clock.now()
        first, last = min(d.on for _, d in sheet.days), max(d.on for _, d in sheet.days)
        known = unit.register.weather(scheme.id, first, last, now)
        joined = [(line, _joined(day, known.get(day.on))) for line, day in sheet.days]
        changes = Changes(tuple(_change(line, day, known.get(day.on)) for line, day in joined))
        told = zip(joined, changes.all, strict=True)
        fresh = [day for (_, day), change in told if change.how != "unchanged"]
        unit.schemes.add_weather(scheme.id, fresh, sheet.name, now)
        if not check:
            note_counts(unit, scheme.id, "weather loaded", sheet.name, changes, now)
            unit.commit()
    return changes


def _joined(day: WeatherDay, known: WeatherDay | None) -> WeatherDay:
    """The day as told, and as known before where it says nothing."""
    if known is None:
        return day
    for part in (RAIN, AIR):
        if all(getattr(day, name) is None for name in part):
            day = replace(day, **{name: getattr(known, name) for name in part})
    return day


def _change(line: int, day: WeatherDay, known: WeatherDay | None) -> Change:
    if known is None:
        return Change("new", "day", str(day.on), line)
    return compare("day", str(day.on), line, _values(known), _values(day), empty_counts=True)


def _values(day: WeatherDay) -> dict[str, float | None]:
    return {name: getattr(day, name) for name in (*RAIN, *AIR)}
