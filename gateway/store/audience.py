"""Whom a broadcast is meant for, as far as one statement can tell."""

from datetime import date
from typing import Any, Final

from sqlalchemy import ColumnElement, bindparam, exists, func, or_, select

from gateway.advisory.broadcasts import Audience, Candidate
from gateway.store.columns import storable
from gateway.store.tables.crop import event
from gateway.store.tables.places import block, phone, plot, reader
from gateway.store.tables.traffic import advice
from gateway.store.work import Work

WATERED: Final = ("reflood", "top-up", "reflood-after-nitrogen")
newer = advice.alias("newer")
NEWEST: Final = select(func.max(newer.c.id)).where(newer.c.plot_id == plot.c.id).scalar_subquery()
later = event.alias("later")
READINGS: Final = (
    select(func.count(event.c.id))
    .where(
        event.c.plot_id == plot.c.id,
        event.c.kind == "reading",
        event.c.on >= bindparam("regular_since"),
        ~exists(select(later.c.id).where(later.c.supersedes == event.c.id)),
    )
    .scalar_subquery()
)
MEANT: Final = (
    select(
        reader.c.phone_id,
        phone.c.language,
        phone.c.letters,
        reader.c.plot_id,
        plot.c.code,
    )
    .select_from(
        reader.join(phone, phone.c.id == reader.c.phone_id)
        .join(plot, plot.c.id == reader.c.plot_id)
        .join(block, block.c.id == plot.c.block_id)
    )
    .where(reader.c.scheme_id == bindparam("the_scheme"), phone.c.left_at.is_(None))
    .order_by(reader.c.phone_id, plot.c.code)
)


def candidates(
    work: Work, scheme_id: int, wanted: Audience, today: date, regular: tuple[int, date]
) -> list[Candidate]:
    """Plots and phones that are meant, the stage of the crop apart, by phone and code."""
    found, values = MEANT, {"the_scheme": scheme_id}
    for column, names in (
        (block.c.name, [storable(name) for name in wanted.blocks]),
        (phone.c.language, wanted.languages),
        (plot.c.soil, wanted.soils),
    ):
        if names:
            found = found.where(column.in_(names))
    if wanted.waters:
        found = found.outerjoin(advice, advice.c.id == NEWEST)
        found = found.where(or_(*(_water(name, today) for name in wanted.waters)))
    if wanted.habits:
        found = found.where(or_(*(_habit(name, regular[0]) for name in wanted.habits)))
        values["regular_since"] = regular[1]  # type: ignore[assignment]
    rows = work.rows(found, **values)
    return [Candidate(r.phone_id, r.language, r.letters, r.plot_id, r.code) for r in rows]


def _water(name: str, today: date) -> ColumnElement[bool]:
    """By the newest advice of the plot; a plot without one counts as never told of."""
    conditions: dict[str, Any] = {
        "standing": advice.c.level_cm > 0,
        "below": advice.c.level_cm <= 0,
        "wanted": advice.c.action.in_(WATERED),
        "overdue": advice.c.next_reading_on < today,
        "untold": advice.c.level_cm.is_(None),
    }
    condition: ColumnElement[bool] = conditions[name]
    return condition


def _habit(name: str, regular: int) -> ColumnElement[bool]:
    conditions: dict[str, ColumnElement[bool]] = {
        "regular": regular <= READINGS,
        "seldom": READINGS.between(1, regular - 1),
        "silent": READINGS == 0,
    }
    return conditions[name]
