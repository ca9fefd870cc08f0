"""The water level that a share of a text reports, or what must be asked about it."""

from dataclasses import dataclass, field

from gateway.messages.items import Item
from gateway.messages.numerals import Amount

_LINK = frozenset(("filler", "inside", "deep", "comma", "polite"))
_STAND = frozenset(("below", "above", "rim"))
_CLEAN = frozenset(("own", "amount", "filler", "polite", "comma", "and", "day", "date", "clock"))
_CLEAN |= frozenset(("event", "both", "all", "plot", "weekday"))
_NAMES = frozenset(("unknown", "plain"))
_TELLS = frozenset(("below", "above", "rim", "vague", "change", "compare", "stick", "deep"))
_DENIES = frozenset(("not", "no"))
_MENDS = frozenset(("mend", "sorry", "wrong"))
_LONG = 5


@dataclass(frozen=True, slots=True)
class Habit:
    """How a phone measures a plot, and how far from the soil a level can lie (cm, signed)."""

    reads: str | None
    rim_cm: float | None
    unsigned_below: bool
    deepest_cm: float
    highest_cm: float


@dataclass(slots=True)
class Said:
    """One level, or a dry tube, or (``about`` set) what must be asked and the levels it may be."""

    level_cm: float | None = None
    dry: bool = False
    about: str | None = None
    candidates: tuple[float, ...] = ()
    at: int = 0
    clause: int = 0
    supersedes: bool = False
    flags: tuple[str, ...] = ()
    day: Item | None = None


@dataclass(slots=True)
class _Number:
    """A number that may be a level, with the words bound to it."""

    at: int
    item: Item
    amount: Amount
    stands: set[str] = field(default_factory=set)
    negated: bool = False

    @property
    def told(self) -> bool:
        """Whether sign or word says where this level is."""
        return bool(self.stands) or self.amount.sign != 0

    @property
    def key(self) -> float:
        """The size, with the sign where one is told: equal keys say the same."""
        below = self.amount.sign < 0 or "below" in self.stands
        return -self.amount.cm if below else self.amount.cm


def levels_of(items: list[Item], habit: Habit) -> list[Said]:
    """What one share says of the level: nothing, one thing, or one a day where each has its day."""
    items = [item for item in items if not item.asked]
    numbers = _numbers(items)
    loose = _bind(items, numbers)
    changed = _drop_changes(items, numbers)
    if not numbers:
        return _without_number(items, changed)
    numbers = _drop_counted(items, numbers)
    told, mended = _mend(items, numbers)
    said = _chosen(items, told, habit)
    for one in said:
        one.flags += ("correction",) if mended else ()
        one.supersedes = one.about is None and _points_back(items, numbers, mended)
    return _checked(items, said, loose, told)


def _numbers(items: list[Item]) -> list[_Number]:
    found = []
    for i, item in enumerate(items):
        amount = item.amount
        if amount is None or not amount.length or (amount.digits >= _LONG and amount.sign >= 0):
            continue
        if not item.in_words or _near_level(items, i, amount):
            found.append(_Number(i, item, amount))
    return found


def _near_level(items: list[Item], at: int, amount: Amount) -> bool:
    if amount.unit or amount.sign:
        return True
    near = items[max(0, at - 1) : at] + items[at + 1 : at + 2]
    return any(item.role in _STAND or item.role in ("own", "dry", "surface") for item in near)


# -- words that say where -------------------------------------------------------------------------


def _bind(items: list[Item], numbers: list[_Number]) -> set[str]:
    """Bind below, above and rim to the number beside them; give the words that found none."""
    by_place = {number.at: number for number in numbers}
    loose: set[str] = set()
    for i, item in enumerate(items):
        if item.role in _STAND:
            left, right = _beside(items, i, -1, by_place), _beside(items, i, 1, by_place)
            for number in (left, right):
                if number is not None and number.stands <= {item.role}:
                    number.stands.add(item.role)
                    break
            else:
                loose.add(item.role)
                if left is not None and right is None:
                    left.stands.add(item.role)
    return loose


def _beside(items: list[Item], at: int, step: int, by_place: dict[int, _Number]) -> _Number | None:
    i = at + step
    while 0 <= i < len(items) and abs(i - at) <= 8:
        if i in by_place:
            return by_place[i]
        if items[i].role not in _LINK:
            return None
        i += step
    return None


# -- numbers that are no level --------------------------------------------------------------------


def _drop_changes(items: list[Item], numbers: list[_Number]) -> bool:
    """Drop numbers that tell how far the water moved; whether there were any such words."""
    changed = False
    for i, item in enumerate(items):
        if item.role != "change":
            continue
        towards = i + 1 < len(items) and items[i + 1].role == "to"
        if not towards:
            changed = True
            here = [n for n in numbers if n.item.clause == item.clause and n.at > i]
            here = here or [n for n in numbers if n.item.clause == item.clause]
            for number in here:
                numbers.remove(number)
    return changed


def _drop_counted(items: list[Item], numbers: list[_Number]) -> list[_Number]:
    """Without numbers that count something else, when another number is told as a level."""
    if not any(number.told for number in numbers):
        return numbers
    home = {number.item.sentence for number in numbers if number.told}
    kept = [n for n in numbers if n.told or not (_counts(items, n) or _aside(items, n, home))]
    return kept or numbers


def _counts(items: list[Item], number: _Number) -> bool:
    after = items[number.at + 1] if number.at + 1 < len(items) else None
    return number.amount.unit is None and after is not None and after.role in _NAMES


def _aside(items: list[Item], number: _Number, home: set[int]) -> bool:
    """Whether a number stands in a sentence of its own that tells of other things."""
    if number.item.sentence in home or number.amount.unit is not None:
        return False
    roles = {item.role for item in items if item.sentence == number.item.sentence}
    return bool(roles & _NAMES) and not roles & (_STAND | {"own", "filler-level", "dry"})


# -- corrections ----------------------------------------------------------------------------------


def _mend(items: list[Item], numbers: list[_Number]) -> tuple[list[_Number], bool]:
    """The numbers that stand after corrections, and whether there was one."""
    for number in numbers:
        number.negated = number.at > 0 and items[number.at - 1].role == "not"
    wrong = {number.key for number in numbers if number.negated}
    kept = [n for n in numbers if not n.negated and n.key not in wrong]
    dropped = [n for n in numbers if n.negated]
    if dropped and len({n.key for n in kept}) == 1:
        _inherit(kept, dropped)
        return kept, True
    marks = [i for i, item in enumerate(items) if item.role in _MENDS]
    between = [i for i in marks if kept and kept[0].at < i < kept[-1].at]
    if between:
        return [n for n in kept if n.at > between[-1]], True
    return (kept, False) if kept else (numbers, False)


def _inherit(kept: list[_Number], dropped: list[_Number]) -> None:
    """ "8 not 18 below": the word at the end speaks of both."""
    for number in kept:
        if not number.told and dropped[-1].at > number.at and not dropped[-1].amount.sign:
            number.stands |= dropped[-1].stands


def _points_back(items: list[Item], numbers: list[_Number], mended: bool) -> bool:
    roles = [item.role for item in items]
    blames = "wrong" in roles or "mend" in roles or any(n.negated for n in numbers)
    if blames and ("back" in roles or ("wrong" in roles and _other_day(items))):
        return True
    first = numbers[0].at
    return not mended and any(role in ("wrong", "mend") for role in roles[:first])


def _other_day(items: list[Item]) -> bool:
    return any(item.role == "day" and item.value != "today" for item in items)


# -- one number -----------------------------------------------------------------------------------


def _chosen(items: list[Item], numbers: list[_Number], habit: Habit) -> list[Said]:
    keys = {number.key for number in numbers}
    if len(keys) > 1 and not _each_its_day(items, numbers):
        options = tuple(n.key for n in numbers if n.told and _reachable(n.key, habit))
        return [Said(about="number", candidates=tuple(dict.fromkeys(options)), at=numbers[0].at)]
    if len(keys) > 1:
        return [_said(items, number, habit) for number in numbers]
    best = max(numbers, key=lambda n: (n.told, n.amount.sure))
    if any(not number.amount.sure for number in numbers):
        best = next(number for number in numbers if not number.amount.sure)
    return [_said(items, best, habit)]


def _each_its_day(items: list[Item], numbers: list[_Number]) -> bool:
    clauses = [number.item.clause for number in numbers]
    days = [item.clause for item in items if item.role in ("day", "date", "weekday")]
    return len(set(clauses)) == len(clauses) and sorted(clauses) == sorted(days)


def _said(items: list[Item], number: _Number, habit: Habit) -> Said:
    said = _level(items, number, habit)
    said.at, said.clause = number.at, number.item.clause
    return said


def _level(items: list[Item], number: _Number, habit: Habit) -> Said:
    size, sign, stands = number.amount.cm, number.amount.sign, number.stands
    if not number.amount.sure or _compared(items, number.at):
        return Said(about="number")
    if "rim" in stands:
        return _from_rim(size, habit) if len(stands) == 1 and sign >= 0 else _sign(size, habit)
    signs = {-1 if word == "below" else 1 for word in stands} | ({sign} if sign else set())
    if size == 0:
        return Said(level_cm=0.0)
    if len(signs) > 1:
        return _sign(size, habit)
    if signs:
        return _reached(signs.pop() * size, number.amount, habit)
    return _unsigned(items, number, habit)


def _unsigned(items: list[Item], number: _Number, habit: Habit) -> Said:
    size = number.amount.cm
    before = items[number.at - 1].role if number.at else ""
    roles = {item.role for item in items}
    if before == "stick" and habit.reads is None:
        return Said(about="rim") if habit.rim_cm is None else _sign(size, habit)
    if "surface" in roles or not roles <= _CLEAN | {"stick"} or _counts(items, number):
        return _sign(size, habit)
    if habit.reads == "rim":
        return _from_rim(size, habit)
    if habit.unsigned_below:
        said = _reached(-size, number.amount, habit)
        said.flags = ("sign-assumed",)
        return said
    return _sign(size, habit)


def _compared(items: list[Item], at: int) -> bool:
    """Whether the number is only a bound or one end of a range ("more than 15", "10 or 12")."""
    near = [i for i in (at - 1, at - 2) if i >= 0]
    if any(items[i].role == "compare" for i in near[:1]):
        return True
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


# -- no number, and the last look -----------------------------------------------------------------


def _without_number(items: list[Item], changed: bool) -> list[Said]:
    roles = [item.role for item in items]
    dry = [i for i, role in enumerate(roles) if role == "dry"]
    level = [i for i, role in enumerate(roles) if role == "surface"]
    if changed or (dry and level):
        return [Said(about="number")]
    if dry:
        return [_dry(items, dry[0], roles)]
    if level and not _STAND & set(roles) and "vague" not in roles:
        denied = level[0] > 0 and roles[level[0] - 1] in _DENIES
        at, clause = level[0], items[level[0]].clause
        return [Said(about="number") if denied else Said(level_cm=0.0, at=at, clause=clause)]
    tells = any(role in _TELLS - {"stick", "deep", "compare"} for role in roles)
    return [Said(about="number")] if tells else []


def _dry(items: list[Item], at: int, roles: list[str]) -> Said:
    before = roles[max(0, at - 2) : at]
    doubted = _DENIES & set(before) or "vague" in roles or {"compare", "or"} & set(before)
    if doubted or _STAND & set(roles):
        return Said(about="number")
    said = Said(dry=True, at=at, clause=items[at].clause)
    said.supersedes = "back" in roles and bool({"wrong", "mend"} & set(roles[:at]))
    said.supersedes = said.supersedes or bool({"wrong", "mend"} & set(roles[:at]))
    return said


def _checked(
    items: list[Item], said: list[Said], loose: set[str], told: list[_Number]
) -> list[Said]:
    """A level beside a dry tube, or blamed as wrong at the end, is asked about after all."""
    roles = [item.role for item in items]
    last = max(number.at for number in told)
    blamed = "wrong" in roles[last:] and all(one.about is None for one in said)
    if "dry" in roles or blamed:
        return [Said(about="number", at=last)]
    stands = {stand for number in told for stand in number.stands}
    if loose - stands and len(said) == 1 and said[0].level_cm is not None:
        size = abs(said[0].level_cm)
        return [Said(about="sign", candidates=(-size, size))] if size else said
    return said
