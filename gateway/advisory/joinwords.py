"""The words of the dialogue of joining, in the language that it is held in."""

from dataclasses import replace
from typing import Final

from gateway.advisory.dialogue import JoinStep
from gateway.advisory.joins import Joining
from gateway.advisory.talk import Talk
from gateway.messages.asks import number_all
from gateway.messages.segments import is_routine

NAMED: Final = "join.language-name"


def languages_of(talk: Talk) -> list[tuple[str, str]]:
    """The languages to choose from, each under its own name in plain letters."""
    papers = talk.papers
    codes = papers.catalogues
    return [(code, papers.catalogue(code, "plain").say(NAMED)) for code in codes]


def _shown(spoken: Talk, language: str, name: str) -> str:
    """A language in the list: its own letters where the text is written in them anyway."""
    words = spoken.catalogue
    return words.say(NAMED) if words.language == language else name


def spoken_to(talk: Talk, joining: Joining) -> Talk:
    """The talk in the language of the dialogue, which the phone may not have yet."""
    phone = replace(talk.kept.phone, language=joining.language)
    return replace(talk, kept=replace(talk.kept, phone=phone))


def ask_step(talk: Talk, joining: Joining, step: JoinStep, unclear: bool = False) -> None:
    """Put the question of a step; ``unclear``: once more, for its answer could not be used."""
    spoken, rules = spoken_to(talk, joining), talk.papers.joining
    msgid = step.text if rules.price or step.without_price is None else step.without_price
    names = tuple(_shown(spoken, *language) for language in languages_of(talk))
    text = spoken.catalogue.say(
        msgid,
        scheme=talk.kept.scheme.short_name,
        price=rules.price,
        choices=number_all(names, spoken.catalogue),
    )
    again = f"{spoken.catalogue.say(rules.unclear)} {text}"
    # Where it would cost a segment more, the question put again must do.
    text = again if unclear and is_routine(again) else text
    spoken.say(text, f"join.{step.asks}", kind="question")


def end_dialogue(talk: Talk, joining: Joining, how: str, topic: str | None = None) -> None:
    """Say what ends the dialogue for now; ``topic``: what it counts as, its own where none."""
    spoken = spoken_to(talk, joining)
    text = spoken.catalogue.say(
        talk.papers.joining.ends[how],
        scheme=talk.kept.scheme.short_name,
        plot=joining.answers.get("plot", ""),
    )
    spoken.say(text, topic or f"join.{how}")
