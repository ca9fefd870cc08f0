"""Texts on their way out. Every change of state goes through the transition table."""

from collections.abc import Collection
from datetime import datetime, timedelta
from typing import Any, Final

from sqlalchemy import String, bindparam, case, func, insert, or_, select, update

from gateway.advisory.parcels import NewParcel, Parcel, State, check_move
from gateway.messages.segments import count_segments
from gateway.store.columns import Utc
from gateway.store.parcelrows import PARCELS, parcel_of
from gateway.store.tables.office import duty_text
from gateway.store.tables.places import phone
from gateway.store.tables.traffic import outbox, outbox_move
from gateway.store.work import Repository, Work, added_once

# What the office starts of its own accord; a phone that left gets none of it, safety or not.
PUSHES: Final = ("duty", "broadcast")
FIRST, SECOND = 0, 1

NOW: Final = bindparam("now", type_=Utc())
OPEN_STATES: Final = (State.WAITING, State.HELD)
TO_LEFT: Final = outbox.c.kind.in_(PUSHES) & phone.c.left_at.is_not(None)

TELL: Final = insert(duty_text)
PUT: Final = added_once(outbox, "scheme_id", "key")
GET: Final = PARCELS.where(outbox.c.id == bindparam("the_parcel"))
MANY: Final = PARCELS.where(outbox.c.id.in_(bindparam("the_parcels", expanding=True))).order_by(
    outbox.c.rank, outbox.c.id
)
DUE: Final = (
    select(outbox.c.id, outbox.c.scheme_id)
    .join(phone, phone.c.id == outbox.c.phone_id)
    .where(
        outbox.c.state == State.WAITING,
        outbox.c.carrier == bindparam("the_carrier"),
        outbox.c.not_before <= NOW,
        outbox.c.valid_until > NOW,
        ~TO_LEFT,
    )
    .order_by(outbox.c.rank, outbox.c.id)
    .limit(bindparam("the_most"))
    .with_for_update(skip_locked=True, of=outbox)
)
CLAIM: Final = (
    update(outbox)
    .where(outbox.c.id.in_(bindparam("the_parcels", expanding=True)))
    .values(state=State.CLAIMED, state_at=NOW, lease_until=bindparam("the_lease"))
)
UNWANTED: Final = (
    select(outbox.c.id, outbox.c.scheme_id, outbox.c.state)
    .join(phone, phone.c.id == outbox.c.phone_id)
    .where(outbox.c.state.in_(OPEN_STATES), TO_LEFT)
    .with_for_update(skip_locked=True, of=outbox)
)
UNWANTED_OF_CARRIER: Final = UNWANTED.where(outbox.c.carrier == bindparam("the_carrier"))
UNWANTED_OF_PHONE: Final = UNWANTED.where(outbox.c.phone_id == bindparam("the_phone"))
MOVE: Final = (
    update(outbox)
    .where(outbox.c.id == bindparam("the_parcel"), outbox.c.state == bindparam("from_state"))
    .values(
        state=bindparam("to_state"),
        state_at=NOW,
        lease_until=None,
        not_before=func.coalesce(bindparam("later", type_=Utc()), outbox.c.not_before),
        carrier_reference=func.coalesce(
            bindparam("the_reference", type_=String()), outbox.c.carrier_reference
        ),
        words=case(
            (bindparam("the_words", type_=String()) == "", outbox.c.words),
            else_=bindparam("the_words", type_=outbox.c.words.type),
        ),
        attempts=outbox.c.attempts + bindparam("tries"),
        sent_at=func.coalesce(outbox.c.sent_at, bindparam("sent", type_=Utc())),
    )
    .returning(outbox.c.scheme_id)
)
NOTE_MOVE: Final = insert(outbox_move)
LAPSED: Final = PARCELS.where(
    outbox.c.state == State.CLAIMED,
    or_(outbox.c.lease_until.is_(None), outbox.c.lease_until <= NOW),
).order_by(outbox.c.id)
STALE: Final = PARCELS.where(outbox.c.state.in_(OPEN_STATES), outbox.c.valid_until <= NOW).order_by(
    outbox.c.id
)
HELD: Final = PARCELS.where(
    outbox.c.state == State.HELD, outbox.c.not_before <= NOW, outbox.c.valid_until > NOW
).order_by(outbox.c.rank, outbox.c.id)
REPLIES: Final = PARCELS.where(outbox.c.in_reply_to == bindparam("the_text")).order_by(outbox.c.id)
OF_DUTY: Final = PARCELS.where(outbox.c.duty_id == bindparam("the_duty")).order_by(outbox.c.id)
OF_KEYS: Final = PARCELS.where(
    outbox.c.scheme_id == bindparam("the_scheme"),
    outbox.c.key.in_(bindparam("the_keys", expanding=True)),
)
REWORD: Final = (
    update(outbox)
    .where(outbox.c.id == bindparam("the_parcel"), outbox.c.state.in_(OPEN_STATES))
    .values(text=bindparam("the_text"), segments=bindparam("the_size"))
)
# Whoever rules on what a phone gets does so alone, and sees what was ruled before.
RULED: Final = (
    select(phone.c.id)
    .where(phone.c.id.in_(bindparam("the_phones", expanding=True)))
    .order_by(phone.c.id)
    .with_for_update(key_share=True)
)
# Sent in that time, or claimed but by this unit of work for later: or a burst would pass the limit.
WEEK: Final = (
    select(outbox.c.sent_at, outbox.c.asks)
    .where(
        outbox.c.phone_id == bindparam("the_phone"),
        outbox.c.kind.in_(PUSHES),
        outbox.c.safety.is_(False),
        outbox.c.id != bindparam("the_parcel"),
        or_(
            outbox.c.sent_at > bindparam("since", type_=Utc()),
            (outbox.c.state == State.CLAIMED)
            & outbox.c.id.not_in(bindparam("the_rest", expanding=True)),
        ),
    )
    .order_by(outbox.c.sent_at)
)
UNSETTLED: Final = PARCELS.where(
    outbox.c.state.in_((State.HANDED_OVER, State.IN_DOUBT)),
    outbox.c.carrier == bindparam("the_carrier"),
    outbox.c.valid_until < bindparam("the_time"),
).order_by(outbox.c.id)
NOTICES: Final = select(func.count()).where(
    outbox.c.scheme_id == bindparam("the_scheme"),
    outbox.c.topic == bindparam("the_topic"),
    outbox.c.created_at >= bindparam("since"),
)
ANSWERED_LAST: Final = (
    select(outbox.c.topic)
    .where(outbox.c.phone_id == bindparam("the_phone"), outbox.c.in_reply_to.is_not(None))
    .where(outbox.c.created_at >= bindparam("since"))
    .order_by(outbox.c.id.desc())
    .limit(1)
)
NOTICES_TO: Final = NOTICES.where(outbox.c.phone_id == bindparam("the_phone"))


class SqlOutbox(Repository):
    """The outbox, its leases and its history."""

    def __init__(self, work: Work) -> None:
        super().__init__(work)
        self._claimed: list[int] = []

    def put(self, parcel: NewParcel, now: datetime) -> int | None:
        """Put a text; None where its key is there already. It tells of the duty that it names."""
        new = self.work.number_or_none(
            PUT,
            **{name: getattr(parcel, name) for name in NewParcel.__slots__},
            segments=count_segments(parcel.text).segments,
            rank=FIRST if parcel.safety or parcel.kind not in PUSHES else SECOND,
            created_at=now,
            state=State.WAITING,
            state_at=now,
        )
        if new is not None and parcel.duty_id is not None:
            values = {"duty_id": parcel.duty_id, "parcel_id": new}
            self.work.run(TELL, scheme_id=parcel.scheme_id, **values)
        return new

    def get(self, parcel_id: int) -> Parcel:
        """A text by its number. Raises NotOnRecord."""
        row = self.work.need("parcel", parcel_id, GET, the_parcel=parcel_id)
        return parcel_of(row, self.work.keys)

    def claim(self, carrier: str, now: datetime, lease: timedelta, limit: int) -> list[Parcel]:
        """Waiting texts that are due, answers and crop safety first, now claimed under a lease.

        What the office started for a phone that has left is withdrawn on the way, never claimed.
        """
        withdraw(self.work, UNWANTED_OF_CARRIER, now, the_carrier=carrier)
        due = self.work.rows(DUE, the_carrier=carrier, now=now, the_most=limit)
        if not due:
            return []
        numbers = [row.id for row in due]
        self.work.run(CLAIM, the_parcels=numbers, now=now, the_lease=now + lease)
        note_moves(self.work, due, State.WAITING, State.CLAIMED, now)
        claimed = self._parcels(MANY, the_parcels=numbers)
        self._claimed = [parcel.id for parcel in claimed]
        phones = {each.phone_id for each in claimed if each.kind in PUSHES and not each.safety}
        if phones:
            self.work.rows(RULED, the_phones=sorted(phones))
        return claimed

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

        Raises ForbiddenMove where the table has no such way. Any move ends the lease.
        """
        check_move(from_, to)
        row = self.work.row(
            MOVE,
            the_parcel=parcel_id,
            from_state=from_,
            to_state=to,
            now=now,
            later=not_before,
            the_reference=reference,
            the_words=words,
            tries=int(count_attempt),
            sent=now if to in (State.HANDED_OVER, State.IN_DOUBT) else None,
        )
        if row is not None:
            self.work.run(NOTE_MOVE, **_note(parcel_id, row.scheme_id, from_, to, now, words))
        return row is not None

    def lapsed(self, now: datetime) -> list[Parcel]:
        """Claimed texts whose lease has ended."""
        return self._parcels(LAPSED, now=now)

    def stale(self, now: datetime) -> list[Parcel]:
        """Waiting or held texts whose validity has ended."""
        return self._parcels(STALE, now=now)

    def held(self, now: datetime) -> list[Parcel]:
        """Held texts whose not_before has come and that are still valid."""
        return self._parcels(HELD, now=now)

    def replies(self, text_id: int) -> list[Parcel]:
        """The texts out that answer a text in."""
        return self._parcels(REPLIES, the_text=text_id)

    def of_duty(self, duty_id: int) -> list[Parcel]:
        """The texts of a duty."""
        return self._parcels(OF_DUTY, the_duty=duty_id)

    def of_keys(self, scheme_id: int, keys: Collection[str]) -> dict[str, Parcel]:
        """The texts of those keys, by key; those that are there."""
        asked = {"the_scheme": scheme_id, "the_keys": list(keys)}
        rows = self.work.rows(OF_KEYS, **asked) if keys else []
        return {row.key: parcel_of(row, self.work.keys) for row in rows}

    def reword(self, parcel_id: int, text: str) -> bool:
        """Other words for a text that still waits; False where it waits no more."""
        size = count_segments(text).segments
        values = {"the_parcel": parcel_id, "the_text": text, "the_size": size}
        return self.work.run(REWORD, **values).rowcount == 1

    def week_of(self, parcel: Parcel, since: datetime) -> list[tuple[datetime | None, bool]]:
        """When texts outside safety left for the phone since then, and whether they ask."""
        own = self._claimed
        rest = own[own.index(parcel.id) + 1 :] if parcel.id in own else []
        asked = {"the_phone": parcel.phone_id, "the_parcel": parcel.id, "since": since}
        rows = self.work.rows(WEEK, **asked, the_rest=rest)
        return [(row.sent_at, row.asks) for row in rows]

    def unsettled(self, carrier: str, older_than: datetime) -> list[Parcel]:
        """Handed over or in doubt, with no receipt, whose validity ended before that."""
        return self._parcels(UNSETTLED, the_carrier=carrier, the_time=older_than)

    def notices(
        self, scheme_id: int, topic: str, since: datetime, phone_id: int | None = None
    ) -> int:
        """How many texts of a topic were put since then, in all or to one phone."""
        values: dict[str, Any] = {"the_scheme": scheme_id, "the_topic": topic, "since": since}
        if phone_id is None:
            return self.work.number(NOTICES, **values)
        return self.work.number(NOTICES_TO, the_phone=phone_id, **values)

    def answered_last(self, phone_id: int, since: datetime) -> str | None:
        """The topic of the newest answer to a phone; None where none was put since then."""
        row = self.work.row(ANSWERED_LAST, the_phone=phone_id, since=since)
        return None if row is None else str(row.topic)

    def _parcels(self, statement: Any, **values: Any) -> list[Parcel]:
        return [parcel_of(row, self.work.keys) for row in self.work.rows(statement, **values)]


def withdraw_pushes(work: Work, phone_id: int, now: datetime) -> None:
    """Withdraw whatever the office started for a phone that has left."""
    withdraw(work, UNWANTED_OF_PHONE, now, the_phone=phone_id)


def withdraw(work: Work, unwanted: Any, now: datetime, **values: Any) -> None:
    """Withdraw the waiting and held texts that a statement finds."""
    outbox = SqlOutbox(work)
    for row in work.rows(unwanted, **values):
        outbox.move(row.id, State(row.state), State.WITHDRAWN, now, words="the phone left")


def note_moves(work: Work, rows: list[Any], from_: State, to: State, now: datetime) -> None:
    """Write the history of many texts that moved alike."""
    work.run_many(NOTE_MOVE, [_note(row.id, row.scheme_id, from_, to, now) for row in rows])


def _note(
    parcel_id: int, scheme_id: int, from_: State, to: State, now: datetime, words: str = ""
) -> dict[str, Any]:
    return {
        "parcel_id": parcel_id,
        "scheme_id": scheme_id,
        "from_state": from_,
        "to_state": to,
        "at": now,
        "words": words,
    }
