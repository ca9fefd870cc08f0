"""Keepers of outlets, and what they report."""

from collections import defaultdict
from datetime import datetime
from typing import Final

from sqlalchemy import bindparam, insert, select, update

from gateway.advisory.number import Number
from gateway.advisory.outlets import KeeperOnRecord, OutletReport, OutletScope
from gateway.store.numbers import open_number
from gateway.store.people import KNOW
from gateway.store.tables.people import outlet_keeper, outlet_report
from gateway.store.tables.places import block, phone, plot
from gateway.store.work import Repository, added_once

SCOPE: Final = (
    select(
        block.c.id,
        block.c.name,
        block.c.outlet,
        plot.c.id.label("plot_id"),
        plot.c.code.label("plot_code"),
    )
    .join(outlet_keeper, outlet_keeper.c.block_id == block.c.id)
    .outerjoin(plot, plot.c.block_id == block.c.id)
    .where(outlet_keeper.c.phone_id == bindparam("the_phone"))
    .order_by(block.c.outlet, block.c.id, plot.c.code)
)
KEEPERS: Final = (
    select(
        outlet_keeper.c.phone_id,
        outlet_keeper.c.name,
        outlet_keeper.c.role,
        block.c.name.label("block"),
        phone.c.number,
        phone.c.language,
    )
    .join(phone, phone.c.id == outlet_keeper.c.phone_id)
    .join(block, block.c.id == outlet_keeper.c.block_id)
    .where(outlet_keeper.c.scheme_id == bindparam("the_scheme"))
    .order_by(outlet_keeper.c.id)
)
ENROL: Final = added_once(outlet_keeper, "phone_id", "block_id")
PUT_RIGHT: Final = (
    update(outlet_keeper)
    .where(
        outlet_keeper.c.phone_id == bindparam("the_phone"),
        outlet_keeper.c.block_id == bindparam("the_block"),
    )
    .values(name=bindparam("the_name"), role=bindparam("the_role"))
)
REPORT: Final = insert(outlet_report).values(
    scheme_id=select(block.c.scheme_id)
    .where(block.c.id == bindparam("the_block"))
    .scalar_subquery(),
    block_id=bindparam("the_block"),
)
TAKE_BACK: Final = (
    update(outlet_report)
    .where(
        outlet_report.c.phone_id == bindparam("the_phone"),
        outlet_report.c.text_id == bindparam("the_text"),
        outlet_report.c.taken_back_at.is_(None),
    )
    .values(taken_back_at=bindparam("now"))
)


class SqlOutlets(Repository):
    """Who keeps which outlet, and the reports on it."""

    def scope_of(self, phone_id: int) -> tuple[OutletScope, ...]:
        """What the phone keeps, by outlet."""
        found: dict[int, OutletScope] = {}
        for row in self.work.rows(SCOPE, the_phone=phone_id):
            scope = found.setdefault(row.id, OutletScope(row.id, row.name, row.outlet, {}))
            if row.plot_id is not None:
                scope.plots[row.plot_code] = row.plot_id
        return tuple(found.values())

    def keepers(self, scheme_id: int) -> dict[Number, list[KeeperOnRecord]]:
        """All keepers of a scheme, by number."""
        found: dict[Number, list[KeeperOnRecord]] = defaultdict(list)
        for row in self.work.rows(KEEPERS, the_scheme=scheme_id):
            number = open_number(row.number, self.work.keys)
            found[number].append(
                KeeperOnRecord(row.phone_id, row.block, row.name, row.role, row.language)
            )
        return dict(found)

    def enrol(
        self, phone_id: int, block_id: int, name: str, role: str, language: str, now: datetime
    ) -> None:
        """Give a phone an outlet; a second time puts name and role right. Raises NotOnRecord."""
        known = self.work.need("phone", phone_id, KNOW, the_phone=phone_id, the_language=language)
        new = self.work.number_or_none(
            ENROL,
            scheme_id=known.scheme_id,
            phone_id=phone_id,
            block_id=block_id,
            name=name,
            role=role,
            since=now,
        )
        if new is None:
            self.work.run(
                PUT_RIGHT, the_phone=phone_id, the_block=block_id, the_name=name, the_role=role
            )

    def report(self, report: OutletReport, now: datetime) -> None:
        """Write a report down."""
        self.work.run(
            REPORT,
            the_block=report.block_id,
            plot_id=report.plot_id,
            phone_id=report.phone_id,
            text_id=report.text_id,
            kind=report.kind,
            hours=report.hours,
            on=report.on,
            at=now,
        )

    def take_back(self, phone_id: int, text_id: int, now: datetime) -> bool:
        """Take back what a text of the phone reported; False where that was nothing."""
        back = self.work.run(TAKE_BACK, the_phone=phone_id, the_text=text_id, now=now)
        return back.rowcount > 0
