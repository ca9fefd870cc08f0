"""USSD dialogues under way, kept between their steps."""

from datetime import datetime, timedelta
from typing import Final

from sqlalchemy import bindparam, select
from sqlalchemy.dialects.postgresql import insert

from gateway.store.tables.places import phone
from gateway.store.tables.traffic import dialogue
from gateway.store.work import Repository

# Operators use their session numbers again, and none keeps a dialogue open for so long.
SESSION_LASTS: Final = timedelta(hours=1)

STATE: Final = select(dialogue.c.state).where(
    dialogue.c.phone_id == bindparam("the_phone"),
    dialogue.c.carrier == bindparam("the_carrier"),
    dialogue.c.mark.in_(bindparam("the_marks", expanding=True)),
    dialogue.c.ended.is_(False),
    dialogue.c.at > bindparam("since"),
)
NEWEST: Final = (
    select(dialogue.c.state, dialogue.c.ended)
    .where(dialogue.c.phone_id == bindparam("the_phone"), dialogue.c.at >= bindparam("since"))
    .order_by(dialogue.c.at.desc(), dialogue.c.id.desc())
    .limit(1)
)
_new = insert(dialogue).values(
    scheme_id=select(phone.c.scheme_id)
    .where(phone.c.id == bindparam("the_phone"))
    .scalar_subquery(),
    phone_id=bindparam("the_phone"),
)
PUT: Final = _new.on_conflict_do_update(
    index_elements=["phone_id", "carrier", "mark"],
    set_={name: _new.excluded[name] for name in ("state", "ended", "at")},
)


class SqlDialogues(Repository):
    """The state of each dialogue, by phone, carrier and session."""

    def state(self, phone_id: int, carrier: str, session: str, now: datetime) -> str | None:
        """The state of that session; None for a new one, an ended one, or one past its time."""
        row = self.work.row(
            STATE,
            the_phone=phone_id,
            the_carrier=carrier,
            the_marks=self._marks(session),
            since=now - SESSION_LASTS,
        )
        return row and str(row.state)

    def left_off(self, phone_id: int, since: datetime) -> str | None:
        """Where the phone's newest dialogue since then broke off; None where it was ended.

        One that broke off before that is done with: what it wanted was said, or given up.
        """
        row = self.work.row(NEWEST, the_phone=phone_id, since=since)
        return None if row is None or row.ended else str(row.state)

    def put(
        self, phone_id: int, carrier: str, session: str, state: str, ended: bool, now: datetime
    ) -> None:
        """Keep where a session stands now."""
        self.work.run(
            PUT,
            the_phone=phone_id,
            carrier=carrier,
            mark=self._marks(session)[0],
            state=state,
            ended=ended,
            at=now,
        )

    def _marks(self, session: str) -> tuple[bytes, ...]:
        return self.work.keys.marks(session, "session")
