"""Look ahead: what the calendar will owe of some plots, by what is known now."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from gateway.advisory.calendarviews import CalendarFilter, CalendarViews, Coming, ComingLine
from gateway.advisory.duties import DutyRule
from gateway.advisory.glance import Glance
from gateway.advisory.marks import DATED, SPLITS, marks_of
from gateway.advisory.owe import glances_of
from gateway.advisory.papers import Papers
from gateway.advisory.ports import Clock, Store
from gateway.advisory.records import Scheme

MOST_PLOTS: Final = 200
"""So many plots are reckoned for one page; a scheme has more, a block seldom."""


@dataclass(frozen=True, slots=True)
class Ahead:
    """Reckons what is coming, for the page Calendar; it owes nothing."""

    store: Store
    views: CalendarViews
    clock: Clock
    papers: Papers

    def __call__(self, scheme: Scheme, wanted: CalendarFilter, days: int) -> Coming:
        """What is coming after today, within so many days, of the plots that the filter names."""
        places = {row[0]: row[1:] for row in self.views.plots_of(scheme.id, wanted)}
        if len(places) > MOST_PLOTS:
            return Coming(too_many=len(places))
        now = self.clock.now()
        today = now.astimezone(ZoneInfo(scheme.zone)).date()
        with self.store.begin(write=False) as unit:
            glances = glances_of(unit, self.papers, scheme, list(places), now)
        lines = [
            ComingLine(on, duty, *places[glance.plot_case.plot_id])
            for glance in glances
            for on, duty in self._of(glance, today + timedelta(days=days))
            if wanted.duty in (None, duty)
        ]
        return Coming(tuple(sorted(lines, key=lambda line: (line.on, line.duty, line.plot))))

    def _of(self, glance: Glance, last: date) -> Iterator[tuple[date, str]]:
        for rule in self.papers.duties.duties.values():
            for on in self._days(rule, glance):
                if glance.today < on <= last and self._fits_on(rule, glance, on):
                    yield on, rule.name

    def _fits_on(self, rule: DutyRule, glance: Glance, on: date) -> bool:
        """Whether one of its texts may fit on that day, as far as is known without a forecast."""
        case = replace(glance.case, as_of=on)
        then = replace(glance, plot_case=replace(glance.plot_case, case=case))
        return any(known is rule for known, _texts in self.papers.duties.fitting(then.cheap))

    def _days(self, rule: DutyRule, glance: Glance) -> list[date]:
        """The days on which it would be owed: a reading on the day that the reader was told."""
        if rule.anchor in DATED or rule.anchor in SPLITS:
            marks = marks_of(rule.anchor, glance, self.papers.duties)
            return [mark.on + timedelta(days=day) for mark in marks for day in rule.days]
        named = glance.named.look_on if glance.named else None
        return [named] if rule.anchor == "look" and named else []
