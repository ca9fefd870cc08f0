"""Note rain: of one plot, or of all that are read from where it fell.

A lead reader's rain counts for every plot of the block that they lead. There it is written as told
of the block, which is trusted less than what a plot's own reader says and never stands against it.
"""

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from gateway.advisory.talk import Talk
from gateway.advisory.write import day_of, is_now, write_event
from gateway.agronomy.book import Event
from gateway.messages.heard import Meaning

BY: Final = "lead reader"


def note_rain(talk: Talk, meaning: Meaning) -> list[str]:
    """Write the rain into the books that it counts for. Returns the codes of the reader's plots.

    Rain of no known depth changes no number; the advice then says to look.
    """
    touched = [meaning.plot] if meaning.plot is not None else list(talk.plots)
    fallen = _mm(meaning)
    if fallen is None:
        return touched
    at = talk.local.time().replace(second=0, microsecond=0) if is_now(meaning.on) else None
    rain = Event("rain", day_of(meaning.on, talk.today), at=at, mm=fallen)
    for code in touched:
        write_event(talk, code, replace(rain, by_block=meaning.plot is None))
    own = {talk.plots[code].plot_id for code in touched}
    for plot_id in _of_block(talk, own, everywhere=meaning.plot is None):
        told = replace(rain, by_block=True)
        talk.unit.books.append(plot_id, told, BY, talk.now, talk.kept.id)
    return touched


def _mm(meaning: Meaning) -> float | None:
    return float(meaning.value) if isinstance(meaning.value, int | float) else None


def _of_block(talk: Talk, own: set[int], everywhere: bool) -> Iterator[int]:
    """The other plots of the blocks that this phone leads: all, or those around its own plot."""
    led = talk.unit.people.led_by(talk.kept.phone.id)
    blocks = {led[plot_id] for plot_id in own if plot_id in led}
    for plot_id, block_id in led.items():
        if plot_id not in own and (everywhere or block_id in blocks):
            yield plot_id
