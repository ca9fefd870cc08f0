"""Ask the phones that read a plot whether one more may, and hear what they say."""

from typing import Final

from gateway.advisory.decidejoin import let_read
from gateway.advisory.joins import Joining, PlotHeld
from gateway.advisory.parcels import NewParcel
from gateway.advisory.records import Phone, Question, Understood
from gateway.advisory.talk import NEW_PHONE, Talk
from gateway.messages.heard import Heard

TOPIC: Final = f"question.{NEW_PHONE}"


def ask_holders(talk: Talk, joining: Joining, held: PlotHeld) -> None:
    """Put the question to each phone that reads the plot, once in the time that it is valid."""
    others = [phone for phone in held.holders if phone.id != joining.phone_id]
    since = talk.now - talk.papers.joining.holder.valid
    for phone in others:
        if not talk.unit.outbox.notices(joining.scheme_id, TOPIC, since, phone.id):
            _ask(talk, joining, held, phone)


def _ask(talk: Talk, joining: Joining, held: PlotHeld, phone: Phone) -> None:
    rules, scheme = talk.papers.joining.holder, talk.kept.scheme
    leaves = talk.papers.customs.next_open(talk.now, scheme.zone)
    valid = leaves + rules.valid
    talk.unit.questions.put(phone.id, held.plot_id, NEW_PHONE, (float(joining.id),), valid, None)
    words = talk.papers.catalogue(phone.language, phone.letters)
    parcel = NewParcel(
        scheme_id=scheme.id,
        phone_id=phone.id,
        carrier=joining.carrier,
        text=words.say(
            rules.ask,
            scheme=scheme.short_name,
            plot=held.code,
            ending=talk.kept.phone.number.masked[-2:],
        ),
        language=words.language,
        kind="notice",
        not_before=leaves,
        valid_until=valid,
        topic=TOPIC,
        asks=True,
        plot_id=held.plot_id,
    )
    talk.unit.outbox.put(parcel, talk.now)


def hear_holder(talk: Talk, heard: Heard) -> Understood | None:
    """What a phone says to our question whether another may read its plot; None: something else."""
    question = talk.kept.question
    said = {m.kind for m in heard.meanings} & {"yes", "no"}
    if question is None or question.about != NEW_PHONE or len(said) != 1 or heard.readings:
        return None
    talk.unit.questions.close(question.id, "answered", talk.now)
    joining = talk.unit.joinings.get(talk.kept.scheme.id, int(question.candidates[0]))
    held = _still_theirs(talk, question, joining)
    if held is None:
        return None
    if said == {"no"}:
        return _refused(talk, joining, held)
    talk.unit.joinings.holder_said(joining.id, "yes")
    let_read(
        talk.unit,
        talk.papers,
        talk.kept.scheme,
        joining,
        held,
        talk.kept.phone.number.masked,
        talk.now,
    )
    return Understood("accept", f"{held.code}: lets the other phone read it")


def _still_theirs(talk: Talk, question: Question, joining: Joining) -> PlotHeld | None:
    """The plot, while the request waits and this phone reads the plot still."""
    reads = {read.plot_id for read in talk.plots.values()}
    same = joining.plot_id == question.plot_id and joining.plot_id in reads
    if joining.state != "waiting" or joining.plot_id is None or not same:
        return None
    return talk.unit.joinings.plot(joining.plot_id)


def _refused(talk: Talk, joining: Joining, held: PlotHeld) -> Understood:
    """The officer decides, and sees what was said."""
    talk.unit.joinings.holder_said(joining.id, "no")
    talk.say(talk.catalogue.say(talk.papers.joining.holder.no, plot=held.code), "join.holder-no")
    return Understood("accept", f"{held.code}: does not want the other phone to read it")
