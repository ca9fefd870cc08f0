"""The water level that a share of a text reports, or what must be asked about it."""

import re

from gateway.messages.counted import counts, drop_counted
from gateway.messages.items import Item
from gateway.messages.levelnumbers import (
    STAND,
    Number,
    bind,
    drop_changes,
    numbers_of,
    of_an_act,
)
from gateway.messages.mends import blamed_before, mend, points_back, turn_side
from gateway.messages.numerals import Amount
from gateway.messages.said import Habit, Said
from gateway.messages.wordlevels import without_number

DAYS = frozenset(("day", "date", "weekday"))
_CLEAN = frozenset(("own", "amount", "filler", "polite", "comma", "and", "day", "date", "clock"))
_CLEAN |= frozenset(("event", "both", "each", "all", "plot", "weekday"))
# What an unsigned number before it may count, and what makes a text tell of other things.
_COUNTED = frozenset(("event", "person", "want", "stock"))
_OTHER_MATTER = _COUNTED | {"unknown", "plain", "action", "elsewhere"}


def levels_of(items: list[Item], habit: Habit) -> list[Said]:
    """What one share says of the level: nothing, one thing, or one a day where each has its day."""
    items = [item for item in items if not item.asked]
    turned = turn_side(items)
    numbers = numbers_of(items)
    loose = bind(items, numbers)
    changed = drop_changes(items, numbers)
    if not numbers:
        return without_number(items, changed)
    numbers = drop_counted(items, numbers)
    if not numbers:
        return without_number(items, changed)
    told, mended = mend(items, numbers)
    mended = mended or turned
    said = _chosen(items, told, habit)
    if len(numbers) == 1 and blamed_before(items, numbers):
        return [_doubted(one) for one in said]
    for one in said:
        one.flags += ("correction",) if mended else ()
        one.supersedes = one.about is None and points_back(items, numbers, mended)
    return _checked(items, said, loose, told)


def _doubted(said: Said) -> Said:
    """What is said of a level, as a question about it."""
    levels = (said.level_cm,) if said.level_cm is not None else said.candidates
    return Said(about=said.about or "number", candidates=levels, at=said.at, clause=said.clause)


# -- one number -----------------------------------------------------------------------------------


def _chosen(items: list[Item], numbers: list[Number], habit: Habit) -> list[Said]:
    keys = {number.key for number in numbers}
    days = _days_of(items, numbers) if len(keys) > 1 else []
    if len(keys) > 1 and not days:
        options = tuple(n.key for n in numbers if n.told and _reachable(n.key, habit))
        return [Said(about="number", candidates=tuple(dict.fromkeys(options)), at=numbers[0].at)]
    if len(keys) > 1:
        return [_said(items, n, habit, day) for n, day in zip(numbers, days, strict=True)]
    best = max(numbers, key=lambda n: (n.told, n.amount.sure))
    if any(not number.amount.sure for number in numbers):
        best = next(number for number in numbers if not number.amount.sure)
    return [_said(items, best, habit)]


def _days_of(items: list[Item], numbers: list[Number]) -> list[Item]:
    """The day of each number, where each has one of its own; else nothing."""
    places = {number.at for number in numbers}
    order = [i for i, item in enumerate(items) if i in places or item.role in DAYS]
    shape = "".join("n" if i in places else "d" for i in order)
    days = [items[i] for i in order if i not in places]
    distinct = len({(day.role, day.value) for day in days}) == len(days) == len(numbers)
    return days if distinct and re.fullmatch(r"(nd)+|(dn)+|nddn|dnnd", shape) else []


def _said(items: list[Item], number: Number, habit: Habit, day: Item | None = None) -> Said:
    said = _level(items, number, habit)
    said.at, said.clause, said.day = number.at, number.item.clause, day
    return said


def _level(items: list[Item], number: Number, habit: Habit) -> Said:
    size, sign, stands = number.amount.cm, number.amount.sign, number.stands
    if not number.amount.sure or _compared(items, number.at):
        return Said(about="number")
    if "rim" in stands:
        return _from_rim(size, habit) if len(stands) == 1 and sign >= 0 else _sign(size, habit)
    signs = {-1 if word == "below" else 1 for word in stands} | ({sign} if sign else set())
    if size == 0:
        return _nought(items, number, signs, habit)
    if len(signs) > 1:
        return _sign(size, habit)
    if signs:
        said = _reached(signs.pop() * size, number.amount, habit)
        if said.level_cm is not None and of_an_act(items, number.at):
            return Said(about="number", candidates=(said.level_cm,))
        return said
    return _unsigned(items, number, habit)


def _nought(items: list[Item], number: Number, signs: set[int], habit: Habit) -> Said:
    """Zero needs no sign; but it may count what follows, or be of another story ("call 000")."""
    rim = habit.rim_cm if habit.reads == "rim" and not signs else None
    if rim:
        return Said(about="number", candidates=(0.0, rim))
    loose = not signs and number.amount.unit is None and not _level_said(items, number)
    return Said(about="number", candidates=(0.0,)) if loose else Said(level_cm=0.0)


def _level_said(items: list[Item], number: Number) -> bool:
    """Whether an unsigned zero stands for a level: beside its plot, or with no other matter."""
    after = items[number.at + 1].role if number.at + 1 < len(items) else ""
    if after in _COUNTED or after == "filler" or counts(items, number):  # "0 water": dry?
        return False
    if any(item.role == "own" for item in items[max(0, number.at - 1) : number.at + 2]):
        return True
    return number.amount.digits == 1 and not {item.role for item in items} & _OTHER_MATTER


def _unsigned(items: list[Item], number: Number, habit: Habit) -> Said:
    size = number.amount.cm
    before = items[number.at - 1].role if number.at else ""
    roles = {item.role for item in items}
    if before == "stick" and habit.reads is None:
        return Said(about="rim") if habit.rim_cm is None else _sign(size, habit)
    after = items[number.at + 1].role if number.at + 1 < len(items) else ""
    if (
        after == "event"
        or "surface" in roles
        or not roles <= _CLEAN | {"stick"}
        or counts(items, number)
    ):
        return _sign(size, habit)
    if habit.reads == "rim":
        return _from_rim(size, habit)
    if habit.unsigned_below:
        said = _reached(-size, number.amount, habit)
        said.flags = ("sign-assumed",) if said.about is None else ()
        return said
    return _sign(size, habit)


def _compared(items: list[Item], at: int) -> bool:
    """Whether the number is only a bound or one end of a range ("more than 15", "10 or 12")."""
    near = [i for i in (at - 1, at - 2) if i >= 0]
    if any(items[i].role == "compare" for i in near[:1]):
        return True
    if [item.role for item in items[at + 1 : at + 3]] == ["compare", "amount"]:
        return True  # "twelve point five"
    behind = [item.role for item in items[at + 1 : at + 4]]
    if behind[1:2] == ["or"] and behind[0] in STAND and behind[-1] not in STAND:
        return True  # "15 below or more"
    return any(items[i].role == "or" for i in near[:1] + ([at + 1] if at + 1 < len(items) else []))


def _from_rim(size: float, habit: Habit) -> Said:
    if habit.rim_cm is None:
        return Said(about="rim")
    level = round(habit.rim_cm - size, 2) + 0.0
    return Said(level_cm=level) if _reachable(level, habit) else Said(about="number")


def _sign(size: float, habit: Habit) -> Said:
    options = tuple(level for level in (-size, size) if _reachable(level, habit))
    return Said(about="sign" if options else "number", candidates=options)


def _reached(level: float, amount: Amount, habit: Habit) -> Said:
    if _reachable(level, habit):
        return Said(level_cm=level)
    as_mm = round(level / 10, 2)
    likely = amount.unit is None and amount.digits > 2 and _reachable(as_mm, habit)
    return Said(about="number", candidates=(as_mm,) if likely else ())


def _reachable(level: float, habit: Habit) -> bool:
    return habit.deepest_cm <= level <= habit.highest_cm


# -- the last look ---------------------------------------------------------------------------------


def _checked(
    items: list[Item], said: list[Said], loose: set[str], told: list[Number]
) -> list[Said]:
    """A level beside a dry tube, or blamed as wrong at the end, is asked about after all."""
    roles = [item.role for item in items]
    last = max(number.at for number in told)
    levels = tuple(one.level_cm for one in said if one.level_cm is not None)
    if "filling" in roles:
        return [Said(about="number", candidates=levels, at=last)]
    blamed = "wrong" in roles[last:] and all(one.about is None for one in said)
    if "dry" in roles or blamed:
        return [Said(about="number", at=last)]
    stands = {stand for number in told for stand in number.stands}
    if loose - stands and len(said) == 1 and said[0].level_cm is not None:
        size = abs(said[0].level_cm)
        return [Said(about="sign", candidates=(-size, size))] if size else said
    doubted = "unsure" in roles and levels
    return [Said(about="number", candidates=levels, at=last)] if doubted else said
