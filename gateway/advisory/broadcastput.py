"""Put the texts of released broadcasts in the outbox, many at once, each phone's exactly once."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from gateway.advisory.broadcasts import Broadcast, BroadcastCustoms, ListedPhone, topic_of
from gateway.advisory.broadcastwords import Speaker
from gateway.advisory.customs import spread_of
from gateway.advisory.parcels import NewParcel
from gateway.advisory.ports import Clock, Store
from gateway.advisory.records import Scheme


@dataclass(frozen=True, slots=True)
class PutBroadcasts:
    """Any number of processes may call it: the rows decide, and a key bars every second text."""

    store: Store
    clock: Clock
    speaker: Speaker
    customs: BroadcastCustoms
    carrier: Callable[[Scheme], str]
    scheme: Callable[[], Scheme]
    wake: Callable[[], None]

    def step(self) -> int | None:
        """The next so many texts of one broadcast; None where there is nothing to put."""
        scheme = self.scheme()
        if not self._is_wanted(scheme):
            return None  # so that an idle tick never asks for the write lock
        with self.store.begin() as unit:
            broadcast = unit.broadcasts.to_put(scheme.id)
            if broadcast is None:
                return None
            phones = unit.broadcasts.next_listed(broadcast.id, broadcast.upto, self.customs.batch)
            now = self.clock.now()
            unit.broadcasts.put(self._parcels(broadcast, scheme, phones), now)
            upto = phones[-1].phone_id if phones else broadcast.upto
            done = now if len(phones) < self.customs.batch else None
            unit.broadcasts.was_put(broadcast.id, upto, done)
            unit.commit()
        self.wake()
        return len(phones)

    def __call__(self) -> int:
        """All that is to be put now; how many texts that were."""
        many = 0
        while (put := self.step()) is not None:
            many += put
        return many

    def _is_wanted(self, scheme: Scheme) -> bool:
        with self.store.begin(write=False) as unit:
            return unit.broadcasts.is_to_put(scheme.id)

    def _parcels(
        self, broadcast: Broadcast, scheme: Scheme, phones: list[ListedPhone]
    ) -> list[NewParcel]:
        carrier = self.carrier(scheme)
        said = self.speaker.say_to_each(broadcast, scheme, phones)
        return [self._parcel(broadcast, phone, text, carrier) for phone, text in said if text]

    def _parcel(
        self, broadcast: Broadcast, phone: ListedPhone, text: str, carrier: str
    ) -> NewParcel:
        return NewParcel(
            scheme_id=broadcast.scheme_id,
            phone_id=phone.phone_id,
            carrier=carrier,
            text=text,
            language=phone.form,
            kind="broadcast",
            not_before=self._leaves(broadcast, phone),
            valid_until=broadcast.valid_until,
            topic=topic_of(broadcast.id),
            safety=broadcast.safety,
            asks=broadcast.asks,
            plot_id=phone.plot_id,
            key=f"{topic_of(broadcast.id)}:{phone.phone_id}",
        )

    def _leaves(self, broadcast: Broadcast, phone: ListedPhone) -> datetime:
        return broadcast.leaves_at + spread_of(phone.phone_id, self.customs.spread)
