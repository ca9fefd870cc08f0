"""What the office must see today: water that harms, plots that may not dry, water that failed."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Protocol
from zoneinfo import ZoneInfo

from gateway.advisory.papers import Papers
from gateway.advisory.ports import Clock
from gateway.advisory.records import Scheme
from gateway.agronomy.bars import bars_of, effect_of
from gateway.agronomy.case import Case
from gateway.agronomy.plot import Plot


@dataclass(frozen=True, slots=True)
class PlotTested:
    """A plot of whose soil or water something is on record; in ``plot`` that alone."""

    plot: Plot
    block: str
    grower: str


@dataclass(frozen=True, slots=True)
class BarredLine:
    """A plot that soil or water bars from drying; ``bars`` are codes."""

    code: str
    block: str
    grower: str
    bars: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NoWaterLine:
    """How often no water came in a block: reports, the plots they came from, of how many plots."""

    block: str
    reports: int
    plots: int
    of_plots: int
    last_on: date


@dataclass(frozen=True, slots=True)
class Attention:
    """``ask``: nobody may be told to irrigate there; ``kept``: kept flooded. ``since`` is the first
    day whose reports of no water are counted."""

    ask: tuple[BarredLine, ...]
    kept: tuple[BarredLine, ...]
    no_water: Sequence[NoWaterLine]
    since: date


class AttentionViews(Protocol):
    """Queries of that page: plain rows, of one scheme only."""

    def tested_plots(self, scheme_id: int) -> list[PlotTested]:
        """The plots with a bar or a salt content on record, by code."""

    def no_water(self, scheme_id: int, first: date, last: date) -> list[NoWaterLine]:
        """The blocks with live reports of no water on these days, most plots first."""


@dataclass(frozen=True, slots=True)
class Attend:
    """Gathers what the office must see, by the scheme's practice."""

    views: AttentionViews
    clock: Clock
    papers: Papers

    def __call__(self, scheme: Scheme) -> Attention:
        """What stands today in the scheme's zone."""
        today = self.clock.now().astimezone(ZoneInfo(scheme.zone)).date()
        since = today - timedelta(days=self.papers.customs.no_water_days - 1)
        barred: dict[str, list[BarredLine]] = {"ask": [], "keep-flooded": [], "none": []}
        for each in self.views.tested_plots(scheme.id):
            case, practice = Case(today, each.plot, None), self.papers.rules.practice
            bars = tuple(sorted(bars_of(case, practice)))
            line = BarredLine(each.plot.code, each.block, each.grower, bars)
            barred[effect_of(case, practice)].append(line)
        no_water = self.views.no_water(scheme.id, since, today)
        return Attention(tuple(barred["ask"]), tuple(barred["keep-flooded"]), no_water, since)
