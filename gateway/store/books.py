"""Event books, weather, and the cases built from them, as known at any instant."""

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import Any, Final

from sqlalchemy import Row, bindparam, literal, select
from sqlalchemy.dialects.postgresql import insert

from gateway.advisory.records import BookRow, PlotCase, Setting
from gateway.agronomy.book import Event
from gateway.agronomy.case import Case
from gateway.agronomy.habit import Belief, Posterior
from gateway.store.cases import event_fields, event_of
from gateway.store.fieldread import FieldReader
from gateway.store.plain import to_plain
from gateway.store.tables.crop import event, season
from gateway.store.tables.crop import posterior as posterior_table
from gateway.store.tables.places import plot
from gateway.store.work import Repository, added

WITHDRAWN: Final = "withdrawn"
PAGE: Final = 500

later = event.alias("later")
SUPERSEDED: Final = (
    select(literal(1))
    .where(later.c.supersedes == event.c.id, later.c.recorded_at <= bindparam("known"))
    .exists()
)
SUPERSEDED_EVER: Final = select(literal(1)).where(later.c.supersedes == event.c.id).exists()
APPEND: Final = added(event).values(
    scheme_id=select(plot.c.scheme_id).where(plot.c.id == bindparam("the_plot")).scalar_subquery(),
    plot_id=bindparam("the_plot"),
)
PLOT_OF_ROW: Final = select(event.c.plot_id).where(event.c.id == bindparam("the_row"))
ROWS_NOW: Final = (
    select(event, SUPERSEDED_EVER.label("superseded"))
    .where(event.c.plot_id == bindparam("the_plot"), event.c.kind != WITHDRAWN)
    .order_by(event.c.id)
)
ROWS_THEN: Final = (
    select(event, SUPERSEDED.label("superseded"))
    .where(
        event.c.plot_id == bindparam("the_plot"),
        event.c.kind != WITHDRAWN,
        event.c.recorded_at <= bindparam("known"),
    )
    .order_by(event.c.id)
)
ROWS_OF_TEXT: Final = (
    select(event, literal(False).label("superseded"))
    .where(event.c.text_id == bindparam("the_text"), event.c.kind != WITHDRAWN, ~SUPERSEDED_EVER)
    .order_by(event.c.id)
)
TAKEN_BACK_BY: Final = select(event.c.plot_id).where(
    event.c.text_id == bindparam("the_text"), event.c.kind == WITHDRAWN
)
NEW_POSTERIOR: Final = insert(posterior_table).values(
    scheme_id=select(season.c.scheme_id)
    .where(season.c.id == bindparam("the_season"))
    .scalar_subquery(),
    season_id=bindparam("the_season"),
)
KEEP_POSTERIOR: Final = NEW_POSTERIOR.on_conflict_do_update(
    index_elements=["season_id"],
    set_={name: NEW_POSTERIOR.excluded[name] for name in ("habit", "sign", "belief")},
)
PLOTS_WITH_SEASON: Final = FieldReader.plots_with_season(PAGE)


class SqlBooks(Repository):
    """The book of each plot, append-only, and the cases read from it."""

    def append(
        self,
        plot_id: int,
        event: Event,
        by: str,
        recorded_at: datetime,
        text_id: int | None = None,
        supersedes: int | None = None,
    ) -> int:
        """A new row; with ``supersedes`` it takes the place of an older one."""
        return self._append(
            plot_id,
            by,
            recorded_at,
            text_id,
            supersedes,
            kind=event.kind,
            on=event.on,
            at=event.at,
            fields=event_fields(event),
        )

    def withdraw(self, row_id: int, by: str, recorded_at: datetime, text_id: int | None) -> None:
        """Append a row that supersedes ``row_id`` and states nothing in its place."""
        row = self.work.need("event", row_id, PLOT_OF_ROW, the_row=row_id)
        on = recorded_at.date()
        self._append(row.plot_id, by, recorded_at, text_id, row_id, kind=WITHDRAWN, on=on)

    def rows(self, plot_id: int, known_at: datetime | None = None) -> list[BookRow]:
        """The book in the order it became known, as known now or at an instant."""
        if known_at is None:
            found = self.work.rows(ROWS_NOW, the_plot=plot_id)
        else:
            found = self.work.rows(ROWS_THEN, the_plot=plot_id, known=known_at)
        return [book_row(row) for row in found]

    def rows_of_text(self, text_id: int) -> list[tuple[int, BookRow]]:
        """Plot id and row of each live event that a text brought."""
        found = self.work.rows(ROWS_OF_TEXT, the_text=text_id)
        return [(row.plot_id, book_row(row)) for row in found]

    def taken_back_by(self, text_id: int) -> list[int]:
        """The plots of which a text took something back."""
        return [row.plot_id for row in self.work.rows(TAKEN_BACK_BY, the_text=text_id)]

    def case(self, plot_id: int, as_of: datetime) -> PlotCase:
        """The case as set now and known at ``as_of``, which becomes a day in the scheme's zone.

        Raises NotOnRecord.
        """
        return FieldReader(self.work, as_of).case(plot_id)

    def case_before(self, plot_id: int, as_of: datetime) -> Case | None:
        """The season before the present one as it stood when the last of it was told.

        None where there was none, or nothing was told of it.
        """
        return FieldReader(self.work, as_of).case_before(plot_id)

    def keep_posterior(
        self, season_id: int, habit: Belief | None, posterior: Posterior | None
    ) -> None:
        """Keep what earlier seasons taught a season's plot, and what it taught itself so far."""
        self.work.run(
            KEEP_POSTERIOR,
            the_season=season_id,
            habit=to_plain(habit),
            sign=posterior and posterior.sign,
            belief=to_plain(posterior and posterior.belief),
        )

    def case_again(self, plot_id: int, setting: Setting, as_of: datetime) -> Case:
        """The case as it was known at ``as_of``, from the book and the weather's recorded_at."""
        return FieldReader(self.work, as_of).case_again(plot_id, setting)

    def cases(self, plot_ids: Sequence[int], as_of: datetime) -> list[PlotCase]:
        """The cases of those plots, the harvested ones too, in a handful of statements."""
        return list(FieldReader(self.work, as_of).all(list(plot_ids))) if plot_ids else []

    def active_cases(self, scheme_id: int, as_of: datetime) -> Iterator[PlotCase]:
        """Every plot with a season that is not harvested, by number, some hundreds at a time."""
        reader, last = FieldReader(self.work, as_of), 0
        while plots := self.work.rows(PLOTS_WITH_SEASON, the_scheme=scheme_id, after=last):
            last = plots[-1].id
            yield from reader.active([row.id for row in plots])

    def _append(
        self,
        plot_id: int,
        by: str,
        recorded_at: datetime,
        text_id: int | None,
        supersedes: int | None,
        **values: Any,
    ) -> int:
        return self.work.number(
            APPEND,
            the_plot=plot_id,
            by=by,
            recorded_at=recorded_at,
            text_id=text_id,
            supersedes=supersedes,
            **values,
        )


def book_row(row: Row[Any]) -> BookRow:
    """A row of the book from a row of the table."""
    return BookRow(
        row.id,
        event_of(row),
        row.recorded_at,
        row.by,
        text_id=row.text_id,
        supersedes=row.supersedes,
        superseded=bool(row.superseded),
    )
