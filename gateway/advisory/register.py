"""The register of a scheme: what the office has enrolled so far, to be compared and changed."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Protocol

from gateway.advisory.number import Number
from gateway.agronomy.case import WaterWindow, WeatherDay
from gateway.agronomy.plot import PUMPS, Plot, WaterSource
from gateway.agronomy.season import Season


@dataclass(frozen=True, slots=True)
class BlockOnRecord:
    """A block. ``water`` None: no turns were ever told; empty: none are known to come.

    ``power`` holds the power hours of those kinds of pump for which they were told.
    """

    id: int
    name: str
    outlet: str
    outlet_lps: float | None
    water: tuple[WaterWindow, ...] | None = None
    power: Mapping[str, tuple[WaterWindow, ...]] = field(default_factory=dict)

    def told_of(self, source: WaterSource) -> tuple[WaterWindow, ...] | None:
        """What was told of the turns, or of a kind of pump; None where nothing was."""
        return self.power.get(source) if source in PUMPS else self.water


@dataclass(frozen=True, slots=True)
class SeasonOnRecord:
    """A season without the splits of its plan; ``plan`` is the name of that."""

    id: int
    season: Season
    plan: str | None


@dataclass(frozen=True, slots=True)
class ReaderOnRecord:
    """A phone that reads a plot for a grower."""

    phone_id: int
    language: str
    reads: str | None
    grower_id: int
    grower: str
    role: str = "reader"
    letters: str | None = None


@dataclass(frozen=True, slots=True)
class PlotOnRecord:
    """A plot, in ``plot`` with its own outlet alone; its seasons by their first day."""

    id: int
    block: str
    plot: Plot
    grower_id: int | None
    grower: str | None
    seasons: Mapping[date, SeasonOnRecord]
    readers: Mapping[Number, ReaderOnRecord]


@dataclass(frozen=True, slots=True)
class OnRecord:
    """Blocks by name, plots by code, and the number of each nitrogen plan by name."""

    blocks: Mapping[str, BlockOnRecord]
    plots: Mapping[str, PlotOnRecord]
    plans: Mapping[str, int]


class Register(Protocol):
    """What is enrolled in a scheme, all of it, and how it is put right."""

    def of(self, scheme_id: int) -> OnRecord:
        """Everything enrolled."""

    def change_block(self, block_id: int, outlet: str, outlet_lps: float | None) -> None: ...
    def change_plot(self, plot_id: int, block_id: int, plot: Plot) -> None:
        """What is known of a plot and where it lies; its code and who farms it stay."""

    def change_season(self, season_id: int, season: Season, plan_id: int | None) -> None:
        """How, when and what was planted; what is told of its flowering stays.

        Splits of its own stay where no plan is given.
        """

    def weather(
        self, scheme_id: int, first: date, last: date, known_at: datetime
    ) -> Mapping[date, WeatherDay]:
        """The newest weather of the days from first to last, both included."""
