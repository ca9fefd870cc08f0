"""Plots that are named by a bare number: "plot 7 is 12 below", "101 -12 102 -8"."""

from dataclasses import replace

from gateway.messages.codes import Codes
from gateway.messages.items import Item, beside

_STANDS = ("below", "above", "rim", "stick")
_PASSED = frozenset(("filler", "polite", "comma", "plot", "deep"))


def name_plots_by_number(items: list[Item], codes: Codes) -> None:
    """Turn numbers that stand for a plot ("plot 7 is 12 below", "7 -15") into plots."""
    for i, item in enumerate(items[:-1]):
        follows = items[i + 1]
        if item.role == "plot" and follows.amount is not None and _bare(follows):
            if _level_after(items, i + 2) or not _stood_after(items, i + 2):
                _become_plot(follows, codes, foreign=True)
            else:
                follows.amount = replace(follows.amount, sure=False)
    if not any(item.role in ("own", "foreign") for item in items):
        for first in _firsts(items):
            if _bare(items[first]) and _level_after(items, first + 1):
                _become_plot(items[first], codes, foreign=False)
        if any(item.role == "own" for item in items):
            _further_numeric_codes(items, codes)


def _further_numeric_codes(items: list[Item], codes: Codes) -> None:
    """ "101 -12 102 -8": a bare number after a level that is spelled just like an own code."""
    for i, item in enumerate(items[:-1]):
        follows = items[i + 1].amount
        if _bare(item) and follows is not None and follows.sign and item.amount is not None:
            code = codes.exactly(str(int(item.amount.value)))
            if code is not None:
                item.role, item.codes, item.amount = "own", (code,), None


def _bare(item: Item) -> bool:
    a = item.amount
    plain = a is not None and a.sign == 0 and a.unit is None and a.sure and a.digits < 6
    return plain and a is not None and a.value == int(a.value) and not item.in_words


def _level_after(items: list[Item], at: int) -> bool:
    first = beside(items, at - 1, 1, _PASSED)
    if first is None or items[first].role not in _STANDS:
        return first is not None and items[first].role in ("amount", "dry")
    second = beside(items, first, 1, _PASSED)
    return second is not None and items[second].role == "amount"


def _stood_after(items: list[Item], at: int) -> bool:
    """Whether below or above follows, so that the number before it may be the level itself."""
    return any(item.role in ("below", "above", "rim") for item in items[at : at + 2])


def _firsts(items: list[Item]) -> list[int]:
    seen: set[int] = set()
    found = []
    for i, item in enumerate(items):
        if item.role not in ("polite", "filler", "comma") and item.clause not in seen:
            seen.add(item.clause)
            found.append(i)
    return found


def _become_plot(item: Item, codes: Codes, foreign: bool) -> None:
    amount = item.amount
    found = codes.numbered(str(int(amount.value))) if amount is not None else ()
    if found:
        item.role, item.codes, item.amount = "own", found, None
    elif foreign:
        item.role, item.amount = "foreign", None
