"""Answer a text that was written down: understand it, note what it says, say the next step."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from gateway.advisory.act import act_on
from gateway.advisory.advise import advise_plot
from gateway.advisory.ask import ask_back, close_question
from gateway.advisory.askholders import hear_holder
from gateway.advisory.consent import hear_consent
from gateway.advisory.hear import hear
from gateway.advisory.join import go_on_joining
from gateway.advisory.meet import meet_stranger
from gateway.advisory.papers import Papers
from gateway.advisory.ports import Unit
from gateway.advisory.records import Inbound, KeptText, Understood
from gateway.advisory.reportoutlet import meet_keeper, report_outlet
from gateway.advisory.resting import tell_resting
from gateway.advisory.summary import summary_of
from gateway.advisory.talk import Talk, begin_talk
from gateway.advisory.write import write_readings
from gateway.messages.heard import Heard
from gateway.messages.wording import word_digest

FIRST: Final[tuple[Callable[[Talk, Heard], Understood | None], ...]] = (
    hear_holder,
    hear_consent,
    report_outlet,
    go_on_joining,
    meet_keeper,
)
"""What a text may belong to before it has its usual way, asked in this order."""


@dataclass(frozen=True, slots=True)
class Answer:
    """From a text to its answers, inside the one unit of work that holds it all."""

    papers: Papers

    def __call__(self, unit: Unit, kept: KeptText, inbound: Inbound, now: datetime) -> None:
        """Understand and answer; what came of it is settled beside the text."""
        talk = begin_talk(unit, self.papers, kept, inbound, now)
        heard = hear(talk)
        other = next(filter(None, (turn(talk, heard) for turn in FIRST)), None)
        if other is None:
            self._answer_usual(talk, heard)
        data = {**heard.plain(), "said": talk.said}
        understood = other or Understood(heard.outcome, summary_of(heard))
        unit.texts.settle(kept.id, replace(understood, data=data))

    def _answer_usual(self, talk: Talk, heard: Heard) -> None:
        if talk.plots:
            self._answer_reader(talk, heard)
        else:
            meet_stranger(talk, heard)

    def _answer_reader(self, talk: Talk, heard: Heard) -> None:
        if heard.outcome == "reject":
            return
        close_question(talk, heard)
        touched = write_readings(talk, heard.readings)
        for meaning in heard.meanings:
            touched += [p for p in act_on(talk, meaning) if p not in touched]
        advise_on(talk, touched)
        for question in heard.ask:
            ask_back(talk, question, heard)


def advise_on(talk: Talk, codes: list[str]) -> None:
    """Advice on one plot as a text of its own, on several as a digest."""
    codes = tell_resting(talk, codes)
    given = [
        advise_plot(
            talk.unit,
            talk.papers,
            talk.plots[code].plot_id,
            talk.now,
            talk.catalogue,
            talk.kept.id,
            talk.noted.get(code, "") if len(codes) == 1 else "",
            talk.name_of(code) if len(codes) == 1 else None,
        )
        for code in codes
    ]
    if len(given) == 1:
        only = given[0]
        talk.say(only.text, "advice", plot_id=only.plot_id, advice_id=only.advice_id)
    elif given:
        talk.say(word_digest([g.advice for g in given], talk.catalogue), "digest")
