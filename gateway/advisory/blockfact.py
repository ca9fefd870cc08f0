"""Tell a fact of a whole block: shown first, with plots left out, and taken back by one undo.

Nothing of it is trusted like what a plot's own reader tells: each row of a book that it brings is
marked as told of the block.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, Final
from zoneinfo import ZoneInfo

from gateway.advisory.advise import judge_plot
from gateway.advisory.errors import GatewayError
from gateway.advisory.mending import BlockPlot, FactLine, FactRow
from gateway.advisory.papers import Papers
from gateway.advisory.ports import Clock, Store, Unit
from gateway.advisory.records import Scheme
from gateway.advisory.sheets import SheetBounds
from gateway.agronomy.book import Event

BY: Final = "officer, by block"
SALTY: Final = "salty-water"
LINES: Final = 50
JUDGED: Final = 200
"""Of so many plots a preview says what their advice would be; of more it would take too long."""


@dataclass
class NotTold(GatewayError):
    """A fact of a block that cannot be taken as told."""

    cause: str

    def __str__(self) -> str:
        return f"nothing was written: {self.cause}"


@dataclass(frozen=True, slots=True)
class NewFact:
    """A fact: ``kind`` is one of KINDS. ``left_out``: codes of plots that it does not hold for.

    ``cm`` of water after a flooding (signed, None: as usual), ``mm`` of rain, ``product`` sprayed.
    """

    block: str
    kind: str
    on: date
    left_out: tuple[str, ...] = ()
    cm: float | None = None
    mm: float | None = None
    product: str | None = None

    @property
    def fields(self) -> dict[str, Any]:
        """What it states beside its kind and day."""
        told = {"cm": self.cm, "mm": self.mm, "product": self.product}
        return {name: value for name, value in told.items() if value is not None}


EVENTS: Final[Mapping[str, Callable[[NewFact], Event]]] = {
    "flooded": lambda new: Event("flooded", new.on, to_cm=new.cm, by_block=True),
    "rain": lambda new: Event("rain", new.on, mm=new.mm, by_block=True),
    "canal-shut": lambda new: Event("no-water", new.on, by_block=True),
    "sprayed": lambda new: Event("spray", new.on, product=new.product, by_block=True),
    "submerged": lambda new: Event("submerged", new.on, by_block=True),
}
KINDS: Final = (*EVENTS, "planted", "salty")


@dataclass(frozen=True, slots=True)
class PlotPreview:
    """A plot under a fact: the action of its advice without and with it.

    Both are empty past the first JUDGED plots.
    first JUDGED plots. ``why_not``: the fact does not reach this plot, and why.
    """

    code: str
    before: str
    after: str
    why_not: str = ""


@dataclass(frozen=True, slots=True)
class Undone:
    """What an undo took back. ``kept``: plots whose day or bars were changed since; they stay."""

    fact: FactLine
    kept: tuple[str, ...] = ()


@dataclass
class _Writing:
    """One fact as it is written into the books of a block's plots."""

    unit: Unit
    scheme: Scheme
    new: NewFact
    fact_id: int
    now: datetime
    why_not: dict[str, str] = field(default_factory=dict)

    def write(self, plot: BlockPlot) -> None:
        """Write it for one plot, or note why not."""
        row, why_not = self._row(plot)
        if row is None:
            self.why_not[plot.code] = why_not
        else:
            self.unit.block_facts.note(self.scheme.id, self.fact_id, row)

    def _row(self, plot: BlockPlot) -> tuple[FactRow | None, str]:
        if plot.code in self.new.left_out:
            return None, "left out"
        if self.new.kind == "planted":
            return self._planted(plot)
        if self.new.kind == "salty":
            return self._salty(plot)
        event = EVENTS[self.new.kind](self.new)
        event_id = self.unit.books.append(plot.plot_id, event, BY, self.now)
        return FactRow(plot.plot_id, event_id), ""

    def _planted(self, plot: BlockPlot) -> tuple[FactRow | None, str]:
        if plot.season_id is None or plot.established_on is None:
            return None, "no crop is enrolled"
        if plot.established_on == self.new.on:
            return None, "that is its day already"
        self.unit.block_facts.plant(plot.season_id, self.new.on, plot.established_on)
        was = plot.established_on.isoformat()
        return FactRow(plot.plot_id, season_id=plot.season_id, was=was), ""

    def _salty(self, plot: BlockPlot) -> tuple[FactRow | None, str]:
        bars = plot.bars or frozenset()
        if SALTY in bars:
            return None, "that is known of it already"
        self.unit.block_facts.bar(plot.plot_id, bars | {SALTY}, plot.bars)
        was = {"bars": None if plot.bars is None else sorted(plot.bars)}
        return FactRow(plot.plot_id, was=was), ""


@dataclass(frozen=True, slots=True)
class TellBlock:
    """Facts of whole blocks, by an officer."""

    store: Store
    clock: Clock
    papers: Papers
    bounds: SheetBounds

    def preview(self, scheme: Scheme, new: NewFact) -> list[PlotPreview]:
        """What each plot would be advised without and with it; nothing is written.

        Raises NotTold, NotOnRecord.
        """
        with self.store.begin() as unit:  # never committed: it is written to be judged, and undone
            now = self.clock.now()
            plots = self._plots(unit, scheme, new, now)
            before = {plot.code: self._action(unit, plot, now) for plot in plots[:JUDGED]}
            writing = self._write(unit, scheme, "nobody", new, plots, now)
            return [
                PlotPreview(
                    plot.code,
                    before.get(plot.code, ""),
                    self._action(unit, plot, now) if plot.code in before else "",
                    writing.why_not.get(plot.code, ""),
                )
                for plot in plots
            ]

    def __call__(self, scheme: Scheme, who: str, new: NewFact) -> int:
        """Write it, with a line in the audit. Raises NotTold, NotOnRecord."""
        with self.store.begin() as unit:
            now = self.clock.now()
            plots = self._plots(unit, scheme, new, now)
            writing = self._write(unit, scheme, who, new, plots, now)
            noted = {
                "block": new.block,
                "on": new.on,
                **new.fields,
                "left out": " ".join(new.left_out),
                "plots": len(plots) - len(writing.why_not),
            }
            unit.office.audit(scheme.id, who, f"told of a block: {new.kind}", noted, now)
            unit.commit()
        return writing.fact_id

    def undo(self, scheme: Scheme, who: str, fact_id: int) -> Undone | None:
        """Take all of it back; None where that was done already. Raises NotOnRecord."""
        with self.store.begin() as unit:
            now = self.clock.now()
            fact = unit.block_facts.undo(scheme.id, fact_id, who, now)
            if fact is None:
                return None
            rows = unit.block_facts.rows(fact_id)
            kept = [row.plot_id for row in rows if not _take_back(unit, fact, row, now)]
            codes = {case.plot_id: case.case.plot.code for case in unit.books.cases(kept, now)}
            undone = Undone(fact, tuple(codes[plot_id] for plot_id in kept))
            noted = {"block": fact.block, "fact": fact_id, "kept": " ".join(undone.kept)}
            unit.office.audit(scheme.id, who, f"undone for a block: {fact.kind}", noted, now)
            unit.commit()
        return undone

    def lines(self, scheme: Scheme) -> list[FactLine]:
        """The newest facts, those undone too."""
        with self.store.begin(write=False) as unit:
            return unit.block_facts.lines(scheme.id, LINES)

    def _plots(self, unit: Unit, scheme: Scheme, new: NewFact, now: datetime) -> list[BlockPlot]:
        self._check(new, now.astimezone(ZoneInfo(scheme.zone)).date())
        plots = unit.block_facts.plots(unit.pauses.block_id(scheme.id, new.block), new.on)
        unknown = sorted(set(new.left_out) - {plot.code for plot in plots})
        if unknown:
            raise NotTold(f"{' '.join(unknown)} is no plot of block {new.block}")
        if not plots:
            raise NotTold(f"block {new.block} has no plots")
        return plots

    def _check(self, new: NewFact, today: date) -> None:
        bounds = self.bounds
        if new.kind not in KINDS:
            raise NotTold(f"need one of {', '.join(KINDS)}, got {new.kind!r}")
        furthest = self.papers.customs.reading_late_days
        furthest = int(-bounds.days.season.least) if new.kind == "planted" else furthest
        if not 0 <= (today - new.on).days <= furthest:
            raise NotTold(f"need a day within the {furthest} days up to {today}, got {new.on}")
        if new.kind == "rain" and (new.mm is None or not 0 < new.mm <= bounds.weather.rain_mm.most):
            raise NotTold(f"rain needs its mm, up to {bounds.weather.rain_mm.most:g}")
        if new.cm is not None and not 0 < new.cm <= bounds.plots.bund_cm.most:
            raise NotTold(f"need cm above the soil, up to {bounds.plots.bund_cm.most:g}")

    def _write(
        self,
        unit: Unit,
        scheme: Scheme,
        who: str,
        new: NewFact,
        plots: list[BlockPlot],
        now: datetime,
    ) -> _Writing:
        block_id = unit.pauses.block_id(scheme.id, new.block)
        facts = unit.block_facts
        fact_id = facts.add(
            scheme.id, block_id, new.kind, new.on, new.fields, new.left_out, who, now
        )
        writing = _Writing(unit, scheme, new, fact_id, now)
        for plot in plots:
            writing.write(plot)
        if len(writing.why_not) == len(plots):
            raise NotTold("it holds for no plot of the block")
        return writing

    def _action(self, unit: Unit, plot: BlockPlot, now: datetime) -> str:
        return judge_plot(unit, self.papers, plot.plot_id, now)[1].action


def _take_back(unit: Unit, fact: FactLine, row: FactRow, now: datetime) -> bool:
    """Take one plot's row back; False where it was changed since, and stays as it is."""
    if row.event_id is not None:
        live = {each.id for each in unit.books.rows(row.plot_id) if not each.superseded}
        if row.event_id in live:  # a reader may have taken it back for their own plot already
            unit.books.withdraw(row.event_id, BY, now, None)
        return True
    if row.season_id is not None:
        return unit.block_facts.plant(row.season_id, date.fromisoformat(row.was), fact.on)
    bars = None if row.was["bars"] is None else frozenset(row.was["bars"])
    return unit.block_facts.bar(row.plot_id, bars, (bars or frozenset()) | {SALTY})
