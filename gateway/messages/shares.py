"""Which part of a text speaks of which plot."""

from dataclasses import dataclass, field, replace

from gateway.messages.codes import Codes
from gateway.messages.items import Item, beside

CONTENT = frozenset(
    ("amount", "dry", "surface", "below", "above", "rim", "event", "vague", "sign", "change")
)
_NEXT_TO_ALL = frozenset(("amount", "dry", "below", "above", "surface", "event"))
_MENDS = ("sorry", "mend", "wrong", "not", "no")
_STANDS = ("below", "above", "rim", "stick")
_PASSED = frozenset(("filler", "polite", "comma", "plot", "deep"))


@dataclass(slots=True)
class Share:
    """Items that belong to some plots: each entry of ``plots`` holds the codes that may be meant.

    No entry: no plot was named. ``foreign``: a code that is none of the sender's was named.
    ``crowded``: another plot stands right beside it, and what is told may be of both.
    """

    plots: list[tuple[str, ...]] = field(default_factory=list)
    items: list[Item] = field(default_factory=list)
    foreign: bool = False
    tangled: bool = False
    crowded: bool = False


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


def shares_of(items: list[Item], own: tuple[str, ...]) -> list[Share]:
    """The text divided by plots, in the order in which they are named."""
    clusters = _clusters(items)
    together = _all_together(items, own, clusters)
    if together is not None:
        return [together]
    distinct = {tuple(_names(items, c)) for c in clusters}
    if len(distinct) <= 1:
        return [_share(items, clusters[0] if clusters else [], items)]
    return _by_clause(items, clusters)


def _names(items: list[Item], cluster: list[int]) -> list[tuple[str, ...]]:
    return [items[i].codes for i in cluster]


def _share(items: list[Item], cluster: list[int], belonging: list[Item]) -> Share:
    plots = [items[i].codes for i in cluster if items[i].codes]
    return Share(plots, belonging, any(items[i].role == "foreign" for i in cluster))


def _clusters(items: list[Item]) -> list[list[int]]:
    """Indexes of plots, those together that only a word such as "and" parts."""
    found: list[list[int]] = []
    joined = False
    for i, item in enumerate(items):
        if item.role in ("own", "foreign"):
            if joined and found:
                found[-1].append(i)
            else:
                found.append([i])
            joined = False
        else:
            joined = item.role == "and" and i > 0 and items[i - 1].role == "own"
    return found


def _all_together(
    items: list[Item], own: tuple[str, ...], clusters: list[list[int]]
) -> Share | None:
    """All plots at once: "both 10 below", "all plots dry"."""
    word = next((w for w in ("both", "all") if _stands_alone(items, w)), None)
    if word is None:
        return None
    named = [items[i].codes for cluster in clusters for i in cluster]
    if len(named) > 1 and all(named):
        return Share(named, items)
    if named:
        return None if _after_plot(items, word) else Share([], items, tangled=True)
    if word == "both" and len(own) != 2:
        return Share([own], items) if own else Share([], items)
    return Share([(code,) for code in own], items)


def _after_plot(items: list[Item], word: str) -> bool:
    """ "B07 all dry" speaks of one plot; "all plots dry except B07" of others too."""
    at = next(i for i, item in enumerate(items) if item.role == word)
    return at > 0 and items[at - 1].role == "own"


def _stands_alone(items: list[Item], word: str) -> bool:
    for i, item in enumerate(items):
        if item.role == word:
            after = beside(items, i, 1, _PASSED)
            return after is None or items[after].role in _NEXT_TO_ALL
    return False


def _by_clause(items: list[Item], clusters: list[list[int]]) -> list[Share]:
    shares = [_share(items, cluster, []) for cluster in clusters]
    homes: dict[int, list[int]] = {}
    for k, cluster in enumerate(clusters):
        homes.setdefault(items[cluster[-1]].clause, []).append(k)
    waiting: list[Item] = []
    latest: Share | None = None
    for clause in _clauses(items):
        here = homes.get(items[clause[0]].clause, [])
        if not here:
            (latest.items if latest else waiting).extend(items[i] for i in clause)
            continue
        _divide(items, clause, [(shares[k], clusters[k]) for k in here])
        shares[here[0]].items[:0] = waiting
        waiting, latest = [], shares[here[-1]]
    if any(map(_taken_back, shares[:-1])) or any(map(_takes_back, shares[1:])):
        for share in shares:
            share.tangled = True
    _mark_crowded(items, shares, clusters)
    return shares


def _mark_crowded(items: list[Item], shares: list[Share], clusters: list[list[int]]) -> None:
    """ "H07 K12 -12": the level may be of both, or the one for the first may be missing."""
    run = shares[:1]
    for share, before, here in zip(shares[1:], clusters, clusters[1:], strict=False):
        close = all(item.role in _PASSED for item in items[before[-1] + 1 : here[0]])
        run = [*run, share] if close and not _denied(items, before[0]) else [share]
        if len({_tells(one) for one in run}) > 1 and not any(one.foreign for one in run):
            for one in run:
                one.crowded = True


def _denied(items: list[Item], at: int) -> bool:
    """Whether a plot is named only to set it aside ("not H07, K12 8 below")."""
    return at > 0 and items[at - 1].role in ("not", "no")


def _tells(share: Share) -> bool:
    return any(item.role in CONTENT and not item.asked for item in share.items)


def _clauses(items: list[Item]) -> list[range]:
    """The places of each clause; clauses follow one another, so each is one stretch."""
    starts = [i for i, x in enumerate(items) if i == 0 or x.clause != items[i - 1].clause]
    return [range(a, b) for a, b in zip(starts, [*starts[1:], len(items)], strict=True)]


def _taken_back(share: Share) -> bool:
    """Whether a part for one plot ends in words of correction, so that the next may replace it."""
    said = [item.role for item in share.items if item.role not in ("polite", "comma", "and")]
    return bool(said) and said[-1] in _MENDS


def _takes_back(share: Share) -> bool:
    """Whether a part names its plot after a word of correction only ("-12. Sorry, H09")."""
    said = [item.role for item in share.items if item.role not in ("polite", "comma", "and")]
    return said[:1] in (["sorry"], ["mend"]) and said[1:2] == ["own"]


def _divide(items: list[Item], clause: range, here: list[tuple[Share, list[int]]]) -> None:
    """Share out one clause: what follows a plot is its own, or all that goes before it."""
    first, last = here[0][1][0], here[-1][1][-1]
    before = any(items[i].role in CONTENT for i in range(clause.start, first))
    after = any(items[i].role in CONTENT for i in range(last + 1, clause.stop))
    backwards = before and not after
    lead = range(clause.start, first)
    days = [items[i] for i in lead if items[i].role in ("day", "date", "weekday")]
    for k, (share, cluster) in enumerate(here):
        share.items.extend(days[-1:] if k and not before else ())
        share.tangled = before and after and len(here) > 1
        if backwards:
            start = max(clause.start, here[k - 1][1][-1] + 1) if k else clause.start
            stop = cluster[-1] + 1 if k + 1 < len(here) else clause.stop
        else:
            start = cluster[0] if k else clause.start
            stop = here[k + 1][1][0] if k + 1 < len(here) else clause.stop
        share.items.extend(items[start:stop])
