"""Who writes: the scheme, the phone, the plots that it reads and the question open to it.

One statement answers for all of it, because every text that comes in asks it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from sqlalchemy import (
    ColumnElement,
    Row,
    Select,
    and_,
    bindparam,
    false,
    func,
    literal,
    or_,
    select,
)

from gateway.advisory.errors import NotOnRecord
from gateway.advisory.number import Number
from gateway.advisory.records import SETTLED, Phone, PlotRead, Question, Scheme, Unsettled
from gateway.store.joinings import OPEN
from gateway.store.numbers import marks_of
from gateway.store.pauses import ANY
from gateway.store.people import SqlPeople
from gateway.store.schemes import scheme_of
from gateway.store.tables.people import consent, joining
from gateway.store.tables.places import grower, phone, plot, reader, scheme
from gateway.store.tables.traffic import question, text_in
from gateway.store.work import Work

ASKED_ANEW: Final = (
    select(consent.c.how == "asked")
    .where(consent.c.phone_id == phone.c.id)
    .order_by(consent.c.id.desc())
    .limit(1)
    .scalar_subquery()
)
JOINS: Final = (
    select(literal(1))
    .where(joining.c.phone_id == phone.c.id, or_(*(joining.c.state == state for state in OPEN)))
    .exists()
)
asked = plot.alias("asked")
asked_of = text_in.alias("asked_of")


def _sender(the_phone: ColumnElement[bool]) -> Select[Any]:
    """A row for each plot that the phone reads; the phone's columns are empty where it is new."""
    return (
        select(
            *scheme.c,
            *(column.label(f"phone_{column.name}") for column in phone.c),
            plot.c.id.label("plot_id"),
            plot.c.code.label("plot_code"),
            plot.c.rim_cm,
            reader.c.reads,
            grower.c.name.label("grower_name"),
            *(column.label(f"question_{column.name}") for column in question.c),
            asked.c.code.label("question_code"),
            asked_of.c.body.label("question_body"),
            func.coalesce(ASKED_ANEW, false()).label("asked_anew"),
            JOINS.label("joins"),
            ANY.label("rests"),
        )
        .select_from(scheme)
        .outerjoin(
            phone,
            and_(
                phone.c.scheme_id == scheme.c.id,
                the_phone,
            ),
        )
        .outerjoin(reader, reader.c.phone_id == phone.c.id)
        .outerjoin(plot, plot.c.id == reader.c.plot_id)
        .outerjoin(grower, grower.c.id == reader.c.grower_id)
        .outerjoin(
            question,
            and_(
                question.c.phone_id == phone.c.id,
                question.c.closed_how.is_(None),
                question.c.valid_until > bindparam("now"),
            ),
        )
        .outerjoin(asked, asked.c.id == question.c.plot_id)
        .outerjoin(asked_of, asked_of.c.id == question.c.text_id)
        .where(scheme.c.id == bindparam("the_scheme"))
        .order_by(plot.c.code, question.c.id)
    )


# Under one key nearly always; an IN costs as much again as the rest.
BY_MARK: Final = _sender(phone.c.mark == bindparam("the_mark"))
BY_MARKS: Final = _sender(phone.c.mark.in_(bindparam("the_marks", expanding=True)))


@dataclass(frozen=True, slots=True)
class Sender:
    """A phone, where it is at home, and what it may speak of."""

    scheme: Scheme
    phone: Phone
    reads: tuple[PlotRead, ...] = ()
    question: Question | None = None
    unsettled: Unsettled = SETTLED


def sender_of(work: Work, scheme_id: int, number: Number, now: datetime) -> Sender:
    """Who writes from a number; a new, unknown phone is put on record. Raises NotOnRecord."""
    marks = marks_of(scheme_id, number, work.keys)
    if len(marks) == 1:
        rows = work.rows(BY_MARK, the_scheme=scheme_id, the_mark=marks[0], now=now)
    else:
        rows = work.rows(BY_MARKS, the_scheme=scheme_id, the_marks=marks, now=now)
    if not rows:
        raise NotOnRecord("scheme", str(scheme_id))
    first, last = rows[0], rows[-1]
    if first.phone_id is None:
        return Sender(scheme_of(first), SqlPeople(work).phone_of(scheme_id, number, now))
    phone = Phone(
        first.phone_id,
        scheme_id,
        number,
        first.phone_language,
        left=first.phone_left_at is not None,
        known=first.phone_known,
        letters=first.phone_letters,
    )
    unsettled = Unsettled(bool(first.asked_anew), bool(first.joins), bool(first.rests))
    return Sender(scheme_of(first), phone, _reads(rows), _question(last), unsettled)


def _reads(rows: Sequence[Row[Any]]) -> tuple[PlotRead, ...]:
    """The plots of the rows, by code, each once."""
    found = {
        row.plot_id: PlotRead(row.plot_id, row.plot_code, row.reads, row.rim_cm, row.grower_name)
        for row in rows
        if row.plot_id is not None
    }
    return tuple(found.values())


def _question(row: Row[Any]) -> Question | None:
    """The newest open question, which stands in the last row."""
    if row.question_id is None:
        return None
    return Question(
        row.question_id,
        row.phone_id,
        row.question_plot_id,
        row.question_code,
        row.question_about,
        tuple(row.question_candidates),
        row.question_valid_until,
        level_cm=row.question_level_cm,
        dry=row.question_dry,
        asked_of=row.question_body,
    )
