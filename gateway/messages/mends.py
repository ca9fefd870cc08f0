"""Corrections: which numbers of a text stand, and whether they replace an earlier report."""

from dataclasses import replace

from gateway.messages.items import Item, beside
from gateway.messages.levelnumbers import MENDS, STAND, Number

_LEADS = STAND | {"to", "filler"}  # "not below 12", "has not reached 15"
_FARTHEST = 4
_OF_BLAME = frozenset(("own", "filler", "polite"))
_SLIP = MENDS | {"comma", "polite", "filler", "amount", "no", "not-before"}


def mend(items: list[Item], numbers: list[Number]) -> tuple[list[Number], bool]:
    """The numbers that stand after corrections, and whether there was one."""
    for number in numbers:
        number.negated = _denied_before(items, number.at) or denied_after(items, number.at)
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


def _denied_before(items: list[Item], at: int) -> bool:
    """ "Not below 12", "water not yet down to 15": what is denied before it, maybe with its way."""
    i = at - 1
    while i >= 0 and at - i <= _FARTHEST and items[i].role in _LEADS | {"change"}:
        i -= 1
    if i < 0 or at - i > _FARTHEST or items[i].clause != items[at].clause:
        return False
    lack = items[i].value == "no-water" and items[at - 1].role == "to"
    return items[i].role == "not" or lack


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


def turn_side(items: list[Item]) -> bool:
    """ "15 above sorry below": a side alone after a word of correction, at the end, is right.

    The side before it then says nothing.
    """
    end = len(items) - 1
    while end >= 0 and items[end].role in ("polite", "filler"):
        end -= 1
    tail = [item.role for item in items[max(0, end - _FARTHEST) : end + 1] if item.role != "comma"]
    turned = len(tail) > 3 and tail[-4] == "amount" and tail[-3] in STAND and tail[-1] in STAND
    if not turned or tail[-2] not in MENDS or tail[-1] == tail[-3]:
        return False
    wrong = next(i for i in range(end - 1, -1, -1) if items[i].role == tail[-3])
    items[wrong].role = "filler"
    for item in items[wrong:end]:
        item.role = "filler" if item.role in MENDS else item.role
    return True


def points_back(items: list[Item], numbers: list[Number], mended: bool) -> bool:
    """Whether the level replaces one that was reported in an earlier text."""
    roles = [item.role for item in items]
    blames = "wrong" in roles or "mend" in roles or any(n.negated for n in numbers)
    first = numbers[0].at
    mends = "wrong" in roles or "mend" in roles[:first]
    if blames and ("back" in roles or (mends and _other_day(items))):
        return True
    return not mended and any(role in ("wrong", "mend") for role in roles[:first])


def blamed_before(items: list[Item], numbers: list[Number]) -> bool:
    """Whether a lone level follows words of sending it wrongly ("ভুলে পাঠাইছি H07 -12").

    One must ask: it may be what was wrong. After the one word, or a mark, it is the right one.
    """
    at = beside(items, numbers[0].at, -1, _OF_BLAME)
    blamed = at is not None and items[at].role == "wrong" and items[at].detail == "sent"
    told = {item.role for item in items} & {"mend", "sorry", "back", "not", "not-before", "day"}
    return blamed and at is not None and items[at].clause == numbers[0].item.clause and not told


def _other_day(items: list[Item]) -> bool:
    return any(item.role == "day" and item.value != "today" for item in items)
