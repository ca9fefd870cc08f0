"""Hear a text: what it means from this phone, on this day, our open question read first."""

from dataclasses import replace
from typing import Final

from gateway.advisory.ask import is_answerable
from gateway.advisory.records import Question
from gateway.advisory.talk import Talk
from gateway.messages.heard import Ask, Heard, Pending, Sender
from gateway.messages.interpret import interpret

LONGEST_CHOICE: Final = 12


def hear(talk: Talk) -> Heard:
    """What the text means."""
    chosen = plot_chosen(talk)
    if chosen:
        return hear_again(talk, chosen)
    question = talk.question
    pending = pending_of(question) if question else None
    sender = sender_of(talk, tuple(talk.plots), pending)
    vocabulary = talk.papers.vocabulary(sender.language)
    heard = interpret(talk.inbound.body, sender, vocabulary, talk.today)
    return with_next_question(talk, heard)


def hear_again(talk: Talk, plot: str) -> Heard:
    """The text that we asked about, now that its plot is named.

    Where it named several plots, the others are not asked about again, and what it said of this one
    is asked for anew if it is not clear.
    """
    asked_of = talk.question.asked_of if talk.question else None
    sender = sender_of(talk, (plot,), None)
    vocabulary = talk.papers.vocabulary(sender.language)
    heard = interpret(f"{plot} {asked_of or ''}", sender, vocabulary, talk.today)
    if "other-plot" not in heard.flags:
        return heard
    flags = tuple(flag for flag in heard.flags if flag != "other-plot")
    if heard.readings:
        return replace(heard, outcome="accept", ask=(), flags=flags)
    return replace(heard, ask=(Ask(plot, "number"),), flags=flags)


def with_next_question(talk: Talk, heard: Heard) -> Heard:
    """What was heard, with the question that waited behind the one that it settles."""
    question = talk.question
    if question is None or "answer" not in heard.flags or not heard.readings:
        return heard
    sender = sender_of(talk, tuple(talk.plots), None)
    vocabulary = talk.papers.vocabulary(sender.language)
    asked = interpret(question.asked_of or "", sender, vocabulary, talk.today).ask
    waiting = [ask for ask in asked if is_answerable(ask)]
    plots = [ask.plot for ask in waiting]
    if question.plot_code not in plots:
        return heard
    behind = waiting[plots.index(question.plot_code) + 1 :]
    return replace(heard, ask=(*heard.ask, *behind[:1]))


def plot_chosen(talk: Talk) -> str | None:
    """The plot that a bare code or the number of a choice names, where we asked for no more."""
    question = talk.question
    if question is None or question.about != "plot" or not question.asked_of:
        return None
    if question.level_cm is not None or question.dry:
        return None
    said = talk.inbound.body.strip()[:LONGEST_CHOICE].casefold()
    choices = [one for one in question.candidates if isinstance(one, str)]
    named = {code.casefold(): code for code in choices}
    numbered = {str(number): code for number, code in enumerate(choices, start=1)}
    return named.get(said) or numbered.get(said)


def sender_of(talk: Talk, plots: tuple[str, ...], pending: Pending | None) -> Sender:
    """What the parser may know of the phone."""
    reads = [talk.plots[code] for code in plots]
    return Sender(
        plots=plots,
        language=talk.kept.phone.language,
        reads=tuple((read.code, read.reads) for read in reads if read.reads),
        rim_cm=tuple((read.code, read.rim_cm) for read in reads if read.rim_cm is not None),
        pending=pending,
    )


def pending_of(question: Question) -> Pending:
    """Our open question in the parser's terms."""
    return Pending(
        question.plot_code,
        question.candidates,
        question.about,
        question.level_cm,
        question.dry,
    )
