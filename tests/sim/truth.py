"""Invented plots with their weather for the simulations: soil by soil, drawn from a seed."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from math import exp
from random import Random

from gateway.trial.field import Eye, Field, Sky, Soil, ground_of

START = date(2026, 1, 10)
SEEPAGE = {"clay": 2.0, "clay-loam": 3.0, "loam": 5.0, "sandy-loam": 8.0}  # mm/d, usual
STORAGE = 1.6  # mm/cm, usual
SPREAD = 0.6  # of the logarithms of both
FASTEST = 7.0  # cm/d below the surface; a plot beyond it is no plot for this method
KC = 1.1
FORECAST_DAYS = 7
RAINY = 0.12  # chance of a wet day after a dry one


@dataclass(slots=True)
class Trial:
    """A plot under its sky; ``day`` counts from the start, the field was flooded on day 0."""

    soil: str
    fall_cm_d: float
    field: Field
    eye: Eye
    seen: list[tuple[float, float]]
    fallen: list[float]
    foreseen: list[float]
    day: int = 0
    events: list[dict[str, object]] = field(default_factory=list)

    def pass_day(self) -> None:
        """Let the crop use and the sky give what this day holds."""
        self.field.pass_day(KC * self.seen[self.day][0], self.fallen[self.day])
        self.day += 1

    def read(self, bottom_cm: float = -20.0) -> float:
        """Look into the tube; a dry one counts as its bottom. The book gets the reading."""
        level = self.eye.read(self.field.level_cm, bottom_cm)
        told: dict[str, object] = {"dry": True} if level is None else {"level_cm": level}
        self.events.append({"on": self.on(self.day), "kind": "reading", **told})
        return bottom_cm if level is None else level

    def flood(self, to_cm: float = 5.0) -> None:
        """Water the plot after today's look. The book gets the flooding."""
        self.field.flood(to_cm)
        self.events.append({"on": self.on(self.day), "kind": "flooded", "to_cm": to_cm})

    def weather(self) -> list[dict[str, object]]:
        """Weather as the office knows it today: observed before it, a poor forecast from it on."""
        mean = sum(et0 for et0, _ in self.seen) / len(self.seen)
        past = [(et0, rain) for et0, rain in self.seen[: self.day]]
        ahead = [(mean, rain) for rain in self.foreseen[self.day : self.day + FORECAST_DAYS]]
        return [
            {"on": self.on(number), "et0_mm": round(et0, 2), "rain_mm": round(rain, 1)}
            for number, (et0, rain) in enumerate([*past, *ahead])
        ]

    @staticmethod
    def on(number: int) -> str:
        return (START + timedelta(days=number)).isoformat()


def trials(count: int, rainy: float, seed: int, days: int = 140) -> Iterator[Trial]:
    """So many plots, the soils in turn; the same seed gives the same plots and skies."""
    for number in range(count):
        yield _trial(
            list(SEEPAGE)[number % len(SEEPAGE)], rainy, Random(seed * 10_000 + number), days
        )


def _trial(soil: str, rainy: float, rng: Random, days: int) -> Trial:
    ground = ground_of(rng, SEEPAGE[soil], STORAGE, SPREAD)
    while fall(ground) > FASTEST:
        ground = ground_of(rng, SEEPAGE[soil], STORAGE, SPREAD)
    sky = Sky(rng, et0_mm=rng.uniform(4, 6.5), rainy=rainy, wet_mm=12)
    seen = [sky.day() for _ in range(days)]
    fallen = [sky.rain_on_field(rain) for _, rain in seen]
    foreseen = [_foreseen(rain, rainy, rng) for _, rain in seen]
    plot = Trial(soil, fall(ground), Field(ground, rng), Eye(rng), seen, fallen, foreseen)
    plot.events.append({"on": plot.on(0), "kind": "flooded", "to_cm": 5.0})
    return plot


def fall(ground: Soil, level_cm: float = -7.0, demand_mm: float = 5.5) -> float:
    """The fall below the surface in cm/d on a usual day."""
    loss = ground.seepage(level_cm) + ground.use(demand_mm, level_cm)
    return loss / ground.storage(level_cm)


def _foreseen(rain: float, rainy: float, rng: Random) -> float:
    """A day's forecast: a fifth of the rain is missed, the rest is off, and some never comes."""
    kept = rain * exp(rng.gauss(0, 0.4)) if rng.random() < 0.8 else 0.0
    return kept + (rng.expovariate(1 / 6) if rng.random() < rainy * 0.15 else 0.0)
