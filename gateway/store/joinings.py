"""Joining by text: dialogues under way, and requests that wait for somebody's yes."""

from datetime import datetime
from typing import Any, Final, Literal

from sqlalchemy import Row, bindparam, delete, func, select, update

from gateway.advisory.joins import Joining, JoinState, PlotHeld
from gateway.advisory.records import Phone
from gateway.store.people import open_phone
from gateway.store.tables.people import joining
from gateway.store.tables.places import grower, phone, plot, reader
from gateway.store.work import Repository, added

OPEN: Final = ("underway", "lapsed", "waiting")
OF_PHONE: Final = (
    select(joining)
    .where(joining.c.phone_id == bindparam("the_phone"), joining.c.state.in_(OPEN))
    .order_by(joining.c.id.desc())
    .limit(1)
)
GET: Final = select(joining).where(
    joining.c.id == bindparam("the_joining"), joining.c.scheme_id == bindparam("the_scheme")
)
ADD: Final = added(joining)
KEEP: Final = (
    update(joining)
    .where(joining.c.id == bindparam("the_joining"), joining.c.state.in_(OPEN))
    .values(
        state=bindparam("to_state"),
        step=bindparam("the_step"),
        language=bindparam("the_language"),
        answers=bindparam("the_answers"),
        misses=bindparam("the_misses"),
        plot_id=bindparam("the_plot"),
        moved_at=bindparam("now"),
    )
)
SETTLE: Final = (
    update(joining)
    .where(joining.c.id == bindparam("the_joining"), joining.c.state.in_(OPEN))
    .values(
        state=bindparam("to_state"),
        settled_by=bindparam("the_name"),
        plot_id=func.coalesce(
            bindparam("the_plot", type_=joining.c.plot_id.type), joining.c.plot_id
        ),
        moved_at=bindparam("now"),
    )
)
EMPTY: Final = update(joining).where(joining.c.id == bindparam("the_joining")).values(answers={})
SAID: Final = (
    update(joining)
    .where(joining.c.id == bindparam("the_joining"))
    .values(holder_said=bindparam("what"))
)
BEGUN: Final = select(func.count()).where(
    joining.c.scheme_id == bindparam("the_scheme"), joining.c.begun_at >= bindparam("since")
)
STILL: Final = (
    select(joining)
    .where(
        joining.c.scheme_id == bindparam("the_scheme"),
        joining.c.state == bindparam("the_state"),
        joining.c.moved_at <= bindparam("before"),
    )
    .order_by(joining.c.id)
)
HELD: Final = select(plot.c.id, plot.c.code, plot.c.grower_id, grower.c.name).outerjoin(
    grower, grower.c.id == plot.c.grower_id
)
LIKE: Final = HELD.where(
    plot.c.scheme_id == bindparam("the_scheme"),
    func.upper(plot.c.code).in_(bindparam("the_codes", expanding=True)),
)
THE_PLOT: Final = HELD.where(plot.c.id == bindparam("the_plot"))
HOLDERS: Final = (
    select(phone)
    .join(reader, reader.c.phone_id == phone.c.id)
    .where(reader.c.plot_id == bindparam("the_plot"), phone.c.left_at.is_(None))
    .order_by(phone.c.id)
)
END_READER: Final = delete(reader).where(
    reader.c.phone_id == bindparam("the_phone"), reader.c.plot_id == bindparam("the_plot")
)
DIGITS: Final = 4
"""A code that is written by hand may lack or have zeros up to so many digits."""


class SqlJoinings(Repository):
    """Dialogues and requests of joining, by phone."""

    def open_of(self, phone_id: int) -> Joining | None:
        """The one that is under way, lapsed or waiting."""
        row = self.work.row(OF_PHONE, the_phone=phone_id)
        return None if row is None else joining_of(row)

    def get(self, scheme_id: int, joining_id: int) -> Joining:
        """That one. Raises NotOnRecord."""
        found = self.work.need(
            "request", joining_id, GET, the_joining=joining_id, the_scheme=scheme_id
        )
        return joining_of(found)

    def begin(self, phone: Phone, carrier: str, language: str, step: str, now: datetime) -> Joining:
        """A new one, under way at its first step."""
        new = self.work.number(
            ADD,
            scheme_id=phone.scheme_id,
            phone_id=phone.id,
            carrier=carrier,
            state="underway",
            step=step,
            language=language,
            answers={},
            begun_at=now,
            moved_at=now,
        )
        return self.get(phone.scheme_id, new)

    def keep(self, joining: Joining, now: datetime) -> None:
        """Keep where it stands, unless it is settled."""
        self.work.run(
            KEEP,
            the_joining=joining.id,
            to_state=joining.state,
            the_step=joining.step,
            the_language=joining.language,
            the_answers=dict(joining.answers),
            the_misses=joining.misses,
            the_plot=joining.plot_id,
            now=now,
        )

    def settle(
        self, joining_id: int, to: JoinState, by: str, plot_id: int | None, now: datetime
    ) -> bool:
        """Settle one that is open; what was told of one that is dropped is not kept."""
        done = self.work.run(
            SETTLE, the_joining=joining_id, to_state=to, the_name=by, the_plot=plot_id, now=now
        )
        if done.rowcount == 1 and to == "dropped":
            self.work.run(EMPTY, the_joining=joining_id)
        return done.rowcount == 1

    def holder_said(self, joining_id: int, said: Literal["yes", "no"]) -> None:
        """Note what a phone that reads the plot said to the request."""
        self.work.run(SAID, the_joining=joining_id, what=said)

    def begun_since(self, scheme_id: int, since: datetime) -> int:
        """How many were begun since then."""
        return self.work.number(BEGUN, the_scheme=scheme_id, since=since)

    def standing_still(self, scheme_id: int, state: JoinState, before: datetime) -> list[Joining]:
        """Those in a state that have not moved since then."""
        rows = self.work.rows(STILL, the_scheme=scheme_id, the_state=state, before=before)
        return [joining_of(row) for row in rows]

    def plot_like(self, scheme_id: int, code: str) -> PlotHeld | None:
        """The one plot that a code names; None for none or several."""
        codes = spellings(code)
        rows = self.work.rows(LIKE, the_scheme=scheme_id, the_codes=codes)
        exact = [row for row in rows if row.code.upper() == codes[0]]
        found = exact or rows
        return self._held(found[0]) if len(found) == 1 else None

    def plot(self, plot_id: int) -> PlotHeld:
        """That plot. Raises NotOnRecord."""
        return self._held(self.work.need("plot", plot_id, THE_PLOT, the_plot=plot_id))

    def end_reader(self, phone_id: int, plot_id: int) -> None:
        """A phone reads a plot no more; its plot's book stays as it is."""
        self.work.run(END_READER, the_phone=phone_id, the_plot=plot_id)

    def _held(self, row: Row[Any]) -> PlotHeld:
        holders = self.work.rows(HOLDERS, the_plot=row.id)
        phones = tuple(open_phone(each, self.work.keys) for each in holders)
        return PlotHeld(row.id, row.code, row.grower_id, row.name, phones)


def spellings(code: str) -> list[str]:
    """The code itself, and with zeros before its last number as they may stand on record."""
    said = code.upper()
    stem = said.rstrip("0123456789")
    number = said[len(stem) :].lstrip("0") or ("0" if said != stem else "")
    padded = (stem + number.zfill(size) for size in range(1, DIGITS + 1)) if number else ()
    return list(dict.fromkeys((said, *padded)))


def joining_of(row: Row[Any]) -> Joining:
    """A dialogue or request from its row."""
    return Joining(
        row.id,
        row.scheme_id,
        row.phone_id,
        row.carrier,
        row.language,
        row.state,
        row.step,
        row.moved_at,
        dict(row.answers),
        row.misses,
        row.plot_id,
    )
