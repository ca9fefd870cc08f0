"""What the use cases need of the world, as protocols. Adapters above fulfil them."""

from contextlib import AbstractContextManager
from datetime import datetime
from typing import Protocol

from gateway.advisory.broadcasts import Broadcasts
from gateway.advisory.budget import Spending
from gateway.advisory.joins import Consents, Joinings
from gateway.advisory.keeping import Advices, Books, People, Questions, Schemes, Texts
from gateway.advisory.mending import BlockFacts, Pauses, Recalls
from gateway.advisory.outlets import Outlets
from gateway.advisory.parcels import Parcel
from gateway.advisory.records import (
    Callback,
    Dial,
    Handing,
    Inbound,
    Receipt,
    Screen,
)
from gateway.advisory.register import Register
from gateway.advisory.rounds import Rounds
from gateway.advisory.sending import Dialogues, Duties, Office, Outbox, Receipts


class Clock(Protocol):
    """The one source of the present moment, so that rehearsal and tests can move it."""

    def now(self) -> datetime:
        """The present moment, aware, in UTC."""


class Carrier(Protocol):
    """A link to an operator, outbound. It never raises for what the operator does."""

    name: str

    def send(self, parcel: Parcel) -> Handing:
        """Hand one text over and say what came of it."""


class Listener(Protocol):
    """A link to an operator, inbound: bytes in, records out.

    Each raises Unproven where the caller did not prove who they are, Unreadable where the bytes do
    not hold what the profile says.
    """

    name: str

    def text(self, callback: Callback) -> Inbound:
        """An inbound text."""

    def receipt(self, callback: Callback) -> Receipt:
        """A delivery receipt."""

    def dial(self, callback: Callback) -> Dial:
        """A step of a USSD dialogue."""

    def reply(self, screen: Screen | None = None) -> tuple[str, str]:
        """What to give back on success: content type and body."""


class Unit(Protocol):
    """One unit of work. Leaving it without ``commit`` means that nothing happened."""

    @property
    def schemes(self) -> Schemes: ...
    @property
    def register(self) -> Register: ...
    @property
    def people(self) -> People: ...
    @property
    def texts(self) -> Texts: ...
    @property
    def books(self) -> Books: ...
    @property
    def questions(self) -> Questions: ...
    @property
    def advices(self) -> Advices: ...
    @property
    def outbox(self) -> Outbox: ...
    @property
    def receipts(self) -> Receipts: ...
    @property
    def duties(self) -> Duties: ...
    @property
    def rounds(self) -> Rounds: ...
    @property
    def dialogues(self) -> Dialogues: ...
    @property
    def office(self) -> Office: ...
    @property
    def broadcasts(self) -> Broadcasts: ...
    @property
    def spending(self) -> Spending: ...
    @property
    def joinings(self) -> Joinings: ...
    @property
    def consents(self) -> Consents: ...
    @property
    def outlets(self) -> Outlets: ...
    @property
    def pauses(self) -> Pauses: ...
    @property
    def block_facts(self) -> BlockFacts: ...
    @property
    def recalls(self) -> Recalls: ...
    def commit(self) -> None: ...
    def rollback(self) -> None:
        """Undo everything since the last commit; the unit can go on."""


class Store(Protocol):
    """Where everything is kept. ``begin`` raises StoreDown where the database does not answer."""

    def begin(self, write: bool = True) -> AbstractContextManager[Unit]: ...
