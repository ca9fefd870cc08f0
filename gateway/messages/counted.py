"""Numbers of a text that count something else than a level: people, prices, days of a story."""

from gateway.messages.items import Item, roles_by_clause
from gateway.messages.levelnumbers import MENDS, STAND, Number

_NAMES = frozenset(("unknown", "plain", "action", "elsewhere", "stock"))
_OF_LEVEL = STAND | {
    "own",
    "foreign",
    "dry",
    "surface",
    "change",
    "or",
    "compare",
    "vague",
    "unknown",
}
_OF_LEVEL |= MENDS | {"not", "no", "sign"}
_JOINED = frozenset(("or", "and", "compare", "to", "change", "own", "foreign"))


def drop_counted(items: list[Item], numbers: list[Number]) -> list[Number]:
    """Without numbers that count something else, when another number is told as a level.

    A number after a word of correction stays ("9 below, sorry 7 xyz"): it may be what holds.
    """
    home = {number.item.sentence for number in numbers if number.told}
    if not home:
        told = any(item.role in ("event", "dry", "surface") for item in items)
        return [n for n in numbers if not (told and (n.item.hour or _stray_word(items, n)))]
    roles: dict[int, set[str]] = {}
    for item in items:
        roles.setdefault(item.sentence, set()).add(item.role)
    asides = {sentence for sentence, found in roles.items() if _aside(found)} - home
    stories = _stories(items, numbers)
    advert = any(item.role == "advert" for item in items)
    first = min(number.at for number in numbers)
    mended = next((i for i, x in enumerate(items) if _mends(x, i < first)), len(items))
    kept = [
        number
        for number in numbers
        if number.told
        or number.at > mended
        or _runs_on(items, number.at)
        or not (
            counts(items, number)
            or number.item.hour
            or _stray_word(items, number)
            or (_price(number) and not advert)
            or number.item.clause in stories
            or (number.amount.unit is None and number.item.sentence in asides)
        )
    ]
    return kept or numbers


def _mends(item: Item, begins: bool) -> bool:
    """Whether a word may mend a number; to be sorry before any is only good manners."""
    return item.role in MENDS and not (begins and item.role == "sorry")


def _stories(items: list[Item], numbers: list[Number]) -> set[int]:
    """Clauses of other matters whose numbers nothing tells ("my daughter is 9, H07 12 below")."""
    roles = roles_by_clause(items)
    levels = {number.item.clause for number in numbers if number.told}
    found = {clause for clause, told in roles.items() if told & {"plain", "elsewhere", "stock"}}
    return {clause for clause in found - levels if not roles[clause] & _OF_LEVEL}


def _price(number: Number) -> bool:
    """Whether a number is far too large for a level that nothing tells ("sold at 1200")."""
    return number.amount.unit is None and number.amount.digits > 2


def _stray_word(items: list[Item], number: Number) -> bool:
    """Whether a number in words stands alone, as a name may ("12 below, uncle Four")."""
    before = {item.role for item in items[max(0, number.at - 2) : number.at]}
    after = {item.role for item in items[number.at + 1 : number.at + 3]} - {"own"}
    bare = number.item.in_words and number.amount.unit is None
    return bare and not (before | after) & _JOINED


def _runs_on(items: list[Item], at: int) -> bool:
    """Whether one strange word alone parts it from the next number ("10 xyz 11 below")."""
    return [x.role for x in items[at + 1 : at + 3]] == ["unknown", "amount"]


def _aside(roles: set[str]) -> bool:
    """Whether a sentence with these roles tells of other things than plots and water."""
    return bool(roles & _NAMES) and not roles & (STAND | {"own", "dry"})


def counts(items: list[Item], number: Number) -> bool:
    """Whether a number without unit counts the word after it ("2 boys"), so is hardly a level."""
    after = items[number.at + 1] if number.at + 1 < len(items) else None
    return number.amount.unit is None and after is not None and after.role in _NAMES
