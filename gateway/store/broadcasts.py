"""Broadcasts in the store: what was written, whom it goes to, how far it went."""

from collections.abc import Callable, Sequence
from dataclasses import asdict
from datetime import date, datetime
from typing import Any, Final

from sqlalchemy import (
    BindParameter,
    Row,
    bindparam,
    delete,
    exists,
    func,
    insert,
    literal,
    select,
    update,
)

from gateway.advisory.broadcasts import (
    CANCELLED,
    PAUSED,
    Audience,
    Broadcast,
    BroadcastState,
    Candidate,
    ListedPhone,
    NewBroadcast,
    Wording,
    topic_of,
)
from gateway.advisory.parcels import NewParcel
from gateway.store.audience import candidates
from gateway.store.columns import Utc
from gateway.store.manytexts import free_texts, hold_texts, put_many, withdraw_texts
from gateway.store.tables.many import broadcast, broadcast_phone
from gateway.store.tables.traffic import outbox
from gateway.store.work import Repository, added

THE_BROADCAST: Final[BindParameter[Any]] = bindparam("the_broadcast")
THE_SCHEME: Final[BindParameter[Any]] = bindparam("the_scheme")
ADD: Final = added(broadcast)
GET: Final = select(broadcast).where(
    broadcast.c.id == THE_BROADCAST, broadcast.c.scheme_id == THE_SCHEME
)
REWRITE: Final = update(broadcast).where(
    broadcast.c.id == THE_BROADCAST,
    broadcast.c.scheme_id == THE_SCHEME,
    broadcast.c.state == "draft",
)
CLEAR: Final = delete(broadcast_phone).where(broadcast_phone.c.broadcast_id == THE_BROADCAST)
LIST: Final = insert(broadcast_phone)
COUNT: Final = (
    update(broadcast).where(broadcast.c.id == THE_BROADCAST).values(phones=bindparam("many"))
)
FORMS: Final = (
    select(broadcast_phone.c.form, func.count().label("many"))
    .where(broadcast_phone.c.broadcast_id == THE_BROADCAST)
    .group_by(broadcast_phone.c.form)
)
LISTED: Final = select(broadcast_phone).where(broadcast_phone.c.broadcast_id == THE_BROADCAST)
# A list of codes is the longer, the more letters it has as it is kept.
EXAMPLE: Final = (
    LISTED.where(broadcast_phone.c.form == bindparam("the_form"))
    .order_by(func.length(func.cast(broadcast_phone.c.plots, broadcast_phone.c.form.type)).desc())
    .limit(1)
)
NEXT: Final = (
    LISTED.where(broadcast_phone.c.phone_id > bindparam("after"))
    .order_by(broadcast_phone.c.phone_id)
    .limit(bindparam("the_most"))
)
MOVE: Final = (
    update(broadcast)
    .where(broadcast.c.id == THE_BROADCAST, broadcast.c.state == bindparam("from_state"))
    .values(
        state=bindparam("to_state"),
        released_by=func.coalesce(
            bindparam("by", type_=broadcast.c.title.type), broadcast.c.released_by
        ),
        released_at=func.coalesce(bindparam("at", type_=Utc()), broadcast.c.released_at),
    )
)
STATE: Final = select(broadcast.c.state).where(broadcast.c.id == THE_BROADCAST)
WANTED: Final = (
    broadcast.c.scheme_id == THE_SCHEME,
    broadcast.c.state == "released",
    broadcast.c.put_at.is_(None),
)
IS_TO_PUT: Final = select(exists(select(literal(1)).select_from(broadcast).where(*WANTED)))
TO_PUT: Final = (
    select(broadcast)
    .where(*WANTED)
    .order_by(broadcast.c.leaves_at, broadcast.c.id)
    .limit(1)
    .with_for_update(skip_locked=True)
)
WAS_PUT: Final = (
    update(broadcast)
    .where(broadcast.c.id == THE_BROADCAST)
    .values(upto=bindparam("far"), put_at=bindparam("done", type_=Utc()))
)
TESTS: Final = (
    select(func.count())
    .select_from(outbox)
    .where(outbox.c.scheme_id == THE_SCHEME, outbox.c.topic == bindparam("the_topic"))
)


class SqlBroadcasts(Repository):
    """Broadcasts and their lists; their texts stand in the outbox."""

    def add(
        self, scheme_id: int, new: NewBroadcast, until: datetime, by: str, now: datetime
    ) -> int:
        """A new draft."""
        values = _values(new, until, by, now)
        return self.work.number(ADD, scheme_id=scheme_id, state="draft", **values)

    def rewrite(
        self,
        scheme_id: int,
        broadcast_id: int,
        new: NewBroadcast,
        until: datetime,
        by: str,
        now: datetime,
    ) -> bool:
        """Other contents for a draft; False where it is none any more."""
        changed = REWRITE.values(**_values(new, until, by, now))
        return (
            self.work.run(changed, the_broadcast=broadcast_id, the_scheme=scheme_id).rowcount == 1
        )

    def get(self, scheme_id: int, broadcast_id: int) -> Broadcast:
        """Raises NotOnRecord."""
        keys = {"the_broadcast": broadcast_id, "the_scheme": scheme_id}
        return broadcast_of(self.work.need("broadcast", broadcast_id, GET, **keys))

    def candidates(
        self, scheme_id: int, wanted: Audience, today: date, regular: tuple[int, date]
    ) -> list[Candidate]:
        """Plots and phones that are meant, the stage of the crop apart, by phone and code."""
        return candidates(self.work, scheme_id, wanted, today, regular)

    def set_list(self, broadcast_id: int, scheme_id: int, phones: Sequence[ListedPhone]) -> None:
        """The list of a draft, in place of an older one."""
        self.work.run(CLEAR, the_broadcast=broadcast_id)
        fixed: dict[str, Any] = {"broadcast_id": broadcast_id, "scheme_id": scheme_id}
        rows = [
            fixed
            | {"phone_id": p.phone_id, "plot_id": p.plot_id, "form": p.form, "plots": list(p.plots)}
            for p in phones
        ]
        self.work.run_many(LIST, rows)
        self.work.run(COUNT, the_broadcast=broadcast_id, many=len(rows))

    def forms(self, broadcast_id: int) -> dict[str, int]:
        """How many phones get it in which words, by their code."""
        return {row.form: row.many for row in self.work.rows(FORMS, the_broadcast=broadcast_id)}

    def example(self, broadcast_id: int, form: str) -> ListedPhone | None:
        """The phone on the list with the most plots of those that get these words."""
        row = self.work.row(EXAMPLE, the_broadcast=broadcast_id, the_form=form)
        return None if row is None else _listed(row)

    def change(self, broadcast_id: int, from_: str, to: str, by: str, now: datetime) -> bool:
        """Move if it still stands there; a release notes by whom."""
        first = (by, now) if (from_, to) == ("draft", "released") else (None, None)
        moved: dict[str, Any] = {
            "from_state": from_,
            "to_state": to,
            "by": first[0],
            "at": first[1],
        }
        return self.work.run(MOVE, the_broadcast=broadcast_id, **moved).rowcount == 1

    def state(self, broadcast_id: int) -> BroadcastState | None:
        """Where it stands now."""
        row = self.work.row(STATE, the_broadcast=broadcast_id)
        return None if row is None else row.state

    def is_to_put(self, scheme_id: int) -> bool:
        """Whether there is a released broadcast of which texts are to be put."""
        return bool(self.work.number(IS_TO_PUT, the_scheme=scheme_id))

    def to_put(self, scheme_id: int) -> Broadcast | None:
        """A released broadcast of which texts are to be put; nobody else has it at hand."""
        row = self.work.row(TO_PUT, the_scheme=scheme_id)
        return None if row is None else broadcast_of(row)

    def next_listed(self, broadcast_id: int, after: int, most: int) -> list[ListedPhone]:
        """The next phones of its list, by number."""
        values = {"the_broadcast": broadcast_id, "after": after, "the_most": most}
        return [_listed(row) for row in self.work.rows(NEXT, **values)]

    def put(self, parcels: Sequence[NewParcel], now: datetime) -> None:
        """Put many texts; those whose key is there already are left as they are."""
        put_many(self.work, parcels, now)

    def was_put(self, broadcast_id: int, upto: int, done_at: datetime | None) -> None:
        """Note how far its texts were put."""
        self.work.run(WAS_PUT, the_broadcast=broadcast_id, far=upto, done=done_at)

    def hold_texts(self, scheme_id: int, broadcast_id: int, now: datetime) -> int:
        """Hold what waits of it, for as long as it is paused."""
        return hold_texts(self.work, scheme_id, topic_of(broadcast_id), PAUSED, now)

    def free_texts(
        self,
        scheme_id: int,
        broadcast_id: int,
        leaves: Callable[[int], datetime],
        now: datetime,
    ) -> int:
        """Let what was held for a pause wait again, for the moment of each phone (its number)."""
        return free_texts(self.work, scheme_id, topic_of(broadcast_id), PAUSED, leaves, now)

    def withdraw_texts(self, scheme_id: int, broadcast_id: int, now: datetime) -> int:
        """Withdraw what has not left."""
        return withdraw_texts(self.work, scheme_id, topic_of(broadcast_id), CANCELLED, now)

    def tests(self, scheme_id: int, broadcast_id: int) -> int:
        """How many tests of it were sent."""
        topic = f"broadcast-test:{broadcast_id}"
        return self.work.number(TESTS, the_scheme=scheme_id, the_topic=topic)


def broadcast_of(row: Row[Any]) -> Broadcast:
    """A broadcast from its row."""
    return Broadcast(
        row.id,
        row.scheme_id,
        row.title,
        Audience(**{name: tuple(values) for name, values in row.audience.items()}),
        _wording(row.wording),
        row.leaves_at,
        row.valid_until,
        row.safety,
        row.asks,
        row.state,
        row.written_by,
        row.written_at,
        phones=row.phones,
        upto=row.upto,
        released_by=row.released_by,
        released_at=row.released_at,
        put_at=row.put_at,
    )


def _values(new: NewBroadcast, until: datetime, by: str, now: datetime) -> dict[str, Any]:
    words = asdict(new.wording)
    words["days"] = {name: day.isoformat() for name, day in new.wording.days.items()}
    return {
        "title": new.title,
        "audience": {name: list(values) for name, values in asdict(new.audience).items()},
        "wording": words,
        "leaves_at": new.leaves_at,
        "valid_until": until,
        "safety": new.safety,
        "asks": new.asks,
        "written_by": by,
        "written_at": now,
    }


def _wording(kept: dict[str, Any]) -> Wording:
    days = {name: date.fromisoformat(day) for name, day in kept["days"].items()}
    return Wording(kept["message"], days, kept["own"], kept["read_by"])


def _listed(row: Row[Any]) -> ListedPhone:
    return ListedPhone(row.phone_id, row.form, tuple(row.plots), row.plot_id)
