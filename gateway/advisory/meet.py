"""Meet a stranger: a phone that reads no plot is answered seldom, and told nothing of anybody."""

from typing import Final

from gateway.advisory.act import come_back, leave
from gateway.advisory.talk import Talk
from gateway.messages.heard import Heard
from gateway.messages.wording import word_notice

NOTICE: Final = "notice.stranger"


def meet_stranger(talk: Talk, heard: Heard) -> None:
    """Leaving and returning work for every phone; anything else has one answer in so many days."""
    for meaning in heard.meanings:
        if meaning.kind == "leave" and not talk.kept.phone.left:
            leave(talk, meaning)
            return
        if meaning.kind == "return":
            come_back(talk, meaning)
            return
    if heard.outcome != "reject" and not talk.kept.phone.left and may_answer(talk):
        talk.say(word_notice(NOTICE, talk.catalogue, scheme=talk.kept.scheme.short_name), NOTICE)


def may_answer(talk: Talk) -> bool:
    """At most one answer a phone in the customary days, within the scheme's daily cap."""
    customs, scheme_id = talk.papers.customs, talk.kept.scheme.id
    outbox = talk.unit.outbox
    today = talk.now.replace(hour=0, minute=0, second=0, microsecond=0)
    if outbox.notices(scheme_id, NOTICE, today) >= customs.strangers_a_day:
        return False
    since = talk.now - customs.stranger_between
    return outbox.notices(scheme_id, NOTICE, since, talk.kept.phone.id) == 0
