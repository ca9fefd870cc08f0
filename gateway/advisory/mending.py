"""What the office stops and mends: records, and what a unit of work keeps of them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, Literal, Protocol, get_args

from gateway.advisory.number import Number

Safety = Literal["pause", "call"]
"""Crop safety while advice rests: silent too, or ``call the office`` in its place."""

Concern = Literal["rules", "weather", "import"]
"""What texts are called back for: a version of the rules, a source of weather, a sheet."""

CONCERNS: tuple[str, ...] = get_args(Concern)


@dataclass(frozen=True, slots=True)
class Pause:
    """Advice that rests, to the end of ``last_on`` in the scheme's zone."""

    id: int
    safety: Safety
    last_on: date
    ends_at: datetime


@dataclass(frozen=True, slots=True)
class PauseLine:
    """A pause for the office: ``what`` it holds for, and by whom it was set and ended."""

    id: int
    what: str
    reason: str
    safety: Safety
    begins_at: datetime
    last_on: date
    by: str
    ended_at: datetime | None = None
    ended_by: str = ""


class Pauses(Protocol):
    """Where advice rests."""

    def add(
        self,
        scheme_id: int,
        plot_id: int | None,
        block_id: int | None,
        reason: str,
        safety: Safety,
        begins_at: datetime,
        last_on: date,
        ends_at: datetime,
        by: str,
    ) -> int: ...
    def end(self, scheme_id: int, pause_id: int, by: str, now: datetime) -> bool:
        """End it now; False where none runs under that number."""

    def over(self, plot_ids: Sequence[int], now: datetime) -> Mapping[int, Pause]:
        """The pause that holds for each plot; of several the one that ends last."""

    def lines(self, scheme_id: int, most: int) -> list[PauseLine]:
        """The newest, those ended too."""

    def block_id(self, scheme_id: int, name: str) -> int:
        """The number of the block of that name. Raises NotOnRecord."""

    def plots(self, scheme_id: int, plot_id: int | None, block_id: int | None) -> list[int]:
        """The plots that a plot, a block or (both None) the scheme stands for."""


# -- facts of a block -----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class BlockPlot:
    """A plot of a block, its present season (None: none), and its bars (None: not asked)."""

    plot_id: int
    code: str
    season_id: int | None = None
    established_on: date | None = None
    bars: frozenset[str] | None = None


@dataclass(frozen=True, slots=True)
class FactRow:
    """What a fact wrote for one plot: a row of the book, or the planting day or bars before it."""

    plot_id: int
    event_id: int | None = None
    season_id: int | None = None
    was: Any = None


@dataclass(frozen=True, slots=True)
class FactLine:
    """A fact that was told of a block, for the office."""

    id: int
    block: str
    kind: str
    on: date
    fields: Mapping[str, Any]
    left_out: tuple[str, ...]
    by: str
    at: datetime
    plots: int
    undone_at: datetime | None = None
    undone_by: str = ""


class BlockFacts(Protocol):
    """Facts told of whole blocks, each with what it wrote."""

    def plots(self, block_id: int, on: date) -> list[BlockPlot]:
        """The plots of a block, by code, with the newest season planted by that day or next."""

    def add(
        self,
        scheme_id: int,
        block_id: int,
        kind: str,
        on: date,
        fields: Mapping[str, Any],
        left_out: Sequence[str],
        by: str,
        now: datetime,
    ) -> int: ...
    def note(self, scheme_id: int, fact_id: int, row: FactRow) -> None: ...
    def rows(self, fact_id: int) -> list[FactRow]: ...
    def undo(self, scheme_id: int, fact_id: int, by: str, now: datetime) -> FactLine | None:
        """Mark it undone; None where it is undone already. Raises NotOnRecord."""

    def plant(self, season_id: int, on: date, before: date) -> bool:
        """Set the planting day; False where it is not ``before`` any more."""

    def bar(self, plot_id: int, bars: frozenset[str] | None, before: frozenset[str] | None) -> bool:
        """Set the bars; False where they are not ``before`` any more."""

    def lines(self, scheme_id: int, most: int) -> list[FactLine]: ...


# -- calling back ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Suspect:
    """Something that texts may have to be called back for; ``title`` is for people.

    ``texts``: how many advices rest on it. ``recalled_at``: when that was done already.
    """

    about: Concern
    name: str
    title: str
    since: datetime
    texts: int
    recalled_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Misled:
    """A phone that got such texts: of which plots, and since when."""

    phone_id: int
    to: Number
    language: str
    letters: str | None
    left: bool
    since: datetime
    plots: tuple[str, ...] = field(default=())


class Recalls(Protocol):
    """Who got texts that rest on something that was wrong."""

    def suspects(self, scheme_id: int, most: int) -> list[Suspect]:
        """The newest versions of the rules, sources of weather and sheets, the newest first."""

    def misled(self, scheme_id: int, about: Concern, name: str) -> list[Misled]:
        """The phones that were sent advice or a reminder resting on it, each once."""

    def add(self, scheme_id: int, about: Concern, name: str, by: str, now: datetime) -> int | None:
        """Note that they are called back; None where that was done already."""
