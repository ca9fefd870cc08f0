"""Receive a text: write it down, understand it, answer it, in one commit."""

import logging
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from gateway.advisory.answer import Answer
from gateway.advisory.ports import Clock, Store, Unit
from gateway.advisory.records import Inbound, KeptText, Understood

log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Received:
    """A text on record. ``fresh`` False: it had come before, and has its answer already."""

    text_id: int
    fresh: bool


@dataclass(frozen=True, slots=True)
class Receive:
    """The one way in for texts of every carrier, and for USSD reports."""

    store: Store
    clock: Clock
    answer: Answer
    scheme_id: Callable[[Unit], int]
    wake: Callable[[], None]

    def __call__(self, inbound: Inbound) -> Received:
        """Keep and answer one text. Returns after the commit. Raises StoreDown and nothing else.

        Whatever fails after the text is written is undone; the text is kept, marked, for the office
        to see.
        """
        with self.store.begin() as unit:
            # The moment is taken behind the write lock, so that what is recorded and what is judged
            # stand in one order: replay by recorded_at then sees just what judgement saw.
            now = self.clock.now()
            kept = unit.texts.keep(self.scheme_id(unit), inbound, now)
            if kept.fresh:
                kept = self._answer(unit, kept, inbound, now)
            unit.commit()
        self.wake()
        return Received(kept.id, kept.fresh)

    def _answer(self, unit: Unit, kept: KeptText, inbound: Inbound, now: datetime) -> KeptText:
        """The text as it stands in the end. A fault undoes all, and the text is written again."""
        try:
            self.answer(unit, kept, inbound, now)
        except Exception as fault:
            # The words of the fault may hold the grower's: its kind and place go to the log.
            place = "".join(traceback.format_tb(fault.__traceback__))
            unit.rollback()
            kept = unit.texts.keep(self.scheme_id(unit), inbound, now)
            log.error("text %s not answered: %s\n%s", kept.id, type(fault).__name__, place)
            if kept.fresh:
                failed = Understood("failed", "could not be answered", failure=type(fault).__name__)
                unit.texts.settle(kept.id, failed)
        return kept
