"""Rehearses the calendar: a copy of the store, a house on a moved clock, and words for each day."""

import logging
from collections import Counter
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Final
from zoneinfo import ZoneInfo

from gateway.advisory.dispatch import Dispatch
from gateway.advisory.duties import DutyRule
from gateway.advisory.errors import GatewayError
from gateway.advisory.owe import round_before
from gateway.advisory.records import Scheme
from gateway.compose import House
from gateway.flowfiles.carriers import load_carriers
from gateway.store.copying import copy_store
from gateway.trial.clock import MovedClock
from gateway.trial.paper import TrialPaper, load_trial
from gateway.trial.rehearsal import DayRehearsed, Left, Rehearsal, Summary, Watched
from gateway.trial.rehearsed import growers_of
from gateway.trial.sky import draw_sky

LONGEST: Final = timedelta(days=400)


@dataclass
class NotRehearsable(GatewayError):
    """Days, or a folder, with which no rehearsal can be held."""

    cause: str

    def __str__(self) -> str:
        return f"nothing was rehearsed: {self.cause}"


@dataclass
class Rehearsed:
    """A rehearsal under way: its days as they end, and what it has come to so far."""

    scheme: Scheme
    days: Iterator[DayRehearsed]
    duties: Mapping[str, DutyRule]
    habit_of: dict[str, str] = field(default_factory=dict)
    """The habit of each plot's grower, by the plot's code; known once the days are lived."""

    summary: Summary = field(default_factory=Summary)

    @property
    def habits(self) -> Counter[str]:
        """How many plots have a grower of each habit."""
        return Counter(self.habit_of.values())


def rehearse(house: House, first: date, last: date, seed: int) -> Rehearsed:
    """Get a rehearsal from ``first`` to ``last`` ready; its days are lived when asked for.

    Raises NotRehearsable, FlowError, NotOnRecord.
    """
    today = house.clock.now().astimezone(ZoneInfo(house.scheme.zone)).date()
    if first < today:
        raise NotRehearsable(f"need a first day from {today} on, got {first}")
    if not first <= last <= first + LONGEST:
        raise NotRehearsable(f"need a last day within {LONGEST.days} days of {first}, got {last}")
    paper = load_trial(house.settings.flows)
    rehearsed = Rehearsed(house.scheme, iter(()), house.papers.duties.duties)
    rehearsed.days = _lived(house, rehearsed, paper, first, last, seed)
    return rehearsed


def _lived(
    house: House, told: Rehearsed, paper: TrialPaper, first: date, last: date, seed: int
) -> Iterator[DayRehearsed]:
    days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    with _copied(house, first) as (copy, clock):
        rehearsal = _rehearsal(copy, clock, paper, days, seed)
        told.habit_of.update((each.grower.code, each.habit) for each in rehearsal.growers)
        for day in rehearsal.live(days):
            told.summary.add(day)
            yield day


@contextmanager
def _copied(house: House, first: date) -> Iterator[tuple[House, MovedClock]]:
    """A house on a copy of the store, which ends with it. Its only carrier is a simulated one."""
    profiles = load_carriers(house.settings.flows)
    simulated = next((each for each in profiles.values() if each.simulated), None)
    if simulated is None:
        raise NotRehearsable(f"no simulated carrier stands in {house.settings.flows}/carriers")
    logging.getLogger("alembic").setLevel(logging.WARNING)  # it would tell of the copy's tables
    with TemporaryDirectory(prefix="rehearsal-") as folder:
        url = f"sqlite:///{Path(folder) / 'copy.db'}"
        copy_store(house.settings.database_url, url, simulated.name)
        settings = house.settings.model_copy(
            update={
                "database_url": url,
                "carriers": simulated.name,
                "scheme": house.scheme.code,
            }
        )
        clock = MovedClock(max(house.clock.now(), _midnight(first, house.scheme)))
        copy = House(settings, clock, house.environment)
        # Who pays for an answer decides how many are asked: that stays as with the real carrier.
        pays = house.profiles[0].texts_in_paid_by
        copy.profiles = [replace(simulated, texts_in_paid_by=pays)]
        try:
            yield copy, clock
        finally:
            copy.store.close()


def _midnight(day: date, scheme: Scheme) -> datetime:
    return datetime.combine(day, time(), ZoneInfo(scheme.zone)).astimezone(UTC)


def _rehearsal(
    copy: House, clock: MovedClock, paper: TrialPaper, days: list[date], seed: int
) -> Rehearsal:
    (simulator,) = copy.simulators.values()
    # Each text arrives at once and each is delivered: what is tried here is the calendar.
    simulator.behave(
        delay_s=(1.0, 1.0), receipt_delay_s=(1.0, 1.0), delivered=1.0, undeliverable=0.0
    )
    rng, watched = Random(seed), Watched(simulator, clock)
    customs, practice = copy.papers.customs, copy.papers.rules.practice
    with copy.store.begin(write=False) as unit:
        growers = growers_of(unit, copy.scheme, paper, practice, clock, days[0], rng)
    return Rehearsal(
        store=copy.store,
        clock=clock,
        scheme=copy.scheme,
        customs=customs,
        simulator=simulator,
        watched=watched,
        dispatch=Dispatch(copy.store, clock, customs, watched, copy.may_leave),
        owe=copy.owe,
        round_before=lambda now: round_before(now, copy.scheme.zone, copy.papers),
        growers=growers,
        sky=draw_sky(
            replace(paper.weather, dry_days=0), days[0], days[-1] + timedelta(days=1), rng
        ),
        paper=paper,
        rng=rng,
    )


# -- in words -------------------------------------------------------------------------------------


def told(rehearsed: Rehearsed) -> Iterator[str]:
    """The rehearsal line by line: each day with what left, then the summary. Numbers are masked."""
    zone = ZoneInfo(rehearsed.scheme.zone)
    for day in rehearsed.days:
        yield f"{day.day:%a %d %b %Y}: {_count(len(day.left), 'text')} of the office"
        for left in day.left:
            yield _line(left, rehearsed.duties, zone)
    yield from _summary(rehearsed)


def _line(left: Left, duties: Mapping[str, DutyRule], zone: ZoneInfo) -> str:
    name = left.parcel.topic or left.parcel.kind
    title = duties[name].title if name in duties else name
    wrong = " NIGHT" * left.at_night + " AFTER LEAVING" * left.after_leaving
    plots = " ".join(left.plots)
    at = f"{left.at.astimezone(zone):%H:%M}"
    return f"  {at}{wrong}  {left.parcel.to.masked}  {plots}  {title}: {left.parcel.text}"


def _summary(rehearsed: Rehearsed) -> Iterator[str]:
    found = rehearsed.summary
    yield ""
    habits = ", ".join(f"{count} {name}" for name, count in sorted(rehearsed.habits.items()))
    yield f"plots by the habit of their grower: {habits or 'none has a phone that reads it'}"
    yield f"texts of the office by reminder, to {_count(len(found.phones), 'phone')}:"
    for name, rule in rehearsed.duties.items():
        yield f"  {found.duties[name]:5d}  {rule.title}"
    for name in sorted(found.duties.keys() - rehearsed.duties.keys()):
        yield f"  {found.duties[name]:5d}  {name}"
    yield f"texts from growers: {found.texts_in}, answers and questions to them: {found.answers}"
    yield f"left in the quiet hours: {found.at_night}"
    yield f"left to a phone after it left: {found.after_leaving}"


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"
