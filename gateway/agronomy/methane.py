"""Methane of a season, as a range by inventory factors. It is not a measurement.

IPCC 2019 Refinement to the 2006 Guidelines, volume 4, chapter 5, section 5.5: equations 5.1 to 5.3
and tables 5.11 to 5.14, quoted after a secondary text that gives the tables' page numbers.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Regime = Literal["continuous", "single-drainage", "multiple-drainage"]
STRAW_POWER = 0.59  # equation 5.3


@dataclass(frozen=True, slots=True)
class Range:
    """A factor with its error range."""

    low: float
    middle: float
    high: float

    def times(self, other: "Range") -> "Range":
        """The product, end by end: the widest range that both allow."""
        return Range(self.low * other.low, self.middle * other.middle, self.high * other.high)

    def scaled(self, by: float) -> "Range":
        """The range times a plain number."""
        return Range(self.low * by, self.middle * by, self.high * by)


# Table 5.11, kg CH4 per ha and day, and table 5.11A, days of cultivation.
EMISSION: Mapping[str, Range] = {
    "world": Range(0.80, 1.19, 1.76),
    "africa": Range(0.80, 1.19, 1.76),
    "east-asia": Range(0.89, 1.32, 1.96),
    "southeast-asia": Range(0.83, 1.22, 1.81),
    "south-asia": Range(0.58, 0.85, 1.26),
    "europe": Range(1.06, 1.56, 2.31),
    "north-america": Range(0.44, 0.65, 0.96),
    "south-america": Range(0.86, 1.27, 1.88),
}
CULTIVATION_DAYS: Mapping[str, int] = {
    "world": 113,
    "africa": 113,
    "east-asia": 112,
    "southeast-asia": 102,
    "south-asia": 112,
    "europe": 123,
    "north-america": 139,
    "south-america": 124,
}
# Table 5.12: water regime during cultivation. Multiple drainage includes alternate wetting and
# drying; how deep or how long a plot dried does not scale it.
WATER: Mapping[Regime, Range] = {
    "continuous": Range(0.73, 1.00, 1.27),
    "single-drainage": Range(0.53, 0.71, 0.94),
    "multiple-drainage": Range(0.41, 0.55, 0.72),
}
# Table 5.14: conversion of organic amendments.
AMENDMENT: Mapping[str, Range] = {
    "straw-shortly-before": Range(0.85, 1.00, 1.17),
    "straw-long-before": Range(0.11, 0.19, 0.28),
    "compost": Range(0.09, 0.17, 0.29),
    "farmyard-manure": Range(0.15, 0.21, 0.28),
    "green-manure": Range(0.36, 0.45, 0.57),
}
NOT_CLAIMED = (
    "a measurement: these are inventory factors with wide error ranges",
    "the reduction of multiple drainage for a plot that was drained once, or whose only dry spell"
    " was the drainage before harvest",
    "any reduction where continuous flooding is not the local practice",
    "more reduction for drying deeper or longer",
    "carbon credits: they need a baseline, additionality, nitrous oxide and yield checked",
    "that differences of straw, manure or the time before the season are covered",
    "alternate wetting and drying on fields that rain never let dry",
)


@dataclass(frozen=True, slots=True)
class Methane:
    """kg CH4 per ha of a season, under its regime and under continuous flooding, with ranges.

    ``not_claimed`` must stand beside the figure wherever it is shown.
    """

    regime: Regime
    emitted: Range
    flooded: Range
    not_claimed: tuple[str, ...] = NOT_CLAIMED


def regime_of(drained_spells: int) -> Regime:
    """The regime by the number of drained spells, drainage before harvest not among them."""
    if drained_spells <= 0:
        return "continuous"
    return "single-drainage" if drained_spells == 1 else "multiple-drainage"


def straw_factor(amendments: Mapping[str, float]) -> float:
    """SFo by equation 5.3: the sum is raised to the power, not its parts. Rates in t/ha."""
    converted = sum(rate * AMENDMENT[name].middle for name, rate in amendments.items())
    return float((1 + converted) ** STRAW_POWER)


def methane(
    drained_spells: int,
    region: str,
    days: int | None = None,
    amendments: Mapping[str, float] | None = None,
) -> Methane:
    """A season's methane by equation 5.2 times its days; the region's usual days where none given.

    The season before is taken as not flooded for less than 180 days (SFp = 1.00, table 5.13).
    Raises KeyError for a region or amendment that the tables do not hold.
    """
    length = CULTIVATION_DAYS[region] if days is None else days
    ground = EMISSION[region].scaled(length * straw_factor(amendments or {}))
    regime = regime_of(drained_spells)
    return Methane(regime, ground.times(WATER[regime]), ground.times(WATER["continuous"]))
