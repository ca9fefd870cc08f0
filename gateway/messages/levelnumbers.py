"""The numbers of a text that may be a level, and the words that say where they stand."""

from dataclasses import dataclass, field, replace

from gateway.messages.items import Item, beside, roles_by_clause
from gateway.messages.numerals import Amount

LINK = frozenset(("own", "filler", "inside", "deep", "comma", "polite"))
STAND = frozenset(("below", "above", "rim"))
MENDS = frozenset(("mend", "sorry", "wrong"))
_TOLD = STAND | {"filler", "deep", "polite"}
_OTHERS = frozenset(("elsewhere", "neighbour"))
_TAKES_BACK = frozenset(("mend", "sorry", "wrong", "not", "or"))
_SIZE_LINK = frozenset(("filler", "polite", "deep", "stick"))
_LONG = 5


@dataclass(slots=True)
class Number:
    """A number that may be a level, with the words bound to it."""

    at: int
    item: Item
    amount: Amount
    stands: set[str] = field(default_factory=set)
    negated: bool = False
    grounded: bool = False

    @property
    def told(self) -> bool:
        """Whether sign or word says where this level is."""
        return bool(self.stands) or self.amount.sign != 0

    @property
    def key(self) -> float:
        """The size, with the sign where one is told: equal keys say the same."""
        below = self.amount.sign < 0 or "below" in self.stands
        return -self.amount.cm if below else self.amount.cm


def numbers_of(items: list[Item]) -> list[Number]:
    """The numbers of a share that may be a level, in their order, nothing bound to them yet.

    Left out are quantities other than lengths, long runs of digits without a minus (phones,
    prices), a number before a word such as "finger", and words such as "two" far from any level.
    """
    found = []
    for i, item in enumerate(items):
        amount = item.amount
        if amount is None or not amount.length or (amount.digits >= _LONG and amount.sign >= 0):
            continue
        if i + 1 < len(items) and items[i + 1].role == "vague" and not amount.unit:
            continue
        if not item.in_words or _near_level(items, i, amount):
            found.append(Number(i, item, amount))
    mine = _without_others(items, _without_sizes(items, found))
    return [_other_water(items, _alone(items, number)) for number in mine]


def _without_sizes(items: list[Item], numbers: list[Number]) -> list[Number]:
    """Without numbers that tell how long, wide or far out a thing is ("tube 40 cm long").

    Each word of that kind takes the number before it, else the one after, if no side is told of it.
    """
    places = {number.at for number in numbers}
    taken: set[int] = set()
    told: set[int] = set()
    for i, item in enumerate(items):
        if item.role == "size":
            near = (beside(items, i, step, _SIZE_LINK) for step in (-1, 1))
            close = [k for k in near if k is not None and k in places]
            sizes = [k for k in close if k not in taken and not _sided(items, k)]
            taken.update(sizes[:1])
            if not sizes and close:  # "the tube sticks out 20 above the soil"
                told.add(close[-1])
    kept = [number for number in numbers if number.at not in taken]
    watered = {item.clause for item in items if item.value == "water" or item.role == "own"}
    water = {item.clause for item in items if item.value == "water"}
    for number in kept if taken or told else ():
        # "tube 40 cm long, 20 above soil" tells of the tube
        dry_told = number.at in told and number.item.clause not in water
        if number.item.clause not in watered or dry_told:
            number.amount = replace(number.amount, sure=False)
    return kept


def _sided(items: list[Item], at: int | None) -> bool:
    if at is None or (amount := items[at].amount) is None:
        return True
    near = (beside(items, at, step, _SIZE_LINK) for step in (-1, 1))
    return amount.sign != 0 or any(k is not None and items[k].role in STAND for k in near)


def _without_others(items: list[Item], numbers: list[Number]) -> list[Number]:
    """Without numbers of a clause about other water, where another clause tells of the own plot.

    "The neighbour has -20, mine, H07, -9": nothing is left out where something is taken back.
    """
    clauses = roles_by_clause(items)
    if any(roles & _TAKES_BACK for roles in clauses.values()):
        return numbers
    others = {c for c, roles in clauses.items() if roles & _OTHERS and "own" not in roles}
    first = min((c for c, roles in clauses.items() if "own" in roles), default=None)
    mine = [n for n in numbers if not clauses[n.item.clause] & _OTHERS]
    named = first is not None and any(n.item.clause >= first for n in mine)
    return [n for n in numbers if n.item.clause not in others] if named else numbers


def _alone(items: list[Item], number: Number) -> Number:
    """Two numbers side by side, one of them spelled out, make one that is not understood."""
    near = items[max(0, number.at - 1) : number.at] + items[number.at + 1 : number.at + 2]
    halves = any(_is_length(x) and (x.in_words or number.item.in_words) for x in near)
    cut = [x.role for x in items[max(0, number.at - 2) : number.at]] == ["amount", "vague"]
    if halves or cut or (number.item.in_words and _goes_on(items, number.at)):
        number.amount = replace(number.amount, sure=False)
    return number


def _is_length(item: Item) -> bool:
    return item.amount is not None and item.amount.length


def of_an_act(items: list[Item], at: int) -> bool:
    """Whether the number tells how far an act should go ("irrigate at 15 below", "fill to 5")."""
    act = beside(items, at, -1, _TOLD | {"to", "own", "future", "question-first"})
    return act is not None and items[act].role == "action"


def _signed_twice(items: list[Item], number: Number) -> bool:
    """ "plus minus 12": the sign that was written first says otherwise."""
    before = items[number.at - 1] if number.at else None
    other = before is not None and before.role == "sign" and before.value != number.amount.sign
    return other and number.amount.sign != 0


def _goes_on(items: list[Item], at: int) -> bool:
    """Whether a number in words goes on after a word ("twelve point five")."""
    return [x.role for x in items[at + 1 : at + 3]] == ["compare", "amount"]


def _other_water(items: list[Item], number: Number) -> Number:
    """A number of the canal or of someone else's tube is not taken as the sender's level."""
    before = beside(items, number.at, -1, _TOLD)
    after = beside(items, number.at, 1, _TOLD)
    led = beside(items, number.at, -1, _TOLD | {"own", "day"})
    between = items[before : number.at] if before is not None else []
    watered = any(item.value == "water" for item in between)
    strange = before is not None and _no_water(items[before], watered)
    strange = strange or (led is not None and items[led].role == "modal")
    strange = strange or (after is not None and items[after].role == "modal")
    strange = strange or _signed_twice(items, number)
    if after is not None and items[after].role in _OTHERS:
        # "5 below in canal", "-12 is the neighbour's"; but "-12 canal closed" is another matter
        strange = strange or items[after - 1].role == "filler" or items[after].role == "neighbour"
    if strange:
        number.amount = replace(number.amount, sure=False)
    return number


def _no_water(item: Item, watered: bool) -> bool:
    """Whether what stands before a number says that it tells of something else than the water.

    ``watered``: water is named between ("rice: water 9 below"), so that no thing is meant.
    """
    return item.role in _OTHERS or item.role == "modal" or (item.value == "thing" and not watered)


def _near_level(items: list[Item], at: int, amount: Amount) -> bool:
    if amount.unit or amount.sign:
        return True
    near = items[max(0, at - 1) : at] + items[at + 1 : at + 2]
    if all(item.role in LINK for k, item in enumerate(items) if k != at):
        return True
    return any(item.role in STAND or item.role in ("own", "dry", "surface") for item in near)


# -- words that say where -------------------------------------------------------------------------


def bind(items: list[Item], numbers: list[Number]) -> set[str]:
    """Bind below, above and rim to the number beside them; give the words that found none."""
    by_place = {number.at: number for number in numbers}
    loose: set[str] = set()
    for i, item in enumerate(items):
        if item.role in STAND:
            left, right = _beside(items, i, -1, by_place), _beside(items, i, 1, by_place)
            if left is None and _may_only_name(items, i):
                loose.add(item.role)
                continue
            begun = right is not None and i > 0 and items[i - 1].role == "own"
            for number in (right, left) if begun else (left, right):
                if number is not None and number.stands <= {item.role}:
                    number.stands.add(item.role)
                    led = items[max(0, number.at - 2) : number.at]
                    grounded = item.grounded or any(x.value == "ground" for x in led)
                    number.grounded = number.grounded or grounded
                    break
                if number is left and _down_from_rim(item, number):
                    break
            else:
                loose.add(item.role)
                if left is not None and right is None:
                    left.stands.add(item.role)
    if loose == {"rim"} and len(numbers) == 1 and not numbers[0].stands:
        numbers[0].stands.add("rim")  # "from the mouth of the tube as we measure, 27 cm"
        loose.clear()
    return loose


def _may_only_name(items: list[Item], at: int) -> bool:
    """ "Sur H07 12 cm": on that plot, or above the soil there? One must ask."""
    lone = items[at].role == "above" and len(items[at].places()) == 1
    return lone and [x.role for x in items[at + 1 : at + 2]] == ["own"]


def _down_from_rim(item: Item, number: Number | None) -> bool:
    """ "12 from the mouth, down": measured from the rim, below only says which way."""
    return number is not None and item.role == "below" and number.stands == {"rim"}


def _beside(items: list[Item], at: int, step: int, by_place: dict[int, Number]) -> Number | None:
    i, strange = at + step, False
    while 0 <= i < len(items) and abs(i - at) <= 8:
        if i in by_place:
            return None if strange and by_place[i].amount.unit is None else by_place[i]
        if items[i].role == "unknown" and not strange and items[i].clause == items[at].clause:
            strange = True  # one word may be a slip, where the number has its unit
        elif items[i].role not in LINK:
            return None
        i += step
    return None


# -- numbers that are no level --------------------------------------------------------------------


def drop_changes(items: list[Item], numbers: list[Number]) -> bool:
    """Drop numbers that tell how far the water moved; whether there were any such words.

    In the clause of such a word they are the numbers after it, or else those before it; but one
    told from the soil is where the water moved to ("fell 12 cm below the soil").
    """
    _see_now(items, numbers)
    moved: dict[int, int] = {}
    for i, item in enumerate(items):
        towards = i + 1 < len(items) and items[i + 1].role == "to"
        if item.role == "change" and not towards:
            moved.setdefault(item.clause, i)
    after = {
        n.item.clause for n in numbers if n.at > moved.get(n.item.clause, n.at) and not n.grounded
    }
    numbers[:] = [
        n
        for n in numbers
        if n.grounded
        or n.item.clause not in moved
        or (n.item.clause in after and n.at < moved[n.item.clause])
    ]
    return bool(moved)


def _see_now(items: list[Item], numbers: list[Number]) -> None:
    """ "Fell more, now 16 below": what is told of now is where the water is."""
    for number in numbers:
        led = items[max(0, number.at - 3) : number.at]
        now = any(x.role == "day" and x.value == "today" for x in led)
        number.grounded = number.grounded or (now and number.told)
