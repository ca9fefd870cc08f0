"""What each reader reported of their plots: for the question whether the tubes were really read."""

from collections import defaultdict
from datetime import date
from typing import Any, Final

from sqlalchemy import Select, bindparam, literal, select

from gateway.agronomy.quality import Look
from gateway.store.cases import event_of
from gateway.store.tables.crop import event
from gateway.store.tables.places import plot, reader
from gateway.store.tables.traffic import text_in
from gateway.store.work import Work

later = event.alias("later")
SUPERSEDED: Final = select(literal(1)).where(later.c.supersedes == event.c.id).exists()
OF_PLOT: Final[Select[Any]] = (
    select(text_in.c.phone_id, plot.c.code, event.c.kind, event.c.on, event.c.at, event.c.fields)
    .join(text_in, text_in.c.id == event.c.text_id)
    .join(plot, plot.c.id == event.c.plot_id)
    .where(event.c.kind == "reading", event.c.on >= bindparam("since"), ~SUPERSEDED)
    .where(
        text_in.c.phone_id.in_(
            select(reader.c.phone_id).where(reader.c.plot_id == bindparam("the_plot"))
        )
    )
    .order_by(event.c.id)
)


def looks_of_readers(work: Work, plot_id: int, since: date) -> list[list[Look]]:
    """What each reader of a plot reported since a day, of this plot and of others."""
    found: dict[int, list[Look]] = defaultdict(list)
    for row in work.rows(OF_PLOT, the_plot=plot_id, since=since):
        read = event_of(row)
        if read.level_cm is not None:
            found[row.phone_id].append(Look(row.code, read.on, read.level_cm))
    return list(found.values())
