"""A link with its phones, all in memory: for tests, the demo and an officer's dry run.

It sleeps nowhere. What was sent travels until ``pump`` is told that it is time.
"""

import random
import secrets as tokens
import threading
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime, timedelta

from gateway.advisory.carrier_profile import CarrierProfile, Simulated
from gateway.advisory.errors import StoreDown
from gateway.advisory.number import Number
from gateway.advisory.parcels import Parcel
from gateway.advisory.ports import Clock
from gateway.advisory.records import Handing, Inbound, Receipt, ReceiptState
from gateway.carriers.handsets import Handsets, HandsetText
from gateway.carriers.journeys import INBOUND, OUTBOUND, RECEIPTS, Arrive, Journeys
from gateway.carriers.listen import ProfileListener

RECEIPT_WORDS: dict[ReceiptState, str] = {
    "delivered": "arrived at the phone",
    "undeliverable": "no such phone",
}


class Simulator:
    """A Carrier whose operator and phones live in this process. Safe to share among threads.

    ``on_text`` and ``on_receipt`` are where its callbacks go; ``listener`` is the same link's
    inbound side over HTTP. ``run`` sets its references apart from those of an earlier process:
    the store would take an equal one for a repeat.
    """

    def __init__(
        self,
        profile: CarrierProfile,
        clock: Clock,
        secrets: Mapping[str, str],
        run: str | None = None,
    ) -> None:
        if profile.simulated is None:
            raise ValueError(f"carrier {profile.name} has no simulate part")
        self.name, self.profile = profile.name, profile
        self.listener = ProfileListener(profile, secrets)
        self.on_text: Callable[[Inbound], object] = _nowhere
        self.on_receipt: Callable[[Receipt], object] = _nowhere
        self._behaviour: Simulated = profile.simulated
        self._clock, self._run = clock, run or tokens.token_hex(4)
        self._chance = random.Random(profile.simulated.seed)
        self._journeys = Journeys(self._chance)
        self._lock = threading.Lock()
        self._handsets = Handsets()
        self._written = self._taken = 0

    # -- the operator's side ----------------------------------------------------------------------

    @property
    def behaviour(self) -> Simulated:
        """How the link behaves now."""
        return self._behaviour

    def behave(self, **changes: object) -> None:
        """Change how the link behaves from now on, by the names of ``Simulated``."""
        with self._lock:
            self._behaviour = replace(self._behaviour, **changes)  # type: ignore[arg-type]

    def send(self, parcel: Parcel) -> Handing:
        """Hand one text over; it arrives at the phone when its time has come."""
        now = self._clock.now()
        with self._lock:
            if self._behaviour.link_down:
                wait_s = self._behaviour.link_wait_s
                return Handing("link-down", words="simulated: link down", wait_s=wait_s)
            if self._happens(self._behaviour.in_doubt):
                return self._take_in_doubt(parcel, now)
            return Handing("handed-over", self._take(parcel, now), "simulated: taken")

    def _take_in_doubt(self, parcel: Parcel, now: datetime) -> Handing:
        if self._happens(0.5):
            self._take(parcel, now)
        return Handing("in-doubt", words="simulated: answer lost")

    def _take(self, parcel: Parcel, now: datetime) -> str:
        self._taken += 1
        reference = f"sim-{self._run}-out-{self._taken}"
        lost, state = self._happens(self._behaviour.loss), self._receipt_state()
        if lost:
            return reference
        arrived = now
        if state != "undeliverable":
            arrived = self._travel(OUTBOUND, now, self._ring(parcel))
        if state is not None:
            self._send_receipt(reference, state, arrived)
        return reference

    def _send_receipt(self, reference: str, state: ReceiptState, arrived: datetime) -> None:
        def come(_due: datetime, now: datetime) -> None:
            self.on_receipt(Receipt(self.name, reference, state, RECEIPT_WORDS[state], now))

        for _ in range(self._copies()):
            self._travel(RECEIPTS, arrived, self._stubborn(come), self._behaviour.receipt_delay_s)

    def _receipt_state(self) -> ReceiptState | None:
        draw = self._chance.random()
        if draw < self._behaviour.delivered:
            return "delivered"
        sure = self._behaviour.delivered + self._behaviour.undeliverable
        return "undeliverable" if draw < sure else None

    # -- the phones' side -------------------------------------------------------------------------

    def text(self, sender: Number, body: str) -> str:
        """A phone writes: the text travels to ``on_text``. Its reference, whether lost or not."""
        now = self._clock.now()
        with self._lock:
            self._written += 1
            reference = f"sim-{self._run}-in-{self._written}"
            self._handsets.show(sender, HandsetText(now, body, mine=True))
            copies = 0 if self._happens(self._behaviour.loss) else self._copies()
            for _ in range(copies):
                self._travel(INBOUND, now, self._stubborn(self._call(sender, body, reference)))
        return reference

    def thread(self, number: Number) -> tuple[HandsetText, ...]:
        """All texts on a phone, its own and ours, in the order in which it got them."""
        return self._handsets.thread(number)

    def inbox(self, number: Number) -> tuple[HandsetText, ...]:
        """The texts that a phone got from us."""
        return tuple(text for text in self.thread(number) if not text.mine)

    def _ring(self, parcel: Parcel) -> Arrive:
        def come(due: datetime, _now: datetime) -> None:
            self._handsets.show(parcel.to, HandsetText(due, parcel.text, False, parcel.id))

        return come

    def _call(self, sender: Number, body: str, reference: str) -> Arrive:
        def come(_due: datetime, now: datetime) -> None:
            self.on_text(Inbound(self.name, sender, body, now, reference))

        return come

    # -- time -------------------------------------------------------------------------------------

    def next_due(self) -> datetime | None:
        """When the next text, callback or receipt arrives; None where nothing travels."""
        with self._lock:
            return self._journeys.next_due()

    def pump(self, now: datetime) -> int:
        """Let everything arrive that is due at ``now``; how many that were.

        What a callback sets going and is due at once arrives too. An error of ``on_text`` or
        ``on_receipt`` goes on to the caller, and the rest waits for the next pump.
        """
        arrived = 0
        while True:
            with self._lock:
                found = self._journeys.pop(now)
            if found is None:
                return arrived
            due, arrive = found
            arrive(due, now)
            arrived += 1

    def _stubborn(self, come: Arrive) -> Arrive:
        """A callback that comes again where the store was down, as an operator's would."""

        def come_again(due: datetime, now: datetime) -> None:
            try:
                come(due, now)
            except StoreDown:
                with self._lock:
                    again = now + timedelta(seconds=self._behaviour.again_s)
                    self._journeys.put(again, come_again)

        return come_again

    def _travel(
        self,
        lane: str,
        now: datetime,
        arrive: Arrive,
        delay_s: tuple[float, float] | None = None,
    ) -> datetime:
        held = self._behaviour.hold_back_s if self._happens(self._behaviour.reorder) else None
        return self._journeys.start(lane, now, delay_s or self._behaviour.delay_s, held, arrive)

    def _copies(self) -> int:
        return 2 if self._happens(self._behaviour.repeat) else 1

    def _happens(self, share: float) -> bool:
        return self._chance.random() < share


def _nowhere(_: object) -> None:
    """Where callbacks go until somebody listens."""
