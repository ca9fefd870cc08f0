"""Which day of a text belongs to which of its parts."""

from gateway.messages import days
from gateway.messages.events import Event
from gateway.messages.items import Item, beside, roles_by_clause
from gateway.messages.said import Said

_LINKS = frozenset(("filler", "polite", "own"))
_LEVEL = ("amount", "below", "above", "dry", "surface")
_NEAR = 3
_TAKES_BACK = frozenset(("wrong", "mend", "back", "sorry"))
_STORY = frozenset(("plain", "action", "elsewhere", "want", "stock", "person", "not", "not-before"))
_DAYS = ("day", "date", "weekday")


def day_of_event(items: list[Item], event: Event) -> str | None:
    """The day that stands beside an event, or in its clause, or alone in the share.

    As a word of ``days`` ("yesterday", "-2", "weekday 0", a date); None where no day is told. Of
    two days as near, "today" yields: "flooded yesterday now 4 above" tells of yesterday's flooding.
    """
    days_here = [(i, d) for i, d in enumerate(items) if d.role in _DAYS]
    if not days_here:
        return None
    inside = [(i, d) for i, d in days_here if d.clause == event.clause]
    later = bool(inside) and inside[-1][0] > event.at
    own = [(i, d) for i, d in inside if i > event.at or not (later and _beside_level(items, i))]
    near = [(abs(i - event.at), d) for i, d in own or inside]
    if near:
        return day_word(min(near, key=lambda pair: (pair[0], day_word(pair[1]) == "today"))[1])
    told = {item.clause for item in items if item.role in ("amount", "event", "dry", "surface")}
    free = [d for _, d in days_here if d.clause not in told]
    return day_word(free[0]) if free else None


def stood_lower_since(items: list[Item], event: Event) -> bool:
    """Whether the water is told to stand below the soil now, after a flooding of no told day.

    "Irrigated but dry now": of one day a flooding comes last, so its day must be asked.
    """
    days_here = [(i, day_word(d)) for i, d in enumerate(items) if d.role in _DAYS]
    now = [i for i, word in days_here if word == "today" and i > event.at]
    low = [i for i, x in enumerate(items) if i > event.at and _low(x)]
    return bool(now and low) and len(days_here) == 1 and abs(now[0] - low[0]) <= _NEAR


def _low(item: Item) -> bool:
    return item.role in ("dry", "below") or (item.amount is not None and item.amount.sign < 0)


def day_of_level(items: list[Item], said: Said) -> str | None:
    """The day of a level: in its clause, or alone in the share, and not beside an event.

    As ``day_of_event`` gives it; ``days.UNKNOWN`` where two days are told, for then it is asked.
    """
    days_here = [(i, d) for i, d in enumerate(items) if d.role in _DAYS]
    own = [(i, d) for i, d in days_here if not _beside_event(items, i)]
    here = [d for _, d in own if d.clause == said.clause]
    told = {item.clause for item in items if item.role in ("event", "amount", "dry", "surface")}
    free = here or [d for _, d in own if d.clause not in told or d.clause == said.clause]
    if not here and (free := _without_stories(items, free)) and _strange(items, free):
        return days.UNKNOWN
    words = list(dict.fromkeys(day_word(d) for d in free))
    words = [w for w in words if w != "today"] or words
    return words[0] if len(words) == 1 else days.UNKNOWN if words else None


def _without_stories(items: list[Item], days_here: list[Item]) -> list[Item]:
    """Without days of clauses that tell of another matter ("yesterday I went to town, 7 below")."""
    stories = {item.clause for item in items if item.role in _STORY}
    return [day for day in days_here if day.clause not in stories and not day.asked]


def _strange(items: list[Item], days_here: list[Item]) -> bool:
    """Whether words that are not known stand beside a day of another clause, if none takes back."""
    told = roles_by_clause(items)
    roles = (told[day.clause] for day in days_here)
    return any("unknown" in here and not here & _TAKES_BACK for here in roles)


def _beside_event(items: list[Item], at: int) -> bool:
    left, right = beside(items, at, -1, _LINKS), beside(items, at, 1, _LINKS)
    before = items[left].role if left is not None else ""
    after = items[right].role if right is not None else ""
    return before == "event" or (after == "event" and before not in _LEVEL)


def _beside_level(items: list[Item], at: int) -> bool:
    """Whether a day ends what is told of a level ("dry yesterday flooded today")."""
    left = beside(items, at, -1, _LINKS)
    return left is not None and items[left].role in _LEVEL


def day_word(item: Item) -> str:
    """The day of an item as a word of ``days``; weekdays (Monday is 0) as "weekday 0"."""
    return f"weekday {item.value}" if item.role == "weekday" else str(item.value)
