"""Power: an electric pump that has none gives no water, until its keeper says that it is back.

A report of "no power" stands in the book of each plot that a pump waters, as water that did not
come: it counts where supply is judged, and where the office counts who had none. It is taken back
by "done". Plots that a turn of the canal waters need no power, and their books stay as they are.
"""

from collections.abc import Iterator, Sequence
from typing import Final

from gateway.advisory.talk import Talk
from gateway.advisory.write import day_of, is_now
from gateway.agronomy.book import Event
from gateway.agronomy.plot import PUMPS
from gateway.messages.heard import Meaning

BY: Final = "pump keeper"


def note_power(talk: Talk, meaning: Meaning, plot_ids: Sequence[int]) -> None:
    """Write down that the pumps of these plots have no power, or that they have it again."""
    if meaning.kind == "no-power":
        _lost(talk, meaning, plot_ids)
    elif meaning.kind == "done":
        _back(talk, plot_ids)


def plots_meant(talk: Talk, meaning: Meaning) -> list[int]:
    """The plot that a reader names, else all that the phone reads."""
    reads = [talk.plots[meaning.plot]] if meaning.plot in talk.plots else talk.plots.values()
    return [read.plot_id for read in reads]


def _lost(talk: Talk, meaning: Meaning, plot_ids: Sequence[int]) -> None:
    at = talk.local.time().replace(second=0, microsecond=0) if is_now(meaning.on) else None
    told = Event("no-water", day_of(meaning.on, talk.today), at)
    for plot_id in _pumped(talk, plot_ids):
        talk.unit.books.append(plot_id, told, BY, talk.now, talk.kept.id)


def _back(talk: Talk, plot_ids: Sequence[int]) -> None:
    for plot_id in plot_ids:
        for row in talk.unit.books.rows(plot_id):
            if row.by == BY and row.event.kind == "no-water" and not row.superseded:
                talk.unit.books.withdraw(row.id, BY, talk.now, talk.kept.id)


def _pumped(talk: Talk, plot_ids: Sequence[int]) -> Iterator[int]:
    """Those that a pump waters."""
    for found in talk.unit.books.cases(plot_ids, talk.now):
        if found.case.plot.water_source in PUMPS:
            yield found.plot_id
