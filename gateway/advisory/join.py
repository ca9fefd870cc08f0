"""Join by text: open the dialogue, go on with it by what the phone answers, and end it."""

from dataclasses import replace
from typing import Final

from gateway.advisory.askholders import ask_holders
from gateway.advisory.dialogue import JoinStep, Said, answer_of
from gateway.advisory.joins import Joining
from gateway.advisory.joinwords import ask_step, end_dialogue, languages_of
from gateway.advisory.records import Understood
from gateway.advisory.talk import Talk
from gateway.messages.heard import Heard, Sender
from gateway.messages.interpret import interpret

ASIDE: Final = frozenset({"leave", "return", "why", "more", "advice-again", "language"})
"""What a phone that reads plots may say in the middle of it, and what is no answer then."""


def go_on_joining(talk: Talk, heard: Heard) -> Understood | None:
    """Take the text as a part of joining; None where it is none, and has its usual way."""
    joining = open_joining(talk)
    kinds = {meaning.kind for meaning in heard.meanings}
    if joining and "leave" in kinds:
        talk.unit.joinings.settle(joining.id, "dropped", "the phone", None, talk.now)
        return None
    language = language_joined_in(talk, heard)
    if language is not None:
        return _resume(talk, joining, language) if joining else _begin(talk, language)
    if joining is None or joining.state != "underway" or _is_aside(talk, heard):
        return None
    return _answer(talk, joining)


def open_joining(talk: Talk) -> Joining | None:
    """The joining of this phone that is open, and not so old that it is forgotten."""
    if not talk.kept.unsettled.joining:
        return None
    joining = talk.unit.joinings.open_of(talk.kept.phone.id)
    if joining is None or joining.state == "waiting":
        return joining
    rules = talk.papers.joining
    return joining if talk.now - joining.moved_at <= rules.waits + rules.kept else None


def language_joined_in(talk: Talk, heard: Heard) -> str | None:
    """The language in which the text asks to join; None where it does not.

    A phone that is not known yet may write in any language that the gateway has words of.
    """
    phone, papers = talk.kept.phone, talk.papers
    words = papers.joining.scheme_words.get(talk.kept.scheme.code, ())
    if talk.inbound.body.strip().casefold() in words:
        return phone.language
    if any(meaning.kind == "join" for meaning in heard.meanings):
        return phone.language
    if phone.known:
        return None
    return next((code for code in papers.vocabularies if _joins_in(talk, code)), None)


def _joins_in(talk: Talk, language: str) -> bool:
    heard = _heard_in(talk, language)
    return any(meaning.kind == "join" for meaning in heard.meanings)


def _heard_in(talk: Talk, language: str) -> Heard:
    vocabulary = talk.papers.vocabulary(language)
    return interpret(talk.inbound.body, Sender((), language=language), vocabulary, talk.today)


def _is_aside(talk: Talk, heard: Heard) -> bool:
    """Whether a reader goes on with their own plots, or the text must have its usual way."""
    kinds = {meaning.kind for meaning in heard.meanings}
    told = heard.readings or any(meaning.plot for meaning in heard.meanings)
    return bool(told or kinds & ASIDE) if talk.plots else bool(kinds & {"leave", "return"})


# -- going on -------------------------------------------------------------------------------------


def _begin(talk: Talk, language: str) -> Understood | None:
    rules = talk.papers.joining
    today = talk.now.replace(hour=0, minute=0, second=0, microsecond=0)
    begun = talk.unit.joinings.begun_since(talk.kept.scheme.id, today)
    if not talk.kept.phone.known and begun >= rules.begun_a_day:
        return None
    first = rules.steps[0]
    joining = talk.unit.joinings.begin(
        talk.kept.phone, talk.inbound.carrier, language, first.asks, talk.now
    )
    _hear_it_in(talk, language)
    ask_step(talk, joining, first)
    return Understood("accept", "wants to join")


def _hear_it_in(talk: Talk, language: str) -> None:
    """A phone that is new here is heard and answered in the language of its dialogue from now on,
    so that it may end it, or come back, by the words that it is told."""
    phone = talk.kept.phone
    if phone.known or phone.language == language:
        return
    talk.unit.people.set_language(phone.id, language)
    talk.kept = replace(talk.kept, phone=replace(phone, language=language))


def _resume(talk: Talk, joining: Joining, language: str) -> Understood:
    """The question that was open is put again, in the language of the word to join; what waits for
    the office goes on waiting."""
    joining = replace(joining, language=language)
    _hear_it_in(talk, language)
    if joining.state == "waiting":
        end_dialogue(talk, joining, "waiting")
        return Understood("accept", "wants to join, and waits for the office")
    again = replace(joining, state="underway", misses=0)
    talk.unit.joinings.keep(again, talk.now)
    ask_step(talk, again, talk.papers.joining.step(again.step))
    return Understood("accept", "goes on with joining")


def _answer(talk: Talk, joining: Joining) -> Understood:
    heard = _heard_in(talk, joining.language)
    kinds = {meaning.kind for meaning in heard.meanings}
    if "help" in kinds:
        return _hand_on(talk, joining)
    if "wrong" in kinds and joining.answers:
        return _step_back(talk, joining)
    language = next((str(m.value) for m in heard.meanings if m.kind == "language"), None)
    step = talk.papers.joining.step(joining.step)
    said = Said(talk.inbound.body, kinds, language)
    answer = answer_of(step.asks, said, languages_of(talk))
    return _missed(talk, joining, step) if answer is None else _taken(talk, joining, step, answer)


def _taken(talk: Talk, joining: Joining, step: JoinStep, answer: str) -> Understood:
    rules = talk.papers.joining
    if step.asks == "consent":
        if answer == "no":
            return _decline(talk, joining)
        _consented(talk)
    told = {**joining.answers, step.asks: answer}
    spoken = answer if step.asks == "language" else joining.language
    _hear_it_in(talk, spoken)
    following = rules.after(step.asks)
    asked_next = (following or step).asks
    further = replace(joining, answers=told, language=spoken, step=asked_next, misses=0)
    if following is None:
        return _all_told(talk, further)
    talk.unit.joinings.keep(further, talk.now)
    ask_step(talk, further, following)
    return Understood("accept", f"joining: {step.asks} told")


def _consented(talk: Talk) -> None:
    """Note the yes with the price that it was told; who had left is back by it."""
    phone = talk.kept.phone
    talk.unit.consents.note(phone.id, "given", {"price": talk.papers.joining.price}, talk.now)
    if phone.left:
        talk.unit.people.set_left(phone.id, False, talk.now)


def _missed(talk: Talk, joining: Joining, step: JoinStep) -> Understood:
    tried = replace(joining, misses=joining.misses + 1)
    if tried.misses >= talk.papers.joining.most_misses:
        return _hand_on(talk, tried)
    talk.unit.joinings.keep(tried, talk.now)
    ask_step(talk, tried, step, unclear=True)
    return Understood("ask", f"joining: {step.asks} not clear, asked again")


def _step_back(talk: Talk, joining: Joining) -> Understood:
    before = talk.papers.joining.before(joining.step)
    told = {asks: told for asks, told in joining.answers.items() if asks != before.asks}
    back = replace(joining, step=before.asks, answers=told, misses=0)
    talk.unit.joinings.keep(back, talk.now)
    ask_step(talk, back, before)
    return Understood("accept", f"joining: back to {before.asks}")


# -- ending ---------------------------------------------------------------------------------------


def _decline(talk: Talk, joining: Joining) -> Understood:
    talk.unit.joinings.settle(joining.id, "dropped", "the phone", None, talk.now)
    end_dialogue(talk, joining, "declined")
    return Understood("accept", "does not want to join")


def _hand_on(talk: Talk, joining: Joining) -> Understood:
    """A person must go on from here; what was told so far waits among the requests."""
    talk.unit.joinings.keep(replace(joining, state="waiting"), talk.now)
    end_dialogue(talk, joining, "by_person")
    return Understood("ask", "joining: handed on to a person")


def _all_told(talk: Talk, joining: Joining) -> Understood:
    held = talk.unit.joinings.plot_like(joining.scheme_id, joining.answers["plot"])
    waits = replace(joining, state="waiting", plot_id=held.plot_id if held else None)
    talk.unit.joinings.keep(waits, talk.now)
    end_dialogue(talk, waits, "waiting")
    if held is not None:
        ask_holders(talk, waits, held)
    return Understood("accept", f"joining: all told, plot {joining.answers['plot']}")
