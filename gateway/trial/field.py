"""A synthetic field with water in it: the truth that estimates are tried on.

It differs on purpose from the model that the forecast reckons with: percolation grows with the
depth of water on the field and fades below it, storage changes with depth, the crop's use strays
for days on end, and the bund spills. Common practice and plain physics, no fitted site.
"""

from dataclasses import dataclass, field
from math import exp
from random import Random
from typing import Protocol

STEPS_A_DAY = 8
CM_PER_ROOT = 20.0  # depth over which drying soil checks the crop's use


@dataclass(frozen=True, slots=True)
class Ground:
    """What a field is made of. Levels in cm, water in mm.

    ``seepage_mm_d`` holds at 5 cm of water; ``ponding`` is its relative growth per cm of depth;
    ``fade_cm`` the depth below the surface at which a third of it is left. ``storage_mm_cm`` holds
    just below the surface, ``storage_growth`` is its relative change per 10 cm of depth.
    ``crop`` multiplies the crop's use, ``check`` is the share lost to drying at 20 cm.
    """

    seepage_mm_d: float
    storage_mm_cm: float
    ponding: float = 0.05
    fade_cm: float = 25.0
    storage_growth: float = 0.1
    crop: float = 1.0
    check: float = 0.2
    bund_cm: float = 10.0

    def seepage(self, level_cm: float) -> float:
        """Seepage with percolation in mm/d at a level."""
        if level_cm >= 0:
            return self.seepage_mm_d * max(0.2, 1 + self.ponding * (level_cm - 5))
        at_surface = self.seepage_mm_d * max(0.2, 1 - 5 * self.ponding)
        return at_surface * exp(level_cm / self.fade_cm)

    def storage(self, level_cm: float) -> float:
        """Water in mm that one cm of level holds at a level."""
        if level_cm >= 0:
            return 10.0
        return self.storage_mm_cm * max(0.3, 1 - self.storage_growth * level_cm / 10)

    def use(self, demand_mm: float, level_cm: float) -> float:
        """The crop's use of water in mm/d for a demand (Kc x ET0) in mm/d."""
        dryness = min(1.0, max(0.0, -level_cm) / CM_PER_ROOT)
        return self.crop * demand_mm * (1 - self.check * dryness)


class Soil(Protocol):
    """What a field asks of its ground. Levels in cm, water in mm."""

    @property
    def bund_cm(self) -> float: ...
    def seepage(self, level_cm: float) -> float: ...
    def storage(self, level_cm: float) -> float: ...
    def use(self, demand_mm: float, level_cm: float) -> float: ...


def ground_of(rng: Random, seepage_mm_d: float, storage_mm_cm: float, spread: float) -> Ground:
    """A field around a soil's usual figures; ``spread`` is the sd of their logarithms."""
    return Ground(
        seepage_mm_d=seepage_mm_d * exp(rng.gauss(0, spread)),
        storage_mm_cm=min(6.0, max(0.35, storage_mm_cm * exp(rng.gauss(0, spread)))),
        ponding=rng.uniform(0.0, 0.12),
        fade_cm=rng.uniform(10, 60),
        storage_growth=rng.uniform(-0.15, 0.45),
        crop=exp(rng.gauss(0, 0.12)),
        check=rng.uniform(0.0, 0.4),
        bund_cm=rng.uniform(8, 15),
    )


@dataclass(slots=True)
class Field:
    """A field on a day: its level in cm, and how far the crop's use strays from its demand."""

    ground: Soil
    rng: Random
    level_cm: float = 5.0
    stray: float = 0.0
    spilled_mm: float = field(default=0.0)

    def pass_day(self, demand_mm: float, rain_mm: float) -> None:
        """Let a day pass: the crop uses ``demand_mm`` (Kc x ET0), rain falls at some hour of it."""
        self.stray = 0.7 * self.stray + self.rng.gauss(0, 0.11)
        hour = self.rng.randrange(STEPS_A_DAY)
        for step in range(STEPS_A_DAY):
            self._add(rain_mm if step == hour else 0.0)
            use = self.ground.use(demand_mm, self.level_cm) * exp(self.stray)
            self._add(-(use + self.ground.seepage(self.level_cm)) / STEPS_A_DAY)

    def flood(self, to_cm: float, doubt_cm: float = 0.7) -> float:
        """Water the field to about ``to_cm``; what was put on, in mm."""
        target = max(0.5, to_cm + self.rng.gauss(0, doubt_cm))
        put_on = 0.0
        while self.level_cm < target:
            rise = min(0.5, target - self.level_cm)
            if self.level_cm < 0:
                rise = min(rise, -self.level_cm)
            put_on += rise * self.ground.storage(self.level_cm - 1e-9)
            self.level_cm += rise
        return put_on

    def _add(self, water_mm: float) -> None:
        left = water_mm
        while abs(left) > 1e-9:
            below = self.level_cm < 0 or (self.level_cm == 0 and left < 0)
            store = (
                self.ground.storage(self.level_cm if self.level_cm < 0 else -1e-9)
                if below
                else 10.0
            )
            move = max(-0.5, min(0.5, left / store))
            if self.level_cm < 0 < self.level_cm + move or self.level_cm > 0 > self.level_cm + move:
                move = -self.level_cm
            self.level_cm += move
            left -= move * store
        if self.level_cm > self.ground.bund_cm:
            self.spilled_mm += 10 * (self.level_cm - self.ground.bund_cm)
            self.level_cm = self.ground.bund_cm


@dataclass(slots=True)
class Eye:
    """A reader of field tubes: noise of about 1 cm, whole cm, and now and then a gross error."""

    rng: Random
    noise_cm: float = 1.0
    gross_share: float = 0.01

    def read(self, level_cm: float, bottom_cm: float) -> float | None:
        """What is reported: a whole cm, or None for a tube without water."""
        if self.rng.random() < self.gross_share:
            return float(round(level_cm + self.rng.choice((-1, 1)) * self.rng.uniform(6, 15)))
        seen = round(level_cm + self.rng.gauss(0, self.noise_cm))
        return None if seen <= bottom_cm else float(seen)


@dataclass(slots=True)
class Sky:
    """Days of weather: demand strays around a season's mean, wet and dry days come in spells.

    ``rainy`` is the chance of a wet day after a dry one. The block's gauge stands some way off.
    """

    rng: Random
    et0_mm: float = 5.0
    rainy: float = 0.0
    wet_mm: float = 14.0
    wet: bool = False
    stray: float = 0.0

    def day(self) -> tuple[float, float]:
        """ET0 and the rain on the block's gauge, both in mm."""
        self.wet = self.rng.random() < (min(0.9, self.rainy + 0.35) if self.wet else self.rainy)
        self.stray = 0.6 * self.stray + self.rng.gauss(0, 0.12)
        rain = self.rng.expovariate(1 / self.wet_mm) if self.wet else 0.0
        return self.et0_mm * exp(self.stray) * (0.7 if self.wet else 1.05), rain

    def rain_on_field(self, gauge_mm: float) -> float:
        """Rain on a field some way from the gauge, in mm."""
        passing = self.rng.expovariate(1 / 5.0) if self.rng.random() < self.rainy * 0.15 else 0.0
        return gauge_mm * exp(self.rng.gauss(-0.06, 0.35)) + passing
