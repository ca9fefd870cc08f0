"""The case put to judgement: a plot, its season, its book, the weather and the water to come."""

from dataclasses import dataclass, field
from datetime import date, time

from gateway.agronomy.book import Event
from gateway.agronomy.habit import Belief, Posterior
from gateway.agronomy.plot import Plot
from gateway.agronomy.season import Season


@dataclass(frozen=True, slots=True)
class WeatherDay:
    """One day's weather: observed before the case's day, forecast from it on.

    ``et0_mm`` (mm/d) is used as it stands; else it is computed from what there is (temperatures
    in degrees C, relative humidity in %, wind at 2 m in m/s, sunshine in h, radiation MJ/m2/d).
    """

    on: date
    et0_mm: float | None = None
    rain_mm: float | None = None
    tmin: float | None = None
    tmax: float | None = None
    rhmin: float | None = None
    rhmax: float | None = None
    wind_ms: float | None = None
    sun_h: float | None = None
    radiation_mj: float | None = None


@dataclass(frozen=True, slots=True)
class WaterWindow:
    """Days on which water may reach the plot, and whether that is sure.

    ``starts`` and ``ends`` are the local hours in which it runs on each of them, as those of power
    for a pump; an end that is no later than the start lies past midnight. None: the whole day.
    """

    from_: date
    to: date
    sure: bool
    starts: time | None = None
    ends: time | None = None

    @property
    def hours_a_day(self) -> float:
        """How long it runs on each of its days."""
        if self.starts is None or self.ends is None:
            return 24.0
        minutes = _minute(self.ends) - _minute(self.starts)
        return (minutes if minutes > 0 else minutes + 24 * 60) / 60

    def runs_at(self, moment: time) -> bool:
        """Whether it runs at that hour of its days."""
        if self.starts is None or self.ends is None:
            return True
        since = (_minute(moment) - _minute(self.starts)) % (24 * 60)
        return since < 60 * self.hours_a_day


def _minute(of_day: time) -> int:
    return 60 * of_day.hour + of_day.minute


@dataclass(frozen=True, slots=True)
class Case:
    """Everything that advice may depend on, as known at ``as_of`` (a day in the scheme's zone).

    ``season`` None means no crop is on record. ``next_water`` None means the supply is unknown,
    empty means that no water is known to come. ``habit`` is what earlier seasons of the plot taught
    of how it loses water, None where there was none. ``kept`` is what was kept of the season's
    finished dry-downs: it spares reckoning and changes nothing.
    """

    as_of: date
    plot: Plot
    season: Season | None
    events: tuple[Event, ...] = ()
    weather: tuple[WeatherDay, ...] = ()
    next_water: tuple[WaterWindow, ...] | None = None
    habit: Belief | None = None
    kept: Posterior | None = field(default=None, compare=False, repr=False)
