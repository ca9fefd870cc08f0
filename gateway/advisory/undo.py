"""Undo the last report of a phone: nothing is erased, a row takes its rows back."""

from datetime import date
from typing import NamedTuple

from gateway.advisory.records import BookRow
from gateway.advisory.talk import Talk
from gateway.advisory.write import day_of
from gateway.agronomy.book import Event
from gateway.messages.heard import Meaning

FURTHEST_BACK = 10


class TakenBack(NamedTuple):
    """What was taken back: of which plots (codes), and the event where it was a single one."""

    codes: list[str]
    event: Event | None = None


def undo_last(talk: Talk, meaning: Meaning) -> TakenBack | None:
    """Take back what the phone's newest report brought, on the plot and day named if any.

    Where what it told last is asked about, the question is closed and nothing older is touched.
    Texts that brought nothing (thanks, why) are passed over, within reason, but not an
    earlier "wrong": who says it again in haste would lose what was right. None where nothing was.
    """
    if (asked := _drop_question(talk, meaning)) is not None:
        return asked
    on = day_of(meaning.on, talk.today) if meaning.on else None
    plots = {r.plot_id: r.code for r in talk.plots.values() if meaning.plot in (None, r.code)}
    text_id: int | None = talk.kept.id
    for _ in range(FURTHEST_BACK):
        text_id = talk.unit.texts.last_from(talk.kept.phone.id, text_id) if text_id else None
        if text_id is None or set(talk.unit.books.taken_back_by(text_id)) & plots.keys():
            return None
        rows = _rows_of(talk, text_id, plots, meaning.plot is None, on)
        if rows:
            return _take_back(talk, rows, plots)
    return None


def _drop_question(talk: Talk, meaning: Meaning) -> TakenBack | None:
    question = talk.question
    if question is None or meaning.on or meaning.plot not in (None, question.plot_code):
        return None
    newest = talk.unit.texts.last_from(talk.kept.phone.id, talk.kept.id)
    if newest is not None and talk.unit.books.rows_of_text(newest):
        return None  # a report came after the question, which waits for an answer still
    talk.unit.questions.close(question.id, "replaced", talk.now)
    code = question.plot_code or next(iter(talk.plots))
    return TakenBack([code])


def _rows_of(
    talk: Talk, text_id: int, plots: dict[int, str], all_plots: bool, on: date | None
) -> list[tuple[int, BookRow]]:
    """What a text brought; what was told of a whole block counts in all of its books."""
    return [
        (plot_id, row)
        for plot_id, row in talk.unit.books.rows_of_text(text_id)
        if (plot_id in plots or (all_plots and row.event.by_block)) and on in (None, row.event.on)
    ]


def _take_back(talk: Talk, rows: list[tuple[int, BookRow]], plots: dict[int, str]) -> TakenBack:
    for _plot_id, row in rows:
        talk.unit.books.withdraw(row.id, "reader", talk.now, talk.kept.id)
    codes = list(dict.fromkeys(plots[plot_id] for plot_id, _row in rows if plot_id in plots))
    return TakenBack(codes, rows[0][1].event if len(rows) == 1 else None)
