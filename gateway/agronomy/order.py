"""The order in which readings and floodings of a plot were true: one for all who ask."""

from collections.abc import Iterable
from datetime import date, time

from gateway.agronomy.book import Event


def in_order(events: Iterable[Event]) -> list[Event]:
    """Readings and floodings by the time at which they were true, the last one last.

    On one day a reading comes before a flooding unless both carry their time. Within one minute
    the later row of the book is the later one, so that a slip can be put right.
    """
    return sorted((e for e in events if e.kind in ("reading", "flooded")), key=_place)


def _place(event: Event) -> tuple[date, int, time]:
    """A reading without a time opens its day, a flooding without one closes it."""
    untimed = 0 if event.kind == "reading" else 2
    return event.on, untimed if event.at is None else 1, event.at or time.min
