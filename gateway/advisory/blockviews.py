"""Plain rows about blocks and their plots, and the port that brings them."""

from dataclasses import dataclass
from typing import Protocol

from gateway.messages.letters import Letters


@dataclass(frozen=True, slots=True)
class BlockLine:
    """How far one block has come: of its plots, how many have what advice needs.

    ``measured``: the tube's rim was measured, ``read``: a phone reads them that has not left,
    ``told``: something was read there this season or before. ``water_told``: the turns are known.
    """

    name: str
    outlet: str
    plots: int
    measured: int
    read: int
    told: int
    water_told: bool


@dataclass(frozen=True, slots=True)
class CardLine:
    """A plot that gets a card. ``language`` and ``letters`` are those of the phone that reads it.

    Both are None where no phone reads it, ``letters`` also where its grower never chose.
    """

    plot_id: int
    code: str
    block: str
    grower: str
    language: str | None = None
    letters: Letters | None = None


class BlockViews(Protocol):
    """Queries about blocks: plain rows, of one scheme only."""

    def blocks(self, scheme_id: int) -> list[BlockLine]: ...
    def of_block(self, scheme_id: int, block: str) -> list[CardLine]:
        """The plots of a block by code; none where there is no such block."""

    def of_plot(self, scheme_id: int, code: str) -> list[CardLine]:
        """The plot of that code, or nothing."""
