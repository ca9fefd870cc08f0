"""Tell phones what is owed: a text for each duty, or one for several plots of a phone."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from functools import cached_property
from typing import Final
from zoneinfo import ZoneInfo

from gateway.advisory.customs import spread_of
from gateway.advisory.due import CALL, Due, Step
from gateway.advisory.dutywords import word_due, word_together
from gateway.advisory.papers import Papers
from gateway.advisory.parcels import NewParcel, Parcel, State
from gateway.advisory.ports import Unit
from gateway.advisory.records import Phone, Scheme
from gateway.messages.catalogue import Catalogue
from gateway.messages.segments import count_segments

UNSENT: Final = frozenset({State.WAITING, State.HELD})
TEXTS_A_DAY: Final = 20
"""So many texts name plots together on one day at most; the rest have a text each."""


@dataclass(frozen=True, slots=True)
class Told:
    """A duty that is owed now, and a phone that is to hear of it."""

    step: Step
    due: Due
    duty_id: int
    phone: Phone

    @property
    def plot(self) -> str:
        """The code of its plot."""
        return self.step.glance.case.plot.code

    @property
    def own_key(self) -> str:
        """The name of a text that tells of nothing else."""
        return f"duty:{self.duty_id}:{self.phone.id}"


@dataclass
class Draft:
    """A text that is not in the outbox yet, and what it tells of."""

    parcel: NewParcel
    tells: list[Told]


@dataclass
class Telling:
    """The texts of one unit of work, drafted one by one and put together at its end."""

    unit: Unit
    papers: Papers
    scheme: Scheme
    carrier: str
    now: datetime
    drafts: dict[str, Draft] = field(default_factory=dict, init=False)

    def __call__(self, told: Iterable[Told]) -> int:
        """Tell of all that; how many texts were put.

        Where another process put a text of that name meanwhile, the plot joins it or has another.
        """
        put, left = 0, sorted(told, key=lambda each: each.phone.id)  # all units in one order
        while left:
            there = self.unit.outbox.of_keys(self.scheme.id, _first_keys(left))
            for each in left:
                self._draft(each, there)
            texts = [(d.parcel, [t.duty_id for t in d.tells]) for d in self.drafts.values()]
            done = self.unit.duties.put(texts, self.now)
            missed = [draft for key, draft in self.drafts.items() if key not in done]
            left = [each for draft in missed for each in draft.tells if each.due.rule.together]
            put += len(done)
            self.drafts.clear()
        return put

    def _draft(self, told: Told, there: Mapping[str, Parcel]) -> None:
        key = self._place(told, there) if told.due.rule.together else told.own_key
        if key is not None:
            self.drafts[key] = Draft(self._parcel(told, key), [told])

    # -- several plots in one text ----------------------------------------------------------------

    def _place(self, told: Told, there: Mapping[str, Parcel]) -> str | None:
        """The name of a text to begin; None where one that is there took the plot in."""
        for number in range(TEXTS_A_DAY):
            key = _key(told, number)
            if key in self.drafts:
                if self._joins_draft(self.drafts[key], told):
                    return None
                continue
            put = there.get(key) if number == 0 else self._of_key(key)
            if put is None:
                return key
            if put.state in UNSENT and self._joins_text(put, told):
                return None
        return told.own_key

    def _of_key(self, key: str) -> Parcel | None:
        return self.unit.outbox.of_keys(self.scheme.id, [key]).get(key)

    def _joins_draft(self, draft: Draft, told: Told) -> bool:
        text = self._together(told, [*(each.plot for each in draft.tells), told.plot])
        if text is not None:
            draft.parcel = replace(draft.parcel, text=text)
            draft.tells.append(told)
        return text is not None

    def _joins_text(self, put: Parcel, told: Told) -> bool:
        text = self._together(told, [*self.unit.duties.plots_told(put.id), told.plot])
        if text is None or not self.unit.outbox.reword(put.id, text):
            return False
        self.unit.duties.tell(self.scheme.id, told.duty_id, put.id)
        return True

    def _together(self, told: Told, codes: list[str]) -> str | None:
        """The words for all those plots; None where they do not fit into one segment."""
        text = word_together(told.due, self._words(told.phone), self.scheme.short_name, codes)
        fits = " ".join(codes) in text and count_segments(text).segments == 1
        return text if fits else None

    # -- a text -----------------------------------------------------------------------------------

    def _parcel(self, told: Told, key: str) -> NewParcel:
        due, phone, words = told.due, told.phone, self._words(told.phone)
        return NewParcel(
            scheme_id=self.scheme.id,
            phone_id=phone.id,
            carrier=self.carrier,
            text=word_due(due, told.step.glance, words, self.scheme.short_name),
            language=words.language,
            kind="duty",
            not_before=self._leaves(due, phone),
            valid_until=self._at(due.last_on + timedelta(days=1), time()),
            topic=CALL if due.text == CALL else due.rule.name,
            safety=due.rule.safety,
            asks=due.rule.asks,
            plot_id=told.step.glance.plot_case.plot_id,
            duty_id=told.duty_id,
            key=key,
        )

    def _leaves(self, due: Due, phone: Phone) -> datetime:
        """When it may leave: from its hour on, each phone at its own minute, never in the quiet."""
        late = spread_of(phone.id, due.rule.spread)
        hour = max(self._at(due.owed_on, due.rule.hour), self.now)
        opens = self.papers.customs.next_open(hour + late, self.scheme.zone)
        return opens if opens == hour + late else opens + late

    def _at(self, day: date, hour: time) -> datetime:
        """That hour of the scheme's zone, in UTC."""
        return datetime.combine(day, hour, self._zone).astimezone(self.now.tzinfo)

    @cached_property
    def _zone(self) -> ZoneInfo:
        return ZoneInfo(self.scheme.zone)

    def _words(self, phone: Phone) -> Catalogue:
        return self.papers.catalogue(phone.language, phone.letters)


def _first_keys(told: Iterable[Told]) -> list[str]:
    """The names of the first texts that the plots may share."""
    return sorted({_key(each, 0) for each in told if each.due.rule.together})


def _key(told: Told, number: int) -> str:
    """The name of a text that several plots of one phone may share, owed and over on one day."""
    due = told.due
    days = f"{due.owed_on}:{due.last_on}"
    return f"together:{due.rule.together}:{told.phone.id}:{days}:{number}"
