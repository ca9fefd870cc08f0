"""A text becomes meaning. Pure: the same text, sender and words always mean the same.

Where a text can be read in two ways, nothing is taken and a question goes back.
"""

from datetime import date
from typing import cast

from gateway.messages import days
from gateway.messages.heard import Ask, Heard, Kind, Meaning, Sender
from gateway.messages.incoming import Incoming
from gateway.messages.parts import Gathered, Parts
from gateway.messages.plainly import plain_reading
from gateway.messages.plotnumbers import name_plots_by_number
from gateway.messages.shares import Share, shares_of
from gateway.messages.vocabulary import Vocabulary
from gateway.messages.wholes import whole_meaning

_LONGEST_PLAIN = 40
_ENDS = "?.!,;\n"
_MANY_WORDS = 3
_MATTERS = frozenset(("event", "person", "plain", "unknown", "action", "want"))
_TELLS = frozenset(("amount", "own", "foreign", "vague", "change", "action"))
_WORDLESS = frozenset(("polite", "comma", "and", "filler"))
_WHY = {
    "ask": "something in it can be read in more than one way",
    "accept": "each part has one meaning",
    "reject": "nothing in it to store or to answer",
}


def interpret(
    text: str, sender: Sender, vocabulary: Vocabulary, today: date | None = None
) -> Heard:
    """What ``text`` means, coming from ``sender``, in the words of ``vocabulary``.

    Levels are cm relative to the soil surface, below is negative. ``today`` (the day of the text
    where the plots lie) turns days into dates. Never raises, whatever the text holds.
    """
    plain = plain_reading(text, sender, vocabulary) if len(text) <= _LONGEST_PLAIN else None
    return plain or interpret_slowly(text, sender, vocabulary, today)


def interpret_slowly(
    text: str, sender: Sender, vocabulary: Vocabulary, today: date | None = None
) -> Heard:
    """The same by the long way, which every text can take."""
    said = Incoming(text, sender, vocabulary, today)
    if not said.tokens:
        return Heard("reject", why="blank")
    return whole_meaning(said) or _parts(said)


def _parts(said: Incoming) -> Heard:
    name_plots_by_number(said.items, said.codes)
    shares = shares_of(said.items, said.sender.plots)
    parts = Parts(said)
    for share in shares:
        parts.add(share)
    found = parts.found
    _part_conflicts(found)
    if found.readings:  # "12 below, no rain yet": what did not happen answers nothing
        found.meanings = [m for m in found.meanings if m.kind != "no"]
    _add_questions(said, shares, found)
    _add_left_over(said, found)
    heard = found.heard("")
    return found.heard(_WHY[heard.outcome])


def _part_conflicts(found: Gathered) -> None:
    """Two levels for one plot and day, from different parts: neither is taken."""
    levels: dict[tuple[str, str | None], set[tuple[float | None, bool]]] = {}
    for r in found.readings:
        levels.setdefault((r.plot, r.on), set()).add((r.level_cm, r.dry))
    for (plot, on), said in levels.items():
        if len(said) > 1:
            found.readings = [r for r in found.readings if (r.plot, r.on) != (plot, on)]
            options = sorted(level for level, _ in said if level is not None)
            found.ask.append(Ask(plot, "number", tuple(options)))


def _add_questions(said: Incoming, shares: list[Share], found: Gathered) -> None:
    """Questions, wishes and plans go to a person; a lone wrong undoes the last report."""
    named = list(dict.fromkeys(c[0] for s in shares for c in s.plots if len(c) == 1))
    plot = named[0] if len(named) == 1 else None
    told = any(item.role == "event" and not item.asked for item in said.items)
    found.meanings.extend(Meaning(_question(said, *span, told), plot) for span in said.spans)
    roles = said.roles()
    if roles & {"person", "want"} or ("future" in roles and not found.readings):
        found.meanings.append(Meaning("person", plot))
    if "stock" in roles and not (found.readings or found.meanings or found.ask):
        found.meanings.append(Meaning("person", plot))
    if "future" in roles:
        found.flags.append("plan")
    blamed = "wrong" in roles or ({"back", "sorry"} <= roles and "amount" not in roles)
    if blamed and not found.readings and not found.ask:
        day = next((item for item in said.items if item.role == "day"), None)
        on = days.settled(str(day.value), said.today) if day is not None else None
        found.meanings.insert(0, Meaning("wrong", plot, on=on))


def _question(said: Incoming, start: int, clause: int, told: bool) -> Kind:
    """What is asked from token ``start`` on; why of something named before it goes to a person.

    ``told``: something happened, so that what to do now is no wish for the last advice.
    """
    tokens = said.tokens
    before = {item.role for item in said.items if item.clause == clause and item.at < start}
    end = next((i for i in range(start, len(tokens)) if tokens[i].text in _ENDS), len(tokens))
    spoken = [w for w in said.words[start:end] if w and said.role_of(w) != "polite"]
    kind = said.vocabulary.whole.get(" ".join(spoken), ("person", None))[0]
    known = kind == "help" or (kind == "advice-again" and not told)
    known = known or (kind == "why" and not before & _MATTERS)
    return cast(Kind, kind if known else "person")


def _add_left_over(said: Incoming, found: Gathered) -> None:
    """A code that is not theirs asks for the plot; a text that said nothing is unclear."""
    if "foreign" in said.roles():
        found.flags.append("other-plot")
        if not found.ask and not any(m.kind.startswith("outlet") for m in found.meanings):
            found.ask.append(Ask(None, "plot", said.sender.plots))
    if not (found.readings or found.meanings or found.ask):
        _unclear(said, found)


def _unclear(said: Incoming, found: Gathered) -> None:
    worded = [item for item in said.items if item.role not in _WORDLESS]
    spoken = {item.value for item in said.items if item.role == "polite"}
    if "wish" in spoken and not any(item.role in _TELLS for item in worded):
        return
    if "office" in spoken and worded:
        found.meanings.append(Meaning("person"))
        return
    strange = [item for item in worded if item.role in ("unknown", "plain", "action", "elsewhere")]
    if len(strange) >= _MANY_WORDS:
        found.meanings.append(Meaning("person"))
        found.flags.append("not-understood")
    elif worded or (said.items and "polite" not in said.roles()):
        found.ask.append(Ask(said.only_plot(), "unclear"))
