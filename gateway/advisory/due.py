"""What is due of a season on a day: a pure function of the glance at it and of the calendar."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

from gateway.advisory.duties import DutyCalendar, DutyRule, DutyText
from gateway.advisory.glance import Glance
from gateway.advisory.marks import Mark, marks_of
from gateway.advisory.mending import Pause
from gateway.advisory.records import DutyRow
from gateway.agronomy.season import Split


@dataclass(frozen=True, slots=True)
class Due:
    """A duty that is wanted: its days, and the name of the words that fit.

    ``anchor_on`` is the day it counts from, ``owed_on`` the first on which it is owed, ``last_on``
    the last on which its text is worth sending.
    """

    rule: DutyRule
    ordinal: int
    anchor_on: date
    owed_on: date
    last_on: date
    text: str
    stands: bool = False
    split: Split | None = None

    def is_in_time(self, day: date) -> bool:
        """Whether its day has come and is not over."""
        return self.owed_on <= day <= self.last_on


@dataclass(frozen=True, slots=True)
class Step:
    """What to do about a season: owe ``due`` at this revision, take back what waits of ``old``."""

    glance: Glance
    due: Due | None
    revision: int = 1
    old: DutyRow | None = None
    was_near: bool = False
    """The old one's day lies so near that, once sent, it is not owed again."""

    anew: bool = False
    """It is owed already and waits since another day: what waits is to say what is right now."""


def steps_for(glance: Glance, calendar: DutyCalendar) -> list[Step]:
    """What is to be done now about a season, in the order of the file."""
    if glance.holds.submerged == "under":
        return []  # what a drowned plot needs is said by its advice, not by the calendar
    steps: list[Step] = []
    wanted: set[tuple[str, int]] = set()
    for owed in dues_of(glance, calendar):
        due = while_resting(owed, glance.resting)
        if due is None:
            continue
        wanted.add((due.rule.name, due.ordinal))
        step = _step(glance, due, calendar)
        if step:
            steps.append(step)
    return [*_given_up(glance, wanted), *steps]


CALL: Final = "duty.resting-call"
"""The words, and the topic, of a reminder that says to call the office instead."""


def while_resting(due: Due, pause: Pause | None) -> Due | None:
    """The duty as it is owed: as ever, as a call for the office, or (None) not at all."""
    if pause is None:
        return due
    if pause.safety == "pause" or not due.rule.safety:
        return None
    return replace(due, text=CALL, rule=replace(due.rule, together=None, asks=False))


def dues_of(glance: Glance, calendar: DutyCalendar) -> Iterator[Due]:
    """Duties that are in time and fit, and those owed already that would still fit."""
    for rule, texts in calendar.fitting(glance.cheap):
        for mark in marks_of(rule.anchor, glance, calendar):
            for place, days in enumerate(rule.days):
                found = _due(glance, rule, texts, mark, place, days)
                if found:
                    yield found


def _due(
    glance: Glance,
    rule: DutyRule,
    texts: tuple[DutyText, ...],
    mark: Mark,
    place: int,
    days: int,
) -> Due | None:
    ordinal = mark.number * len(rule.days) + place + 1
    owed_on = mark.on + timedelta(days=days)
    last_on = owed_on + timedelta(days=rule.valid_days - 1)
    last_on = last_on if mark.last is None else min(last_on, mark.last)
    row = glance.owed.get((rule.name, ordinal))
    if not (owed_on <= glance.today <= last_on) and not (row and row.open):
        return None
    text = next((each.text for each in texts if glance.bears(each)), None)
    if text is None:
        return None
    return Due(rule, ordinal, mark.on, owed_on, last_on, text, mark.stands, mark.split)


def _step(glance: Glance, due: Due, calendar: DutyCalendar) -> Step | None:
    row = glance.owed.get((due.rule.name, due.ordinal))
    if row is None:
        return Step(glance, due) if due.is_in_time(glance.today) else None
    if row.taken_back:
        return Step(glance, due, row.revision + 1) if due.is_in_time(glance.today) else None
    if due.stands or row.anchor_on == due.anchor_on:
        waits = row.open and due.owed_on < glance.today <= due.last_on
        return Step(glance, due, row.revision, row, anew=True) if waits else None
    near = abs((due.anchor_on - row.anchor_on).days) <= calendar.anchor_moved_days
    again = due.is_in_time(glance.today) and not (row.sent and near)
    if not again and not row.open:
        return None
    return Step(glance, due if again else None, row.revision + 1, row if row.open else None, near)


def _given_up(glance: Glance, wanted: set[tuple[str, int]]) -> Iterator[Step]:
    """Take back what waits and is wanted no more: the reading came, the heads were told of."""
    for key, row in glance.owed.items():
        if row.open and key not in wanted:
            yield Step(glance, None, old=row)
