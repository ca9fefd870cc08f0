"""A plot's season at a glance, as the calendar sees it on one day, and the facts of it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import Final

from gateway.advisory.duties import CHEAP_FACTS, JUDGED_FACTS, DutyText
from gateway.advisory.mending import Pause
from gateway.advisory.records import DutyRow, Named, PlotCase
from gateway.agronomy.advice import Advice
from gateway.agronomy.bars import effect_of
from gateway.agronomy.case import Case
from gateway.agronomy.facts import Aim, aim_of
from gateway.agronomy.holds import Holds, holds_of
from gateway.agronomy.nitrogen import nitrogen_of
from gateway.agronomy.practice import Practice
from gateway.agronomy.season import Season
from gateway.agronomy.stages import Calendar, calendar_for
from gateway.agronomy.supply import supply_of

Owed = Mapping[tuple[str, int], DutyRow]


@dataclass
class Glance:
    """One plot's season on the case's day.

    ``owed``: the newest revision of each duty owed so far. ``judge`` gives the advice of the day;
    it is asked once, and only where a duty depends on it. ``advised_on`` and ``named`` are the day
    and what the last advice called for, ``kept`` how many named days in a row, the last first, the
    reader has kept. ``resting``: the pause in which its advice rests.
    """

    plot_case: PlotCase
    season_id: int
    season: Season
    practice: Practice
    judge: Callable[[Case], Advice]
    owed: Owed = field(default_factory=dict)
    advised_on: date | None = None
    named: Named | None = None
    kept: int = 0
    resting: Pause | None = None
    judged: dict[str, str] = field(default_factory=dict, init=False)
    """Facts that need a forecast, as far as they were asked for: many duties ask for the same."""

    @property
    def case(self) -> Case:
        """The case as known."""
        return self.plot_case.case

    @property
    def today(self) -> date:
        """The day, in the scheme's zone."""
        return self.case.as_of

    @cached_property
    def calendar(self) -> Calendar:
        """The days of the season."""
        return calendar_for(self.case, self.season, self.practice)

    @cached_property
    def holds(self) -> Holds:
        """The holds that run."""
        return holds_of(self.case, self.practice)

    @cached_property
    def advice(self) -> Advice:
        """The advice of the day."""
        return self.judge(self.case)

    @cached_property
    def aim(self) -> Aim:
        """The levels that the water is held to."""
        return aim_of(self.case, self.season, self.practice, self.calendar)

    @property
    def is_dry_by_now(self) -> bool:
        """Whether the middle of the band is reached in which the plot reaches its limit."""
        middle = self.advice.threshold_on.p50
        return middle is not None and middle <= self.today

    def rain_since(self, day: date) -> bool:
        """Whether rain fell since a day, or is forecast: it puts a look off."""
        told = (e.mm for e in self.case.events if e.kind == "rain" and e.on >= day)
        return any(told) or any(w.rain_mm for w in self.case.weather if w.on >= day)

    @cached_property
    def last_sign(self) -> date | None:
        """The day on which the water was last told of."""
        signs = (e.on for e in self.case.events if e.kind in ("reading", "flooded"))
        return max((day for day in signs if day <= self.today), default=None)

    @cached_property
    def last_weeds(self) -> tuple[date, str] | None:
        """The last answer about weeds, and its day."""
        told = [e for e in self.case.events if e.kind == "weeds" and self._in_season(e.on)]
        last = max(told, key=lambda event: event.on, default=None)
        return None if last is None else (last.on, last.amount or "many")

    @cached_property
    def cheap(self) -> tuple[str, ...]:
        """The facts that need no forecast, in the order of CHEAP_FACTS."""
        return tuple(CHEAP[name](self) for name in CHEAP_FACTS)

    def bears(self, text: DutyText) -> bool:
        """Whether the facts that need a forecast are those that a text is for."""
        for name, allowed in text.judged:
            if name not in self.judged:
                self.judged[name] = JUDGED[name](self)
            if self.judged[name] not in allowed:
                return False
        return True

    def _in_season(self, day: date) -> bool:
        return self.season.established_on <= day <= self.today


def _dry_limit(glance: Glance) -> str:
    return "below" if glance.aim.mark_cm < glance.practice.water.surface_cm else "surface"


CHEAP: Final[Mapping[str, Callable[[Glance], str]]] = {
    "stage": lambda g: g.calendar.stage_on(g.today),
    "method": lambda g: "planted" if g.season.method == "transplanted" else "seeded",
    "weeds": lambda g: g.last_weeds[1] if g.last_weeds else "unanswered",
    "soil": lambda g: "unchecked" if g.case.plot.bars is None else "checked",
    "bar": lambda g: effect_of(g.case, g.practice),
    "heads": lambda g: "told" if g.calendar.told else "untold",
    "submerged": lambda g: g.holds.submerged,
    "may_enter": lambda g: "yes" if g.holds.entry_on is None else "no",
    "supply": lambda g: supply_of(g.case, g.practice.supply),
    "nitrogen": lambda g: nitrogen_of(g.case, g.practice.nitrogen).due,
}
JUDGED: Final[Mapping[str, Callable[[Glance], str]]] = {
    "dry_limit": _dry_limit,
    "action": lambda g: g.advice.action,
    "dry_by_now": lambda g: "yes" if g.is_dry_by_now else "no",
}
assert set(CHEAP) == set(CHEAP_FACTS)
assert set(JUDGED) == set(JUDGED_FACTS)
