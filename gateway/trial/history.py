"""Half a season lived through day by day, each text on the real way in and out."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from itertools import groupby
from random import Random
from zoneinfo import ZoneInfo

from gateway.advisory.number import Number, read_number
from gateway.trial.grower import Grower
from gateway.trial.paper import Incident, TrialPaper
from gateway.trial.parts import Parts
from gateway.trial.scheme import LaidScheme
from gateway.trial.sky import SkyLog

DAWN, MORNING, NOON, EVENING = time(5, 40), time(6, 5), time(11, 0), time(19, 30)
SPREAD_MINUTES = 150
ANSWERED_WITHIN_MINUTES = 30


@dataclass(frozen=True, slots=True)
class Saying:
    """A text that somebody is about to send, and the growers who await advice on it."""

    at: datetime
    number: Number
    text: str
    awaiting: tuple[Grower, ...] = ()


@dataclass(slots=True)
class History:
    """The days of a trial; ``texts`` counts what the phones wrote."""

    parts: Parts
    paper: TrialPaper
    laid: LaidScheme
    growers: list[Grower]
    sky: SkyLog
    today: date
    rng: Random
    texts: int = 0
    rung: bool = field(default=False)

    def live(self, days: Iterable[date]) -> None:
        """Live through the days."""
        self.parts.listen(self._ring)
        for day in days:
            self._live_day(day)

    def _live_day(self, day: date) -> None:
        self._move(day, DAWN)
        self.parts.owe()
        self._move(day, MORNING)
        self._send_all()
        self._say_all(self._mornings(day))
        self._say_all(self._incidents(day))
        self._say_all(self._afternoons(day))
        self._move(day, EVENING)
        self._tell_weather(day)
        self._send_all()
        for grower in self.growers:
            grower.passes(day, self.sky.on(day))

    # -- what is said -----------------------------------------------------------------------------

    def _mornings(self, day: date) -> list[Saying]:
        """Readings; a phone that reads several plots puts them into one text."""
        sayings: list[Saying] = []
        looking = [g for g in self.growers if g.looks(day)]
        for number, group in groupby(looking, key=lambda g: g.laid.number):
            growers, at = tuple(group), self._about(day, MORNING)
            reports = [grower.reports(grower.sees()) for grower in growers]
            if len(growers) > 1:
                sayings.append(Saying(at, number, ", ".join(r[0] for r in reports), growers))
                continue
            for text in reports[0]:
                sayings.append(Saying(at, number, text, growers))
                at += timedelta(minutes=self.rng.uniform(2, ANSWERED_WITHIN_MINUTES))
        for grower in self.growers:
            at = self._about(day, MORNING)
            sayings += [
                Saying(at, grower.laid.number, text, (grower,)) for text in grower.tells(day)
            ]
        return sayings

    def _afternoons(self, day: date) -> list[Saying]:
        sayings: list[Saying] = []
        for grower in self.growers:
            at = self._about(day, NOON)
            for text in grower.works(day, self._water_comes(grower, day), self.sky):
                sayings.append(Saying(at, grower.laid.number, text))
                at += timedelta(minutes=self.rng.uniform(2, ANSWERED_WITHIN_MINUTES))
        return sayings

    def _incidents(self, day: date) -> list[Saying]:
        ago = (self.today - day).days
        due = [i for i in self.paper.incidents if i.days_ago == ago]
        return [Saying(self._about(day, MORNING), self._number(i), i.text) for i in due]

    def _number(self, incident: Incident) -> Number:
        if incident.number:
            return read_number(incident.number)
        return next(g.laid.number for g in self.growers if g.code == incident.phone_of)

    def _water_comes(self, grower: Grower, day: date) -> bool:
        block = grower.laid.block
        if block.water == "turns":
            since_first = (day - self.today).days + self.paper.history.days
            return since_first % block.every_days < block.turn_days
        return block.water == "always" or grower.shown or self.rng.random() < grower.manner.looks

    # -- the way in and out -----------------------------------------------------------------------

    def _say_all(self, sayings: list[Saying]) -> None:
        for saying in sorted(sayings, key=lambda s: s.at):
            self._catch_up(saying.at)
            self.parts.simulator.text(saying.number, saying.text)
            self.texts += 1
            self._let_travel()
            self._read_replies(saying)

    def _let_travel(self) -> None:
        """Until nothing travels any more: texts in, texts out, receipts."""
        clock, simulator = self.parts.clock, self.parts.simulator
        while (due := simulator.next_due()) is not None:
            self._catch_up(due)
            simulator.pump(clock.now())
            if self.rung:
                self._send_all()

    def _send_all(self) -> None:
        self.rung = False
        while self.parts.dispatch():
            pass
        if self.parts.simulator.next_due() is not None:
            self._let_travel()

    def _read_replies(self, saying: Saying) -> None:
        if not saying.awaiting:
            return
        with self.parts.store.begin(write=False) as unit:
            newest = [(g, unit.advices.latest(g.laid.plot_id)) for g in saying.awaiting]
        for grower, record in newest:
            if record and record.as_of >= saying.at:
                grower.hears(record, saying.at.astimezone(self._zone).date())

    def _tell_weather(self, day: date) -> None:
        with self.parts.store.begin() as unit:
            told, now = self.sky.told_on(day), self.parts.clock.now()
            unit.schemes.add_weather(self.laid.scheme.id, told, "trial gauge", now)
            unit.commit()

    # -- time -------------------------------------------------------------------------------------

    @property
    def _zone(self) -> ZoneInfo:
        return ZoneInfo(self.laid.scheme.zone)

    def _move(self, day: date, hour: time) -> None:
        self._catch_up(self._at(day, hour))

    def _catch_up(self, moment: datetime) -> None:
        """Go on to a moment; one that the last texts have overtaken is the present."""
        self.parts.clock.move_to(max(moment, self.parts.clock.now()))

    def _at(self, day: date, hour: time) -> datetime:
        return datetime.combine(day, hour, self._zone).astimezone(self.parts.clock.now().tzinfo)

    def _about(self, day: date, hour: time) -> datetime:
        later = timedelta(minutes=self.rng.uniform(0, SPREAD_MINUTES))
        return self._at(day, hour) + later

    def _ring(self) -> None:
        self.rung = True
