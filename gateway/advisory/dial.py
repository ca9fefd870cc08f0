"""Dial: a USSD dialogue step by step, whose report goes the way of every text."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from gateway.advisory.papers import Papers
from gateway.advisory.ports import Clock, Store, Unit
from gateway.advisory.receive import Receive
from gateway.advisory.records import Dial, Inbound, Phone, Screen
from gateway.messages.catalogue import Catalogue
from gateway.messages.menu import (
    MenuFacts,
    Step,
    resume,
    state_from_text,
    state_to_text,
    step,
)
from gateway.messages.menunow import language_names, say_now


@dataclass(frozen=True, slots=True)
class Dialling:
    """The menu on a phone. The long advice follows as a text, by the same way as any answer."""

    store: Store
    clock: Clock
    papers: Papers
    receive: Receive
    scheme_id: Callable[[Unit], int]

    def __call__(self, dial: Dial) -> Screen:
        """What the phone shows next. Raises StoreDown.

        The report is received before the dialogue is closed: a fault in between leaves a step that
        can be done again, and its reference lets the second time change nothing.
        """
        if dial.gone:
            return Screen("", end=True)
        now = self.clock.now()
        with self.store.begin() as unit:
            phone = unit.people.phone_of(self.scheme_id(unit), dial.sender, now)
            taken, begun = self._step(unit, phone, dial, now)
            if taken.report is None:
                self._put(unit, phone, dial, taken, begun, now)
            unit.commit()
        if taken.report is not None:
            self._report(phone, dial, taken.report, begun)
            with self.store.begin() as unit:
                self._put(unit, phone, dial, taken, begun, now)
                unit.commit()
        return Screen(taken.text, taken.end)

    def _facts(self, unit: Unit, phone: Phone, now: datetime) -> MenuFacts:
        reads = {read.code: read.plot_id for read in unit.people.plots_of(phone.id)}
        papers, words = self.papers, self._words(phone)
        names = language_names(words, papers.catalogues, papers.plain)

        def needs(code: str) -> str:
            newest = unit.advices.latest(reads[code])
            advice = newest.advice if newest else None
            rests = unit.pauses.over([reads[code]], now).get(reads[code])
            until = rests.last_on if rests else None
            return say_now(code, advice, _today(unit, phone, now), words, until)

        return MenuFacts(tuple(reads), tuple(names.values()), needs)

    def _step(self, unit: Unit, phone: Phone, dial: Dial, now: datetime) -> tuple[Step, str]:
        """The next step, and the moment at which this dialogue began."""
        menu, words, facts = self.papers.menu, self._words(phone), self._facts(unit, phone, now)
        kept = unit.dialogues.state(phone.id, dial.carrier, dial.session, now)
        state, begun = state_from_text(kept)
        if kept is not None:
            return step(menu, state, dial.entry or "", facts, words), begun
        since = now - self.papers.customs.dialogue_resume
        left, _ = state_from_text(unit.dialogues.left_off(phone.id, since))
        if left is not None:
            return resume(menu, left, facts, words), now.isoformat()
        return step(menu, None, "", facts, words), now.isoformat()

    def _put(
        self, unit: Unit, phone: Phone, dial: Dial, taken: Step, begun: str, now: datetime
    ) -> None:
        state = state_to_text(taken.state, begun)
        unit.dialogues.put(phone.id, dial.carrier, dial.session, state, taken.end, now)

    def _report(self, phone: Phone, dial: Dial, body: str, begun: str) -> None:
        # Operators use session numbers again: the moment of its beginning sets a dialogue apart.
        reference = f"ussd:{phone.id}:{dial.session}:{begun}"
        self.receive(Inbound(dial.carrier, dial.sender, body, dial.at, reference))

    def _words(self, phone: Phone) -> Catalogue:
        return self.papers.catalogue(phone.language, phone.letters)


def _today(unit: Unit, phone: Phone, now: datetime) -> date:
    zone = next(scheme.zone for scheme in unit.schemes.all() if scheme.id == phone.scheme_id)
    return now.astimezone(ZoneInfo(zone)).date()
