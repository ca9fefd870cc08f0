"""Speak another language to a phone from now on, where we have the words of it."""

from dataclasses import replace
from typing import Final

from gateway.advisory.talk import Talk
from gateway.messages.heard import Meaning
from gateway.messages.wording import word_notice

NOTICE: Final = "notice.language"


def speak(talk: Talk, meaning: Meaning) -> bool:
    """Change the language of the phone and say so in it. False where we have no words of it."""
    language = str(meaning.value)
    if language not in talk.papers.catalogues:
        return False
    phone = talk.kept.phone
    talk.unit.people.set_language(phone.id, language)
    talk.kept = replace(talk.kept, phone=replace(phone, language=language))
    example = next(iter(talk.plots), None)
    talk.say(word_notice(NOTICE, talk.catalogue, plot=example), NOTICE)
    return True
