"""What else a text reports: flooding, rain, fertiliser, weeds, no water and the like."""

from dataclasses import dataclass, field, replace
from typing import cast

from gateway.messages.heard import Kind
from gateway.messages.items import Item, beside
from gateway.messages.numerals import CM_IN, Amount

_LINK = frozenset(("filler", "polite", "to", "deep"))
_COURTEOUS = frozenset(("filler", "polite"))
_DEPTH_LINK = _LINK | {"above", "comma", "own", "day", "weekday", "date"}
_CODES_AS_VALUE = ("outlet-open", "outlet-shut")
_DENIES = ("not", "no")
_DENIES_BEFORE = (*_DENIES, "not-before")
_BETWEEN = frozenset(("unknown", "plain", "filler", "action"))
_DOING = frozenset(("unknown", "plain", "action", "event", "person", "want", "change"))
# "Urea abhi tak nahi daali": words of now and until may part an act from its denial.
_BEFORE_DENIAL = _BETWEEN | {"day", "to-before", "polite"}
# "0 urea" may be none of it, or a level of 0 and urea: such an event is not heard.
_COUNTED = ("nitrogen", "weeds", "snails", "spray", "rain")
_ONCE = ("nitrogen", "done", "outlet-open", "outlet-shut")
# They say no themselves: a no further on is of what could not be done for it.
_LACKS = ("no-water", "no-power", "broken")
_QUIET_KINDS = ("done",)
# Before its word, or beyond a comma, a depth of rain needs a unit that tells it from a level.
_RAIN_APART = ("mm",)
_RAIN_BEFORE = ("mm", "inch", "ft", "m")
_RAIN_LINK = _LINK | {"day", "weekday", "date", "own", "comma", "unknown", "plain"}
_RAIN_AFTER = (*_RAIN_BEFORE, "cm", None)
_MM_IN_CM = 10
_NEAR = 6
_DEPTHS = ("cm", "mm", "inch")


@dataclass(slots=True)
class Event:
    """A meaning on its way out; ``day`` as the text says it, not yet a date."""

    kind: Kind
    value: float | str | None = None
    unit: str | None = None
    day: Item | None = None
    denied: bool = False
    at: int = 0
    clause: int = 0


@dataclass(slots=True)
class Taken:
    """Events of one share, and the indexes of the items that they used up."""

    events: list[Event] = field(default_factory=list)
    used: set[int] = field(default_factory=set)


def events_of(items: list[Item]) -> Taken:
    """The events of one share, each kind once; numbers that belong to them are used up."""
    taken = Taken()
    seen: set[tuple[object, object]] = set()
    for i, item in enumerate(items):
        if item.role != "event" or ((item.value, item.detail) in seen and item.value in _ONCE):
            continue
        seen.add((item.value, item.detail))
        if not item.asked and _before(items, i) != "to":
            if (item.value in _COUNTED and _after_nought(items, i)) or _only_then(items, i):
                continue
            event = Event(cast(Kind, item.value), at=i, clause=item.clause)
            event.denied = _before(items, i) in _DENIES or _denied_after(items, i)
            _fill(event, item, items, i, taken)
            taken.events.append(event)
    if any(item.role == "dry" and not item.asked for item in items):
        # "tube dry, no water" tells of the tube alone
        taken.events = [event for event in taken.events if items[event.at].detail != "bare"]
    taken.events = _kept(taken.events, any(item.role == "amount" for item in items))
    return taken


def _before(items: list[Item], at: int) -> str:
    i = beside(items, at, -1, _COURTEOUS)
    return items[i].role if i is not None else ""


def _after_nought(items: list[Item], at: int) -> bool:
    amount = items[at - 1].amount if at else None
    return amount is not None and amount.value == 0 and amount.sign == 0 and amount.unit is None


def _only_then(items: list[Item], at: int) -> bool:
    """Whether a word for done only goes on with a story ("naglakad tapos 120 ang pamasahe")."""
    led, after = items[at - 1 : at] if at else [], items[at + 1 : at + 2]
    counted = bool(after) and after[0].amount is not None and after[0].clause == items[at].clause
    strange = bool(led) and led[0].role in ("unknown", "plain") and _same(items, at, at - 1)
    return items[at].value == "done" and counted and strange


def _denied_after(items: list[Item], at: int) -> bool:
    """ "urea: no", "heads not out"; but "no 12 below" after an event speaks of the level."""
    if items[at].value in _LACKS:
        return False
    roles = [item.role for item in items[at + 1 : at + 3]]
    if bool(roles) and roles[0] in _DENIES_BEFORE and "amount" not in roles:
        return True
    return _denied_at_end(items, at)


def _same(items: list[Item], at: int, other: int) -> bool:
    return items[at].clause == items[other].clause


def _kept(events: list[Event], numbers: bool) -> list[Event]:
    """Each kind once, its valued form first; a bare "done" beside an event only confirms it."""
    kept: dict[str, Event] = {}
    for event in events:
        old = kept.get(event.kind)
        if old is None or (old.value is None and event.value is not None) or _fewer(event, old):
            kept[event.kind] = event
    if "no-water" in kept:
        shut = kept.get("outlet-shut")
        if shut is not None and shut.value is None:  # "gate closed, no water" tells why
            del kept["outlet-shut"]
        kept = {k: e for k, e in kept.items() if k != "flooded" or e.value is not None}
    if "spray" in kept and "weeds" in kept and kept["weeds"].value == "many":
        del kept["weeds"]
    said = [event for event in kept.values() if event.kind not in _QUIET_KINDS]
    quiet = [event for event in kept.values() if event.kind in _QUIET_KINDS]
    return said or quiet


def _fewer(event: Event, old: Event) -> bool:
    return event.kind == "weeds" and old.value == "few" and event.value == "many"


def _fill(event: Event, item: Item, items: list[Item], at: int, taken: Taken) -> None:
    if event.kind == "weeds":
        event.value = _weeds(event, items, at)
        event.denied = False
    elif event.kind == "flooded":
        _flood_depth(event, items, at, taken)
    elif event.kind == "rain":
        _rain_depth(event, items, at, taken)
    elif event.kind == "tall":
        _height(event, items, at, taken)
    elif event.kind == "nitrogen":
        _weight(event, items, at, taken)
    elif event.kind == "done":
        _hours(event, items, taken)
    elif event.kind in _CODES_AS_VALUE:
        event.value = next((str(x.value) for x in items if x.role == "foreign"), None)
    elif event.kind == "spray" and at + 1 < len(items) and items[at + 1].role == "unknown":
        event.value = items[at + 1].value


def _weeds(event: Event, items: list[Item], at: int) -> str:
    """few or many. Weeds that were not pulled, or did not die, are still there: many."""
    before = _before(items, at) in _DENIES
    if items[at].detail == "few":
        behind = items[at : at + 2 * _NEAR]
        partly = any(x.role == "partly" and x.sentence == items[at].sentence for x in behind)
        return "many" if before or partly or _denied_at_end(items, at) else "few"
    if not event.denied:
        return "many"
    near = items[at + 1 : at + 1 + _NEAR]
    worded = [x for x in near if x.clause == event.clause and x.role in _DOING]
    return "few" if before or not worded else "many"


def _denied_at_end(items: list[Item], at: int) -> bool:
    behind = beside(items, at, 1, _BEFORE_DENIAL)
    return behind is not None and items[behind].role == "not-before" and _same(items, at, behind)


def _following(items: list[Item], at: int, link: frozenset[str]) -> int | None:
    i = beside(items, at, 1, link)
    return i if i is not None and items[i].role == "amount" else None


def _preceding(items: list[Item], at: int) -> int | None:
    i = beside(items, at, -1, _LINK)
    return i if i is not None and items[i].role == "amount" else None


def _directed(items: list[Item], at: int, roles: tuple[str, ...]) -> bool:
    behind = items[at + 1 : at + 3]
    if behind and behind[0].role == "own":  # "rain 22 mm H07 3 above": of what is told next
        behind = []
    near = items[max(0, at - 1) : at] + behind
    return any(x.role in roles for x in near if x.clause == items[at].clause)


def _flood_depth(event: Event, items: list[Item], at: int, taken: Taken) -> None:
    """ "Flooded to 5 cm", "flooded, now 5 above": the depth that stands after the flooding."""
    i = _following(items, at, _DEPTH_LINK) or _up_to(items, at) or _given(items, at)
    amount = items[i].amount if i is not None else None
    if i is None or amount is None or not amount.length:
        return
    parted = any(x.role == "comma" for x in items[at:i])
    if parted and any(x.role == "day" and x.value != "today" for x in items[at:i]):
        return
    if _began_anew(items, at, i):
        return
    if amount.sign < 0 or _directed(items, i, ("below", "rim", "or")):
        items[i].amount = amount if parted else replace(amount, sure=False)
        return
    reached = items[i - 1].role == "to"
    if parted and not (_directed(items, i, ("above",)) or _is_now(items, i) or reached):
        return
    if amount.sure:
        event.value, event.unit = amount.cm, "cm"
        taken.used.update(range(min(at + 1, i), max(at, i + 1)))
        taken.used.update(k for k in (i + 1, i + 2) if k < len(items) and items[k].role == "above")


def _is_now(items: list[Item], at: int) -> bool:
    """ "Irrigated, now 5 cm": a size with its unit, told of now, that nothing else follows."""
    amount, near = items[at].amount, items[max(0, at - 1) : at] + items[at + 1 : at + 2]
    now = any(x.role == "day" and x.value == "today" for x in near)
    return now and amount is not None and amount.unit is not None and amount.sign == 0


def _up_to(items: list[Item], at: int) -> int | None:
    """The number right before a word that says up to it ("5 सेमी तक पानी दिया")."""
    told = at > 1 and items[at - 1].role == "to-before" and items[at - 2].role == "amount"
    return at - 2 if told else None


def _given(items: list[Item], at: int) -> int | None:
    """The depth right before water that is given ("5 সেমি পানি দিছি"), not before one bare word."""
    i = beside(items, at, -1, _COURTEOUS)
    amount = items[i].amount if i is not None and len(items[at].places()) > 1 else None
    if i is None or amount is None or amount.unit not in _DEPTHS or not _plain(amount):
        return None
    sided = _directed(items, i, ("below", "above", "rim", "or", "change"))
    return i if _same(items, i, at) and not sided else None


def _began_anew(items: list[Item], at: int, number: int) -> bool:
    """ "Flooded yesterday now 4 above": after another day, now tells how the water stands."""
    day = next((x for x in items[at:number] if x.role == "day" and x.value == "today"), None)
    here = (x for x in items[:number] if x.clause == items[at].clause and x is not day)
    return day is not None and any(x.role in ("day", "weekday", "date") for x in here)


def _rain_depth(event: Event, items: list[Item], at: int, taken: Taken) -> None:
    after, before = _following(items, at, _LINK | {"day"}), _preceding(items, at)
    apart = _following(items, at, _RAIN_LINK)
    for i, units in ((after, _RAIN_AFTER), (before, _RAIN_BEFORE), (apart, _RAIN_APART)):
        amount = items[i].amount if i is not None else None
        if i is None or amount is None or not _plain(amount) or amount.unit not in units:
            continue
        if _directed(items, i, ("below", "above", "rim")):
            continue
        size = (
            amount.value if amount.unit is None else amount.value * CM_IN[amount.unit] * _MM_IN_CM
        )
        event.value, event.unit = round(size, 1), "mm"
        taken.used.add(i)
        return


def _plain(amount: Amount) -> bool:
    return amount.length and amount.sign == 0 and amount.sure


def _height(event: Event, items: list[Item], at: int, taken: Taken) -> None:
    for i in (_preceding(items, at), _following(items, at, _LINK | {"own"})):
        amount = items[i].amount if i is not None else None
        if i is not None and amount is not None and _plain(amount):
            event.value, event.unit = amount.cm, "cm"
            taken.used.add(i)
            return


def _weight(event: Event, items: list[Item], at: int, taken: Taken) -> None:
    for i, item in enumerate(items):
        if item.amount is not None and item.amount.unit in ("kg", "bag", "l"):
            event.value, event.unit = item.amount.value, item.amount.unit
            taken.used.add(i)
            return
    i = at + 1
    amount = items[i].amount if i < len(items) else None
    if (
        amount is not None
        and _plain(amount)
        and amount.unit is None
        and not _directed(items, i, ("below", "above", "rim"))
    ):
        event.value = amount.value
        taken.used.add(i)


def _hours(event: Event, items: list[Item], taken: Taken) -> None:
    for i, item in enumerate(items):
        if item.amount is not None and item.amount.unit == "h":
            event.value, event.unit = item.amount.value, "h"
            taken.used.add(i)
            return
