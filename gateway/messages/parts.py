"""The parts of a text, plot by plot: readings, other meanings, and what must be asked."""

from dataclasses import dataclass, field

from gateway.messages import days
from gateway.messages.depths import levels_of
from gateway.messages.events import Event, events_of
from gateway.messages.heard import Ask, Heard, Kind, Meaning, Outcome, Reading
from gateway.messages.incoming import Incoming
from gateway.messages.items import Item
from gateway.messages.said import Habit, Said
from gateway.messages.shares import Share
from gateway.messages.whens import day_of_event, day_of_level, day_word, stood_lower_since

_NEED_A_PLOT = frozenset(
    ("flooded", "nitrogen", "weeds", "spray", "tall", "flowering", "submerged", "snails", "green")
) | {"harvest"}
# These hold on the day of the text, whenever they began.
_LASTING = frozenset(("no-water", "no-power", "broken", "submerged", "snails", "green"))
_SUMMED = frozenset(("nitrogen", "done"))
_TELLS_APART = frozenset(("amount", "sign", "or", "to", "compare"))
_OF_THE_ONLY_PLOT = _NEED_A_PLOT | {"rain", "no-water"}


@dataclass(slots=True)
class Gathered:
    """The parts of a Heard, as they are found."""

    readings: list[Reading] = field(default_factory=list)
    meanings: list[Meaning] = field(default_factory=list)
    ask: list[Ask] = field(default_factory=list)
    flags: list[str] = field(default_factory=list)

    def heard(self, why: str) -> Heard:
        found = self.readings or self.meanings
        outcome: Outcome = "ask" if self.ask else "accept" if found else "reject"
        return Heard(
            outcome,
            tuple(dict.fromkeys(self.readings)),
            tuple(dict.fromkeys(self.meanings)),
            tuple(dict.fromkeys(self.ask)),
            tuple(dict.fromkeys(self.flags)),
            why,
        )


class Parts:
    """Gathers what each share of a text says."""

    def __init__(self, said: Incoming) -> None:
        self.said = said
        self.found = Gathered()

    def add(self, share: Share) -> None:
        taken = events_of(share.items)
        rest = [item for i, item in enumerate(share.items) if i not in taken.used]
        owned = [codes[0] for codes in share.plots if len(codes) == 1]
        plots: list[str | None] = list(dict.fromkeys(owned)) or [self._default(share)]
        if any(len(codes) > 1 for codes in share.plots) or share.foreign or share.tangled:
            plots = [None]
        elif share.crowded and not self._of_each(rest):
            self.found.ask.extend(Ask(plot, "number") for plot in plots)
            return
        if len(plots) > 1 and not any(item.role == "each" for item in share.items):
            self._divide(taken.events)
        for plot in plots:
            self._level(share, rest, plot)
            for event in taken.events:
                self._event(event, share, plot, rest)

    def _divide(self, events: list[Event]) -> None:
        """A weight or hours told of several plots may be of all together: a person asks."""
        for event in events:
            if event.kind in _SUMMED and event.value is not None:
                event.value = event.unit = None
                self.found.flags.append("shared-amount")
                self.found.meanings.append(Meaning("person"))

    def _of_each(self, rest: list[Item]) -> bool:
        """Whether words alone tell what plots side by side have in common ("H07 K12 flooded").

        A number is not shared so: the one of the first plot may be missing. Nor is what is said of
        "H07 or K12", or of all plots from the one to the other.
        """
        if any(item.role in _TELLS_APART and not item.asked for item in rest):
            return False
        return all(one.about is None for one in levels_of(rest, self._habit(None)))

    def _default(self, share: Share) -> str | None:
        pending = self.said.sender.pending
        if share.foreign or any(item.role == "neighbour" for item in share.items):
            return None
        if pending is not None and pending.plot is not None and self.said.knows(pending.plot):
            return pending.plot
        return self.said.only_plot()

    def _level(self, share: Share, rest: list[Item], plot: str | None) -> None:
        said = levels_of(rest, self._habit(plot))
        if share.tangled and said:
            said = [Said(about="number")]
        for one in said:
            if share.foreign and self._is_outlet(share):
                continue
            self._say(one, share, rest, plot)
        wondered = any(item.asked and item.role != "own" for item in share.items)
        named = not said and plot is not None and share.plots and not wondered
        if named and self._only_named(share):
            self.found.ask.append(Ask(plot, "number"))

    def _is_outlet(self, share: Share) -> bool:
        return any(i.role == "event" and str(i.value).startswith("outlet") for i in share.items)

    def _only_named(self, share: Share) -> bool:
        quiet = ("own", "filler", "polite", "comma", "and", "plot", "day", "stick", "unknown")
        return all(
            item.role in (*quiet, "inside", "deep", "plain", "action", "elsewhere", "sign")
            for item in share.items
        )

    def _say(self, said: Said, share: Share, rest: list[Item], plot: str | None) -> None:
        self.found.flags.extend(said.flags)
        if plot is None:
            self._ask_plot(share, said)
        if said.about is not None:
            if plot is not None or said.about != "number":
                self.found.ask.append(Ask(plot, said.about, said.candidates))
            return
        day = day_word(said.day) if said.day is not None else day_of_level(rest, said)
        on = days.settled(day, self.said.today)
        if plot is not None and on == days.UNKNOWN:
            self.found.ask.append(Ask(plot, "day", (), said.level_cm, said.dry))
        elif plot is not None:
            self.found.readings.append(Reading(plot, said.level_cm, said.dry, on, said.supersedes))

    def _ask_plot(self, share: Share, said: Said | None) -> None:
        several = [codes for codes in share.plots if len(codes) > 1]
        candidates = several[0] if several else self.said.sender.plots
        level = said.level_cm if said is not None else None
        self.found.ask.append(Ask(None, "plot", candidates, level, bool(said and said.dry)))

    def _too_deep(self, event: Event) -> bool:
        return isinstance(event.value, float) and event.value > self.said.vocabulary.highest_cm

    def _habit(self, plot: str | None) -> Habit:
        reads = dict(self.said.sender.reads).get(plot) if plot is not None else None
        rim = dict(self.said.sender.rim_cm).get(plot) if plot is not None else None
        below, words = self.said.sender.unsigned == "below", self.said.vocabulary
        return Habit(reads, rim, below, words.deepest_cm, words.highest_cm)

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
        on = days.settled(day_of_event(share.items, event), self.said.today)
        lasts = kind in _LASTING or (kind == "outlet-shut" and event.value is None)
        if on == days.UNKNOWN and lasts:
            on = None
        fell = kind == "flooded" and not event.denied and stood_lower_since(share.items, event)
        if on == days.UNKNOWN or fell:
            self.found.ask.append(Ask(of, "day"))
            return
        if kind == "flooded" and self._too_deep(event):
            self.found.ask.append(Ask(of, "number"))
            event.value = event.unit = None
        if event.denied:
            self.found.meanings.append(Meaning("no", of, kind))
        else:
            self.found.meanings.append(Meaning(kind, of, event.value, event.unit, on))
