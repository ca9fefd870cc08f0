"""The event book of a plot: what happened on it, in the order it became known."""

from dataclasses import dataclass
from datetime import date, time
from typing import Literal, get_args

EventKind = Literal[
    "reading",
    "flooded",
    "rain",
    "nitrogen",
    "weeds",
    "spray",
    "tall",
    "heading",
    "flowering",
    "submerged",
    "no-water",
    "harvest",
    "green",
    "snails",
]
EVENT_KINDS: frozenset[str] = frozenset(get_args(EventKind))


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happened on a plot on one day of the scheme's zone.

    reading: ``level_cm`` (cm, signed) or ``dry``, ``doubtful`` where the office does not trust it,
    ``reader`` a sign of who read, always the same for the same one;
    flooded: ``to_cm``; rain: ``mm``; weeds: ``amount`` few or many; tall: ``height_cm`` of the
    plants; green: most of the grain is still green; nitrogen and spray: ``product``; spray:
    ``hold_days``, ``reentry_hours``. ``at`` is the local time when known. ``by_block``: told of the
    plot's whole block, not seen on the plot.
    """

    kind: EventKind
    on: date
    at: time | None = None
    level_cm: float | None = None
    dry: bool = False
    to_cm: float | None = None
    mm: float | None = None
    amount: Literal["few", "many"] | None = None
    product: str | None = None
    hold_days: int | None = None
    reentry_hours: float | None = None
    height_cm: float | None = None
    doubtful: bool = False
    by_block: bool = False
    reader: str | None = None
