"""Queries of the page People: requests, plots without a channel, keepers and their reports."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import Any, Final

from sqlalchemy import Row, and_, bindparam, func, or_, select

from gateway.advisory.joins import KeeperLine, LostLine, ReportLine, RequestLine
from gateway.store.numbers import open_number
from gateway.store.tables.people import consent, joining, outlet_keeper, outlet_report
from gateway.store.tables.places import block, grower, phone, plot, reader
from gateway.store.views import GROWER, THE_SCHEME
from gateway.store.work import Work

HOLDERS: Final = (
    select(func.count())
    .select_from(reader)
    .join(phone, phone.c.id == reader.c.phone_id)
    .where(reader.c.plot_id == plot.c.id, phone.c.left_at.is_(None))
    .correlate(plot)
    .scalar_subquery()
)
asking = phone.alias("asking")
REQUESTS: Final = (
    select(
        joining,
        asking.c.number,
        plot.c.code,
        grower.c.name.label("grower"),
        HOLDERS.label("holders"),
    )
    .join(asking, asking.c.id == joining.c.phone_id)
    .outerjoin(plot, plot.c.id == joining.c.plot_id)
    .outerjoin(grower, grower.c.id == plot.c.grower_id)
    .where(joining.c.scheme_id == THE_SCHEME, joining.c.state == "waiting")
    .order_by(joining.c.id)
)
newest = consent.alias("newest")
LAST_CONSENT: Final = (
    select(func.max(newest.c.id)).where(newest.c.phone_id == phone.c.id).scalar_subquery()
)
held, holding, agreed = reader.alias("held"), phone.alias("holding"), consent.alias("agreed")
LAST_OF_HOLDING: Final = (
    select(func.max(newest.c.id)).where(newest.c.phone_id == holding.c.id).scalar_subquery()
)
REACHED: Final = (
    select(held.c.id)
    .join(holding, holding.c.id == held.c.phone_id)
    .outerjoin(agreed, agreed.c.id == LAST_OF_HOLDING)
    .where(
        held.c.plot_id == plot.c.id,
        holding.c.left_at.is_(None),
        or_(agreed.c.how.is_(None), agreed.c.how != "asked"),
    )
    .correlate(plot)
    .exists()
)
LOST: Final = (
    select(
        plot.c.code,
        block.c.name.label("block"),
        GROWER,
        phone.c.left_at,
        and_(consent.c.how == "asked", phone.c.left_at.is_(None)).label("asked"),
        consent.c.at.label("asked_at"),
    )
    .join(block, block.c.id == plot.c.block_id)
    .outerjoin(grower, grower.c.id == plot.c.grower_id)
    .outerjoin(reader, reader.c.plot_id == plot.c.id)
    .outerjoin(phone, phone.c.id == reader.c.phone_id)
    .outerjoin(consent, consent.c.id == LAST_CONSENT)
    .where(plot.c.scheme_id == THE_SCHEME, ~REACHED)
    .order_by(plot.c.code, phone.c.left_at.desc())
    .limit(bindparam("most"))
)
KEEPERS: Final = (
    select(
        outlet_keeper.c.name,
        outlet_keeper.c.role,
        phone.c.number,
        phone.c.left_at,
        block.c.name.label("block"),
        block.c.outlet,
    )
    .join(phone, phone.c.id == outlet_keeper.c.phone_id)
    .join(block, block.c.id == outlet_keeper.c.block_id)
    .where(outlet_keeper.c.scheme_id == THE_SCHEME)
    .order_by(block.c.outlet, outlet_keeper.c.name, outlet_keeper.c.id)
)
REPORTS: Final = (
    select(
        outlet_report,
        block.c.name.label("block"),
        block.c.outlet,
        plot.c.code,
        outlet_keeper.c.name.label("who"),
    )
    .join(block, block.c.id == outlet_report.c.block_id)
    .outerjoin(plot, plot.c.id == outlet_report.c.plot_id)
    .outerjoin(
        outlet_keeper,
        and_(
            outlet_keeper.c.phone_id == outlet_report.c.phone_id,
            outlet_keeper.c.block_id == outlet_report.c.block_id,
        ),
    )
    .where(outlet_report.c.scheme_id == THE_SCHEME)
    .order_by(outlet_report.c.at.desc(), outlet_report.c.id.desc())
    .limit(bindparam("most"))
)


class SqlPeopleViews:
    """The queries, each in a unit of its own that only reads."""

    def __init__(self, begin: Callable[[bool], AbstractContextManager[Work]]) -> None:
        self._begin = begin

    def requests(self, scheme_id: int) -> list[RequestLine]:
        """Requests that wait, the oldest first."""
        with self._begin(False) as work:
            rows = work.rows(REQUESTS, the_scheme=scheme_id)
            return [_request(row, work) for row in rows]

    def lost(self, scheme_id: int, most: int) -> list[LostLine]:
        """Plots that no phone in good standing reads, by code; each once."""
        with self._begin(False) as work:
            rows = work.rows(LOST, the_scheme=scheme_id, most=most)
        return list({row.code: _lost(row) for row in reversed(rows)}.values())[::-1]

    def keepers(self, scheme_id: int) -> list[KeeperLine]:
        """Who keeps an outlet, by outlet."""
        with self._begin(False) as work:
            return [
                KeeperLine(
                    row.name,
                    row.role,
                    open_number(row.number, work.keys).masked,
                    row.block,
                    row.outlet,
                    row.left_at is not None,
                )
                for row in work.rows(KEEPERS, the_scheme=scheme_id)
            ]

    def reports(self, scheme_id: int, most: int) -> list[ReportLine]:
        """The newest reports on outlets."""
        with self._begin(False) as work:
            rows = work.rows(REPORTS, the_scheme=scheme_id, most=most)
        return [
            ReportLine(
                row.at,
                row.on,
                row.block,
                row.outlet,
                row.kind,
                row.who or "",
                row.code,
                row.hours,
                row.taken_back_at is not None,
            )
            for row in rows
        ]


def _request(row: Row[Any], work: Work) -> RequestLine:
    told = row.answers
    return RequestLine(
        row.id,
        row.moved_at,
        open_number(row.number, work.keys).masked,
        told.get("name", ""),
        told.get("plot", ""),
        told.get("language", row.language),
        told.get("reads", ""),
        row.code,
        row.grower,
        row.holders if row.code is not None else 0,
        row.holder_said,
    )


def _lost(row: Row[Any]) -> LostLine:
    if row.asked:
        return LostLine(row.code, row.block, row.grower, "asked", row.asked_at)
    if row.left_at is not None:
        return LostLine(row.code, row.block, row.grower, "left", row.left_at)
    return LostLine(row.code, row.block, row.grower, "none")
