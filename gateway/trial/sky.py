"""The weather of a trial, drawn before it starts: what fell, and what was forecast."""

from dataclasses import dataclass
from datetime import date, timedelta
from random import Random

from gateway.agronomy.case import WeatherDay
from gateway.trial.field import Sky
from gateway.trial.paper import WeatherPaper


@dataclass(frozen=True, slots=True)
class DaySeen:
    """ET0 and rain of a day on the scheme's gauge, in mm."""

    et0_mm: float
    rain_mm: float


@dataclass(frozen=True, slots=True)
class SkyLog:
    """Every day from the start of a trial to the day of it, and what the forecast expects."""

    days: dict[date, DaySeen]
    usual: DaySeen
    forecast_days: int

    def on(self, day: date) -> DaySeen:
        """The weather of a day."""
        return self.days[day]

    def days_from(self, day: date) -> list[date]:
        """The days from that one on, to the eve of the trial."""
        return [each for each in self.days if each >= day]

    def told_on(self, evening: date) -> list[WeatherDay]:
        """What is known that evening: the day gone by, and the usual for the days to come."""
        seen = self.days[evening]
        told = [WeatherDay(evening, et0_mm=round(seen.et0_mm, 1), rain_mm=round(seen.rain_mm, 1))]
        ahead = (evening + timedelta(days=1 + n) for n in range(self.forecast_days))
        return told + [
            WeatherDay(day, et0_mm=self.usual.et0_mm, rain_mm=self.usual.rain_mm) for day in ahead
        ]


def draw_sky(paper: WeatherPaper, start: date, today: date, rng: Random) -> SkyLog:
    """The weather from ``start`` to the eve of ``today``."""
    sky = Sky(rng, paper.et0_mm, paper.rainy, paper.wet_mm)
    days = (start + timedelta(days=n) for n in range((today - start).days))
    drawn = {day: DaySeen(*sky.day()) for day in days}
    for day in list(drawn)[-paper.dry_days :]:
        drawn[day] = DaySeen(drawn[day].et0_mm, 0.0)
    return SkyLog(drawn, DaySeen(paper.et0_mm, 0.0), paper.forecast_days)
