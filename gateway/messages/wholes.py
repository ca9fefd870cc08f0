"""Texts that say one thing as a whole: leave, why, yes, join, a language, an order, an advert."""

from typing import cast

from gateway.messages.codes import codes_of
from gateway.messages.heard import Ask, Heard, Kind, Meaning, Pending
from gateway.messages.incoming import Incoming
from gateway.messages.settle import settle

_WHY = "the whole text says so"
_LONGEST_JOIN = 160
_JOIN_WORDS = 3  # "dang ky", "mag pa lista": a word to join with may be written as several
_CLAUSE_ENDS = frozenset(",.!;\n")
_NEVER_ASKED = ("yes", "no", "done", "wrong")


def whole_meaning(said: Incoming) -> Heard | None:
    """What the text means as a whole, or None where it has parts of its own."""
    roles = said.roles()
    if "order" in roles:
        ask = Ask(None, "order")
        return Heard("ask", ask=(ask,), flags=("order",), why="it gives orders to the system")
    if "advert" in roles and "own" not in roles:
        return Heard("reject", flags=("advert",), why="an advertisement")
    return _alone(said) or _settled(said) or _whole(said) or _joining(said)


def _alone(said: Incoming) -> Heard | None:
    """Leave and return: only where the text as written says this and nothing else."""
    if said.questioned or any(token.shape == "number" for token in said.tokens):
        return None
    spoken = [token.text for token in said.tokens if token.shape == "word"]
    for words in (spoken, [word for word in spoken if said.role_of(word) != "polite"]):
        kind = said.vocabulary.alone.get(" ".join(words))
        if kind is not None:
            return Heard("accept", meanings=(Meaning(cast(Kind, kind)),), why=_WHY)
    return _leaving(said, spoken)


def _leaving(said: Incoming, spoken: list[str]) -> Heard | None:
    """The same with words around that say nothing here ("stop sending me these texts again")."""
    idle = said.vocabulary.idle
    rest = [word for word in spoken if word not in idle and said.role_of(word) != "polite"]
    kind = said.vocabulary.leaving.get(" ".join(rest)) or _leaving_throughout(said)
    return Heard("accept", meanings=(Meaning(cast(Kind, kind)),), why=_WHY) if kind else None


def _leaving_throughout(said: Incoming) -> str | None:
    """leave, where each clause asks for it ("stop sms please, remove my number")."""
    clauses: list[list[str]] = [[]]
    for token in said.tokens:
        if token.shape == "word":
            clauses[-1].append(token.text)
        elif token.text in _CLAUSE_ENDS:
            clauses.append([])
    alone, leaving = said.vocabulary.alone, said.vocabulary.leaving
    kinds = set()
    for words in clauses:
        told = [word for word in words if said.role_of(word) != "polite"]
        rest = [word for word in told if word not in said.vocabulary.idle]
        if told:
            kinds.add(alone.get(" ".join(told)) or leaving.get(" ".join(rest)) or " ".join(told))
    others = kinds - {"leave"} - said.vocabulary.beside_leaving
    return "leave" if "leave" in kinds and not others else None


def _settled(said: Incoming) -> Heard | None:
    pending = said.sender.pending
    if pending is None or (said.sender.plots and not _still_theirs(said, pending)):
        return None
    codes = said.codes if said.sender.plots else codes_of((pending.plot or "",))
    phrases = [item.places() for item in said.items if item.role == "polite"]
    courtesies = {at for places in phrases if len(places) > 1 for at in places}
    words = [word for at, word in enumerate(said.words) if at not in courtesies]
    return settle(said.items, words, pending, codes, said.vocabulary)


def _still_theirs(said: Incoming, pending: Pending) -> bool:
    """Whether the sender reads every plot of the question; it may have been taken from them."""
    plots = [c for c in pending.candidates if isinstance(c, str)]
    return all(said.knows(plot) for plot in (pending.plot, *plots))


def _whole(said: Incoming) -> Heard | None:
    own = said.own()
    if said.roles() & {"amount", "foreign"} or len(own) > 1:
        return None
    spoken = said.spoken()
    found = _known_whole(said, spoken)
    if found is None or (said.questioned and found[0] in _NEVER_ASKED):
        return _language(said, spoken)
    if own and len(own[0].codes) > 1:
        return Heard("ask", ask=(Ask(None, "plot", own[0].codes),), why="which plot is meant")
    plot = own[0].codes[0] if own else None
    kind, detail = found
    if kind == "weeds" and plot is None:
        plot = said.only_plot()
        if plot is None:
            return None
    return Heard("accept", meanings=(Meaning(cast(Kind, kind), plot, detail),), why=_WHY)


def _known_whole(said: Incoming, spoken: list[str]) -> tuple[str, str | None] | None:
    whole, skip = said.vocabulary.whole, said.vocabulary.skip
    return whole.get(" ".join(spoken)) or whole.get(" ".join(w for w in spoken if w not in skip))


def _language(said: Incoming, spoken: list[str]) -> Heard | None:
    asked_for = spoken
    for k in range(1, min(len(spoken), 4)):
        if " ".join(spoken[:k]) in said.vocabulary.language_words:
            asked_for = spoken[k:]
    languages = said.vocabulary.languages
    named = languages.get(" ".join(spoken)) or languages.get(" ".join(asked_for))
    if named is None or said.questioned:
        return None
    meaning = Meaning("language", value=named)
    return Heard("accept", meanings=(meaning,), why="it names a language")


def _joining(said: Incoming) -> Heard | None:
    words = [token.text if token.shape == "word" else "" for token in said.tokens[:_JOIN_WORDS]]
    starts = (k for k in range(len(words), 0, -1) if " ".join(words[:k]) in said.vocabulary.join)
    taken = next(starts, 0)
    if not taken:
        return None
    rest = " ".join(said.text.split()[taken:])[:_LONGEST_JOIN] or None
    return Heard("accept", meanings=(Meaning("join", value=rest),), why="it asks to join")
