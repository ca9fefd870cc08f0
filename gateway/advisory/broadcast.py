"""Speak to many: write, list, try on oneself, release, pause, go on, cancel; each is audited."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import groupby
from zoneinfo import ZoneInfo

from gateway.advisory.broadcasts import (
    Audience,
    Broadcast,
    BroadcastCustoms,
    Candidate,
    ListedPhone,
    NewBroadcast,
    NotNow,
)
from gateway.advisory.broadcastwords import Sample, Speaker, mistakes_in
from gateway.advisory.customs import spread_of
from gateway.advisory.number import read_number
from gateway.advisory.owe import glances_of
from gateway.advisory.papers import Papers
from gateway.advisory.parcels import NewParcel
from gateway.advisory.ports import Clock, Store, Unit
from gateway.advisory.records import OfficeUser, Scheme

STAGES_AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class Broadcasting:
    """What an officer does with a broadcast. Each raises NotNow where it cannot be done as yet."""

    store: Store
    clock: Clock
    papers: Papers
    speaker: Speaker
    customs: BroadcastCustoms
    carrier: Callable[[Scheme], str]
    wake: Callable[[], None]

    # -- writing ----------------------------------------------------------------------------------

    def write(
        self, scheme: Scheme, user: OfficeUser, new: NewBroadcast, broadcast_id: int | None = None
    ) -> int:
        """A new draft, or other contents for one, with the list of those it goes to."""
        self._check(new)
        until = new.leaves_at + self.customs.valid
        with self.store.begin() as unit:
            now = self.clock.now()
            if broadcast_id is None:
                broadcast_id = unit.broadcasts.add(scheme.id, new, until, user.name, now)
            elif not unit.broadcasts.rewrite(scheme.id, broadcast_id, new, until, user.name, now):
                raise NotNow("It was released or cancelled, and is not changed any more.")
            listed = list(self._listed(unit, scheme, new.audience, now))
            unit.broadcasts.set_list(broadcast_id, scheme.id, listed)
            about = {"broadcast": broadcast_id, "title": new.title, "phones": len(listed)}
            unit.office.audit(scheme.id, user.name, "broadcast written", about, now)
            unit.commit()
        return broadcast_id

    def _check(self, new: NewBroadcast) -> None:
        if not new.title.strip():
            raise NotNow("Give it a title, by which the office finds it again.")
        if not new.wording.message and not new.wording.own:
            raise NotNow("Choose a text of the catalogue, or write one in a language at least.")
        if new.wording.message and new.wording.message not in self.customs.texts:
            raise NotNow("That text is not one that may be sent to many.")
        if new.wording.message and (lacking := self.speaker.lacking(new.wording)):
            raise NotNow(f"That text has places for days: {', '.join(lacking)}. Fill them in.")
        if wrong := mistakes_in(new.wording):
            raise NotNow(
                f"Nothing fills {', '.join(wrong)}. Own words may have {{scheme}} and {{plots}}."
            )

    def _listed(
        self, unit: Unit, scheme: Scheme, wanted: Audience, now: datetime
    ) -> Iterator[ListedPhone]:
        """Every phone that is meant, with its plots that are."""
        today = now.astimezone(ZoneInfo(scheme.zone)).date()
        since = today - timedelta(days=self.customs.regular_days)
        regular = self.customs.regular_readings, since
        found = unit.broadcasts.candidates(scheme.id, wanted, today, regular)
        if wanted.stages:
            found = self._at_stage(unit, scheme, found, wanted.stages, now)
        for phone_id, rows in groupby(found, key=lambda one: one.phone_id):
            plots = list(rows)
            form = self.speaker.form_of(plots[0].language, plots[0].letters)
            alone = plots[0].plot_id if len(plots) == 1 else None
            yield ListedPhone(phone_id, form, tuple(one.code for one in plots), alone)

    def _at_stage(
        self,
        unit: Unit,
        scheme: Scheme,
        found: list[Candidate],
        stages: tuple[str, ...],
        now: datetime,
    ) -> list[Candidate]:
        plots, there = sorted({one.plot_id for one in found}), set()
        for first in range(0, len(plots), STAGES_AT_ONCE):
            some = plots[first : first + STAGES_AT_ONCE]
            for glance in glances_of(unit, self.papers, scheme, some, now):
                if glance.calendar.stage_on(glance.today) in stages:
                    there.add(glance.plot_case.plot_id)
        return [one for one in found if one.plot_id in there]

    # -- looking ----------------------------------------------------------------------------------

    def samples(self, scheme: Scheme, broadcast: Broadcast) -> list[Sample]:
        """Its words as phones get them, one for each form on its list."""
        with self.store.begin(write=False) as unit:
            return self._samples(unit, scheme, broadcast)

    def leaves(self, scheme: Scheme, broadcast: Broadcast) -> datetime:
        """When the first of its texts leave: its hour, not before now, and not in the quiet."""
        first = max(broadcast.leaves_at, self.clock.now())
        return self.papers.customs.next_open(first, scheme.zone)

    def needs_second(self, broadcast: Broadcast) -> bool:
        """Whether another officer than its writer must release it."""
        return broadcast.safety or broadcast.phones > self.customs.second_officer_above

    def _samples(self, unit: Unit, scheme: Scheme, broadcast: Broadcast) -> list[Sample]:
        many = unit.broadcasts.forms(broadcast.id)
        found = ((form, unit.broadcasts.example(broadcast.id, form)) for form in many)
        listed = {form: phone for form, phone in found if phone}
        return list(self.speaker.samples(broadcast, scheme, listed, many))

    # -- trying -----------------------------------------------------------------------------------

    def try_on(self, scheme: Scheme, user: OfficeUser, broadcast_id: int, number: str) -> int:
        """Send each form's words to one phone of the office; how many texts. Raises NotANumber."""
        to = read_number(number, scheme.region)
        with self.store.begin() as unit:
            now = self.clock.now()
            broadcast = unit.broadcasts.get(scheme.id, broadcast_id)
            said = [s for s in self._samples(unit, scheme, broadcast) if s.text]
            sent = unit.broadcasts.tests(scheme.id, broadcast_id)
            if not said or sent + len(said) > self.customs.tests_at_most:
                raise NotNow(f"{sent} tests were sent, {self.customs.tests_at_most} may be.")
            phone = unit.people.phone_of(scheme.id, to, now)
            if phone.left:
                raise NotNow("That phone has left, and gets nothing that the office starts.")
            for sample in said:
                unit.outbox.put(self._test(broadcast, sample, phone.id, scheme, now), now)
            about = {"broadcast": broadcast_id, "texts": len(said), "to": to.masked}
            unit.office.audit(scheme.id, user.name, "broadcast tried", about, now)
            unit.commit()
        self.wake()
        return len(said)

    def _test(
        self, broadcast: Broadcast, sample: Sample, phone_id: int, scheme: Scheme, now: datetime
    ) -> NewParcel:
        return NewParcel(
            scheme_id=scheme.id,
            phone_id=phone_id,
            carrier=self.carrier(scheme),
            text=sample.text or "",
            language=sample.form,
            kind="notice",
            not_before=now,
            valid_until=now + self.papers.customs.answer_valid,
            topic=f"broadcast-test:{broadcast.id}",
        )

    # -- deciding ---------------------------------------------------------------------------------

    def release(self, scheme: Scheme, user: OfficeUser, broadcast_id: int, seen: datetime) -> None:
        """Let it go to its list, at its hour; ``seen``: when what the officer saw was written."""
        with self.store.begin() as unit:
            now = self.clock.now()
            # Moved first, which bars whoever would change it meanwhile; undone if it may not go.
            self._move(
                unit, unit.broadcasts.get(scheme.id, broadcast_id), "draft", "released", user, now
            )
            broadcast = unit.broadcasts.get(scheme.id, broadcast_id)
            if broadcast.written_at != seen:
                raise NotNow("It was changed after you opened it. Look at it again.")
            self._may_be_released(unit, scheme, broadcast, user, now)
            unit.commit()
        self.wake()

    def _may_be_released(
        self, unit: Unit, scheme: Scheme, broadcast: Broadcast, user: OfficeUser, now: datetime
    ) -> None:
        if not broadcast.phones:
            raise NotNow("Nobody is on its list.")
        if broadcast.valid_until <= now:
            raise NotNow("Its hour is long over. Give it another one.")
        for sample in self._samples(unit, scheme, broadcast):
            if sample.text is None:
                raise NotNow(
                    f"{sample.phones} phones get it in {sample.form}, for which there are no words."
                )
            if not sample.is_ready:
                raise NotNow(
                    f"The words in {sample.form} are a draft: write down who has read them aloud."
                )
        if self.needs_second(broadcast) and user.name == broadcast.written_by:
            raise NotNow("Another officer than the one who wrote it must release it.")

    def pause(self, scheme: Scheme, user: OfficeUser, broadcast_id: int) -> None:
        """Hold what has not left."""
        with self.store.begin() as unit:
            now = self.clock.now()
            broadcast = unit.broadcasts.get(scheme.id, broadcast_id)
            self._move(unit, broadcast, "released", "paused", user, now)
            unit.broadcasts.hold_texts(scheme.id, broadcast_id, now)
            unit.commit()

    def go_on(self, scheme: Scheme, user: OfficeUser, broadcast_id: int) -> None:
        """Let what was held for the pause leave after all, spread as a fresh one is."""
        spread = self.customs.spread
        with self.store.begin() as unit:
            now = self.clock.now()
            broadcast = unit.broadcasts.get(scheme.id, broadcast_id)
            self._move(unit, broadcast, "paused", "released", user, now)
            first = self.leaves(scheme, broadcast)
            unit.broadcasts.free_texts(
                scheme.id, broadcast_id, lambda phone: first + spread_of(phone, spread), now
            )
            unit.commit()
        self.wake()

    def cancel(self, scheme: Scheme, user: OfficeUser, broadcast_id: int) -> None:
        """Withdraw what has not left, for good."""
        with self.store.begin() as unit:
            now = self.clock.now()
            broadcast = unit.broadcasts.get(scheme.id, broadcast_id)
            self._move(unit, broadcast, broadcast.state, "cancelled", user, now)
            unit.broadcasts.withdraw_texts(scheme.id, broadcast_id, now)
            unit.commit()

    def _move(
        self,
        unit: Unit,
        broadcast: Broadcast,
        from_: str,
        to: str,
        user: OfficeUser,
        now: datetime,
    ) -> None:
        if from_ == to or not unit.broadcasts.change(broadcast.id, from_, to, user.name, now):
            raise NotNow("It stands otherwise by now. Look at it again.")
        about = {"broadcast": broadcast.id, "title": broadcast.title, "phones": broadcast.phones}
        unit.office.audit(broadcast.scheme_id, user.name, f"broadcast {to}", about, now)
