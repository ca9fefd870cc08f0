"""Plain rows about the phones that read plots, and the port that brings them."""

from dataclasses import dataclass
from datetime import datetime
from typing import Protocol


@dataclass(frozen=True, slots=True)
class ReaderLine:
    """One phone: whose plots it reads, and when it texted last. ``phone`` is the mask.

    ``growers`` are those for whom it reads, ``plots`` the codes. ``heard_at`` None: never yet.
    """

    phone: str
    growers: tuple[str, ...]
    plots: tuple[str, ...]
    language: str
    letters: str | None
    left_at: datetime | None
    heard_at: datetime | None


@dataclass(frozen=True, slots=True)
class ReaderPage:
    """One page of phones, the longest silent first; ``page`` counts from 1."""

    lines: tuple[ReaderLine, ...]
    page: int
    pages: int
    total: int


class ReaderViews(Protocol):
    """Queries about readers: plain rows, of one scheme only, no number in full."""

    def readers(self, scheme_id: int, block: str | None, page: int, size: int) -> ReaderPage:
        """Phones that read a plot of the block (None: any). A page past the end is the last."""
