"""Ask back what cannot be guessed, and close a question that the next text settles."""

from dataclasses import replace
from typing import Final

from gateway.advisory.advise import judge_plot
from gateway.advisory.talk import Talk
from gateway.messages.heard import Ask, Heard
from gateway.messages.wording import word_ask, word_notice

ANSWERABLE: Final = frozenset({"sign", "plot", "number", "unit", "rim", "day"})


def ask_back(talk: Talk, question: Ask, heard: Heard) -> None:
    """Put the question; one that candidates or a level can settle stays open for the next text.

    One question is open at a time: the next of the same text is asked once this one is settled.
    """
    if question.about == "plot" and "other-plot" in heard.flags:
        say_not_yours(talk)
        return
    question = likelier_first(talk, question)
    text = word_ask(question, talk.catalogue, tuple(talk.plots))
    if is_answerable(question):
        if any(topic.startswith("question.") for topic in talk.said):
            return
        talk.ask(
            text,
            question.about,
            question.candidates,
            question.plot,
            question.level_cm,
            question.dry,
        )
    elif may_show_example(talk):
        talk.say(text, "unclear")


def likelier_first(talk: Talk, question: Ask) -> Ask:
    """Above or below: first the one that lies nearer to the forecast. It is asked all the same."""
    read, levels = talk.plots.get(question.plot or ""), question.candidates
    if question.about != "sign" or read is None or not all(isinstance(n, float) for n in levels):
        return question
    level = judge_plot(talk.unit, talk.papers, read.plot_id, talk.now)[1].level_cm
    if level is None:
        return question
    ranked = sorted(levels, key=lambda told: abs(float(told) - level.p50))
    return replace(question, candidates=tuple(ranked))


def is_answerable(question: Ask) -> bool:
    """Whether a short answer settles it."""
    known = question.candidates or question.level_cm is not None
    return question.about in ANSWERABLE and bool(known)


def say_not_yours(talk: Talk) -> None:
    """A plot that this phone does not read, or that is not there: the same answer for both."""
    plots = tuple(talk.plots)
    if may_show_example(talk):
        talk.say(word_notice("notice.not-yours", talk.catalogue, plots=plots), "unclear")


def may_show_example(talk: Talk) -> bool:
    """Whether this phone has had its examples for today, or for this text: each costs money."""
    if "unclear" in talk.said:
        return False
    since = talk.now.replace(hour=0, minute=0, second=0, microsecond=0)
    sent = talk.unit.outbox.notices(talk.kept.scheme.id, "unclear", since, talk.kept.phone.id)
    return sent < talk.papers.customs.unclear_a_day


def close_question(talk: Talk, heard: Heard) -> None:
    """A report on the plot that was asked about settles or replaces the question."""
    question = talk.question
    plots = {reading.plot for reading in heard.readings}
    plots |= {meaning.plot for meaning in heard.meanings if meaning.plot}
    if question is None or not plots:
        return
    if question.plot_code is None or question.plot_code in plots:
        talk.unit.questions.close(question.id, "answered", talk.now)
