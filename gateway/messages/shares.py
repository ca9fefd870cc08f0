"""Which part of a text speaks of which plot."""

from dataclasses import dataclass, field
from itertools import pairwise

from gateway.messages.items import Item, beside

CONTENT = frozenset(
    ("amount", "dry", "surface", "below", "above", "rim", "event", "vague", "sign", "change")
)
_NEXT_TO_ALL = frozenset(("amount", "dry", "below", "above", "surface", "event"))
_MENDS = ("sorry", "mend", "wrong", "not", "no")
_PASSED = frozenset(("filler", "polite", "comma", "plot", "deep"))
_BETWEEN = _PASSED | {"or", "to", "compare"}
_FEW = 3
_SIDES = ("below", "above", "rim")
_NAMING = _PASSED | {"own", "and"}


@dataclass(slots=True)
class Share:
    """Items that belong to some plots: each entry of ``plots`` holds the codes that may be meant.

    No entry: no plot was named. ``foreign``: a code that is none of the sender's was named.
    ``crowded``: its plots stand side by side without a word between them, so that what is told
    may be of each or of the last alone.
    """

    plots: list[tuple[str, ...]] = field(default_factory=list)
    items: list[Item] = field(default_factory=list)
    foreign: bool = False
    tangled: bool = False
    crowded: bool = False


def shares_of(items: list[Item], own: tuple[str, ...]) -> list[Share]:
    """The text divided by plots, in the order in which they are named."""
    clusters = _clusters(items)
    together = _all_together(items, own, clusters)
    if together is not None:
        return [together]
    ordered = _in_order(items)
    if ordered:
        return ordered
    distinct = {tuple(_names(items, c)) for c in clusters}
    if len(distinct) <= 1:
        return [_share(items, clusters[0] if clusters else [], items)]
    return _by_clause(items, clusters)


def _in_order(items: list[Item]) -> list[Share]:
    """ "H07 and K12: 4 and 9 below, in that order": to each its number, a shared side to all."""
    plots = [(item, item.codes[0]) for item in items if item.role == "own" and len(item.codes) == 1]
    places = [i for i, item in enumerate(items) if item.amount is not None]
    told = any(item.role == "in-order" for item in items)
    if (
        not (told and places)
        or len(places) != len(plots)
        or len({code for _, code in plots}) < len(plots)
    ):
        return []
    led = places[0] > 0 and items[places[0] - 1].role in _SIDES  # "below 6 and 9"
    starts = [at - 1 if led and items[at - 1].role in _SIDES else at for at in places]
    ends = [*starts[1:], len(items)]
    runs = [
        [item for item in items[at:end] if item.role != "and"]
        for at, end in zip(starts, ends, strict=True)
    ]
    side = [item for item in runs[0 if led else -1] if item.role in _SIDES][:1]
    for run in runs:
        run[1:1] = [] if any(x.role in _SIDES for x in run) else side
    return [Share([(code,)], [own, *run]) for (own, code), run in zip(plots, runs, strict=True)]


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
            named = i > 0 and items[i - 1].role == "own" and not _denied(items, i - 1)
            joined = item.role == "and" and named
    return found


def _all_together(
    items: list[Item], own: tuple[str, ...], clusters: list[list[int]]
) -> Share | None:
    """All plots at once: "both 10 below", "all plots dry"."""
    word = next((w for w in ("both", "each", "all") if _stands_alone(items, w)), None)
    if word is None:
        return None
    named = [items[i].codes for cluster in clusters for i in cluster]
    if word == "all" and named and all(_set_aside(items, cluster) for cluster in clusters):
        aside = {code for codes in named for code in codes}
        others: list[tuple[str, ...]] = [(code,) for code in own if code not in aside]
        return Share(others, items) if others else Share([], items, tangled=True)
    if len(named) > 1 and all(named):
        return Share(named, items)
    if named:
        plain = _after_plot(items, word) or _bare_all(items, word, clusters)
        plain = plain and not _denied(items, clusters[0][0])
        return None if plain else Share([], items, tangled=True)
    if word != "all" and len(own) != 2:
        return Share([own], items) if own else Share([], items)
    return Share([(code,) for code in own], items)


def _set_aside(items: list[Item], cluster: list[int]) -> bool:
    """Whether plots are only left out ("all -12 except K12", "all but K12 are dry")."""
    after = items[cluster[-1] + 1].role if cluster[-1] + 1 < len(items) else ""
    return _denied(items, cluster[0]) or after == "not-before"


def _bare_all(items: list[Item], word: str, clusters: list[list[int]]) -> bool:
    """ "H07 weeds all pulled": all without a word of plots, after the only plot that is named."""
    at = next(i for i, item in enumerate(items) if item.role == word)
    names = {items[i].codes for cluster in clusters for i in cluster}
    return (
        word == "all" and len(names) == 1 and len(items[at].places()) == 1 and clusters[0][0] < at
    )


def _after_plot(items: list[Item], word: str) -> bool:
    """ "B07 all dry" speaks of one plot; "all plots dry except B07" of others too."""
    at = next(i for i, item in enumerate(items) if item.role == word)
    return at > 0 and items[at - 1].role == "own"


def _stands_alone(items: list[Item], word: str) -> bool:
    """Whether the word speaks of plots by itself, at one of the first places where it stands."""
    places = [i for i, item in enumerate(items) if item.role == word and not _priced(items, i)]
    places = places[:_FEW]
    return any(_alone_at(items, i) for i in places)


def _priced(items: list[Item], at: int) -> bool:
    """ "Sold at 1200 each": each of other things."""
    before = items[at - 1].amount if at else None
    price = before is not None and before.unit is None and before.digits > 2
    return items[at].role == "each" and before is not None and (price or not before.length)


def _alone_at(items: list[Item], at: int) -> bool:
    after = beside(items, at, 1, _PASSED)
    if after is not None and items[after].role == "not":
        after = beside(items, after, 1, _NAMING)
        return after is not None and items[after].role in _NEXT_TO_ALL
    if after is not None and items[after].role == "own":
        after = _after_names(items, at)
        return after is not None and items[after].role in _NEXT_TO_ALL
    return after is None or items[after].role in _NEXT_TO_ALL


def _after_names(items: list[Item], at: int) -> int | None:
    """What follows the plots that a word such as "both" names ("both H07 K12 -12").

    None where only one is named so, or where further ones are named later.
    """
    after = beside(items, at, 1, _NAMING)
    named = {x.codes for x in items[at:after] if x.role == "own"}
    further = after is not None and any(x.role == "own" for x in items[after:])
    return after if len(named) > 1 and not further else None


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
    doubted = any(_either(items, before[-1], here[0]) for before, here in pairwise(clusters))
    if doubted or any(map(_taken_back, shares[:-1])) or any(map(_takes_back, shares[1:])):
        for share in shares:
            share.tangled = True
    for share, cluster in zip(shares, clusters, strict=True):  # "not H07 -9, K12 -9"
        share.tangled = share.tangled or (_denied(items, cluster[0]) and _tells(share))
    return _in_one_breath(items, shares, clusters)


def _in_one_breath(
    items: list[Item], shares: list[Share], clusters: list[list[int]]
) -> list[Share]:
    """ "H07 K12 flooded": plots named side by side share what is told beside some of them only."""
    runs = [shares[:1]]
    for share, before, here in zip(shares[1:], clusters, clusters[1:], strict=False):
        close = all(item.role in _BETWEEN for item in items[before[-1] + 1 : here[0]])
        if close and not _denied(items, before[0]):
            runs[-1].append(share)
        else:
            runs.append([share])
    return [share for run in runs for share in _joined(run)]


def _joined(run: list[Share]) -> list[Share]:
    if len({_tells(one) for one in run}) < 2 or any(one.foreign or one.tangled for one in run):
        return run
    plots, items = [p for one in run for p in one.plots], [x for one in run for x in one.items]
    return [Share(plots, items, crowded=True)]


def _denied(items: list[Item], at: int) -> bool:
    """Whether a plot is named only to set it aside ("not H07, K12 8 below")."""
    return at > 0 and items[at - 1].role in ("not", "no")


def _tells(share: Share) -> bool:
    return any(item.role in CONTENT for item in share.items)


def _clauses(items: list[Item]) -> list[range]:
    """The places of each clause; clauses follow one another, so each is one stretch."""
    starts = [i for i, x in enumerate(items) if i == 0 or x.clause != items[i - 1].clause]
    return [range(a, b) for a, b in zip(starts, [*starts[1:], len(items)], strict=True)]


def _taken_back(share: Share) -> bool:
    """Whether a part for one plot ends in words of correction, so that the next may replace it."""
    said = [item.role for item in share.items if item.role not in ("polite", "comma", "and")]
    return bool(said) and said[-1] in _MENDS


def _either(items: list[Item], before: int, here: int) -> bool:
    """Whether a plot is named as the other choice ("H07 -12 or K12 -12")."""
    led = beside(items, here, -1, _PASSED)
    return led is not None and led > before and items[led].role == "or" and led > before + 1


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
