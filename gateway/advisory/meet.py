"""Meet a stranger: a phone that reads no plot is answered seldom, and told nothing of anybody."""

from typing import Final

from gateway.advisory.act import come_back, leave
from gateway.advisory.join import open_joining
from gateway.advisory.joinwords import end_dialogue
from gateway.advisory.talk import Talk
from gateway.messages.heard import Heard
from gateway.messages.wording import word_notice

NOTICE: Final = "notice.stranger"


def meet_stranger(talk: Talk, heard: Heard) -> None:
    """Leaving and returning work for every phone; anything else has one answer in so many days."""
    for meaning in heard.meanings:
        if meaning.kind == "leave":
            leave(talk, meaning)
            return
        if meaning.kind == "return":
            come_back(talk, meaning)
            return
    if heard.outcome != "reject" and not talk.kept.phone.left and may_answer(talk):
        _tell(talk)


def _tell(talk: Talk) -> None:
    """That it is on no list; who has asked to be, and waits for the office, hears that instead."""
    joining = open_joining(talk)
    if joining is not None and joining.state == "waiting":
        how = "waiting" if "plot" in joining.answers else "by_person"
        end_dialogue(talk, joining, how, topic=NOTICE)
        return
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
