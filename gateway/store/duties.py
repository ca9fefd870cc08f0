"""What the calendar owed."""

from datetime import date, datetime
from typing import Final

from sqlalchemy import bindparam, literal, select

from gateway.advisory.records import DutyRow
from gateway.store.tables.office import duty as table
from gateway.store.tables.traffic import outbox
from gateway.store.work import Repository, added_once

SENT: Final = (
    select(literal(1)).where(outbox.c.duty_id == table.c.id, outbox.c.sent_at.is_not(None)).exists()
)
LAST: Final = (
    select(table, SENT.label("sent"))
    .where(
        table.c.season_id == bindparam("the_season"),
        table.c.duty == bindparam("the_duty"),
        table.c.ordinal == bindparam("the_ordinal"),
    )
    .order_by(table.c.revision.desc())
    .limit(1)
)
OWE: Final = added_once(table, "season_id", "duty", "ordinal", "revision")


class SqlDuties(Repository):
    """Duties, each owed once."""

    def last(self, season_id: int, duty: str, ordinal: int) -> DutyRow | None:
        """The newest revision of a duty; ``sent`` when a text of it has left the house."""
        row = self.work.row(LAST, the_season=season_id, the_duty=duty, the_ordinal=ordinal)
        return row and DutyRow(
            row.id,
            row.season_id,
            row.duty,
            row.ordinal,
            row.revision,
            row.anchor_on,
            sent=bool(row.sent),
        )

    def owe(
        self,
        scheme_id: int,
        season_id: int,
        duty: str,
        ordinal: int,
        revision: int,
        anchor_on: date,
        now: datetime,
    ) -> int | None:
        """Owe it; None where it is owed already (by any process)."""
        return self.work.number_or_none(
            OWE,
            scheme_id=scheme_id,
            season_id=season_id,
            duty=duty,
            ordinal=ordinal,
            revision=revision,
            anchor_on=anchor_on,
            owed_at=now,
        )
