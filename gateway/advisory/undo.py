"""Undo the last report of a phone: nothing is erased, a row takes its rows back."""

from gateway.advisory.talk import Talk

FURTHEST_BACK = 10


def undo_last(talk: Talk) -> list[str]:
    """Take back what the phone's newest report brought. Returns the codes of its plots.

    Texts that brought nothing (thanks, questions) are passed over, within reason.
    """
    codes = {read.plot_id: read.code for read in talk.plots.values()}
    text_id: int | None = talk.kept.id
    for _ in range(FURTHEST_BACK):
        text_id = talk.unit.texts.last_from(talk.kept.phone.id, text_id) if text_id else None
        if text_id is None:
            return []
        found = talk.unit.books.rows_of_text(text_id)
        # What was told of a whole block is taken back from all of its books.
        rows = [(p, row) for p, row in found if p in codes or row.event.by_block]
        if rows:
            for _plot_id, row in rows:
                talk.unit.books.withdraw(row.id, "reader", talk.now, talk.kept.id)
            return list(dict.fromkeys(codes[plot_id] for plot_id, _row in rows if plot_id in codes))
    return []
