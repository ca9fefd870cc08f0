"""Plots that a lead reader may report beside their own: those of the block that a text names."""

import re
from typing import Final

from gateway.advisory.ports import Unit
from gateway.advisory.records import KeptText, PlotRead

CODE: Final = re.compile(r"\b[^\W\d_]{1,6}[ -]?\d{1,5}\b")
"""What may be the code of a plot."""


def led_plots_named(unit: Unit, kept: KeptText, body: str) -> dict[str, PlotRead]:
    """Plots that a text names and that its phone may report because it leads their block.

    They never stand beside its own unless they are named: a bare level stays its own plot's. A text
    that names no other plot costs no question to the store.
    """
    named = CODE.findall(body)
    own = {read.code for read in kept.reads}
    if not own or own.issuperset(named):
        return {}
    own = {_plain(code) for code in own}
    if all(_plain(word) in own for word in named):
        return {}
    said = _plain(body)
    led = unit.people.led_plots(kept.phone.id)
    return {r.code: r for r in led if _plain(r.code) not in own and _plain(r.code) in said}


def _plain(code: str) -> str:
    return "".join(letter for letter in code.casefold() if letter.isalnum())
