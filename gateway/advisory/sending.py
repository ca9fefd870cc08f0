"""What a unit of work keeps of texts on their way out, duties, dialogues and the office."""

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any, Protocol

from gateway.advisory.parcels import NewParcel, Parcel, State
from gateway.advisory.records import (
    DutyRow,
    NewDuty,
    OfficeUser,
    Receipt,
)


class Outbox(Protocol):
    """Texts on their way out. Every change of state goes through the transition table."""

    def put(self, parcel: NewParcel, now: datetime) -> int | None:
        """Put a text; None where its key is there already."""

    def get(self, parcel_id: int) -> Parcel: ...
    def claim(self, carrier: str, now: datetime, lease: timedelta, limit: int) -> list[Parcel]:
        """Waiting texts that are due, answers and crop safety first, now claimed under a lease."""

    def move(
        self,
        parcel_id: int,
        from_: State,
        to: State,
        now: datetime,
        *,
        not_before: datetime | None = None,
        reference: str | None = None,
        words: str = "",
        count_attempt: bool = False,
    ) -> bool:
        """Move if it still stands at ``from_``; False where somebody was faster.

        Raises ForbiddenMove where the table has no such way.
        """

    def lapsed(self, now: datetime) -> list[Parcel]:
        """Claimed texts whose lease has ended."""

    def stale(self, now: datetime) -> list[Parcel]:
        """Waiting or held texts whose validity has ended."""

    def held(self, now: datetime) -> list[Parcel]:
        """Held texts whose not_before has come."""

    def replies(self, text_id: int) -> list[Parcel]: ...
    def of_duty(self, duty_id: int) -> list[Parcel]: ...
    def of_keys(self, scheme_id: int, keys: Collection[str]) -> dict[str, Parcel]:
        """The texts of those keys, by key; those that are there."""

    def reword(self, parcel_id: int, text: str) -> bool:
        """Other words for a text that still waits; False where it waits no more."""

    def week_of(self, parcel: Parcel, since: datetime) -> list[tuple[datetime | None, bool]]:
        """Texts outside safety that the office started to the phone of ``parcel`` since then.

        For each, when it left (None: it is being handed over before this one) and whether it asks
        for an answer.
        """

    def unsettled(self, carrier: str, older_than: datetime) -> list[Parcel]:
        """Handed over or in doubt, past their validity, with no receipt."""

    def notices(
        self, scheme_id: int, topic: str, since: datetime, phone_id: int | None = None
    ) -> int:
        """How many texts of a topic were put since then, in all or to one phone."""

    def answered_last(self, phone_id: int, since: datetime) -> str | None:
        """The topic of the newest answer to a phone; None where none was put since then."""


class Receipts(Protocol):
    """Receipts, also those that came before the answer that they belong to."""

    def keep(self, receipt: Receipt) -> Parcel | None:
        """Write it; the text that it belongs to, or None (it is parked)."""

    def parked(self, carrier: str, reference: str) -> list[Receipt]:
        """Receipts of that reference that no text has claimed yet; they are claimed by this."""


class Duties(Protocol):
    """What the calendar owed."""

    def owed(self, season_ids: Sequence[int]) -> list[DutyRow]:
        """The newest revision of each duty of those seasons."""

    def owe(self, scheme_id: int, duties: Sequence[NewDuty], now: datetime) -> dict[NewDuty, int]:
        """Owe them; the numbers of those that were not owed already (by any process)."""

    def put(
        self, texts: Sequence[tuple[NewParcel, Sequence[int]]], now: datetime
    ) -> frozenset[str]:
        """Put texts, each with the duties that it tells of, in the outbox.

        Gives the keys of those put: not of one that was there already, by any process.
        """

    def take_back(self, duty_id: int) -> None:
        """Note that nobody was told of a duty, nor will be: it may be owed anew."""

    def tell(self, scheme_id: int, duty_id: int, parcel_id: int) -> None:
        """Note that a text tells of a duty."""

    def untell(self, duty_id: int, parcel_id: int) -> None:
        """Note that it does no more."""

    def texts(self, duty_id: int) -> list[Parcel]:
        """The texts that tell of a duty."""

    def plots_told(self, parcel_id: int) -> list[str]:
        """The codes of the plots whose duties a text tells of, in the order they were joined.

        Nobody else changes them before this unit of work ends.
        """

    def counts(self, scheme_id: int, since: datetime) -> dict[str, int]:
        """How many were owed since then, by duty."""


class Dialogues(Protocol):
    """USSD dialogues under way: their state as JSON, kept between the steps."""

    def state(self, phone_id: int, carrier: str, session: str, now: datetime) -> str | None:
        """The state of that session; None for a new one, or one that is past its time."""

    def left_off(self, phone_id: int, since: datetime) -> str | None:
        """The newest state of the phone that was not ended and stood still since then or later."""

    def put(
        self, phone_id: int, carrier: str, session: str, state: str, ended: bool, now: datetime
    ) -> None: ...


class Office(Protocol):
    """Office users and what they did."""

    def add_user(
        self, scheme_id: int, name: str, role: str, password: str, now: datetime
    ) -> OfficeUser: ...
    def check(self, name: str, password: str) -> OfficeUser | None: ...
    def user(self, user_id: int) -> OfficeUser | None: ...
    def audit(
        self, scheme_id: int | None, who: str, what: str, on: Mapping[str, Any], now: datetime
    ) -> None: ...
