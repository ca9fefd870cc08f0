"""The outbox for many texts at once: put, held, let go and withdrawn by one statement."""

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Any, Final

from sqlalchemy import bindparam, select, update
from sqlalchemy.dialects.postgresql import insert

from gateway.advisory.parcels import NewParcel, State, check_move
from gateway.messages.segments import count_segments
from gateway.store.columns import Utc
from gateway.store.outbox import FIRST, OPEN_STATES, SECOND, note_moves
from gateway.store.tables.traffic import outbox
from gateway.store.work import Work

# Without RETURNING: the rows go in as one batch, and nobody needs their numbers.
PUT: Final = insert(outbox).on_conflict_do_nothing(index_elements=["scheme_id", "key"])
PUT_NUMBERED: Final = PUT.returning(outbox.c.id, outbox.c.key)
OF_TOPIC: Final = (
    outbox.c.scheme_id == bindparam("the_scheme"),
    outbox.c.topic == bindparam("the_topic"),
    outbox.c.state == bindparam("from_state"),
)
MOVED: Final = (
    update(outbox)
    .where(*OF_TOPIC)
    .values(
        state=bindparam("to_state"),
        state_at=bindparam("now", type_=Utc()),
        words=bindparam("the_words", type_=outbox.c.words.type),
    )
    .returning(outbox.c.id, outbox.c.scheme_id)
)
# Not before its validity ends: held for as long as nobody lets it go on.
HOLD: Final = MOVED.values(not_before=outbox.c.valid_until)
HELD_FOR: Final = (
    select(outbox.c.id, outbox.c.scheme_id, outbox.c.phone_id)
    .where(*OF_TOPIC, outbox.c.words == bindparam("why"))
    .with_for_update()
)
FREE: Final = (
    update(outbox)
    .where(outbox.c.id == bindparam("the_parcel"), outbox.c.state == State.HELD)
    .values(
        state=State.WAITING,
        state_at=bindparam("now", type_=Utc()),
        words="",
        not_before=bindparam("later", type_=Utc()),
    )
)


def put_many(work: Work, parcels: Sequence[NewParcel], now: datetime) -> None:
    """Put many texts; those whose key is there already are left as they are.

    None of them may tell of a duty, which has a row of its own for each text.
    """
    sizes: dict[str, int] = {}
    work.run_many(PUT, [_row(parcel, now, sizes) for parcel in parcels])


def put_numbered(work: Work, parcels: Sequence[NewParcel], now: datetime) -> dict[str, int]:
    """Put many texts that have a key; the number of each, by key, that was not there already."""
    sizes: dict[str, int] = {}
    found = work.rows_of_many(PUT_NUMBERED, [_row(parcel, now, sizes) for parcel in parcels])
    return {row.key: row.id for row in found}


def _row(parcel: NewParcel, now: datetime, sizes: dict[str, int]) -> dict[str, Any]:
    if parcel.text not in sizes:
        sizes[parcel.text] = count_segments(parcel.text).segments
    return {
        **{name: getattr(parcel, name) for name in NewParcel.__slots__},
        "segments": sizes[parcel.text],
        "rank": FIRST if parcel.safety else SECOND,
        "created_at": now,
        "state": State.WAITING,
        "state_at": now,
    }


def hold_texts(work: Work, scheme_id: int, topic: str, words: str, now: datetime) -> int:
    """Hold what waits of a topic; how many texts."""
    return _move(work, HOLD, scheme_id, topic, State.WAITING, State.HELD, now, the_words=words)


def free_texts(
    work: Work,
    scheme_id: int,
    topic: str,
    why: str,
    leaves: Callable[[int], datetime],
    now: datetime,
) -> int:
    """Let what was held for that reason wait again, each phone's for its moment; how many texts."""
    check_move(State.HELD, State.WAITING)
    asked = {"the_scheme": scheme_id, "the_topic": topic, "from_state": State.HELD, "why": why}
    held = work.rows(HELD_FOR, **asked)
    freed = [{"the_parcel": row.id, "later": leaves(row.phone_id), "now": now} for row in held]
    work.run_many(FREE, freed)
    note_moves(work, held, State.HELD, State.WAITING, now)
    return len(held)


def withdraw_texts(work: Work, scheme_id: int, topic: str, words: str, now: datetime) -> int:
    """Withdraw what waits or is held of a topic; how many texts."""
    return sum(
        _move(work, MOVED, scheme_id, topic, state, State.WITHDRAWN, now, the_words=words)
        for state in OPEN_STATES
    )


def _move(
    work: Work,
    statement: Any,
    scheme_id: int,
    topic: str,
    from_: State,
    to: State,
    now: datetime,
    **values: Any,
) -> int:
    check_move(from_, to)
    asked = {"the_scheme": scheme_id, "the_topic": topic, "from_state": from_, "to_state": to}
    rows = work.rows(statement, **asked, now=now, **values)
    note_moves(work, rows, from_, to, now)
    return len(rows)
