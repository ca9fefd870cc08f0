"""A synthetic grower: looks when told to or when they like, texts, waters, spreads, harvests.

They see their field only through the tube, and know of advice only what was texted to them.
"""

from copy import deepcopy
from dataclasses import dataclass, field
from datetime import date, timedelta
from random import Random

from gateway.advisory.records import AdviceRecord
from gateway.agronomy.advice import Advice
from gateway.agronomy.practice import Practice
from gateway.agronomy.season import Split
from gateway.agronomy.stages import Calendar, calendar_of
from gateway.trial.field import Eye, Field
from gateway.trial.hand import pick, write_level, write_unclearly
from gateway.trial.paper import Hand, Manner
from gateway.trial.scheme import LaidPlot
from gateway.trial.sky import DaySeen, SkyLog

WATERING = frozenset(
    {"reflood", "top-up", "reflood-after-nitrogen", "keep-flooded", "fertilise-shallow"}
)
SPREADING = frozenset({"reflood-after-nitrogen", "fertilise-shallow"})
NEAR_CM = 1.0


@dataclass(slots=True)
class Grower:
    """One plot's grower. ``wants_cm`` is how high they mean to water, None for not now."""

    laid: LaidPlot
    manner: Manner
    hand: Hand
    water: Field
    eye: Eye
    practice: Practice
    rng: Random
    look_on: date
    calendar: Calendar
    tube_bottom_cm: float
    looks_again: timedelta
    splits: tuple[Split, ...] = ()
    spread_on: list[date] = field(default_factory=list)
    wants_cm: float | None = None
    spreads: bool = False
    set_level: bool = False
    done: bool = False

    @property
    def code(self) -> str:
        """The code of their plot."""
        return self.laid.code

    # -- a day ------------------------------------------------------------------------------------

    def has_crop(self, day: date) -> bool:
        """Whether a crop of theirs stands on that day."""
        return self.laid.season.established_on <= day and not self.done

    def looks(self, day: date) -> bool:
        """Whether they go and look in the tube this morning."""
        due = self.has_crop(day) and day >= self.look_on
        return due and (self.shown or self.rng.random() < self.manner.looks)

    def sees(self) -> float | None:
        """What they read in the tube: cm from the soil; None for a dry tube."""
        return self.eye.read(self.water.level_cm, self.tube_bottom_cm)

    def reports(self, seen_cm: float | None) -> list[str]:
        """What they text of it: one text, or an unclear one and the word that settles it."""
        if not self.shown and self.rng.random() < self.manner.unclear:
            unclear = write_unclearly(self.hand, self.rng, self.code, seen_cm)
            if unclear:
                return list(unclear)
        return [write_level(self.hand, self.rng, self.code, seen_cm)]

    def hears(self, record: AdviceRecord, day: date) -> None:
        """Take advice in: when to look again, and what to do till then."""
        advice = record.advice
        self.look_on = max(
            advice.next_reading_on or day + self.looks_again, day + timedelta(days=1)
        )
        self.wants_cm = self._wants(advice)
        self.spreads = advice.action in SPREADING
        if advice.action in ("let-out", "drain"):
            self.water.level_cm = min(self.water.level_cm, advice.flood_to_cm or 0.0)

    def _wants(self, advice: Advice) -> float | None:
        kept = (
            advice.action == "keep-flooded" and self.water.level_cm > self.practice.water.top_up_cm
        )
        if advice.action not in WATERING or kept:
            return None
        return advice.flood_to_cm or self.practice.water.flood_to_cm

    def tells(self, day: date) -> list[str]:
        """What they text of their own accord: weeds, heads, harvest."""
        told: list[str] = []
        if not self.has_crop(day):
            return told
        rooted = self.laid.season.established_on + timedelta(
            days=self.practice.start.few_weeds_days
        )
        if day == rooted and self.laid.season.method == "transplanted" and self._likes_to_tell():
            told.append(pick(self.hand.few_weeds, self.rng, self.code))
        if day == self._heads_on() and self._likes_to_tell():
            told.append(pick(self.hand.heads, self.rng, self.code))
        if any(day == split.to for split in self.splits if not self._has_spread(split)):
            told += self._spreads(day)
        if self.calendar.harvest_on and day >= self.calendar.harvest_on:
            self.done = True
            if self._likes_to_tell():
                told.append(pick(self.hand.harvest, self.rng, self.code))
        return told

    def works(self, day: date, water_comes: bool, sky: SkyLog) -> list[str]:
        """Water and spread as they mean to; what they text of it."""
        if not self.has_crop(day):
            return []
        self._tend(day, sky)
        if self.wants_cm is None:
            return []
        if not water_comes:
            late = self.rng.random() < self.manner.tells / 4
            return [pick(self.hand.no_water, self.rng, self.code)] if late else []
        return self._waters(day)

    def passes(self, day: date, seen: DaySeen) -> None:
        """Let the day pass over the field."""
        self._pass_over(self.water, day, seen)

    def _pass_over(self, over: Field, day: date, seen: DaySeen) -> None:
        crop_day = max(1, (day - self.laid.season.established_on).days)
        kc = self.practice.forecast.kc.at(crop_day) if self.has_crop(day) else 1.0
        over.pass_day(kc * seen.et0_mm, seen.rain_mm)

    # -- fertilising ------------------------------------------------------------------------------

    def _spreads(self, day: date) -> list[str]:
        """Spread a split; a grower who does not tell has spread it all the same."""
        self.spread_on.append(day)
        tells = self._likes_to_tell()
        return [pick(self.hand.nitrogen, self.rng, self.code)] if tells else []

    def _has_spread(self, split: Split) -> bool:
        return any(split.from_ <= day <= split.to for day in self.spread_on)

    # -- watering ---------------------------------------------------------------------------------

    def _waters(self, day: date) -> list[str]:
        told = []
        to_cm = self.wants_cm or self.practice.water.flood_to_cm
        if self.spreads:
            told += self._spreads(day)
        self.water.flood(to_cm)
        self.wants_cm, self.spreads = None, False
        if self._likes_to_tell():
            told.append(pick(self.hand.flooded, self.rng, self.code, to_cm))
        return told

    def _tend(self, day: date, sky: SkyLog) -> None:
        """Young plants are kept in water unasked; a plot to be shown is set for its day."""
        known, start = self.practice.water, self.practice.start
        if day < self.calendar.awd_opens_on and self.water.level_cm < known.surface_cm + NEAR_CM:
            self.wants_cm = self.wants_cm or start.young_seeded_cm
        if self.shown and not self.set_level:
            if self._would_stand(day, sky) >= (self.laid.paper.stands_cm or 0.0) - NEAR_CM:
                self.set_level, self.wants_cm = True, known.flood_to_cm
        elif self.shown:
            self.wants_cm = None

    def _would_stand(self, day: date, sky: SkyLog) -> float:
        """Where the water would stand on the day of the trial if they watered today."""
        tried = deepcopy(self.water)
        tried.flood(self.practice.water.flood_to_cm)
        for later in sky.days_from(day):
            self._pass_over(tried, later, sky.on(later))
        return tried.level_cm

    # -- small ------------------------------------------------------------------------------------

    @property
    def shown(self) -> bool:
        """Whether their plot is one to be shown on the day of the trial."""
        return self.laid.paper.stands_cm is not None

    def _likes_to_tell(self) -> bool:
        return self.shown or self.rng.random() < self.manner.tells

    def _heads_on(self) -> date | None:
        if self.calendar.peak_on is None:
            return None
        days = self.practice.calendar.heading_to_peak_days
        return self.calendar.peak_on - timedelta(days=days)


def calendar_for(laid: LaidPlot, practice: Practice) -> Calendar:
    """The crop's own calendar, as grower and field live it."""
    return calendar_of(laid.season, practice, soil=laid.paper.soil)
