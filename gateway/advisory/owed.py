"""Write down what is owed: the duty once, its texts to the phones that are to hear of it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from typing import Final
from zlib import crc32
from zoneinfo import ZoneInfo

from gateway.advisory.due import CALL, Due, Step
from gateway.advisory.duties import Audience
from gateway.advisory.dutywords import word_due, word_together
from gateway.advisory.papers import Papers
from gateway.advisory.parcels import NewParcel, Parcel, State
from gateway.advisory.ports import Unit
from gateway.advisory.records import DutyRow, Phone, Scheme
from gateway.messages.catalogue import Catalogue
from gateway.messages.segments import count_segments

UNSENT: Final = frozenset({State.WAITING, State.HELD})
TEXTS_A_DAY: Final = 20
"""So many texts name plots together on one day at most; the rest have a text each."""


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

    def take(self, step: Step) -> None:
        """Do what a step asks for."""
        back = self._take_back(step.old) if step.old else True
        # Its old text left while this was reckoned: a small move is not worth a second one.
        if step.due and (back or not step.was_near):
            self._owe(step, step.due)

    def _owe(self, step: Step, due: Due) -> None:
        duty_id = self.unit.duties.owe(
            self.scheme.id,
            step.glance.season_id,
            due.rule.name,
            due.ordinal,
            step.revision,
            due.anchor_on,
            self.now,
        )
        if duty_id is None:
            return
        for phone in self.phones[due.rule.to].get(step.glance.plot_case.plot_id, ()):
            if not phone.left:
                self._tell(step, due, duty_id, phone)

    # -- telling ----------------------------------------------------------------------------------

    def _tell(self, step: Step, due: Due, duty_id: int, phone: Phone) -> None:
        if due.rule.together and self._joined(step, due, duty_id, phone):
            return
        text = word_due(due, step.glance, self._words(phone), self.scheme.short_name)
        parcel = self._parcel(step, due, duty_id, phone, text)
        self.put += self.unit.outbox.put(parcel, self.now) is not None

    def _joined(self, step: Step, due: Due, duty_id: int, phone: Phone) -> bool:
        """Whether a text that waits for this phone and day could take the plot in."""
        for number in range(TEXTS_A_DAY):
            key = _key(due, phone, number)
            there = self.unit.outbox.of_key(self.scheme.id, key)
            if there is None:
                return False
            if there.state in UNSENT and self._takes_in(there, step, due, duty_id, phone):
                return True
        return False

    def _takes_in(self, there: Parcel, step: Step, due: Due, duty_id: int, phone: Phone) -> bool:
        codes = [*self.unit.duties.plots_told(there.id), step.glance.case.plot.code]
        text = word_together(due, self._words(phone), self.scheme.short_name, codes)
        fits = " ".join(codes) in text and count_segments(text).segments == 1
        if not fits or not self.unit.outbox.reword(there.id, text):
            return False
        self.unit.duties.tell(self.scheme.id, duty_id, there.id)
        return True

    def _parcel(self, step: Step, due: Due, duty_id: int, phone: Phone, text: str) -> NewParcel:
        until = self._at(due.last_on + timedelta(days=1), time())
        parcel = NewParcel(
            scheme_id=self.scheme.id,
            phone_id=phone.id,
            carrier=self.carrier,
            text=text,
            language=self._words(phone).language,
            kind="duty",
            not_before=self._leaves(due, phone),
            valid_until=until,
            topic=CALL if due.text == CALL else due.rule.name,
            safety=due.rule.safety,
            asks=due.rule.asks,
            plot_id=step.glance.plot_case.plot_id,
            duty_id=duty_id,
            key=f"duty:{duty_id}:{phone.id}",
        )
        return replace(parcel, key=self._free_key(due, phone)) if due.rule.together else parcel

    def _free_key(self, due: Due, phone: Phone) -> str:
        keys = (_key(due, phone, number) for number in range(TEXTS_A_DAY))
        free = (k for k in keys if self.unit.outbox.of_key(self.scheme.id, k) is None)
        return next(free, _key(due, phone, TEXTS_A_DAY))

    def _leaves(self, due: Due, phone: Phone) -> datetime:
        """When it may leave: from its hour on, each phone at its own minute, never in the quiet."""
        late = spread_of(phone.id, due.rule.spread)
        hour = max(self._at(due.owed_on, due.rule.hour), self.now)
        opens = self.papers.customs.next_open(hour + late, self.scheme.zone)
        return opens if opens == hour + late else opens + late

    def _at(self, day: date, hour: time) -> datetime:
        """That hour of the scheme's zone, in UTC."""
        local = datetime.combine(day, hour, ZoneInfo(self.scheme.zone))
        return local.astimezone(self.now.tzinfo)

    def _words(self, phone: Phone) -> Catalogue:
        return self.papers.catalogue(phone.language, phone.letters)

    # -- taking back ------------------------------------------------------------------------------

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


NO_LONGER: Final = "no longer needed"


def _key(due: Due, phone: Phone, number: int) -> str:
    """The name of a text that several plots of one phone may share on one day."""
    return f"together:{due.rule.together}:{phone.id}:{due.owed_on}:{number}"


def spread_of(phone_id: int, span: timedelta) -> timedelta:
    """How long after the hour a phone's texts leave: the same for a phone, even over phones."""
    share = crc32(str(phone_id).encode()) / 2**32
    return timedelta(seconds=round(share * span.total_seconds()))
