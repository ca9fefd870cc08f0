"""Act on what a text says beside readings: events, undoing, leaving, asking for a person."""

from collections.abc import Callable
from typing import Final

from gateway.advisory.advise import judge_plot
from gateway.advisory.guide import begin_guide, go_on_with_guide
from gateway.advisory.power import note_power, plots_meant
from gateway.advisory.rain import note_rain
from gateway.advisory.resting import awake
from gateway.advisory.speak import speak
from gateway.advisory.talk import Talk
from gateway.advisory.undo import undo_last
from gateway.advisory.write import day_of, is_now, write_event
from gateway.agronomy.book import Event
from gateway.messages.heard import Meaning
from gateway.messages.levels import say_event
from gateway.messages.tubeguide import ASKED_AS
from gateway.messages.wording import digest_parts, word_notice, word_why

Touched = list[str]


def act_on(talk: Talk, meaning: Meaning) -> Touched:
    """Do what the meaning asks. Returns the codes of plots whose advice may have changed."""
    if meaning.kind in EVENTS:
        return note_event(talk, meaning)
    return ACTS.get(meaning.kind, hand_on)(talk, meaning)


# -- events ---------------------------------------------------------------------------------------


def _number(meaning: Meaning) -> float | None:
    return float(meaning.value) if isinstance(meaning.value, int | float) else None


def _word(meaning: Meaning) -> str | None:
    return meaning.value if isinstance(meaning.value, str) else None


EVENTS: Final[dict[str, Callable[[Meaning], dict[str, object]]]] = {
    "flooded": lambda m: {"kind": "flooded", "to_cm": _number(m)},
    "nitrogen": lambda m: {"kind": "nitrogen", "product": _word(m)},
    "weeds": lambda m: {"kind": "weeds", "amount": _word(m) or "many"},
    "spray": lambda m: {"kind": "spray", "product": _word(m)},
    "tall": lambda m: {"kind": "tall"},
    "flowering": lambda m: {"kind": "heading"},
    "no-water": lambda m: {"kind": "no-water"},
    "submerged": lambda m: {"kind": "submerged"},
    "harvest": lambda m: {"kind": "harvest"},
    "green": lambda m: {"kind": "green"},
    "snails": lambda m: {"kind": "snails"},
}
# Answered by a notice alone: the office must hear of it, or there is no next step.
NOTICED: Final = {"no-water": "notice.no-water", "harvest": "notice.harvest"}
# Answered by "written down", with the next look, unless something must be done now.
NOTED: Final = {
    "flooded": "notice.flooded",
    "nitrogen": "notice.nitrogen",
    "spray": "notice.spray",
    "flowering": "notice.flowering",
    "green": "notice.green",
    "snails": "notice.snails",
}


def note_event(talk: Talk, meaning: Meaning) -> Touched:
    """Write the event into the book of the plot that the meaning names."""
    code = meaning.plot
    if code is None:
        return []
    fields = EVENTS[meaning.kind](meaning)
    at = talk.local.time().replace(second=0, microsecond=0) if is_now(meaning.on) else None
    event = Event(on=day_of(meaning.on, talk.today), at=at, **fields)  # type: ignore[arg-type]
    write_event(talk, code, event)
    if meaning.kind in NOTICED and (meaning.kind == "harvest" or awake(talk, [code])):
        talk.say(
            word_notice(NOTICED[meaning.kind], talk.catalogue, plot=code),
            NOTICED[meaning.kind],
            plot_id=talk.plots[code].plot_id,
        )
        return []
    if meaning.kind in NOTED:
        talk.noted[code] = NOTED[meaning.kind]
    return [code]


# -- the rest -------------------------------------------------------------------------------------


def say_notice(msgid: str) -> Callable[[Talk, Meaning], Touched]:
    """An act that says one fixed notice."""

    def act(talk: Talk, meaning: Meaning) -> Touched:
        text = word_notice(
            msgid,
            talk.catalogue,
            plot=example_plot(talk, meaning),
            scheme=talk.kept.scheme.short_name,
        )
        talk.say(text, msgid)
        return []

    return act


def hand_on(talk: Talk, meaning: Meaning) -> Touched:
    """A person must see this: say so once a text. The reply log lists it for the office."""
    if "notice.person" not in talk.said:
        say_notice("notice.person")(talk, meaning)
    return []


def advise_again(talk: Talk, meaning: Meaning) -> Touched:
    """Advice anew on the plot named, or on all that the phone reads."""
    return [meaning.plot] if meaning.plot else list(talk.plots)


def tell_more(talk: Talk, meaning: Meaning) -> Touched:
    """The next step of the tube guide, or what did not fit into the digest of the phone's plots."""
    if go_on_with_guide(talk):
        return []
    reads = [read.plot_id for read in talk.plots.values()]
    rests = talk.unit.pauses.over(reads, talk.now)
    advices = [
        judge_plot(talk.unit, talk.papers, plot_id, talk.now)[1]
        for plot_id in reads
        if plot_id not in rests
    ]
    for part in digest_parts(advices, talk.catalogue)[1:]:
        talk.say(part, "more")
    return [] if "more" in talk.said else say_notice("notice.no-more")(talk, meaning)


def tell_why(talk: Talk, meaning: Meaning) -> Touched:
    """The reasons of the newest advice, in words; that it rests where all of it does."""
    codes = [meaning.plot] if meaning.plot else list(talk.plots)
    told = awake(talk, codes)
    if codes and not told:
        return codes
    plots = (talk.plots[code].plot_id for code in told)
    records = [found for plot_id in plots if (found := talk.unit.advices.latest(plot_id))]
    if not records:
        return say_notice("notice.no-advice")(talk, meaning)
    newest = max(records, key=lambda record: record.as_of)
    talk.say(word_why(newest.advice, talk.catalogue), "why", plot_id=newest.plot_id)
    return []


def give_help(talk: Talk, meaning: Meaning) -> Touched:
    """The tube guide where that is asked for, else how to text us; the office will call."""
    if meaning.value != ASKED_AS:
        return say_notice("notice.help")(talk, meaning)
    begin_guide(talk)
    return []


def change_language(talk: Talk, meaning: Meaning) -> Touched:
    """Another language from now on; one that we have no words of is for a person to hear of."""
    return [] if speak(talk, meaning) else hand_on(talk, meaning)


def undo(talk: Talk, meaning: Meaning) -> Touched:
    """Take back the last report of this phone, and say what that was."""
    taken = undo_last(talk, meaning)
    if taken is None or not taken.codes:
        return say_notice("notice.nothing-to-undo")(talk, meaning)
    msgid, what = "notice.undone", say_event(taken.event, talk.catalogue) if taken.event else None
    talk.say(word_notice(msgid, talk.catalogue, plot=taken.codes[0], what=what), msgid)
    return []


def leave(talk: Talk, meaning: Meaning) -> Touched:
    """End all texts that the office starts to this phone, at once, with one confirmation.

    Who has left gets no second one: a phone that answers each text by itself would never end.
    """
    if talk.kept.phone.left:
        return []
    talk.unit.people.set_left(talk.kept.phone.id, True, talk.now)
    return say_notice("notice.left")(talk, meaning)


def come_back(talk: Talk, meaning: Meaning) -> Touched:
    """Let the office start texts to this phone again."""
    talk.unit.people.set_left(talk.kept.phone.id, False, talk.now)
    return say_notice("notice.returned")(talk, meaning)


def tell_power(talk: Talk, meaning: Meaning) -> Touched:
    """No power at a pump, or "done": it is there again. The office hears of both."""
    note_power(talk, meaning, plots_meant(talk, meaning))
    return say_notice(f"notice.{meaning.kind}")(talk, meaning)


def example_plot(talk: Talk, meaning: Meaning) -> str | None:
    """The plot that an example is made from: the one named, else the first that the phone reads."""
    return meaning.plot or next(iter(talk.plots), None)


ACTS: Final[dict[str, Callable[[Talk, Meaning], Touched]]] = {
    "rain": note_rain,
    "advice-again": advise_again,
    "more": tell_more,
    "why": tell_why,
    "wrong": undo,
    "language": change_language,
    "help": give_help,
    "leave": leave,
    "return": come_back,
    "done": tell_power,
    "no-power": tell_power,
    **{
        kind: say_notice(f"notice.{kind}")
        for kind in ("broken", "outlet-open", "outlet-shut", "join")
    },
}
