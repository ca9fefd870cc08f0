"""Corrections: which numbers of a text stand, and whether they replace an earlier report."""

from dataclasses import replace

from gateway.messages.items import Item
from gateway.messages.levelnumbers import MENDS, STAND, Number

_LEADS = STAND | {"to", "filler"}  # "not below 12", "has not reached 15"
_SLIP = MENDS | {"comma", "polite", "filler", "amount", "no", "not-before"}


def mend(items: list[Item], numbers: list[Number]) -> tuple[list[Number], bool]:
    """The numbers that stand after corrections, and whether there was one."""
    for number in numbers:
        before = [item.role for item in items[max(0, number.at - 2) : number.at]]
        number.negated = before[-1:] == ["not"] or (before[:1] == ["not"] and before[1] in _LEADS)
        number.negated = number.negated or denied_after(items, number.at)
    wrong = {number.key for number in numbers if number.negated}
    kept = [n for n in numbers if not n.negated and n.key not in wrong]
    dropped = [n for n in numbers if n.negated]
    if dropped and len({n.key for n in kept}) == 1:
        _inherit(kept, dropped)
        _keep_side(items, dropped, kept)
        return kept, True
    marks = [i for i, item in enumerate(items) if item.role in MENDS or _lone_no(items, i)]
    between = [i for i in marks if kept and kept[0].at < i < kept[-1].at]
    if between:
        after = [n for n in kept if n.at > between[-1]]
        _keep_side(items, [n for n in kept if n.at < between[0]], after)
        return after, True
    if not kept:
        for number in numbers:
            number.amount = replace(number.amount, sure=False)
    return kept or numbers, False


def _lone_no(items: list[Item], at: int) -> bool:
    """ "18 below, no, 8 below": a no that stands between commas takes back what went before."""
    near = [item.role for item in items[max(0, at - 1) : at + 2]]
    return near in (["comma", "no", "comma"], ["comma", "not-before", "comma"])


def denied_after(items: list[Item], at: int) -> bool:
    """Whether a word after it denies it ("-19 नहीं"), in languages that deny so."""
    after = [item.role for item in items[at + 1 : at + 3]]
    return after[:1] == ["not-before"] or (after[1:] == ["not-before"] and after[0] in STAND)


def _inherit(kept: list[Number], dropped: list[Number]) -> None:
    """ "8 not 18 below": the word at the end speaks of both."""
    for number in kept:
        if not number.told and dropped[-1].at > number.at and not dropped[-1].amount.sign:
            number.stands |= dropped[-1].stands


def _keep_side(items: list[Item], before: list[Number], after: list[Number]) -> None:
    """ "18 below, sorry, 8": where only another size is said, the word of side still holds.

    Not so for the same size again, which can only mean that the side was wrong.
    """
    if len(before) != 1 or len(after) != 1 or after[0].told or before[0].amount.sign:
        return
    if before[0].at > after[0].at:
        return
    start = max(i for i in range(before[0].at, after[0].at) if i == before[0].at or _side(items, i))
    told = [item.role for item in items[start + 1 : after[0].at + 1]]
    ended = after[0].at + 1 == len(items) or items[after[0].at + 1].role in _SLIP
    if ended and before[0].amount.cm != after[0].amount.cm and set(told) <= _SLIP:
        after[0].stands |= before[0].stands


def _side(items: list[Item], at: int) -> bool:
    return items[at].role in STAND


def points_back(items: list[Item], numbers: list[Number], mended: bool) -> bool:
    """Whether the level replaces one that was reported in an earlier text."""
    roles = [item.role for item in items]
    blames = "wrong" in roles or "mend" in roles or any(n.negated for n in numbers)
    if blames and ("back" in roles or ("wrong" in roles and _other_day(items))):
        return True
    first = numbers[0].at
    return not mended and any(role in ("wrong", "mend") for role in roles[:first])


def _other_day(items: list[Item]) -> bool:
    return any(item.role == "day" and item.value != "today" for item in items)
