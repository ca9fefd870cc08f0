"""What texts cost: a sum for each carrier and month, and the shares of each plot."""

from collections import defaultdict
from datetime import date
from typing import Any, Final

from sqlalchemy import BindParameter, Row, bindparam, func, or_, select
from sqlalchemy.dialects.postgresql import insert

from gateway.advisory.budget import PlotCost, SpendLine
from gateway.advisory.carrier_profile import Price
from gateway.advisory.parcels import Parcel, State
from gateway.messages.segments import count_segments
from gateway.store.tables.crop import season
from gateway.store.tables.many import spend
from gateway.store.tables.places import grower, plot, reader
from gateway.store.tables.traffic import outbox
from gateway.store.work import Repository, Work

THE_SCHEME: Final[BindParameter[Any]] = bindparam("the_scheme")
_NEW: Final = insert(spend)
NOTE: Final = _NEW.on_conflict_do_update(
    index_elements=["scheme_id", "carrier", "month", "currency"],
    set_={name: spend.c[name] + _NEW.excluded[name] for name in ("texts", "segments", "amount")},
)
OF_MONTH: Final = select(func.coalesce(func.sum(spend.c.amount), 0.0).label("amount")).where(
    spend.c.scheme_id == THE_SCHEME,
    spend.c.month == bindparam("the_month"),
    spend.c.currency == bindparam("the_currency"),
)
# Rows from before there was a count of segments leave no trace here; none of them is claimed now.
LEAVING: Final = (
    select(outbox.c.carrier, func.sum(outbox.c.segments).label("segments"))
    .where(outbox.c.state == State.CLAIMED, outbox.c.scheme_id == THE_SCHEME)
    .group_by(outbox.c.carrier)
)
MONTHS: Final = (
    select(spend)
    .where(spend.c.scheme_id == THE_SCHEME)
    .order_by(spend.c.month.desc(), spend.c.carrier)
    .limit(bindparam("the_most"))
)
newer = season.alias("newer")
NEWEST: Final = (
    select(func.max(newer.c.established_on)).where(newer.c.plot_id == plot.c.id).scalar_subquery()
)
BEGUN: Final = (
    select(plot.c.id, plot.c.code, grower.c.name.label("grower"), season.c.established_on)
    .select_from(
        plot.join(season, season.c.plot_id == plot.c.id).outerjoin(
            grower, grower.c.id == plot.c.grower_id
        )
    )
    .where(plot.c.scheme_id == THE_SCHEME, season.c.established_on == NEWEST)
)
# A text without a plot is for all that its phone reads, and counts a share in each.
sharing = reader.alias("sharing")
SHARERS: Final = (
    select(func.count(sharing.c.id))
    .where(sharing.c.phone_id == outbox.c.phone_id)
    .scalar_subquery()
)
TEXTS_OF: Final = (
    select(
        reader.c.plot_id,
        outbox.c.plot_id.label("its_plot"),
        outbox.c.carrier,
        outbox.c.segments,
        outbox.c.sent_at,
        SHARERS.label("sharers"),
    )
    .select_from(reader.join(outbox, outbox.c.phone_id == reader.c.phone_id))
    .where(
        reader.c.plot_id.in_(bindparam("the_plots", expanding=True)),
        or_(outbox.c.plot_id.is_(None), outbox.c.plot_id == reader.c.plot_id),
        outbox.c.sent_at.is_not(None),
    )
)


class SqlSpending(Repository):
    """Sums of what left, kept as it leaves."""

    def note(self, parcel: Parcel, month: date, price: Price | None) -> None:
        """A text that left, in doubt or not."""
        segments = count_segments(parcel.text).segments
        self.work.run(
            NOTE,
            scheme_id=parcel.scheme_id,
            carrier=parcel.carrier,
            month=month,
            currency=price.currency if price else "",
            texts=1,
            segments=segments,
            amount=segments * price.each if price else 0.0,
        )

    def of_month(self, scheme_id: int, month: date, currency: str) -> float:
        """What was spent in that month in that currency."""
        values = {"the_scheme": scheme_id, "the_month": month, "the_currency": currency}
        row = self.work.row(OF_MONTH, **values)
        return float(row.amount) if row else 0.0

    def leaving(self, scheme_id: int) -> dict[str, int]:
        """Segments of the texts that are being handed over just now, by carrier."""
        rows = self.work.rows(LEAVING, the_scheme=scheme_id)
        return {row.carrier: int(row.segments or 0) for row in rows}


def months(work: Work, scheme_id: int, most: int) -> list[SpendLine]:
    """The newest months first."""
    return [_line(row) for row in work.rows(MONTHS, the_scheme=scheme_id, the_most=most)]


def plot_costs(work: Work, scheme_id: int, page: int, size: int) -> tuple[list[PlotCost], int]:
    """One page of plots by code, each since its newest season began, and how many there are."""
    total = work.number(select(func.count()).select_from(BEGUN.subquery()), the_scheme=scheme_id)
    cut = BEGUN.order_by(plot.c.code).limit(size).offset((page - 1) * size)
    plots = work.rows(cut, the_scheme=scheme_id)
    texts: dict[int, list[Row[Any]]] = defaultdict(list)
    for row in work.rows(TEXTS_OF, the_plots=[one.id for one in plots]):
        texts[row.plot_id].append(row)
    return [_cost(one, texts[one.id]) for one in plots], total


def _cost(place: Row[Any], texts: list[Row[Any]]) -> PlotCost:
    segments: dict[str, float] = defaultdict(float)
    many = 0.0
    for row in texts:
        if row.sent_at.date() < place.established_on:
            continue
        share = 1.0 if row.its_plot is not None else 1.0 / row.sharers
        many += share
        segments[row.carrier] += share * (row.segments or 0)
    return PlotCost(place.code, place.grower or "", place.established_on, many, dict(segments))


def _line(row: Row[Any]) -> SpendLine:
    amount = row.amount if row.currency else None
    return SpendLine(row.month, row.carrier, row.texts, row.segments, amount, row.currency)
