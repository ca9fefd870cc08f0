"""Which day of a text belongs to which of its parts."""

from gateway.messages import days
from gateway.messages.depths import Said
from gateway.messages.events import Event
from gateway.messages.items import Item, beside

_LINKS = frozenset(("filler", "polite", "own"))
_DAYS = ("day", "date", "weekday")


def day_of_event(items: list[Item], event: Event) -> str | None:
    """The day that stands beside an event, or in its clause, or alone in the share.

    As a word of ``days`` ("yesterday", "-2", "weekday 0", a date); None where no day is told. Of
    two days as near, "today" yields: "flooded yesterday now 4 above" tells of yesterday's flooding.
    """
    days_here = [(i, d) for i, d in enumerate(items) if d.role in _DAYS]
    if not days_here:
        return None
    near = [(abs(i - event.at), d) for i, d in days_here if d.clause == event.clause]
    if near:
        return day_word(min(near, key=lambda pair: (pair[0], day_word(pair[1]) == "today"))[1])
    told = {item.clause for item in items if item.role in ("amount", "event", "dry", "surface")}
    free = [d for _, d in days_here if d.clause not in told]
    return day_word(free[0]) if free else None


def day_of_level(items: list[Item], said: Said) -> str | None:
    """The day of a level: in its clause, or alone in the share, and not beside an event.

    As ``day_of_event`` gives it; ``days.UNKNOWN`` where two days are told, for then it is asked.
    """
    days_here = [(i, d) for i, d in enumerate(items) if d.role in _DAYS]
    own = [(i, d) for i, d in days_here if not _beside_event(items, i)]
    here = [d for _, d in own if d.clause == said.clause]
    told = {item.clause for item in items if item.role in ("event", "amount", "dry", "surface")}
    free = here or [d for _, d in own if d.clause not in told or d.clause == said.clause]
    words = list(dict.fromkeys(day_word(d) for d in free))
    words = [w for w in words if w != "today"] or words
    return words[0] if len(words) == 1 else days.UNKNOWN if words else None


def _beside_event(items: list[Item], at: int) -> bool:
    left, right = beside(items, at, -1, _LINKS), beside(items, at, 1, _LINKS)
    before = items[left].role if left is not None else ""
    after = items[right].role if right is not None else ""
    return before == "event" or (after == "event" and before not in ("amount", "below", "above"))


def day_word(item: Item) -> str:
    """The day of an item as a word of ``days``; weekdays (Monday is 0) as "weekday 0"."""
    return f"weekday {item.value}" if item.role == "weekday" else str(item.value)
