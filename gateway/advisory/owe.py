"""Owe what the calendar asks for: each duty once, however many processes tick."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from gateway.advisory.due import Step, steps_for
from gateway.advisory.duties import Audience
from gateway.advisory.glance import Glance
from gateway.advisory.owed import Owing
from gateway.advisory.papers import Papers
from gateway.advisory.ports import Clock, Store, Unit
from gateway.advisory.records import DutyRow, Named, Phone, Scheme
from gateway.agronomy.judge import judge


@dataclass(frozen=True, slots=True)
class Owe:
    """Goes through the plots of every scheme. The rows decide, so any number may run at once.

    At the calendar's rounds it goes through all of them, in parts; in between through those of
    which something became known. What is due is reckoned beside the writers, and written down in
    one short unit of work for each part.
    """

    store: Store
    clock: Clock
    papers: Papers
    carrier_of: Callable[[Scheme], str]
    wake: Callable[[], None]

    def __call__(self) -> int:
        """Owe all that is due now. Returns how many texts were put in the outbox."""
        whole = 0
        while (put := self.step()) is not None:
            whole += put
        return whole

    def step(self) -> int | None:
        """Go through one part of some scheme's plots; None where there is nothing left to do."""
        with self.store.begin(write=False) as unit:
            schemes = unit.schemes.all()
        for scheme in schemes:
            put = self._round(scheme)
            put = self._stirred(scheme) if put is None else put
            if put is not None:
                if put:
                    self.wake()
                return put
        return None

    def _round(self, scheme: Scheme) -> int | None:
        now = self.clock.now()
        at = round_before(now, scheme.zone, self.papers)
        with self.store.begin() as unit:
            unit.rounds.seen(scheme.id)
            unit.rounds.open(scheme.id, at)
            part = unit.rounds.take(scheme.id, at, now, self.papers.duties.part_lease)
            unit.commit()
        if part is None:
            return None
        return self._go_through(scheme, part.plots, lambda unit: unit.rounds.done(part.id, now))

    def _stirred(self, scheme: Scheme) -> int | None:
        with self.store.begin(write=False) as unit:
            plots, upto = unit.rounds.stirred(scheme.id, unit.rounds.seen(scheme.id))
        if not plots:
            return None
        return self._go_through(scheme, plots, lambda unit: unit.rounds.see(scheme.id, upto))

    def _go_through(
        self, scheme: Scheme, plots: Sequence[int], noted: Callable[[Unit], None]
    ) -> int:
        """Reckon what is due of those plots, and write it down with ``noted`` in one commit."""
        now = self.clock.now()
        with self.store.begin(write=False) as unit:
            steps = self._steps(unit, scheme, plots, now)
            phones = _phones(unit, steps)
        with self.store.begin() as unit:
            carrier = self.carrier_of(scheme)
            owing = Owing(unit, self.papers, scheme, carrier, phones, now)
            owing.take(steps)
            noted(unit)
            unit.commit()
        return owing.put

    def _steps(self, unit: Unit, scheme: Scheme, plots: Sequence[int], now: datetime) -> list[Step]:
        glances = glances_of(unit, self.papers, scheme, plots, now)
        return [step for each in glances for step in steps_for(each, self.papers.duties)]


def glances_of(
    unit: Unit, papers: Papers, scheme: Scheme, plots: Sequence[int], now: datetime
) -> list[Glance]:
    """Those of the plots that have a season, as the calendar sees them now."""
    zone = ZoneInfo(scheme.zone)
    found = [each for each in unit.books.cases(plots, now) if each.season_id is not None]
    owed = _by_season(unit.duties.owed([each.season_id for each in found if each.season_id]))
    named = unit.advices.looks_named([each.plot_id for each in found], _looks(papers))
    resting = unit.pauses.over([each.plot_id for each in found], now)
    glances = []
    for each in found:
        season, key = each.case.season, each.season_id
        if season is None or key is None:
            continue
        practice = papers.rules.practice_of(each.case.plot.profile)
        glance = Glance(each, key, season, practice, lambda case: judge(case, papers.rules))
        glance.owed = owed.get(key, {})
        lately = named.get(each.plot_id, ())
        if lately:
            glance.named = lately[0]
            glance.advised_on = lately[0].at.astimezone(zone).date()
        glance.kept = kept_in_row(lately, zone)
        glance.resting = resting.get(each.plot_id)
        glances.append(glance)
    return glances


def kept_in_row(lately: Sequence[Named], zone: ZoneInfo) -> int:
    """How many named days to look were kept in a row, the last first: told by then at the latest.

    ``lately``: what the latest advices called for, the newest first.
    """
    count = 0
    for later, earlier in pairwise(lately):
        named = earlier.look_on
        if named is None or later.at.astimezone(zone).date() > named:
            break
        count += 1
    return count


def _looks(papers: Papers) -> int:
    return papers.duties.faithful_looks + 1


def _by_season(rows: Sequence[DutyRow]) -> dict[int, dict[tuple[str, int], DutyRow]]:
    found: dict[int, dict[tuple[str, int], DutyRow]] = {}
    for row in rows:
        found.setdefault(row.season_id, {})[row.duty, row.ordinal] = row
    return found


def _phones(unit: Unit, steps: Sequence[Step]) -> Mapping[Audience, Mapping[int, Sequence[Phone]]]:
    """The phones of each audience, of the plots of which they are to hear."""

    def plots(to: Audience) -> list[int]:
        told = (step for step in steps if step.due and step.due.rule.to == to)
        return sorted({step.glance.plot_case.plot_id for step in told})

    return {
        "readers": unit.people.readers_of_plots(plots("readers")),
        "lead-readers": unit.people.leads_of_plots(plots("lead-readers")),
    }


def round_before(now: datetime, zone: str, papers: Papers) -> datetime:
    """The hour of the last round up to now, in UTC."""
    local = now.astimezone(ZoneInfo(zone))
    days = (local.date(), local.date() - timedelta(days=1))
    hours = [
        datetime.combine(day, hour, ZoneInfo(zone)).astimezone(now.tzinfo)
        for day in days
        for hour in papers.duties.rounds
    ]
    return max(hour for hour in hours if hour <= now)
