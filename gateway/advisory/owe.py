"""Owe what the calendar asks for: each duty once, however many processes tick."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from gateway.advisory.customs import DutyRule
from gateway.advisory.papers import Papers
from gateway.advisory.parcels import NewParcel, State
from gateway.advisory.ports import Clock, Store, Unit
from gateway.advisory.records import DutyRow, Phone, PlotCase, Scheme
from gateway.agronomy.holds import holds_of
from gateway.agronomy.stages import Calendar, calendar_for
from gateway.messages.wording import word_duty

UNSENT: Final = frozenset({State.WAITING, State.HELD})


@dataclass(frozen=True, slots=True)
class Due:
    """A duty of one season that may be owed today."""

    scheme: Scheme
    plot_case: PlotCase
    season_id: int
    calendar: Calendar
    rule: DutyRule
    anchor: date
    now: datetime

    @property
    def owed_on(self) -> date:
        """The day on which it is owed."""
        return self.anchor - timedelta(days=self.rule.owed_days_before)

    def at(self, day: date, hour: time) -> datetime:
        """That hour of the scheme's zone, in UTC."""
        return datetime.combine(day, hour, ZoneInfo(self.scheme.zone)).astimezone(self.now.tzinfo)

    @property
    def valid_until(self) -> datetime:
        """The end of the last day on which its text is still worth sending."""
        return self.at(self.owed_on + timedelta(days=self.rule.valid_days), time())

    def is_in_time(self) -> bool:
        """Whether its day has come and is not over. Times are compared, not local days."""
        return self.at(self.owed_on, time()) <= self.now < self.valid_until


@dataclass(frozen=True, slots=True)
class Owe:
    """One pass over the seasons of every scheme. The rows decide, so a pass may run anywhere."""

    store: Store
    clock: Clock
    papers: Papers
    carrier_of: Callable[[Scheme], str]
    wake: Callable[[], None]

    def __call__(self) -> int:
        """Owe what is due now. Returns how many texts were put in the outbox."""
        with self.store.begin(write=False) as unit:
            schemes = unit.schemes.all()
        put = sum(self._scheme(scheme) for scheme in schemes)
        if put:
            self.wake()
        return put

    def _scheme(self, scheme: Scheme) -> int:
        with self.store.begin() as unit:
            put = sum(self._owe(unit, due) for due in self._duties(unit, scheme))
            unit.commit()
        return put

    def _duties(self, unit: Unit, scheme: Scheme) -> Iterator[Due]:
        now = self.clock.now()
        for plot_case in unit.books.active_cases(scheme.id, now):
            case, season_id = plot_case.case, plot_case.season_id
            if case.season is None or season_id is None:
                continue
            practice = self.papers.rules.practice_of(case.plot.profile)
            if holds_of(case, practice).submerged == "under":
                continue  # what a drowned plot needs is said by its advice, not by the calendar
            calendar = calendar_for(case, case.season, practice)
            for rule in self.papers.duties.duties.values():
                anchor = anchor_of(rule, calendar)
                if anchor:
                    yield Due(scheme, plot_case, season_id, calendar, rule, anchor, now)

    def _owe(self, unit: Unit, due: Due) -> int:
        last = unit.duties.last(due.season_id, due.rule.name, 1)
        if last and not self._is_owed_again(unit, last, due):
            return 0
        if not due.is_in_time():
            return 0
        duty_id = unit.duties.owe(
            due.scheme.id,
            due.season_id,
            due.rule.name,
            1,
            last.revision + 1 if last else 1,
            due.anchor,
            due.now,
        )
        if duty_id is None:
            return 0
        readers = unit.people.readers_of(due.plot_case.plot_id)
        texts = [self._text(due, duty_id, phone) for phone in readers if not phone.left]
        return sum(unit.outbox.put(text, due.now) is not None for text in texts)

    def _is_owed_again(self, unit: Unit, last: DutyRow, due: Due) -> bool:
        """Whether the anchor has moved so that it is; unsent texts of the old day are withdrawn."""
        if last.anchor_on == due.anchor:
            return False
        was_sent = False
        for parcel in unit.outbox.of_duty(last.id):
            if parcel.state in UNSENT:
                unit.outbox.move(
                    parcel.id, parcel.state, State.WITHDRAWN, due.now, words="its day moved"
                )
            elif parcel.state is not State.WITHDRAWN:
                was_sent = True
        moved = abs((due.anchor - last.anchor_on).days)
        return not was_sent or moved > self.papers.duties.anchor_moved_days

    def _text(self, due: Due, duty_id: int, phone: Phone) -> NewParcel:
        text = word_duty(
            due.rule.text,
            self.papers.catalogue(phone.language),
            due.scheme.short_name,
            due.plot_case.case.plot.code,
            due.calendar,
            self.papers.rules.practice.water.flood_to_cm,
        )
        hour = max(due.at(due.owed_on, due.rule.hour), due.now)
        return NewParcel(
            scheme_id=due.scheme.id,
            phone_id=phone.id,
            carrier=self.carrier_of(due.scheme),
            text=text,
            language=phone.language,
            kind="duty",
            not_before=self.papers.customs.next_open(hour, due.scheme.zone),
            valid_until=due.valid_until,
            topic=due.rule.name,
            safety=due.rule.safety,
            plot_id=due.plot_case.plot_id,
            duty_id=duty_id,
            key=f"duty:{duty_id}:{phone.id}",
        )


def anchor_of(rule: DutyRule, calendar: Calendar) -> date | None:
    """The day of the season that the duty is keyed to; None where it has none."""
    return {"flowering-window": calendar.flowering_from}[rule.anchor]
