"""What the calendar owed, and the texts that tell of it."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any, Final

from sqlalchemy import Row, bindparam, delete, exists, func, insert, select, update

from gateway.advisory.parcels import NewParcel, Parcel, State
from gateway.advisory.records import DutyRow, NewDuty
from gateway.store.manytexts import put_numbered
from gateway.store.parcelrows import PARCELS, parcel_of
from gateway.store.tables.crop import season
from gateway.store.tables.office import duty as table
from gateway.store.tables.office import duty_text
from gateway.store.tables.places import plot
from gateway.store.tables.traffic import outbox
from gateway.store.work import Repository, added_once

OPEN: Final = (State.WAITING, State.HELD)


def _has_text(*those: Any) -> Any:
    texts = select(duty_text.c.id).join(outbox, outbox.c.id == duty_text.c.parcel_id)
    return exists(texts.where(duty_text.c.duty_id == table.c.id, *those).correlate(table))


newer = table.alias("newer")
NEWEST: Final = ~exists(
    select(newer.c.id).where(
        newer.c.season_id == table.c.season_id,
        newer.c.duty == table.c.duty,
        newer.c.ordinal == table.c.ordinal,
        newer.c.revision > table.c.revision,
    )
)
COLUMNS: Final = (
    table,
    _has_text(outbox.c.sent_at.is_not(None)).label("sent"),
    _has_text(outbox.c.state.in_(OPEN)).label("open"),
)
OWED: Final = select(*COLUMNS).where(
    table.c.season_id.in_(bindparam("the_seasons", expanding=True)), NEWEST
)
NAMES: Final = NewDuty.__slots__
OWE: Final = added_once(table, "season_id", "duty", "ordinal", "revision").returning(
    *(table.c[name] for name in NAMES)
)
TELL_MANY: Final = insert(duty_text)
TELL: Final = added_once(duty_text, "duty_id", "parcel_id")
TEXTS: Final = (
    PARCELS.join(duty_text, duty_text.c.parcel_id == outbox.c.id)
    .where(duty_text.c.duty_id == bindparam("the_duty"))
    .order_by(outbox.c.id)
)
UNTELL: Final = delete(duty_text).where(
    duty_text.c.duty_id == bindparam("the_duty"), duty_text.c.parcel_id == bindparam("the_parcel")
)
TAKE_BACK: Final = update(table).where(table.c.id == bindparam("the_duty")).values(taken_back=True)
# Who adds a plot to a text or takes one out does so alone, and sees which were there before.
HOLD_TEXT: Final = (
    select(outbox.c.id)
    .where(outbox.c.id == bindparam("the_parcel"))
    .with_for_update(key_share=True)
)
PLOTS_TOLD: Final = (
    select(plot.c.code)
    .join(season, season.c.plot_id == plot.c.id)
    .join(table, table.c.season_id == season.c.id)
    .join(duty_text, duty_text.c.duty_id == table.c.id)
    .where(duty_text.c.parcel_id == bindparam("the_parcel"))
    .order_by(duty_text.c.id)
)
COUNTS: Final = (
    select(table.c.duty, func.count().label("many"))
    .where(table.c.scheme_id == bindparam("the_scheme"), table.c.owed_at >= bindparam("since"))
    .group_by(table.c.duty)
)


class SqlDuties(Repository):
    """Duties, each owed once."""

    def owed(self, season_ids: Sequence[int]) -> list[DutyRow]:
        """The newest revision of each duty of those seasons."""
        if not season_ids:
            return []
        return [duty_row(row) for row in self.work.rows(OWED, the_seasons=list(season_ids))]

    def owe(self, scheme_id: int, duties: Sequence[NewDuty], now: datetime) -> dict[NewDuty, int]:
        """Owe them; the numbers of those that were not owed already (by any process)."""
        fixed = {"scheme_id": scheme_id, "owed_at": now}
        rows = [{**fixed, **{name: getattr(new, name) for name in NAMES}} for new in duties]
        found = self.work.rows_of_many(OWE, rows)
        return {NewDuty(*(getattr(row, name) for name in NAMES)): row.id for row in found}

    def put(
        self, texts: Sequence[tuple[NewParcel, Sequence[int]]], now: datetime
    ) -> frozenset[str]:
        """Put texts with the duties that they tell of; the keys of those not there already."""
        put = put_numbered(self.work, [parcel for parcel, _ in texts], now)
        told = [
            {"scheme_id": parcel.scheme_id, "duty_id": duty_id, "parcel_id": put[parcel.key]}
            for parcel, duty_ids in texts
            for duty_id in duty_ids
            if parcel.key in put
        ]
        self.work.run_many(TELL_MANY, told)
        return frozenset(put)

    def take_back(self, duty_id: int) -> None:
        """Note that nobody was told of a duty, nor will be: it may be owed anew."""
        self.work.run(TAKE_BACK, the_duty=duty_id)

    def tell(self, scheme_id: int, duty_id: int, parcel_id: int) -> None:
        """Note that a text tells of a duty."""
        values = {"scheme_id": scheme_id, "duty_id": duty_id, "parcel_id": parcel_id}
        self.work.number_or_none(TELL, **values)

    def untell(self, duty_id: int, parcel_id: int) -> None:
        """Note that a text tells of a duty no more."""
        self.work.run(UNTELL, the_duty=duty_id, the_parcel=parcel_id)

    def texts(self, duty_id: int) -> list[Parcel]:
        """The texts that tell of a duty."""
        return [parcel_of(row, self.work.keys) for row in self.work.rows(TEXTS, the_duty=duty_id)]

    def plots_told(self, parcel_id: int) -> list[str]:
        """The codes of the plots whose duties a text tells of, in the order they were joined.

        The text is held until the commit: another unit of work changes its plots only then.
        """
        self.work.row(HOLD_TEXT, the_parcel=parcel_id)
        return [row.code for row in self.work.rows(PLOTS_TOLD, the_parcel=parcel_id)]

    def counts(self, scheme_id: int, since: datetime) -> dict[str, int]:
        """How many were owed since then, by duty."""
        rows = self.work.rows(COUNTS, the_scheme=scheme_id, since=since)
        return {row.duty: int(row.many) for row in rows}


def duty_row(row: Row[Any]) -> DutyRow:
    """A duty from a row of COLUMNS."""
    return DutyRow(
        row.id,
        row.season_id,
        row.duty,
        row.ordinal,
        row.revision,
        row.anchor_on,
        sent=bool(row.sent),
        open=bool(row.open),
        taken_back=row.taken_back,
    )
