"""Queries about the calendar: plain rows, of one scheme only, no number in full."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import date
from typing import Any, Final

from sqlalchemy import Row, Select, bindparam, exists, func, select

from gateway.advisory.calendarviews import CalendarFilter, OwedLine, OwedPage, SilentLine
from gateway.advisory.number import hide_numbers
from gateway.store.columns import storable
from gateway.store.numbers import open_number
from gateway.store.tables.crop import event, season
from gateway.store.tables.office import duty, duty_text
from gateway.store.tables.places import block, grower, phone, plot, reader
from gateway.store.tables.traffic import outbox, text_in
from gateway.store.views import GROWER, THE_SCHEME
from gateway.store.work import Work

PLACES: Final = plot.join(block, block.c.id == plot.c.block_id).outerjoin(
    grower, grower.c.id == plot.c.grower_id
)
WHERE: Final = (plot.c.code, block.c.name.label("block"), GROWER)
OWED: Final = (
    select(
        duty.c.duty,
        duty.c.owed_at,
        duty.c.anchor_on,
        *WHERE,
        phone.c.number,
        outbox.c.text,
        outbox.c.state,
        outbox.c.words,
        outbox.c.not_before,
        outbox.c.sent_at,
    )
    .select_from(
        duty.join(season, season.c.id == duty.c.season_id)
        .join(plot, plot.c.id == season.c.plot_id)
        .join(block, block.c.id == plot.c.block_id)
        .outerjoin(grower, grower.c.id == plot.c.grower_id)
        .outerjoin(duty_text, duty_text.c.duty_id == duty.c.id)
        .outerjoin(outbox, outbox.c.id == duty_text.c.parcel_id)
        .outerjoin(phone, phone.c.id == outbox.c.phone_id)
    )
    .where(duty.c.scheme_id == THE_SCHEME)
)
BLOCKS: Final = select(block.c.name).where(block.c.scheme_id == THE_SCHEME).order_by(block.c.name)

later = event.alias("later")
SIGNS: Final = ("reading", "flooded")
LIVE: Final = ~exists(select(later.c.id).where(later.c.supersedes == event.c.id))
newer = season.alias("newer")
asked_again, by_lead = duty.alias("asked_again"), duty.alias("by_lead")
TOLD_ON: Final = (
    select(func.max(event.c.on))
    .where(event.c.plot_id == plot.c.id, event.c.kind.in_(SIGNS), LIVE)
    .scalar_subquery()
)
LAST_TEXT: Final = (
    select(func.max(text_in.c.id))
    .join(reader, reader.c.phone_id == text_in.c.phone_id)
    .where(reader.c.plot_id == plot.c.id)
    .scalar_subquery()
)
SILENT: Final = (
    select(
        *WHERE,
        duty.c.anchor_on,
        TOLD_ON.label("told_on"),
        text_in.c.body,
        text_in.c.received_at,
        exists(
            select(by_lead.c.id).where(
                by_lead.c.season_id == duty.c.season_id,
                by_lead.c.anchor_on == duty.c.anchor_on,
                by_lead.c.duty.in_(bindparam("by_lead", expanding=True)),
            )
        ).label("lead_asked"),
    )
    .select_from(
        duty.join(season, season.c.id == duty.c.season_id)
        .join(plot, plot.c.id == season.c.plot_id)
        .join(block, block.c.id == plot.c.block_id)
        .outerjoin(grower, grower.c.id == plot.c.grower_id)
        .outerjoin(text_in, text_in.c.id == LAST_TEXT)
    )
    .where(
        duty.c.scheme_id == THE_SCHEME,
        duty.c.duty.in_(bindparam("asked", expanding=True)),
        duty.c.anchor_on <= bindparam("before"),
        # Answered since, harvested, or another crop stands there by now.
        ~exists(
            select(event.c.id).where(
                event.c.plot_id == plot.c.id,
                event.c.kind.in_((*SIGNS, "harvest")),
                event.c.on >= duty.c.anchor_on,
                LIVE,
            )
        ),
        ~exists(
            select(newer.c.id).where(
                newer.c.plot_id == plot.c.id, newer.c.established_on > season.c.established_on
            )
        ),
        ~exists(
            select(asked_again.c.id).where(
                asked_again.c.season_id == duty.c.season_id,
                asked_again.c.duty == duty.c.duty,
                asked_again.c.id > duty.c.id,
            )
        ),
    )
    .order_by(duty.c.anchor_on, plot.c.code)
)


class SqlCalendarViews:
    """The console's queries about the calendar, each in a unit of its own that only reads."""

    def __init__(self, begin: Callable[[bool], AbstractContextManager[Work]]) -> None:
        self._begin = begin

    def owed_lines(self, scheme_id: int, wanted: CalendarFilter, page: int, size: int) -> OwedPage:
        """One page of what was owed, newest first. A page past the end is the last one."""
        found = _wanted(OWED, wanted)
        with self._begin(False) as work:
            many = select(func.count()).select_from(found.subquery())
            total = work.number(many, the_scheme=scheme_id)
            pages = max(1, -(-total // size))
            page = min(page, pages)
            cut = found.order_by(duty.c.id.desc(), outbox.c.id).limit(size)
            rows = work.rows(cut.offset((page - 1) * size), the_scheme=scheme_id)
            lines = tuple(_owed_line(row, work) for row in rows)
        return OwedPage(lines, page, pages, total)

    def plots_of(self, scheme_id: int, wanted: CalendarFilter) -> list[tuple[int, str, str, str]]:
        """Id, code, block and grower of the plots that the filter names, by code."""
        places = select(plot.c.id, *WHERE).select_from(PLACES)
        found = _placed(places.where(plot.c.scheme_id == THE_SCHEME), wanted)
        with self._begin(False) as work:
            rows = work.rows(found.order_by(plot.c.code), the_scheme=scheme_id)
        return [(row.id, row.code, row.block, row.grower) for row in rows]

    def blocks(self, scheme_id: int) -> list[str]:
        """The names of the blocks."""
        with self._begin(False) as work:
            return [row.name for row in work.rows(BLOCKS, the_scheme=scheme_id)]

    def silent(
        self, scheme_id: int, asked: tuple[str, ...], by_lead: tuple[str, ...], before: date
    ) -> list[SilentLine]:
        """Plots of which a duty of ``asked`` was owed by that day and not answered since."""
        values = {"asked": list(asked), "by_lead": list(by_lead), "before": before}
        with self._begin(False) as work:
            rows = work.rows(SILENT, the_scheme=scheme_id, **values)
        return [_silent_line(row) for row in rows]


def _wanted(found: Select[Any], wanted: CalendarFilter) -> Select[Any]:
    if wanted.since is not None:
        found = found.where(duty.c.owed_at >= wanted.since)
    if wanted.until is not None:
        found = found.where(duty.c.owed_at < wanted.until)
    if wanted.duty is not None:
        found = found.where(duty.c.duty == wanted.duty)
    if wanted.state is not None:
        found = found.where(outbox.c.state == wanted.state)
    return _placed(found, wanted)


def _placed(found: Select[Any], wanted: CalendarFilter) -> Select[Any]:
    if wanted.plot is not None:
        found = found.where(func.lower(plot.c.code) == storable(wanted.plot).lower())
    if wanted.block is not None:
        found = found.where(block.c.name == storable(wanted.block))
    return found


def _owed_line(row: Row[Any], work: Work) -> OwedLine:
    return OwedLine(
        row.duty,
        row.code,
        row.block,
        row.grower,
        row.owed_at,
        row.anchor_on,
        phone=open_number(row.number, work.keys).masked if row.number else "",
        text=hide_numbers(row.text or ""),
        state=row.state,
        words=row.words or "",
        leaves_at=row.not_before,
        sent_at=row.sent_at,
    )


def _silent_line(row: Row[Any]) -> SilentLine:
    return SilentLine(
        row.code,
        row.block,
        row.grower,
        row.anchor_on,
        row.told_on,
        hide_numbers(row.body or ""),
        row.received_at,
        bool(row.lead_asked),
    )
