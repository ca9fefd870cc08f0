"""A rehearsal of the calendar: days lived through on a copy of the store, at every hour of them.

Nothing leaves the house: the link and its phones are simulated, and what is handed to the link is
what "sent" means here.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from random import Random
from typing import Final
from zoneinfo import ZoneInfo

from gateway.advisory.customs import Customs
from gateway.advisory.number import Number
from gateway.advisory.parcels import Parcel
from gateway.advisory.ports import Carrier, Store
from gateway.advisory.records import Handing, Scheme
from gateway.carriers.simulator import Simulator
from gateway.trial.clock import MovedClock
from gateway.trial.paper import TrialPaper
from gateway.trial.rehearsed import Rehearsed
from gateway.trial.sky import SkyLog

STEP: Final = timedelta(minutes=30)
DAWN, NOON, EVENING = time(5, 40), time(11), time(19, 30)
SPREAD_MINUTES: Final = 150
STARTED_HERE: Final = frozenset({"duty", "broadcast", "notice"})


@dataclass(frozen=True, slots=True)
class Left:
    """A text that left: when, about which plots, and whether it ought not to have.

    ``parcel.topic`` is the duty's name. ``plots``: the codes that it speaks of.
    """

    at: datetime
    parcel: Parcel
    plots: tuple[str, ...]
    at_night: bool
    after_leaving: bool


@dataclass
class Watched:
    """A carrier that notes what is handed to it, and hands it on."""

    carrier: Carrier
    clock: MovedClock
    name: str = ""
    seen: list[tuple[datetime, Parcel]] = field(default_factory=list)

    def __post_init__(self) -> None:
        """It goes by the name of the link behind it."""
        self.name = self.carrier.name

    def send(self, parcel: Parcel) -> Handing:
        """Note the text and hand it on."""
        self.seen.append((self.clock.now(), parcel))
        return self.carrier.send(parcel)


@dataclass(frozen=True, slots=True)
class DayRehearsed:
    """What left on one day of the scheme's zone; ``answers`` counts those to a grower's text."""

    day: date
    left: tuple[Left, ...]
    answers: int
    texts_in: int


@dataclass
class Rehearsal:
    """A house on a copy of the store and on a moved clock, and the growers around it."""

    store: Store
    clock: MovedClock
    scheme: Scheme
    customs: Customs
    simulator: Simulator
    watched: Watched
    dispatch: Callable[[], int]
    owe: Callable[[], int]
    round_before: Callable[[datetime], datetime]
    growers: Sequence[Rehearsed]
    sky: SkyLog
    paper: TrialPaper
    rng: Random
    gone: dict[Number, datetime] = field(default_factory=dict)
    round_began: datetime | None = field(default=None, init=False)

    def live(self, days: Sequence[date]) -> Iterator[DayRehearsed]:
        """Live through the days, each told when it is over."""
        for day in days:
            yield self._live_day(day)

    # -- a day ------------------------------------------------------------------------------------

    def _live_day(self, day: date) -> DayRehearsed:
        before, said = len(self.watched.seen), 0
        to_say: list[tuple[datetime, Rehearsed, str]] = []
        hours = {DAWN: self._mornings, NOON: self._afternoons}
        for tick in self._ticks(day):
            for hour in [h for h in hours if self._at(day, h) <= tick]:
                to_say += hours.pop(hour)(day)
            due = sorted((each for each in to_say if each[0] <= tick), key=lambda one: one[0])
            to_say = [each for each in to_say if each[0] > tick]
            for at, who, text in due:
                said += 1
                self._say(day, at, who, text)
            self._catch_up(tick)
            self._pass(bool(due))
        self._tell_weather(day)
        for each in self.growers:
            each.grower.passes(day, self.sky.on(day))
        left = self._left_since(before)
        self._heed(day, left)
        pushed = tuple(each for each in left if each.parcel.kind in STARTED_HERE)
        return DayRehearsed(day, pushed, len(left) - len(pushed), said)

    def _mornings(self, day: date) -> list[tuple[datetime, Rehearsed, str]]:
        said = []
        for each in self._here():
            grower, at = each.grower, self._about(day, DAWN)
            if grower.looks(day):
                said += [(at, each, text) for text in grower.reports(grower.sees())]
            said += [(self._about(day, DAWN), each, text) for text in grower.tells(day)]
            if each.leaves_on == day:
                said.append((self._about(day, NOON), each, self.paper.rehearsal.leave))
        return said

    def _afternoons(self, day: date) -> list[tuple[datetime, Rehearsed, str]]:
        return [
            (self._about(day, NOON), each, text)
            for each in self._here()
            for text in each.grower.works(day, each.water_comes(day), self.sky)
        ]

    def _here(self) -> list[Rehearsed]:
        return [each for each in self.growers if each.number not in self.gone]

    def _say(self, day: date, at: datetime, who: Rehearsed, text: str) -> None:
        if who.number in self.gone:
            return
        self._catch_up(at)
        if text == self.paper.rehearsal.leave:
            self.gone[who.number] = self.clock.now()
        self.simulator.text(who.number, text)
        self._travel()
        with self.store.begin(write=False) as unit:
            record = unit.advices.latest(who.grower.laid.plot_id)
        if record and record.as_of >= at:
            who.grower.hears(record, day)

    def _heed(self, day: date, left: Sequence[Left]) -> None:
        """Who is asked to look goes to look from the next morning on, as their habit is."""
        asked = {code for each in left if each.parcel.asks for code in each.plots}
        for each in self._here():
            if each.grower.code in asked:
                each.grower.look_on = min(each.grower.look_on, day + timedelta(days=1))

    # -- the way in and out -----------------------------------------------------------------------

    def _pass(self, stirred: bool) -> None:
        """A tick. Nothing can be owed at one before which no round began and nothing was told."""
        began = self.round_before(self.clock.now())
        if stirred or began != self.round_began:
            self.owe()
            self.round_began = began
        while self.dispatch():
            pass
        self._travel()

    def _travel(self) -> None:
        """Until nothing travels any more: texts in, texts out, receipts."""
        while (due := self.simulator.next_due()) is not None:
            self._catch_up(due)
            self.simulator.pump(self.clock.now())
            while self.dispatch():
                pass

    def _left_since(self, before: int) -> list[Left]:
        with self.store.begin(write=False) as unit:
            return [
                Left(
                    at,
                    parcel,
                    tuple(unit.duties.plots_told(parcel.id)),
                    at_night=parcel.kind in STARTED_HERE
                    and self.customs.is_quiet(at, self.scheme.zone),
                    after_leaving=parcel.in_reply_to is None
                    and parcel.to in self.gone
                    and at > self.gone[parcel.to],
                )
                for at, parcel in self.watched.seen[before:]
            ]

    def _tell_weather(self, day: date) -> None:
        with self.store.begin() as unit:
            told = self.sky.told_on(day)
            unit.schemes.add_weather(self.scheme.id, told, "rehearsal", self.clock.now())
            unit.commit()

    # -- time -------------------------------------------------------------------------------------

    def _ticks(self, day: date) -> Iterator[datetime]:
        """Every half hour of the day, its last moment too; a day may have 23 or 25 hours."""
        at, ends = self._at(day, time()), self._at(day + timedelta(days=1), time())
        while at < ends:
            yield at
            at += STEP
        yield ends - timedelta(minutes=1)

    def _catch_up(self, moment: datetime) -> None:
        self.clock.move_to(max(moment, self.clock.now()))

    def _at(self, day: date, hour: time) -> datetime:
        local = datetime.combine(day, hour, ZoneInfo(self.scheme.zone))
        return local.astimezone(self.clock.now().tzinfo)

    def _about(self, day: date, hour: time) -> datetime:
        return self._at(day, hour) + timedelta(minutes=self.rng.uniform(0, SPREAD_MINUTES))


@dataclass
class Summary:
    """What a rehearsal came to. ``duties``: texts that left, by duty."""

    duties: Counter[str] = field(default_factory=Counter)
    phones: set[int] = field(default_factory=set)
    answers: int = 0
    texts_in: int = 0
    at_night: int = 0
    after_leaving: int = 0

    def add(self, day: DayRehearsed) -> None:
        """Count a day."""
        self.answers += day.answers
        self.texts_in += day.texts_in
        for left in day.left:
            self.duties[left.parcel.topic or left.parcel.kind] += 1
            self.phones.add(left.parcel.phone_id)
            self.at_night += left.at_night
            self.after_leaving += left.after_leaving
