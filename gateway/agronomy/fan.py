"""The fan of a forecast: the band of the level on each morning to come.

It stands on what the dates that are told stand on, and bends at the surface: ponded water falls a
tenth of a cm for each mm, water below falls by the plot's own storage.
"""

from dataclasses import dataclass
from datetime import date, timedelta

from gateway.agronomy.advice import Band
from gateway.agronomy.footing import Footing
from gateway.agronomy.outlook import band


@dataclass(frozen=True, slots=True)
class FanDay:
    """The level in cm on the morning of a day."""

    on: date
    level_cm: Band


def fan_of(footing: Footing) -> tuple[FanDay, ...]:
    """The mornings from tomorrow on; none where nothing was ever told."""
    if not footing.signs:
        return ()
    outlook = footing.expected()
    habit, weight = outlook.cloud.habit, outlook.cloud.weight
    return tuple(
        FanDay(footing.on + timedelta(days=number), band(habit.level(water), weight))
        for number, water in enumerate(outlook.water[1:], start=1)
    )
