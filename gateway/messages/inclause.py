"""What an item is once its clause is known: a place, a word of change, an act done, an undoing."""

from itertools import pairwise

from gateway.messages.items import Item, beside
from gateway.messages.vocabulary import Vocabulary

SAYS_LEVEL = frozenset(("own", "amount", "below", "above", "dry", "surface", "rim"))
_IDLE = frozenset(("filler", "polite", "back", "plot", "comma"))
_DAYS = frozenset(("day", "date", "weekday"))
_NO_DAYS = _DAYS | {"own", "amount", "comma"}
_CORRECTS = frozenset(("wrong", "missent", "sorry", "back", "mend", "not", "no", "not-before"))
_OF_SOURCE = frozenset(("filler", "polite", "day", "plain"))
_TO_COME = ("future", "future-own")
_REPORTS = _IDLE | {"undo", "own", "day"}
_NEAR = 3
_NOT_PAST = ("today", "?")
_TOLD_BESIDE = ("amount", "dry", "surface", "event")
_BLAMES = ("wrong", "back")
_AROUND = frozenset(("own", "filler", "polite", "inside", "deep"))


def clauses_of(items: list[Item]) -> list[list[Item]]:
    """The items of each clause."""
    found: dict[int, list[Item]] = {}
    for item in items:
        found.setdefault(item.clause, []).append(item)
    return list(found.values())


def settle_places(items: list[Item]) -> None:
    """Right before a plot's code a word for above may only say where ("on field H07 the water is 9
    below", "il a plu hier sur H07"): it does where its clause tells something else, or another
    clause a number with its side ("sur H07, 9 cm sous le sol")."""
    told = {x.clause for x in items if x.role in _TOLD_BESIDE or x.role in _BLAMES}
    numbered = {x.clause for x in items if x.amount is not None}
    sided = numbered & {x.clause for x in items if x.role in ("below", "above", "rim")}
    rained = {x.clause for x in items if x.role == "event" and x.value == "rain"}
    for i, item in enumerate(items[:-1]):
        if item.role not in ("above", "below") or items[i + 1].role != "own":
            continue
        if item.clause in told or (sided and item.clause not in numbered):
            near = (beside(items, i, -1, _AROUND), beside(items, i + 1, 1, _AROUND))
            levels = [a for k in near if k is not None and (a := items[k].amount)]
            of_rain = item.clause in rained and all(level.unit == "mm" for level in levels)
            item.role = "filler" if not levels or of_rain else item.role


def settle_stands(items: list[Item]) -> None:
    """Water that stands is above the soil, unless its clause tells how far below it stands."""
    lower = {x.clause for x in items if x.role in ("below", "rim", "surface")}
    for item in items:
        if item.role == "stands":
            item.role = "filler" if item.clause in lower else "above"


def settle_acts(items: list[Item]) -> None:
    """An act that some languages name without saying it is done ("tưới hôm qua") is done where its
    clause tells a day that is past."""
    past = {x.clause for x in items if x.role == "day" and x.value not in _NOT_PAST}
    for item in items:
        if item.role == "action" and item.value is not None and item.clause in past:
            item.role = "event"


def settle_spoken(items: list[Item]) -> None:
    """Titles and kind wishes are courtesies; a condition makes a question of its clause."""
    for item in items:
        if item.role in ("office", "wish"):
            item.role, item.value = "polite", item.role
        elif item.role == "condition":
            item.role, item.detail = "question-before", "condition"


def settle_dry_sources(items: list[Item]) -> None:
    """ "Our canal is dry again", "dry is the canal": no water came, and no tube is dry."""
    for i, item in enumerate(items):
        if item.role != "dry" or len(item.places()) > 2:
            continue
        before, after = _source_beside(items, i, -1), _source_beside(items, i, 1)
        led = before is not None and items[before].role == "elsewhere"
        ends = before is None and after is not None and items[after].role == "elsewhere"
        source = (
            items[before]
            if led and before is not None
            else items[after]
            if ends and after
            else None
        )
        if source is not None and source.clause == item.clause:
            item.role, item.value, item.detail = "event", "no-water", None


def _source_beside(items: list[Item], at: int, step: int) -> int | None:
    """What stands beside a word of dryness, how long it lasted aside ("dry for 2 weeks")."""
    near = beside(items, at, step, _OF_SOURCE)
    lasted = items[near].amount if near is not None else None
    if near is None or lasted is None or lasted.unit != "day":
        return near
    return beside(items, near, step, _OF_SOURCE)


def settle_should(items: list[Item]) -> None:
    """ "It should be 9 below" corrects what was wrong; else it tells how it should be."""
    roles = [item.role for item in items]
    corrects = bool(_CORRECTS & set(roles)) or roles.count("amount") > 1
    for item in items:
        if item.role == "should":
            item.role = "mend" if corrects else "modal"


def settle_weekdays(items: list[Item]) -> None:
    """A weekday right beside a date or another day only says the same ("Sunday 8 March")."""
    for item, follows in pairwise(items):
        pair = {item.role, follows.role}
        if "weekday" in pair and pair & {"date", "day"} and item.clause == follows.clause:
            weekday = item if item.role == "weekday" else follows
            weekday.role = "filler"


def settle_missent(items: list[Item]) -> None:
    """What was sent by mistake is wrong."""
    for item in items:
        if item.role == "missent":
            item.role, item.detail = "wrong", "sent"


def settle_lately(items: list[Item]) -> None:
    """Words such as "since yesterday": of a change in "down 3 cm since yesterday", else idle."""
    for i, item in enumerate(items):
        if item.role == "lately":
            before = [x.role for x in items[max(0, i - 2) : i]]
            moved = before in (["below", "amount"], ["above", "amount"]) or _added(
                items[max(0, i - 3) : i]
            )
            item.role = "change" if moved else "filler"


def _added(before: list[Item]) -> bool:
    """ "Plus 5 cm d'eau depuis hier": so much more, or so much above? One must ask."""
    said = [item for item in before if item.role != "filler"]
    return bool(said) and said[-1].amount is not None and said[-1].amount.sign > 0


def settle_undone(items: list[Item]) -> None:
    """What a text asks to take back is no report: "cancel H07 -12" only blames the last one.

    The word of taking back stands right before the plot or level, or ends its clause. Of other
    things ("ignore the canal") it says nothing.
    """
    numbered = any(item.role == "amount" for item in items)
    for clause in clauses_of(items):
        places = [i for i, item in enumerate(clause) if item.role == "undo"]
        for i in places[:1]:
            clause[i].role = _undone(clause, i, numbered)
        for i in places[1:]:
            clause[i].role = "plain"


def _undone(clause: list[Item], at: int, numbered: bool) -> str:
    if all(item.role in _REPORTS for item in clause) and any(x.role == "back" for x in clause):
        return "wrong"
    after = [x for x in clause[at + 1 :] if x.role not in _IDLE]
    before = [x for x in clause[:at] if x.role not in _IDLE]
    if not after and not before:  # "cancel that, H07 -9"; but of "cancel" alone one must ask
        return "wrong" if numbered else "unknown"
    taken = after or before
    if after and after[0].role == "event":
        after[0].asked = True
        return "person"
    told = [item for item in taken if item.role in SAYS_LEVEL - {"own"} or item.role == "event"]
    if not told or (after and after[0].role not in SAYS_LEVEL | {"sign"}):
        return "plain"
    for item in told:
        item.asked = True
    return "wrong"


def settle_planting(items: list[Item], words: list[str], vocabulary: Vocabulary) -> None:
    """The day that stands nearest to a word of planting is its day, and not that of a level."""
    for i, item in enumerate(items):
        if item.role in _NO_DAYS or words[item.at] not in vocabulary.planting:
            continue
        near = range(max(0, i - _NEAR), min(len(items), i + _NEAR + 1))
        days = [k for k in near if items[k].role in _DAYS and items[k].clause == item.clause]
        if days:
            items[min(days, key=lambda k: (abs(k - i), -k))].role = "clock"


def settle_pests(items: list[Item], words: list[str], vocabulary: Vocabulary) -> None:
    """Pests named beside a spray only say what it was against: nobody need be called for them."""
    sprayed = {item.sentence for item in items if item.value == "spray" and item.role == "event"}
    for item in items:
        if item.role == "person" and item.sentence in sprayed:
            named = [words[at] for at in item.places() if words[at] not in vocabulary.skip]
            item.role = "plain" if " ".join(named) in vocabulary.pests else "person"


def settle_either(items: list[Item]) -> None:
    """A day of two meanings is what the verb after it says ("kal sinchai karunga": tomorrow)."""
    for clause in clauses_of(items):
        verb, follows = None, ""  # the verb of future behind, where no act that is done parts it
        for item in reversed(clause):
            role = item.role
            if role in _TO_COME:
                verb = role
            elif role == "event" and follows not in _TO_COME:
                verb = None
            if role == "day" and item.value == "either":
                item.value = "yesterday"
                if verb is not None:
                    item.role, item.detail = "future", "own" if verb == "future-own" else None
            if role == "future-own":
                item.role, item.detail = "future", "own"
            follows = role
