"""The reply log: texts in with their answers, and texts that the office started."""

from collections import defaultdict
from collections.abc import Sequence
from typing import Any, Final

from sqlalchemy import (
    BindParameter,
    ColumnElement,
    Row,
    Select,
    String,
    bindparam,
    func,
    literal,
    or_,
    select,
    union_all,
)

from gateway.advisory.number import hide_numbers
from gateway.advisory.views import LogFilter, LogLine, LogPage, SentLine
from gateway.store.columns import storable
from gateway.store.numbers import open_number
from gateway.store.tables.crop import event
from gateway.store.tables.places import block, grower, phone, plot, reader
from gateway.store.tables.traffic import advice, outbox, question, text_in
from gateway.store.work import Work

IN, OUT = "in", "out"
THE_IDS: Final[BindParameter[Any]] = bindparam("the_ids", expanding=True)
answer = outbox.alias("answer")

TEXTS: Final = select(text_in).where(text_in.c.id.in_(THE_IDS))
STARTED: Final = select(outbox).where(outbox.c.id.in_(THE_IDS))
ANSWERS: Final = select(outbox).where(outbox.c.in_reply_to.in_(THE_IDS)).order_by(outbox.c.id)
PHONES: Final = select(phone.c.id, phone.c.number).where(phone.c.id.in_(THE_IDS))
GROWERS: Final = (
    select(reader.c.phone_id, grower.c.name)
    .join(grower, grower.c.id == reader.c.grower_id)
    .where(reader.c.phone_id.in_(THE_IDS))
    .distinct()
    .order_by(grower.c.name)
)
PLOTS_OF_TEXTS: Final = union_all(
    *(
        select(column.label("text_id"), plot.c.code)
        .join_from(column.table, plot, plot.c.id == column.table.c.plot_id)
        .where(column.in_(THE_IDS))
        for column in (
            event.c.text_id,
            advice.c.text_id,
            question.c.text_id,
            outbox.c.in_reply_to,
        )
    )
)
PLOTS_OF_STARTED: Final = (
    select(outbox.c.id.label("text_id"), plot.c.code)
    .join(plot, plot.c.id == outbox.c.plot_id)
    .where(outbox.c.id.in_(THE_IDS))
)


def reply_log(
    work: Work, scheme_id: int, wanted: LogFilter, page: int, size: int, phone_id: int | None = None
) -> LogPage:
    """One page of ``size`` lines, newest first. A page past the end is the last one."""
    lines = _found(scheme_id, wanted, phone_id).subquery()
    total = work.number(select(func.count()).select_from(lines))
    pages = max(1, -(-total // size))
    page = min(max(page, 1), pages)
    ordered = select(lines).order_by(lines.c.at.desc(), lines.c.way, lines.c.id.desc())
    rows = work.rows(ordered.limit(size).offset((page - 1) * size))
    return LogPage(tuple(_lines(work, rows)), page, pages, total)


def sent_line(row: Row[Any]) -> SentLine:
    """A text out from its row, numbers in it masked."""
    return SentLine(
        row.id,
        hide_numbers(row.text),
        row.state,
        row.state_at,
        row.carrier,
        row.kind,
        words=hide_numbers(row.words),
        advice_id=row.advice_id,
    )


def _found(scheme_id: int, wanted: LogFilter, phone_id: int | None) -> Any:
    ways = []
    if wanted.direction != OUT:
        ways.append(_texts(scheme_id, wanted, phone_id))
    if wanted.direction != IN and wanted.outcome is None:
        ways.append(_started(scheme_id, wanted, phone_id))
    if not ways:
        ways.append(_started(scheme_id, wanted, phone_id).where(literal(1) == literal(0)))
    return union_all(*ways)


def _texts(scheme_id: int, wanted: LogFilter, phone_id: int | None) -> Select[Any]:
    t = text_in.c
    asked: list[ColumnElement[bool]] = [t.scheme_id == scheme_id]
    answered = select(literal(1)).where(answer.c.in_reply_to == t.id)
    if phone_id is not None:
        asked.append(t.phone_id == phone_id)
    if wanted.since is not None:
        asked.append(t.received_at >= wanted.since)
    if wanted.until is not None:
        asked.append(t.received_at < wanted.until)
    if wanted.outcome is not None:
        asked.append(t.outcome == wanted.outcome)
    if wanted.state is not None:
        asked.append(answered.where(answer.c.state == wanted.state).exists())
    if wanted.words is not None:
        words = storable(wanted.words)
        said = answered.where(answer.c.text.icontains(words, autoescape=True)).exists()
        asked.append(or_(t.body.icontains(words, autoescape=True), said))
    plots = _plots(scheme_id, wanted)
    if plots is not None:
        asked.append(
            or_(
                *(
                    select(literal(1))
                    .where(column == t.id, column.table.c.plot_id.in_(plots))
                    .exists()
                    for column in (
                        event.c.text_id,
                        advice.c.text_id,
                        question.c.text_id,
                        answer.c.in_reply_to,
                    )
                )
            )
        )
    return select(literal(IN, String).label("way"), t.id, t.received_at.label("at")).where(*asked)


def _started(scheme_id: int, wanted: LogFilter, phone_id: int | None) -> Select[Any]:
    o = outbox.c
    asked: list[ColumnElement[bool]] = [o.scheme_id == scheme_id, o.in_reply_to.is_(None)]
    if phone_id is not None:
        asked.append(o.phone_id == phone_id)
    if wanted.since is not None:
        asked.append(o.created_at >= wanted.since)
    if wanted.until is not None:
        asked.append(o.created_at < wanted.until)
    if wanted.state is not None:
        asked.append(o.state == wanted.state)
    if wanted.words is not None:
        asked.append(o.text.icontains(storable(wanted.words), autoescape=True))
    plots = _plots(scheme_id, wanted)
    if plots is not None:
        asked.append(o.plot_id.in_(plots))
    return select(literal(OUT, String).label("way"), o.id, o.created_at.label("at")).where(*asked)


def _plots(scheme_id: int, wanted: LogFilter) -> Select[Any] | None:
    if wanted.plot is None and wanted.block is None:
        return None
    plots = select(plot.c.id).where(plot.c.scheme_id == scheme_id)
    if wanted.plot is not None:
        plots = plots.where(func.lower(plot.c.code) == storable(wanted.plot).lower())
    if wanted.block is not None:
        plots = plots.join(block, block.c.id == plot.c.block_id).where(block.c.name == wanted.block)
    return plots


def _lines(work: Work, rows: Sequence[Row[Any]]) -> list[LogLine]:
    came = [row.id for row in rows if row.way == IN]
    went = [row.id for row in rows if row.way == OUT]
    texts = {row.id: row for row in _some(work, TEXTS, came)}
    started = {row.id: row for row in _some(work, STARTED, went)}
    answers = defaultdict(list)
    for row in _some(work, ANSWERS, came):
        answers[row.in_reply_to].append(sent_line(row))
    plots = {IN: _codes(work, PLOTS_OF_TEXTS, came), OUT: _codes(work, PLOTS_OF_STARTED, went)}
    people = {row.phone_id for row in (*texts.values(), *started.values())}
    who, masks = _who(work, sorted(people))

    def line(row: Row[Any]) -> LogLine:
        source = texts[row.id] if row.way == IN else started[row.id]
        common: dict[str, Any] = {
            "at": row.at,
            "who": ", ".join(who[source.phone_id]),
            "phone": masks[source.phone_id],
            "phone_id": source.phone_id,
            "plots": tuple(sorted(plots[row.way][row.id])),
            "carrier": source.carrier,
        }
        if row.way == OUT:
            return LogLine(**common, sent=(sent_line(source),))
        return LogLine(
            **common,
            text_id=source.id,
            body=hide_numbers(source.body),
            outcome=source.outcome,
            understood=hide_numbers(source.understood),
            failure=source.failure and hide_numbers(source.failure),
            sent=tuple(answers[source.id]),
        )

    return [line(row) for row in rows]


def _some(work: Work, statement: Any, ids: Sequence[int]) -> Sequence[Row[Any]]:
    return work.rows(statement, the_ids=ids) if ids else ()


def _codes(work: Work, statement: Any, ids: Sequence[int]) -> dict[int, set[str]]:
    found: dict[int, set[str]] = defaultdict(set)
    for row in _some(work, statement, ids):
        found[row.text_id].add(row.code)
    return found


def _who(work: Work, phones: Sequence[int]) -> tuple[dict[int, list[str]], dict[int, str]]:
    names: dict[int, list[str]] = defaultdict(list)
    for row in _some(work, GROWERS, phones):
        names[row.phone_id].append(row.name)
    numbers = {row.id: row.number for row in _some(work, PHONES, phones)}
    return names, {key: open_number(sealed, work.keys).masked for key, sealed in numbers.items()}
