"""Write down what is owed: each duty once, and the texts that tell of it; take back what is not."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from gateway.advisory.due import Due, Step
from gateway.advisory.duties import Audience
from gateway.advisory.dutywords import word_due, word_together
from gateway.advisory.papers import Papers
from gateway.advisory.parcels import Parcel, State
from gateway.advisory.ports import Unit
from gateway.advisory.records import DutyRow, NewDuty, Phone, Scheme
from gateway.advisory.telling import UNSENT, Telling, Told

NO_LONGER: Final = "no longer needed"


@dataclass
class Owing:
    """One unit of work in which duties are written down for a scheme."""

    unit: Unit
    papers: Papers
    scheme: Scheme
    carrier: str
    phones: Mapping[Audience, Mapping[int, Sequence[Phone]]]
    now: datetime
    put: int = field(default=0)

    def take(self, steps: Iterable[Step]) -> None:
        """Do what those steps ask for."""
        still = [step for step in steps if self._wants(step)]
        wanted = {_new(step, step.due): (step, step.due) for step in still if step.due}
        numbers = self.unit.duties.owe(self.scheme.id, list(wanted), self.now)
        told = [
            Told(step, due, numbers[new], phone)
            for new, (step, due) in wanted.items()
            if new in numbers
            for phone in self.phones[due.rule.to].get(step.glance.plot_case.plot_id, ())
            if not phone.left
        ]
        telling = Telling(self.unit, self.papers, self.scheme, self.carrier, self.now)
        self.put += telling(told)

    def _wants(self, step: Step) -> bool:
        """Whether its duty is to be owed, what waits of the old one taken back."""
        if step.anew:
            self._say_anew(step)
            return False
        back = self._take_back(step.old) if step.old else True
        # Its old text left while this was reckoned: a small move is not worth a second one.
        return back or not step.was_near

    def _say_anew(self, step: Step) -> None:
        """What waits since another day says what is right now, and names no day that is over."""
        if step.old is None or step.due is None:
            return
        for parcel in self.unit.duties.texts(step.old.id):
            if parcel.state not in UNSENT or len(self.unit.duties.plots_told(parcel.id)) != 1:
                continue  # one that names several plots says by when, which is its last day
            words = self.papers.catalogue(parcel.language)
            text = word_due(step.due, step.glance, words, self.scheme.short_name)
            if text != parcel.text:
                self.unit.outbox.reword(parcel.id, text)

    def _take_back(self, row: DutyRow) -> bool:
        """Withdraw what waits of a duty; False where a text of it has left after all."""
        texts = self.unit.duties.texts(row.id)
        back = [self._untell(row, parcel) for parcel in texts if parcel.state in UNSENT]
        left = any(p.state not in (*UNSENT, State.WITHDRAWN, State.EXPIRED) for p in texts)
        if left or not all(back):
            return False
        self.unit.duties.take_back(row.id)
        return True

    def _untell(self, row: DutyRow, parcel: Parcel) -> bool:
        """Withdraw a text, or take one plot out of those that it names."""
        codes = self.unit.duties.plots_told(parcel.id)
        if len(codes) < 2:
            return self.unit.outbox.move(
                parcel.id, parcel.state, State.WITHDRAWN, self.now, words=NO_LONGER
            )
        self.unit.duties.untell(row.id, parcel.id)
        rest = self.unit.duties.plots_told(parcel.id)
        return self._reworded(row, parcel, rest)

    def _reworded(self, row: DutyRow, parcel: Parcel, codes: list[str]) -> bool:
        rule = self.papers.duties.duties.get(row.duty)
        if rule is None or rule.together is None:
            return True
        day = parcel.valid_until.astimezone(ZoneInfo(self.scheme.zone)).date() - timedelta(days=1)
        due = Due(rule, row.ordinal, row.anchor_on, day, day, rule.together)
        words = self.papers.catalogue(parcel.language)
        text = word_together(due, words, self.scheme.short_name, codes)
        return self.unit.outbox.reword(parcel.id, text)


def _new(step: Step, due: Due) -> NewDuty:
    return NewDuty(step.glance.season_id, due.rule.name, due.ordinal, step.revision, due.anchor_on)
