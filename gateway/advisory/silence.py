"""The silent: plots of which a reading was asked for in vain, also by their lead reader."""

from dataclasses import dataclass
from datetime import timedelta
from zoneinfo import ZoneInfo

from gateway.advisory.calendarviews import CalendarViews, SilentLine
from gateway.advisory.papers import Papers
from gateway.advisory.ports import Clock
from gateway.advisory.records import Scheme


@dataclass(frozen=True, slots=True)
class Silence:
    """Who is silent, for the office to call: the longest silent first."""

    views: CalendarViews
    clock: Clock
    papers: Papers

    def __call__(self, scheme: Scheme) -> list[SilentLine]:
        """The silent plots of a scheme, as of now."""
        known = self.papers.duties
        today = self.clock.now().astimezone(ZoneInfo(scheme.zone)).date()
        rules = known.duties.values()
        lead = tuple(rule.name for rule in rules if rule.to == "lead-readers")
        before = today - timedelta(days=known.silent_after_days)
        return self.views.silent(scheme.id, known.looks, lead, before)
