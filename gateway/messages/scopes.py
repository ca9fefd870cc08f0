"""What a text only asks, plans or wants: such clauses report nothing."""

from dataclasses import replace

from gateway.messages.inclause import SAYS_LEVEL, clauses_of
from gateway.messages.items import Item, beside

_ACTS = frozenset(("event", "action", "want"))
_MATTERS = frozenset(("elsewhere", "person"))
_COUNTED = frozenset(("plain", "unknown", "want", "stock"))
_EASY = frozenset(("filler", "polite"))
_OTHER_WORDS = _COUNTED | {"event", "not", "person", "elsewhere"}
_LINKS = frozenset(("own", "filler", "polite", "above"))
_LEVEL_LINKS = SAYS_LEVEL | _LINKS | {"day", "date", "weekday", "clock", "inside"}
_SIDES = frozenset(("below", "above", "rim"))
_GIVEN = ("nitrogen", "spray", "weeds", "rain")
_QUIET = frozenset(("own", "foreign", "amount", "below", "above", "surface", "rim", "dry", "comma"))
_QUIET |= frozenset(("filler", "polite", "day", "date", "clock", "sign", "inside", "and"))


def mark_asked(items: list[Item], questioned: set[int], opened: set[int]) -> list[tuple[int, int]]:
    """Mark the items that are part of a question, plan or wish; give the token spans of questions.

    After a word of question all of its clause is asked; a clause that ends in a question mark
    without one keeps its numbers, but what else it says is asked. Plans keep nothing after their
    word, no events in their clause, and of levels only those before the planned act; wishes keep
    their signed numbers. ``questioned``: clauses that end in a question mark; ``opened``: those
    that begin as a question does.
    """
    spans: list[tuple[int, int]] = []
    for clause in clauses_of(items):
        number = clause[0].clause
        behind = any(item.role == "question-before" for item in clause)
        begun = _question_start(clause, number in questioned)
        start = 0 if behind or number in questioned & opened else begun
        start = _after_level(clause) if behind and number not in opened else start
        if start is None and number in questioned and any(item.role == "mend" for item in clause):
            start = 0
        if start is not None:
            start -= _bare_feed(clause, start)
            for item in clause[start:]:
                item.asked = True
            spans.append((clause[start].at, number))
        elif number in questioned:
            _ask_events(clause, spans, number)
        elif number in opened and _plot_follows(clause):
            _doubt(clause)
            _doubt_amounts(clause)
        elif number in opened and clause[0].at == 1:
            _doubt_number(clause)
        _mark_plans(clause, start)
    return spans


def _after_level(clause: list[Item]) -> int:
    """Where the question of a clause begins that a word at its end makes one.

    It is what follows a level that is told by sign or word ("H07 -12 patubigan ko na ba"); else all
    of the clause ("H07 -12 ba").
    """
    end = next((i for i, item in enumerate(clause) if item.role not in _LEVEL_LINKS), len(clause))
    rest = clause[end:]
    conditional = any(item.detail == "condition" for item in rest)
    spoken = any(item.role not in _LEVEL_LINKS | {"question-before"} for item in rest)
    meant = clause[end : end + 1]  # "what does 15 below mean", "may it be kept 15 below"
    meant = [item for item in meant if item.role in ("mend", "modal")]
    if not spoken or meant or (rest[0].role == "question-before" and conditional):
        return 0
    amounts = [item.amount for item in clause[:end] if item.amount is not None]
    roles = {item.role for item in clause[:end]}
    if not amounts:
        return end if len(roles & {"dry", "surface"}) == 1 and not roles & _SIDES else 0
    if len(amounts) != 1 or roles & {"dry", "surface"}:
        return 0
    return end if amounts[0].length and (amounts[0].sign or roles & {"below", "above"}) else 0


def _question_start(clause: list[Item], marked: bool) -> int | None:
    before = ""
    for i, item in enumerate(clause):
        if item.role == "question":
            return i
        early = before == "" or before in SAYS_LEVEL or _bare_feed(clause, i)
        early = early or (marked and before == "action")  # "irrigate when 15 below?"
        if item.role == "question-first" and early:
            return i
        if item.role not in ("polite", "and"):
            before = item.role
    return None


def _bare_feed(clause: list[Item], question: int) -> bool:
    """Whether fertiliser is only named right before a question word ("urea how much")."""
    before = clause[question - 1] if question else None
    named = before is not None and (before.role, before.value) == ("event", "nitrogen")
    return named and before is not None and clause[question].at == before.at + 1


def _ask_events(clause: list[Item], spans: list[tuple[int, int]], number: int) -> None:
    last = max((i for i, item in enumerate(clause) if item.role in _ACTS | {"future"}), default=0)
    _doubt(clause[last:])  # "tube dry, irrigate?" asks of the act
    quiet = _QUIET | {"modal"}  # "should be 5 above?": doubts its number all the same
    worded = [x for x in clause if x.role not in quiet and x.value != "advice-again"]
    for item in worded:
        item.asked = True
    if worded:
        spans.append((worded[0].at, number))


def _plot_follows(clause: list[Item]) -> bool:
    """Whether a plot is the second word ("is H07 dry"), maybe within the phrase that began."""
    own = next((item.at for item in clause[:2] if item.role == "own"), None)
    return clause[0].role == "own" or own == clause[0].at + 1


def _doubt_number(clause: list[Item]) -> None:
    """ "Is 15 below too deep": a level right after the word that opens a question, then more."""
    amount = clause[0].amount
    if amount is not None and any(item.role not in _QUIET for item in clause):
        clause[0].amount = replace(amount, sure=False)


def _doubt_amounts(clause: list[Item]) -> None:
    """ "Is H07 10 below": the only number of a clause that begins as a question does."""
    amounts = [item for item in clause if item.amount is not None]
    if len(amounts) == 1 and amounts[0].amount is not None:
        amounts[0].amount = replace(amounts[0].amount, sure=False)


def _doubt(clause: list[Item]) -> None:
    """Of what is told in words alone, as in "is H07 dry", nothing may be taken."""
    for item in clause:
        item.doubted = item.role in ("dry", "surface")


def _mark_plans(clause: list[Item], question: int | None) -> None:
    """``question``: where in the clause its question begins; a plan after that is part of it."""
    roles = [item.role for item in clause]
    if "future" in roles:
        start = roles.index("future")
        guessed = all(role == "polite" for role in roles[start + 1 :])  # "-12 tomorrow"
        guessed = guessed and (question is None or question > start)
        act = start if clause[start].detail == "own" else _last_act(clause, start)
        parted = _parted(clause, start)
        for i, item in enumerate(clause):
            planned = i >= start or item.role == "event"
            level = item.role in ("amount", "dry") and not (i < act and _may_stand(clause, i))
            doubted = level and i in parted and _doubt_parted(clause, i)
            item.asked = item.asked or ((planned or (guessed and level)) and not doubted)
    if roles_of_wish := {"want", "stock"} & set(roles):
        start = min(roles.index(role) for role in roles_of_wish)
        _doubt_wished(clause, start)
        for i, item in enumerate(clause):
            bare = i > start and item.amount is not None and item.amount.sign == 0
            item.asked = item.asked or item.role == "event" or (bare and not _directed(clause, i))


def _doubt_wished(clause: list[Item], want: int) -> None:
    """ "I want H07 5 above" may tell what is wished for; "need water, H07 -12" tells what is."""
    at = beside(clause, want, 1, _LINKS)
    amount = clause[at].amount if at is not None else None
    if at is None or amount is None or not amount.length:
        return
    above = amount.sign > 0 or any(x.role == "above" for x in clause[at - 1 : at + 3])
    if above:
        clause[at].amount = replace(amount, sure=False)


def _parted(clause: list[Item], plan: int) -> range:
    """The places of levels that other words part from a plan, so that they may tell of today.

    "-12 market day is tomorrow"; "I cannot come tomorrow H07 -12", where a plot begins anew.
    """
    last = next((i for i in range(plan - 1, -1, -1) if clause[i].role in _COUNTED), -1)
    began = next((item.role for item in clause[plan + 1 :] if item.role not in _EASY), "")
    anew = began == "own" and any(item.role in _OTHER_WORDS for item in clause[:plan])
    return range(plan + 1, len(clause)) if anew else range(max(last, 0))


def _doubt_parted(clause: list[Item], at: int) -> bool:
    """Doubt a level that may be of today or of the plan, where its sign or a word tells it."""
    amount = clause[at].amount
    told = amount is not None and bool(amount.sign or _directed(clause, at))
    if told and amount is not None:
        clause[at].amount = replace(amount, sure=False)
    return told


def _last_act(clause: list[Item], plan: int) -> int:
    """The place of the last act, or other matter, before the word of a plan, or -1.

    "-12 irrigate tomorrow", "-12 my turn is tomorrow": the level before it is no plan.
    """
    return next((i for i in range(plan - 1, -1, -1) if clause[i].role in _ACTS | _MATTERS), -1)


def _may_stand(clause: list[Item], at: int) -> bool:
    """Whether a number before a planned act can be a level and is not of the act itself.

    Without a sign it is asked about, so that it is not lost.
    """
    amount, after = clause[at].amount, clause[at + 1]
    if amount is None or amount.sign != 0 or _directed(clause, at):
        return True
    return after.role not in _COUNTED and not (after.role == "event" and after.value in _GIVEN)


def _directed(clause: list[Item], at: int) -> bool:
    return any(item.role in ("below", "above", "rim") for item in clause[at - 1 : at + 3])
