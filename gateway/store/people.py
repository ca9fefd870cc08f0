"""Phones, and who may do what with them. A phone is found by its mark alone."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any, Final

from sqlalchemy import BindParameter, Row, String, bindparam, func, select, update

from gateway.advisory.errors import NotOnRecord
from gateway.advisory.number import Number
from gateway.advisory.records import Phone, PlotRead, ReaderRole
from gateway.messages.letters import Letters
from gateway.store.cipher import Keys
from gateway.store.numbers import marks_of, open_number, seal_number
from gateway.store.outbox import withdraw_pushes
from gateway.store.tables.places import grower, phone, plot, reader, scheme
from gateway.store.work import Repository, Work, added_once

LEAD: Final[ReaderRole] = "lead-reader"
FIND: Final = select(phone).where(
    phone.c.scheme_id == bindparam("the_scheme"),
    phone.c.mark.in_(bindparam("the_marks", expanding=True)),
)
ADD: Final = added_once(phone, "scheme_id", "mark")
LANGUAGE: Final = select(scheme.c.language).where(scheme.c.id == bindparam("the_scheme"))
GET: Final = select(phone).where(phone.c.id == bindparam("the_phone"))
KNOW: Final = (
    update(phone)
    .where(phone.c.id == bindparam("the_phone"))
    .values(known=True, language=bindparam("the_language"))
    .returning(phone.c.scheme_id)
)
READS: Final = (
    update(reader)
    .where(reader.c.phone_id == bindparam("the_phone"), reader.c.plot_id == bindparam("the_plot"))
    .values(reads=bindparam("the_habit"), grower_id=bindparam("the_grower"))
    .values(role=func.coalesce(bindparam("the_role", type_=String), reader.c.role))
)
ENROL: Final = added_once(reader, "phone_id", "plot_id")
LETTERS: Final = (
    update(phone)
    .where(phone.c.id == bindparam("the_phone"))
    .values(letters=bindparam("the_letters"))
)
SPEAK: Final = (
    update(phone)
    .where(phone.c.id == bindparam("the_phone"))
    .values(language=bindparam("the_language"))
)
LEAVE: Final = (
    update(phone).where(phone.c.id == bindparam("the_phone")).values(left_at=bindparam("the_time"))
)
PLOTS: Final = (
    select(plot.c.id, plot.c.code, reader.c.reads, plot.c.rim_cm, grower.c.name)
    .join(plot, plot.c.id == reader.c.plot_id)
    .join(grower, grower.c.id == reader.c.grower_id)
    .where(reader.c.phone_id == bindparam("the_phone"))
    .order_by(plot.c.code)
)
READERS: Final = (
    select(phone)
    .join(reader, reader.c.phone_id == phone.c.id)
    .where(reader.c.plot_id == bindparam("the_plot"))
    .order_by(phone.c.id)
)
lead, led = reader.alias("lead"), plot.alias("led")
LED_BY: Final = (
    select(plot.c.id, plot.c.block_id)
    .where(
        plot.c.block_id.in_(
            select(led.c.block_id)
            .join(lead, lead.c.plot_id == led.c.id)
            .where(lead.c.phone_id == bindparam("the_phone"), lead.c.role == LEAD)
        )
    )
    .order_by(plot.c.id)
)
LED_PLOTS: Final = (
    select(plot.c.id, plot.c.code, plot.c.rim_cm, func.coalesce(grower.c.name, "").label("name"))
    .outerjoin(grower, grower.c.id == plot.c.grower_id)
    .where(
        plot.c.block_id.in_(
            select(led.c.block_id)
            .join(lead, lead.c.plot_id == led.c.id)
            .where(lead.c.phone_id == bindparam("the_phone"), lead.c.role == LEAD)
        )
    )
    .order_by(plot.c.code)
)
LEADERS: Final = (
    select(phone)
    .where(
        phone.c.id.in_(
            select(lead.c.phone_id)
            .join(led, led.c.id == lead.c.plot_id)
            .join(plot, plot.c.block_id == led.c.block_id)
            .where(plot.c.id == bindparam("the_plot"), lead.c.role == LEAD)
        )
    )
    .order_by(phone.c.id)
)

MANY: Final[BindParameter[Any]] = bindparam("the_plots", expanding=True)
READERS_OF: Final = (
    select(reader.c.plot_id, phone)
    .join(phone, phone.c.id == reader.c.phone_id)
    .where(reader.c.plot_id.in_(MANY))
    .order_by(phone.c.id)
)
near = plot.alias("near")
LEADS_OF: Final = (
    select(plot.c.id.label("plot_id"), phone)
    .join(near, near.c.block_id == plot.c.block_id)
    .join(reader, reader.c.plot_id == near.c.id)
    .join(phone, phone.c.id == reader.c.phone_id)
    .where(plot.c.id.in_(MANY), reader.c.role == LEAD)
    .distinct()
    .order_by(phone.c.id)
)


class SqlPeople(Repository):
    """Phones and the plots that they read."""

    def phone_of(self, scheme_id: int, number: Number, now: datetime) -> Phone:
        """The phone of that number; a new, unknown one is put on record."""
        found = find_phone(self.work, scheme_id, number)
        if found is None:
            found = self._put(scheme_id, number, now)
        return phone_record(found, number)

    def phone(self, phone_id: int) -> Phone:
        """The phone of that row. Raises NotOnRecord."""
        return open_phone(
            self.work.need("phone", phone_id, GET, the_phone=phone_id), self.work.keys
        )

    def enrol_reader(
        self,
        phone_id: int,
        plot_id: int,
        grower_id: int,
        language: str,
        reads: str | None,
        now: datetime,
        role: ReaderRole | None = None,
    ) -> None:
        """Let a phone read a plot for a grower, in a language; a second time changes the habit.

        A lead reader leads the block in which the plot lies; without a role an older one stays. A
        phone that left stays away until it returns. Raises NotOnRecord.
        """
        known = self.work.need("phone", phone_id, KNOW, the_phone=phone_id, the_language=language)
        new = self.work.number_or_none(
            ENROL,
            scheme_id=known.scheme_id,
            phone_id=phone_id,
            plot_id=plot_id,
            grower_id=grower_id,
            reads=reads,
            role=role or "reader",
            since=now,
        )
        if new is None:
            self.work.run(
                READS,
                the_phone=phone_id,
                the_plot=plot_id,
                the_habit=reads,
                the_grower=grower_id,
                the_role=role,
            )

    def set_letters(self, phone_id: int, letters: Letters) -> None:
        """Note the letters that a phone gets its texts in. Raises NotOnRecord."""
        if self.work.run(LETTERS, the_phone=phone_id, the_letters=letters).rowcount != 1:
            raise NotOnRecord("phone", str(phone_id))

    def set_language(self, phone_id: int, language: str) -> None:
        """Note the language (BCP 47) that a phone gets its texts in. Raises NotOnRecord."""
        if self.work.run(SPEAK, the_phone=phone_id, the_language=language).rowcount != 1:
            raise NotOnRecord("phone", str(phone_id))

    def plots_of(self, phone_id: int) -> list[PlotRead]:
        """The plots it reads, by code."""
        rows = self.work.rows(PLOTS, the_phone=phone_id)
        return [PlotRead(row.id, row.code, row.reads, row.rim_cm, row.name) for row in rows]

    def readers_of(self, plot_id: int) -> list[Phone]:
        """The phones that read a plot, also those that left."""
        rows = self.work.rows(READERS, the_plot=plot_id)
        return [open_phone(row, self.work.keys) for row in rows]

    def readers_of_plots(self, plot_ids: Sequence[int]) -> Mapping[int, list[Phone]]:
        """The phones that read each of those plots, also those that left."""
        return self._by_plot(READERS_OF, plot_ids)

    def leads_of_plots(self, plot_ids: Sequence[int]) -> Mapping[int, list[Phone]]:
        """The lead readers of the block of each of those plots, by plot."""
        return self._by_plot(LEADS_OF, plot_ids)

    def _by_plot(self, statement: Any, plot_ids: Sequence[int]) -> Mapping[int, list[Phone]]:
        found: dict[int, list[Phone]] = defaultdict(list)
        for row in self.work.rows(statement, the_plots=list(plot_ids)) if plot_ids else ():
            found[row.plot_id].append(open_phone(row, self.work.keys))
        return found

    def led_by(self, phone_id: int) -> dict[int, int]:
        """The plots of the blocks that it leads, each with its block."""
        return {row.id: row.block_id for row in self.work.rows(LED_BY, the_phone=phone_id)}

    def led_plots(self, phone_id: int) -> list[PlotRead]:
        """The plots of the blocks that it leads, by code."""
        rows = self.work.rows(LED_PLOTS, the_phone=phone_id)
        return [PlotRead(row.id, row.code, None, row.rim_cm, row.name) for row in rows]

    def leaders_of(self, plot_id: int) -> list[Phone]:
        """The lead readers of the block in which a plot lies, also those that left."""
        rows = self.work.rows(LEADERS, the_plot=plot_id)
        return [open_phone(row, self.work.keys) for row in rows]

    def set_left(self, phone_id: int, left: bool, now: datetime) -> None:
        """Note that a phone left or returned; leaving withdraws what the office still had for it.

        Raises NotOnRecord.
        """
        if self.work.run(LEAVE, the_phone=phone_id, the_time=now if left else None).rowcount != 1:
            raise NotOnRecord("phone", str(phone_id))
        if left:
            withdraw_pushes(self.work, phone_id, now)

    def _put(self, scheme_id: int, number: Number, now: datetime) -> Row[Any]:
        spoken = self.work.need("scheme", scheme_id, LANGUAGE, the_scheme=scheme_id)
        self.work.run(
            ADD,
            scheme_id=scheme_id,
            number=seal_number(number, self.work.keys),
            mark=marks_of(scheme_id, number, self.work.keys)[0],
            language=spoken.language,
            since=now,
        )
        found = find_phone(self.work, scheme_id, number)
        assert found is not None, "a phone that was put is there"
        return found


def find_phone(work: Work, scheme_id: int, number: Number) -> Row[Any] | None:
    """The row of that number in a scheme, under any of the keys."""
    marks = marks_of(scheme_id, number, work.keys)
    return work.row(FIND, the_scheme=scheme_id, the_marks=marks)


def open_phone(row: Row[Any], keys: Keys) -> Phone:
    """A phone from its row."""
    return phone_record(row, open_number(row.number, keys))


def phone_record(row: Row[Any], number: Number) -> Phone:
    """A phone from its row, its number being known already."""
    return Phone(
        row.id,
        row.scheme_id,
        number,
        row.language,
        left=row.left_at is not None,
        known=row.known,
        letters=row.letters,
    )
