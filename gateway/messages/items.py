"""One thing that a text says, with the role that it plays."""

from dataclasses import dataclass

from gateway.messages.numerals import Amount

_FAR = 8


@dataclass(slots=True)
class Item:
    """One thing that the text says.

    ``role`` is that of a Term, or ``own`` (codes of the sender), ``foreign`` (looks like a code
    but is none of theirs), ``amount``, ``clock``, ``date``, ``sign``, ``comma``, ``unknown``.
    ``clause`` counts from comma to comma, ``sentence`` from full stop to full stop. ``asked``:
    part of a question or plan; ``doubted``: said with a question mark; ``in_words``: spelled out;
    ``hour``: a number that may be an hour; ``grounded``: a side that names the soil.
    """

    role: str
    at: int
    clause: int = 0
    sentence: int = 0
    value: str | float | None = None
    detail: str | None = None
    amount: Amount | None = None
    codes: tuple[str, ...] = ()
    asked: bool = False
    doubted: bool = False
    in_words: bool = False
    hour: bool = False
    grounded: bool = False
    until: int = 0

    def places(self) -> range:
        """The tokens that the item takes, at least its first (``until``: where its phrase ends)."""
        return range(self.at, max(self.until, self.at + 1))


def beside(items: list[Item], at: int, step: int, passed: frozenset[str]) -> int | None:
    """The index of the next item from ``at`` that is not merely passed over; None at the end.

    It looks only a few items far, so that the work on a text grows no faster than the text.
    """
    i = at + step
    while 0 <= i < len(items) and abs(i - at) <= _FAR:
        if items[i].role not in passed:
            return i
        i += step
    return None


def roles_by_clause(items: list[Item]) -> dict[int, set[str]]:
    """The roles that stand in each clause."""
    found: dict[int, set[str]] = {}
    for item in items:
        found.setdefault(item.clause, set()).add(item.role)
    return found
