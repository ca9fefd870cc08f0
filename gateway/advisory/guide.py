"""Guide a grower through making and placing the field tube, one step a text."""

from gateway.advisory.talk import Talk
from gateway.messages.tubeguide import first_step, step_after, word_step


def begin_guide(talk: Talk) -> None:
    """Say the first step."""
    _say(talk, first_step())


def go_on_with_guide(talk: Talk) -> bool:
    """Say the step after the one that the phone was told last; False where it was told none.

    Only while an open question would still be open: days later MORE means something else.
    """
    since = talk.now - talk.papers.customs.question_valid
    last = talk.unit.outbox.answered_last(talk.kept.phone.id, since)
    step = step_after(last, talk.catalogue)
    if step is not None:
        _say(talk, step)
    return step is not None


def _say(talk: Talk, step: str) -> None:
    talk.say(word_step(step, talk.catalogue), step)
