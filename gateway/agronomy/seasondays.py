"""The days of a season, and the stage of the crop on each of them."""

from dataclasses import dataclass
from datetime import date, timedelta

from gateway.agronomy.advice import Stage


@dataclass(frozen=True, slots=True)
class Calendar:
    """The days of a season. ``None``: there is no such day, or it cannot be known.

    ``flowering_from`` to ``flowering_to`` is the flowering window, both days included, around
    ``peak_on``; ``last_irrigation_on`` the last day on which the crop is still watered;
    ``awd_opens_on`` the first day on which the water may fall below the surface. ``unknown_from``
    is the first day on which nobody can say the stage, where no duration is on record.
    ``booting_from`` is the first day on which panicles may form, whatever is not known. ``told``:
    the peak rests on a report. ``assumed`` are reason codes.
    """

    established_on: date
    awd_opens_on: date
    panicle_on: date | None = None
    peak_on: date | None = None
    flowering_from: date | None = None
    flowering_to: date | None = None
    last_irrigation_on: date | None = None
    drain_on: date | None = None
    harvest_on: date | None = None
    over_on: date | None = None
    harvested_on: date | None = None
    unknown_from: date | None = None
    booting_from: date | None = None
    told: bool = False
    assumed: tuple[str, ...] = ()

    def stage_on(self, day: date) -> Stage:
        """The stage of the crop on a day."""
        if day < self.established_on:
            return "before-planting"
        if self._is_over(day):
            return "harvested"
        if self.peak_on is None:
            return self._undated(day)
        return self._dated(day)

    def is_flowering(self, day: date) -> bool:
        """Whether the day lies in the flowering window."""
        first, last = self.flowering_from, self.flowering_to
        return first is not None and last is not None and first <= day <= last

    def may_form_panicles(self, day: date) -> bool:
        """Whether panicles may form or flower on the day, whatever its stage is called."""
        first, last = self.booting_from, self.flowering_to
        return first is not None and first <= day and (last is None or day <= last)

    def starts(self) -> dict[Stage, date]:
        """The first day of each stage that has one, in the order of the days."""
        days: dict[Stage, date | None] = {
            "establishment": self.established_on,
            "tillering": self.awd_opens_on,
            "panicle": _later(self.panicle_on, self.awd_opens_on),
            "flowering": self.flowering_from,
            "grain-filling": _next(self.flowering_to),
            "ripening": _next(self.last_irrigation_on),
            "unknown": self.unknown_from,
            "harvested": self.harvested_on or self.over_on,
        }
        return {s: day for s, day in days.items() if day and self.stage_on(day) == s}

    def _is_over(self, day: date) -> bool:
        reported = self.harvested_on is not None and day >= self.harvested_on
        return reported or (self.over_on is not None and day >= self.over_on)

    def _undated(self, day: date) -> Stage:
        if self.unknown_from is not None and day >= self.unknown_from:
            return "unknown"
        return "establishment" if day < self.awd_opens_on else "tillering"

    def _dated(self, day: date) -> Stage:
        if self.last_irrigation_on and day > self.last_irrigation_on:
            return "ripening"
        if self.is_flowering(day):
            return "flowering"
        if self.flowering_to and day > self.flowering_to:
            return "grain-filling"
        if day < self.awd_opens_on:
            return "establishment"
        return "panicle" if self.panicle_on and day >= self.panicle_on else "tillering"


def _next(day: date | None) -> date | None:
    return None if day is None else day + timedelta(days=1)


def _later(day: date | None, other: date) -> date | None:
    return None if day is None else max(day, other)
