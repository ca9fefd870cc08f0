"""The dry spells of a plot: from one flooding to the next, with the readings between them.

Signs, steps and spells are tuples, as each advice makes and compares scores of them.
"""

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Any, NamedTuple

from gateway.agronomy.balance import MORNING, Balance, Sums
from gateway.agronomy.book import Event
from gateway.agronomy.model import Model
from gateway.agronomy.order import in_order

AFTER_MORNING = 0.5  # a flooding without a time is over by noon


class Sign(NamedTuple):
    """A level seen or set and its doubt, in cm, at a time (days since year 1), and who read it."""

    time: float
    level_cm: float
    doubt_cm: float
    flooded: bool = False
    dry: bool = False
    reader: str | None = None


class Step(NamedTuple):
    """Days passed with their demand and rain (mm) and what was read at their end, if anything.

    Rain comes at the end of a step; ``rain_squares`` is its square, or more where it is trusted
    less. ``noise_cm`` is the reading's.
    """

    days: float
    demand: float
    rain: float
    rain_squares: float
    level_cm: float | None = None
    dry: bool = False
    noise_cm: float = 1.0


class Spell(NamedTuple):
    """One dry spell: the level it began with and its doubt in cm, and the steps that followed."""

    level_cm: float
    doubt_cm: float
    steps: tuple[Step, ...]

    @property
    def told(self) -> bool:
        """Whether anything was read in it."""
        return any(step.level_cm is not None for step in self.steps)

    @property
    def read(self) -> "Spell":
        """The spell until its last reading."""
        count = len(self.steps)
        while count and self.steps[count - 1].level_cm is None:
            count -= 1
        return self if count == len(self.steps) else self._until(count)

    @property
    def before(self) -> "Spell":
        """A spell that ends with a reading, until the reading before that one."""
        return self._until(len(self.steps) - 1).read

    def _until(self, count: int) -> "Spell":
        return Spell(self.level_cm, self.doubt_cm, self.steps[:count])


def signs_of(events: Iterable[Event], until: int, bottom_cm: float, model: Model) -> list[Sign]:
    """Readings and floodings up to a day (days since year 1) in the order in which they were true.

    An event without a time is never put before what comes ahead of it in that order.
    """
    signs: list[Sign] = []
    at, readings = 0.0, 0
    for event in in_order(events):
        if event.on.toordinal() > until:
            break
        if event.kind == "flooded":
            at = max(time_of(event), at)
            signs.append(_set(event, at, model))
        elif event.dry or event.level_cm is not None:
            at = max(time_of(event), at)
            level = bottom_cm if event.dry or event.level_cm is None else event.level_cm
            few = readings < model.first_readings
            noise = model.first_noise_cm if few else model.reading_noise_cm
            signs.append(Sign(at, level, noise, False, event.dry, event.reader))
            readings += 1
    return signs


def _set(event: Event, at: float, model: Model) -> Sign:
    depth = model.flooded_to_cm if event.to_cm is None else event.to_cm
    doubt = model.block_flood_doubt_cm if event.by_block else model.flood_doubt_cm
    return Sign(at, depth, doubt, flooded=True)


def groups_of(signs: Sequence[Sign]) -> list[Sequence[Sign]]:
    """The signs of each spell in order, the flooding that it began with first."""
    starts = [place for place, sign in enumerate(signs) if sign.flooded or place == 0]
    return [signs[low:high] for low, high in pairwise([*starts, len(signs)])]


def spell_until(group: Sequence[Sign], end: float, balance: Balance) -> Spell:
    """The spell that begins with the first sign and runs to a time."""
    steps: list[Step] = []
    since, sums = group[0].time, balance.at(group[0].time)
    for sign in group[1:]:
        reached = balance.at(sign.time)
        steps += _passing(since, sign.time, sums, reached, balance, sign)
        since, sums = sign.time, reached
    if end > since:
        steps += _passing(since, end, sums, balance.at(end), balance)
    return Spell(group[0].level_cm, group[0].doubt_cm, tuple(steps))


def _passing(
    start: float, end: float, low: Sums, high: Sums, balance: Balance, sign: Sign | None = None
) -> list[Step]:
    """The steps between two times and their sums, ``sign`` being read at the end of the last one.

    Each day with rain ends a step: how far rain lifts a level hangs on where it stands.
    """
    read = () if sign is None else (sign.level_cm, sign.dry, sign.doubt_cm)
    steps: list[Step] = []
    if high[1] > low[1]:
        for cut in _rains(start, end, balance):
            reached = balance.at(cut)
            steps.append(_step(cut - start, low, reached))
            start, low = cut, reached
    return [*steps, _step(end - start, low, high, *read)]


def _rains(start: float, end: float, balance: Balance) -> Iterator[float]:
    """The mornings after rain between two times."""
    last = start
    for day in range(int(start - MORNING) + 1, int(end - MORNING) + 1):
        cut = day + MORNING
        if start < cut < end and balance.between(max(last, cut - 1), cut)[1] > 0:
            last = cut
            yield cut


def _step(days: float, low: Sums, high: Sums, *read: Any) -> Step:
    return Step(days, high[0] - low[0], high[1] - low[1], high[2] - low[2], *read)


def time_of(event: Event) -> float:
    """When a reading or flooding was true, in days since year 1."""
    if event.at is not None:
        return event.on.toordinal() + (event.at.hour + event.at.minute / 60) / 24
    return event.on.toordinal() + (MORNING if event.kind == "reading" else AFTER_MORNING)
