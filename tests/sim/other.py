"""A second truth, for checking only: no number of the forecast was chosen on it.

Percolation follows the head above a plough pan and is lost under the bund while water stands;
storage is small just below the surface and grows with depth as pores and cracks empty; use strays
longer; some readers are worse than others, lean one way, or drop a sign; rain is more frequent, the
gauge further off, the forecast shorter and worse. Common practice and
plain physics, no fitted site.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import exp
from random import Random

from gateway.trial.field import Field, Sky
from tests.sim.truth import FASTEST, Trial, fall

SEEPAGE = {"clay": 1.6, "clay-loam": 3.6, "loam": 4.5, "sandy-loam": 9.0}  # mm/d, usual
STEPS_A_DAY = 8
RAINIER = 1.5  # than the first truth
FORECAST_DAYS = 4


@dataclass(frozen=True, slots=True)
class PannedGround:
    """A field over a plough pan. Levels in cm, water in mm.

    ``percolation_mm_d`` and ``side_mm_d`` (under the bund) hold at 5 cm of water; the pan lies
    ``pan_cm`` deep. Storage grows from the share ``start`` of ``deep_mm_cm`` at the surface to all
    of it within some ``scale_cm``. ``crop`` multiplies the crop's use, ``check`` is the share lost
    to drying at 23 cm.
    """

    percolation_mm_d: float
    side_mm_d: float
    pan_cm: float
    deep_mm_cm: float
    start: float
    scale_cm: float
    crop: float
    check: float
    bund_cm: float

    def seepage(self, level_cm: float) -> float:
        """Seepage with percolation in mm/d at a level."""
        head = max(0.0, level_cm + self.pan_cm) / (5 + self.pan_cm)
        side = self.side_mm_d * min(1.0, max(0.0, level_cm) / 3)
        return self.percolation_mm_d * head + side

    def storage(self, level_cm: float) -> float:
        """Water in mm that one cm of level holds at a level."""
        if level_cm >= 0:
            return 10.0
        return self.deep_mm_cm * (1 - (1 - self.start) * exp(level_cm / self.scale_cm))

    def use(self, demand_mm: float, level_cm: float) -> float:
        """The crop's use of water in mm/d for a demand (Kc x ET0) in mm/d."""
        dryness = min(1.0, max(0.0, -level_cm - 8) / 15)
        return self.crop * demand_mm * (1 - self.check * dryness)


class PannedField(Field):
    """Such a field on a day; its crop's use strays longer, its floodings differ more."""

    def pass_day(self, demand_mm: float, rain_mm: float) -> None:
        """Let a day pass, rain falling at some hour of it."""
        self.stray = 0.85 * self.stray + self.rng.gauss(0, 0.08)
        hour = self.rng.randrange(STEPS_A_DAY)
        for step in range(STEPS_A_DAY):
            self._add(rain_mm if step == hour else 0.0)
            use = self.ground.use(demand_mm, self.level_cm) * exp(self.stray)
            self._add(-(use + self.ground.seepage(self.level_cm)) / STEPS_A_DAY)

    def flood(self, to_cm: float, doubt_cm: float = 0.9) -> float:
        """Water the field to about ``to_cm``; what was put on, in mm."""
        return Field.flood(self, to_cm, doubt_cm)


@dataclass(slots=True)
class UnevenEye:
    """A reader with a noise and a leaning of their own, who at times drops a sign or slips."""

    rng: Random
    noise_cm: float
    leaning_cm: float

    def read(self, level_cm: float, bottom_cm: float) -> float | None:
        """What is reported: a whole cm, or None for a tube without water."""
        if self.rng.random() < 0.012:
            return self._wrong(level_cm, bottom_cm)
        noise = self.noise_cm * (2.0 if self.rng.random() < 0.06 else 0.9)
        seen = round(level_cm + self.leaning_cm + self.rng.gauss(0, noise))
        return None if seen <= bottom_cm else float(seen)

    def _wrong(self, level_cm: float, bottom_cm: float) -> float | None:
        if self.rng.random() < 0.4:
            return float(round(abs(level_cm))) if level_cm > bottom_cm else None
        return float(round(level_cm + self.rng.choice((-1, 1)) * self.rng.uniform(5, 12)))


class FarSky(Sky):
    """A sky whose gauge stands further off."""

    def rain_on_field(self, gauge_mm: float) -> float:
        """Rain on the field in mm."""
        passing = self.rng.expovariate(1 / 8) if self.rng.random() < self.rainy * 0.1 else 0.0
        return gauge_mm * exp(self.rng.gauss(-0.1, 0.5)) + passing


class ShortTrial(Trial):
    """A plot whose weather is foreseen for a few days only."""

    def weather(self) -> list[dict[str, object]]:
        """Weather as the office knows it today."""
        return Trial.weather(self)[: self.day + FORECAST_DAYS]


def trials(count: int, rainy: float, seed: int, days: int = 140) -> Iterator[Trial]:
    """So many plots, the soils in turn; the same seed gives the same plots and skies."""
    for number in range(count):
        soil = list(SEEPAGE)[number % len(SEEPAGE)]
        yield _trial(soil, rainy * RAINIER, Random(seed * 7_919 + number + 5), days)


def _trial(soil: str, rainy: float, rng: Random, days: int) -> Trial:
    ground = _ground(soil, rng)
    while fall(ground) > FASTEST:
        ground = _ground(soil, rng)
    sky = FarSky(rng, et0_mm=rng.uniform(3.5, 6.5), rainy=rainy, wet_mm=8)
    seen = [sky.day() for _ in range(days)]
    fallen = [sky.rain_on_field(rain) for _, rain in seen]
    foreseen = [_foreseen(rain, rainy, rng) for _, rain in seen]
    eye = UnevenEye(rng, exp(rng.gauss(0, 0.25)), rng.gauss(0, 0.3))
    plot = ShortTrial(soil, fall(ground), PannedField(ground, rng), eye, seen, fallen, foreseen)
    plot.events.append({"on": plot.on(0), "kind": "flooded", "to_cm": 5.0})
    return plot


def _ground(soil: str, rng: Random) -> PannedGround:
    seepage, side = SEEPAGE[soil] * exp(rng.gauss(0, 0.6)), rng.uniform(0, 0.4)
    return PannedGround(
        percolation_mm_d=seepage * (1 - side),
        side_mm_d=seepage * side,
        pan_cm=rng.uniform(20, 60),
        deep_mm_cm=min(6.0, max(0.4, 1.9 * exp(rng.gauss(0, 0.55)))),
        start=rng.uniform(0.35, 1.3),
        scale_cm=rng.uniform(2, 10),
        crop=exp(rng.gauss(0, 0.15)),
        check=rng.uniform(0, 0.3),
        bund_cm=rng.uniform(7, 15),
    )


def _foreseen(rain: float, rainy: float, rng: Random) -> float:
    """A day's forecast: three tenths of the rain are missed, the rest is off, some never comes."""
    kept = rain * exp(rng.gauss(0, 0.5)) if rng.random() < 0.7 else 0.0
    return kept + (rng.expovariate(1 / 6) if rng.random() < rainy * 0.3 else 0.0)
