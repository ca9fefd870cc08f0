"""A text becomes meaning. Pure: the same text, sender and words always mean the same.

Where a text can be read in two ways, nothing is taken and a question goes back.
"""

import re
from dataclasses import dataclass, field, replace
from datetime import date

from gateway.messages import days
from gateway.messages.codes import Codes, codes_of
from gateway.messages.events import Event, events_of
from gateway.messages.heard import Ask, Heard, Kind, Meaning, Reading, Sender
from gateway.messages.items import Item
from gateway.messages.items import Reading as Pass
from gateway.messages.depths import Habit, Said, levels_of
from gateway.messages.normal import fold
from gateway.messages.scopes import mark_asked, words_of
from gateway.messages.settle import settle
from gateway.messages.shares import Share, name_plots_by_number, shares_of
from gateway.messages.tokens import Token, tokenise
from gateway.messages.vocabulary import Vocabulary

_PLAIN = re.compile(r"([A-Za-z]+[0-9]+) ([-+][0-9]{1,2}(?:\.[0-9])?)", re.ASCII)
_NEED_A_PLOT = frozenset(
    ("flooded", "nitrogen", "weeds", "spray", "tall", "flowering", "submerged", "snails", "green")
) | {"harvest"}
_OF_THE_ONLY_PLOT = _NEED_A_PLOT | {"rain", "no-water"}
_MANY_WORDS = 3
_WORDLESS = frozenset(("polite", "comma", "and"))


@dataclass(slots=True)
class _Answer:
    """The parts of a Heard as they are found."""

    readings: list[Reading] = field(default_factory=list)
    meanings: list[Meaning] = field(default_factory=list)
    ask: list[Ask] = field(default_factory=list)
    flags: list[str] = field(default_factory=list)

    def heard(self, why: str) -> Heard:
        found = self.readings or self.meanings
        outcome = "ask" if self.ask else "accept" if found else "reject"
        return Heard(
            outcome,  # type: ignore[arg-type]
            tuple(dict.fromkeys(self.readings)),
            tuple(dict.fromkeys(self.meanings)),
            tuple(dict.fromkeys(self.ask)),
            tuple(dict.fromkeys(self.flags)),
            why,
        )


def interpret(
    text: str, sender: Sender, vocabulary: Vocabulary, today: date | None = None
) -> Heard:
    """What ``text`` means, coming from ``sender``, in the words of ``vocabulary``.

    Levels are cm relative to the soil surface, below is negative. ``today`` (the day of the text
    where the plots lie) turns days into dates. Never raises, whatever the text holds.
    """
    plain = _PLAIN.fullmatch(text)
    if plain is not None and sender.pending is None and plain[1] in sender.plots:
        level = float(plain[2]) + 0.0
        if vocabulary.deepest_cm <= level <= vocabulary.highest_cm:
            return Heard("accept", (Reading(plain[1], level),), why="plot and signed level")
    return interpret_slowly(text, sender, vocabulary, today)


def interpret_slowly(
    text: str, sender: Sender, vocabulary: Vocabulary, today: date | None = None
) -> Heard:
    """The same by the long way, which every text can take."""
    tokens = tokenise(fold(text, vocabulary))
    if not tokens:
        return Heard("reject", why="blank")
    codes = codes_of(sender.plots)
    read = Pass(tokens, codes, vocabulary).run()
    return _Understanding(text, sender, vocabulary, today, codes, read).heard()


class _Understanding:
    """One text on its way to a Heard."""

    def __init__(
        self,
        text: str,
        sender: Sender,
        vocabulary: Vocabulary,
        today: date | None,
        codes: Codes,
        read: Pass,
    ) -> None:
        self.text, self.sender, self.vocabulary, self.today = text, sender, vocabulary, today
        self.codes, self.items, self.words, self.tokens = codes, read.items, read.words, read.tokens
        self.answer = _Answer()
        self.spans = mark_asked(self.items, read.asked)
        self.questioned = bool(read.asked)

    def heard(self) -> Heard:
        return self._special() or self._parts()

    # -- texts that say one thing as a whole ------------------------------------------------------

    def _special(self) -> Heard | None:
        roles = {item.role for item in self.items}
        if "order" in roles:
            ask = Ask(None, "order")
            return Heard("ask", ask=(ask,), flags=("order",), why="it gives orders to the system")
        if "advert" in roles and "own" not in roles:
            return Heard("reject", flags=("advert",), why="an advertisement")
        return self._alone() or self._settled() or self._whole() or self._joining()

    def _alone(self) -> Heard | None:
        """Leave and return: only where the text as written says this and nothing else."""
        if self.questioned or any(token.shape == "number" for token in self.tokens):
            return None
        spoken = [token.text for token in self.tokens if token.shape == "word"]
        courteous = [w for w in spoken if self._role(w) != "polite"]
        for words in (spoken, courteous):
            kind = self.vocabulary.alone.get(words_of(words, self.vocabulary))
            if kind is not None:
                meaning = Meaning("leave" if kind == "leave" else "return")
                return Heard("accept", meanings=(meaning,), why="the whole text says so")
        return None

    def _role(self, word: str) -> str:
        term = self.vocabulary.phrases.get(word, {}).get("")
        return term.role if term is not None else ""

    def _settled(self) -> Heard | None:
        pending = self.sender.pending
        if pending is None or (self.sender.plots and not self._knows(pending.plot)):
            return None
        codes = self.codes if self.sender.plots else codes_of((pending.plot or "",))
        return settle(self.items, self._spoken(), pending, codes, self.vocabulary)

    def _knows(self, plot: str | None) -> bool:
        return plot is None or plot in self.sender.plots

    def _spoken(self) -> list[str]:
        """The words of the text without plots and courtesies around them."""
        taken = {i.at for i in self.items if i.role in ("own", "polite")}
        ends = self._code_ends()
        every = [w for at, w in enumerate(self.words) if w and at not in ends]
        kind = [w for at, w in enumerate(self.words) if w and at not in ends and at not in taken]
        return kind or every

    def _code_ends(self) -> set[int]:
        starts = sorted(item.at for item in self.items) + [len(self.tokens)]
        spans = [
            range(item.at, next(s for s in starts if s > item.at))
            for item in self.items
            if item.role == "own"
        ]
        return {at for span in spans for at in span if self.tokens[at].shape == "word"} & {
            at for span in spans for at in span if self._role(self.words[at]) == ""
        }

    def _whole(self) -> Heard | None:
        own = [item for item in self.items if item.role == "own"]
        if any(item.role in ("amount", "foreign") for item in self.items) or len(own) > 1:
            return None
        spoken = self._spoken()
        found = self.vocabulary.whole.get(words_of(spoken, self.vocabulary))
        found = found or self.vocabulary.whole.get(
            " ".join(w for w in spoken if w not in self.vocabulary.skip)
        )
        if found is None or (self.questioned and found[0] in ("yes", "no", "done", "wrong")):
            return self._language(spoken)
        if own and len(own[0].codes) > 1:
            return Heard("ask", ask=(Ask(None, "plot", own[0].codes),), why="which plot is meant")
        plot = own[0].codes[0] if own else None
        kind, detail = found
        if kind == "weeds" and plot is None:
            plot = self._only_plot()
            if plot is None:
                return None
        meaning = Meaning(kind, plot, detail)  # type: ignore[arg-type]
        return Heard("accept", meanings=(meaning,), why="the whole text says so")

    def _language(self, spoken: list[str]) -> Heard | None:
        asked_for = spoken
        for k in range(1, len(spoken)):
            if " ".join(spoken[:k]) in self.vocabulary.language_words:
                asked_for = spoken[k:]
        named = self.vocabulary.languages.get(" ".join(asked_for))
        if named is None or self.questioned:
            return None
        meaning = Meaning("language", value=named)
        return Heard("accept", meanings=(meaning,), why="it names a language")

    def _joining(self) -> Heard | None:
        first = next((token for token in self.tokens if token.shape == "word"), None)
        if first is None or first.text not in self.vocabulary.join or self.tokens[0] is not first:
            return None
        rest = " ".join(self.text.split()[1:])[:160] or None
        return Heard("accept", meanings=(Meaning("join", value=rest),), why="it asks to join")

    # -- texts of several parts -------------------------------------------------------------------

    def _parts(self) -> Heard:
        name_plots_by_number(self.items, self.codes)
        shares = shares_of(self.items, self.sender.plots)
        for share in shares:
            self._share(share)
        self._conflicts()
        self._questions(shares)
        return self._left_over()

    def _share(self, share: Share) -> None:
        taken = events_of(share.items)
        rest = [item for i, item in enumerate(share.items) if i not in taken.used]
        owned = [codes[0] for codes in share.plots if len(codes) == 1]
        plots: list[str | None] = list(owned) or [self._default(share)]
        if any(len(codes) > 1 for codes in share.plots) or share.foreign or share.tangled:
            plots = [None]
        for plot in plots:
            self._level(share, rest, plot)
            for event in taken.events:
                self._event(event, share, plot, rest)

    def _default(self, share: Share) -> str | None:
        pending = self.sender.pending
        if share.foreign or any(item.role == "neighbour" for item in share.items):
            return None
        if pending is not None and pending.plot is not None and self._knows(pending.plot):
            return pending.plot
        return self._only_plot()

    def _only_plot(self) -> str | None:
        return self.sender.plots[0] if len(self.sender.plots) == 1 else None

    def _level(self, share: Share, rest: list[Item], plot: str | None) -> None:
        said = levels_of(rest, self._habit(plot))
        if share.tangled and said:
            said = [Said(about="number")]
        for one in said:
            if share.foreign and self._is_outlet(share):
                continue
            self._say(one, share, rest, plot)
        if not said and plot is not None and share.plots and self._only_named(share):
            self.answer.ask.append(Ask(plot, "number"))

    def _is_outlet(self, share: Share) -> bool:
        return any(i.role == "event" and str(i.value).startswith("outlet") for i in share.items)

    def _only_named(self, share: Share) -> bool:
        quiet = ("own", "filler", "polite", "comma", "and", "plot", "day", "stick", "unknown")
        return all(item.role in (*quiet, "inside", "deep", "plain", "sign") for item in share.items)

    def _say(self, said: Said, share: Share, rest: list[Item], plot: str | None) -> None:
        self.answer.flags.extend(said.flags)
        if plot is None:
            self._ask_plot(share, said)
        if said.about is not None:
            if plot is not None or said.about != "number":
                self.answer.ask.append(Ask(plot, said.about, said.candidates))
            return
        on = days.settled(_day_of_level(rest, said), self.today)
        if plot is not None and on == days.UNKNOWN:
            self.answer.ask.append(Ask(plot, "day", (), said.level_cm, said.dry))
        elif plot is not None:
            self.answer.readings.append(Reading(plot, said.level_cm, said.dry, on, said.supersedes))

    def _ask_plot(self, share: Share, said: Said | None) -> None:
        several = [codes for codes in share.plots if len(codes) > 1]
        candidates = several[0] if several else self.sender.plots
        level = said.level_cm if said is not None else None
        self.answer.ask.append(Ask(None, "plot", candidates, level, bool(said and said.dry)))

    def _habit(self, plot: str | None) -> Habit:
        reads = dict(self.sender.reads).get(plot) if plot is not None else None
        rim = dict(self.sender.rim_cm).get(plot) if plot is not None else None
        below = self.sender.unsigned == "below"
        return Habit(reads, rim, below, self.vocabulary.deepest_cm, self.vocabulary.highest_cm)

    def _event(self, event: Event, share: Share, plot: str | None, rest: list[Item]) -> None:
        kind: Kind = event.kind
        named = bool(share.plots) and not share.tangled
        if kind in _NEED_A_PLOT and plot is None:
            self._ask_plot(share, None)
        if share.foreign and plot is None and kind not in ("outlet-open", "outlet-shut"):
            if kind not in _NEED_A_PLOT:
                self._ask_plot(share, None)
            return
        of = plot if named or kind in _OF_THE_ONLY_PLOT else None
        on = days.settled(_day_of_event(share.items, event), self.today)
        if on == days.UNKNOWN:
            self.answer.ask.append(Ask(of, "day"))
            return
        if event.denied:
            self.answer.meanings.append(Meaning("no", of, kind))
        else:
            self.answer.meanings.append(Meaning(kind, of, event.value, event.unit, on))

    # -- the text as a whole ----------------------------------------------------------------------

    def _conflicts(self) -> None:
        """Two levels for one plot and day, from different parts: neither is taken."""
        levels: dict[tuple[str, str | None], set[tuple[float | None, bool]]] = {}
        for r in self.answer.readings:
            levels.setdefault((r.plot, r.on), set()).add((r.level_cm, r.dry))
        for (plot, on), found in levels.items():
            if len(found) > 1:
                kept = [r for r in self.answer.readings if (r.plot, r.on) != (plot, on)]
                options = tuple(level for level, _ in found if level is not None)
                self.answer.readings = kept
                self.answer.ask.append(Ask(plot, "number", tuple(sorted(options))))

    def _questions(self, shares: list[Share]) -> None:
        named = list(dict.fromkeys(c[0] for s in shares for c in s.plots if len(c) == 1))
        plot = named[0] if len(named) == 1 else None
        for start, _ in self.spans:
            self._question(start, plot)
        roles = {item.role for item in self.items}
        if roles & {"person", "want", "future"}:
            self.answer.meanings.append(Meaning("person", plot))
        if "future" in roles:
            self.answer.flags.append("plan")
        if "wrong" in roles and not self.answer.readings and not self.answer.ask:
            day = next((i for i in self.items if i.role == "day"), None)
            on = days.settled(str(day.value), self.today) if day is not None else None
            self.answer.meanings.insert(0, Meaning("wrong", plot, on=on))

    def _question(self, start: int, plot: str | None) -> None:
        end = next(
            (i for i in range(start, len(self.tokens)) if self.tokens[i].text in "?.!,;\n"),
            len(self.tokens),
        )
        spoken = [w for w in self.words[start:end] if w and self._role(w) != "polite"]
        whole = self.vocabulary.whole.get(" ".join(spoken), ("person", None))[0]
        known = whole if whole in ("why", "help", "advice-again") else "person"
        self.answer.meanings.append(Meaning(known, plot))  # type: ignore[arg-type]

    def _left_over(self) -> Heard:
        answer = self.answer
        if not (answer.readings or answer.meanings or answer.ask):
            self._unclear()
        if any(item.role == "foreign" for item in self.items):
            answer.flags.append("other-plot")
            if not answer.ask and not any(m.kind.startswith("outlet") for m in answer.meanings):
                answer.ask.append(Ask(None, "plot", self.sender.plots))
        why = _WHY["ask" if answer.ask else "accept" if answer.meanings or answer.readings else ""]
        return answer.heard(why)

    def _unclear(self) -> None:
        said = [item for item in self.items if item.role not in _WORDLESS]
        strange = [item for item in said if item.role in ("unknown", "plain")]
        if len(strange) >= _MANY_WORDS:
            self.answer.meanings.append(Meaning("person"))
            self.answer.flags.append("not-understood")
        elif said:
            self.answer.ask.append(Ask(self._only_plot(), "unclear"))


_WHY = {
    "ask": "something in it can be read in more than one way",
    "accept": "each part has one meaning",
    "": "nothing in it to store or to answer",
}


def _day_of_event(items: list[Item], event: Event) -> str | None:
    """The day that stands beside an event, or in its clause, or alone in the share."""
    days_here = [(i, d) for i, d in enumerate(items) if d.role in ("day", "date", "weekday")]
    if not days_here:
        return None
    near = [(abs(i - event.at), d) for i, d in days_here if d.clause == event.clause]
    if near:
        return _day_word(min(near, key=lambda pair: pair[0])[1])
    told = {item.clause for item in items if item.role in ("amount", "event", "dry", "surface")}
    free = [d for _, d in days_here if d.clause not in told]
    return _day_word(free[0]) if free else None


def _day_of_level(items: list[Item], said: Said) -> str | None:
    days_here = [(i, d) for i, d in enumerate(items) if d.role in ("day", "date", "weekday")]
    own = [(i, d) for i, d in days_here if not _beside_event(items, i)]
    here = [d for _, d in own if d.clause == said.clause]
    told = {item.clause for item in items if item.role in ("event", "amount", "dry", "surface")}
    free = here or [d for _, d in own if d.clause not in told or d.clause == said.clause]
    words = list(dict.fromkeys(_day_word(d) for d in free))
    words = [w for w in words if w != "today"] or words
    return words[0] if len(words) == 1 else days.UNKNOWN if words else None


def _beside_event(items: list[Item], at: int) -> bool:
    before = items[at - 1].role if at else ""
    after = items[at + 1].role if at + 1 < len(items) else ""
    return before == "event" or (after == "event" and before not in ("amount", "below", "above"))


def _day_word(item: Item) -> str:
    return f"weekday {item.value}" if item.role == "weekday" else str(item.value)


__all__ = ["interpret", "interpret_slowly", "replace"]
