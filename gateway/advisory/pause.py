"""Let advice rest for a plot, a block or the scheme, with a reason and an end; and end it."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from gateway.advisory.due import Step
from gateway.advisory.errors import GatewayError
from gateway.advisory.mending import PauseLine, Safety
from gateway.advisory.owe import glances_of
from gateway.advisory.owed import Owing
from gateway.advisory.papers import Papers
from gateway.advisory.ports import Clock, Store, Unit
from gateway.advisory.records import Scheme

PLOTS_AT_ONCE: Final = 500
LINES: Final = 100


@dataclass
class NotPaused(GatewayError):
    """A pause that cannot be set as asked for."""

    cause: str

    def __str__(self) -> str:
        return f"nothing was changed: {self.cause}"


@dataclass(frozen=True, slots=True)
class NewPause:
    """A pause of ``plot`` (its code), of ``block`` (its name), or (both None) of the scheme."""

    plot: str | None
    block: str | None
    reason: str
    last_on: date
    safety: Safety

    @property
    def what(self) -> str:
        """What it holds for, in words."""
        if self.plot:
            return f"plot {self.plot}"
        return f"block {self.block}" if self.block else "the whole scheme"


@dataclass(frozen=True, slots=True)
class PauseAdvice:
    """From its first moment no advice leaves: what waits is taken back in the same commit."""

    store: Store
    clock: Clock
    papers: Papers
    carrier_of: Callable[[Scheme], str]

    def __call__(self, scheme: Scheme, who: str, new: NewPause) -> int:
        """Set it, with a line in the audit. Raises NotPaused, NotOnRecord."""
        now = self.clock.now()
        _check(new, now.astimezone(ZoneInfo(scheme.zone)).date())
        with self.store.begin() as unit:
            plot_id = unit.schemes.plot_id(scheme.id, new.plot) if new.plot else None
            block_id = unit.pauses.block_id(scheme.id, new.block) if new.block else None
            ends_at = _after(new.last_on, scheme, now)
            pause_id = unit.pauses.add(
                scheme.id,
                plot_id,
                block_id,
                new.reason.strip(),
                new.safety,
                now,
                new.last_on,
                ends_at,
                who,
            )
            self._take_back(unit, scheme, unit.pauses.plots(scheme.id, plot_id, block_id), now)
            noted = {"of": new.what, "reason": new.reason, "to": new.last_on, "safety": new.safety}
            unit.office.audit(scheme.id, who, "advice paused", noted, now)
            unit.commit()
        return pause_id

    def end(self, scheme: Scheme, who: str, pause_id: int) -> bool:
        """End it now; False where it has ended already."""
        now = self.clock.now()
        with self.store.begin() as unit:
            ended = unit.pauses.end(scheme.id, pause_id, who, now)
            if ended:
                unit.office.audit(scheme.id, who, "pause ended", {"pause": pause_id}, now)
            unit.commit()
        return ended

    def lines(self, scheme: Scheme) -> list[PauseLine]:
        """The newest pauses, those ended too."""
        with self.store.begin(write=False) as unit:
            return unit.pauses.lines(scheme.id, LINES)

    def _take_back(self, unit: Unit, scheme: Scheme, plots: list[int], now: datetime) -> None:
        owing = Owing(unit, self.papers, scheme, self.carrier_of(scheme), {}, now)
        for start in range(0, len(plots), PLOTS_AT_ONCE):
            some = plots[start : start + PLOTS_AT_ONCE]
            glances = glances_of(unit, self.papers, scheme, some, now)
            rows = ((glance, row) for glance in glances for row in glance.owed.values())
            owing.take(Step(glance, None, old=row) for glance, row in rows if row.open)


def _check(new: NewPause, today: date) -> None:
    if new.plot and new.block:
        raise NotPaused("name a plot or a block, not both")
    if not new.reason.strip():
        raise NotPaused("a pause needs its reason")
    if new.last_on < today:
        raise NotPaused(f"its last day must be {today} or later, got {new.last_on}")


def _after(day: date, scheme: Scheme, now: datetime) -> datetime:
    """The end of that day in the scheme's zone."""
    ends = datetime.combine(day + timedelta(days=1), time(), ZoneInfo(scheme.zone))
    return ends.astimezone(now.tzinfo)
