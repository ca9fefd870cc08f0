"""A sheet of plots, one line a plot, more lines for more phones: blocks, plots, people, crops."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, get_args

from gateway.advisory.cropstold import same_crop
from gateway.advisory.plotstold import plot_told
from gateway.advisory.register import PlotOnRecord
from gateway.advisory.sheets import BlockEntry, Known, PlotEntry, PlotSheet, ReaderEntry
from gateway.agronomy.plot import PUMPS, Plot, WaterSource
from gateway.messages.worst import CODE
from gateway.sources import crop
from gateway.sources.cells import Cells
from gateway.sources.people import read_reader
from gateway.sources.shown import shown
from gateway.sources.table import Table, read_table
from gateway.sources.threshold import COLUMNS as THRESHOLD
from gateway.sources.threshold import read_threshold, threshold_of

BLOCK = ("outlet", "outlet_lps")
FACTS = (
    *("area_ha", "soil", "latitude", "elevation_m", "rim_cm", "tube_bottom_cm", "bars", "profile"),
    *("water_ec_ds_m", "bund_cm", "area_confirmed", "water_source"),
)
PUMP = ("pump_lps",)
PEOPLE = ("grower", "phone", "language", "letters", "reads", "role")
# A letter and a digit at least: a bare word may be a keyword, a bare number a level.
WRITTEN = re.compile(r"(?=.*[^\W\d_])(?=.*\d).+")
COLUMNS = ("block", *BLOCK, "plot", *FACTS, *PUMP, *THRESHOLD, *PEOPLE, *crop.COLUMNS)


@dataclass(slots=True)
class Told:
    """What the lines of one plot or block tell, with the line that told each column first."""

    first: Cells
    values: dict[str, Any] = field(default_factory=dict)
    lines: dict[str, int] = field(default_factory=dict)
    wrong: set[str] = field(default_factory=set)

    def fail(self, column: str, cure: str) -> None:
        """Note a mistake at the line that told the column, or else at the first."""
        self.first.table.fail(self.lines.get(column, self.first.line), column, cure)

    def add(self, name: str, cells: Cells, told: dict[str, Any]) -> None:
        """Take a line in; a column told twice must be told alike."""
        self.wrong |= cells.wrong
        for column, value in told.items():
            before = self.values.setdefault(column, value)
            line = self.lines.setdefault(column, cells.line)
            if before != value:
                cells.fail(column, f"line {line} tells it otherwise for {name}; keep one")


def read_plots(path: Path, known: Known) -> PlotSheet:
    """The sheet at ``path``. Raises SheetRefused with every mistake in it."""
    table = read_table(path, COLUMNS, ("plot",))
    blocks: dict[str, Told] = {}
    plots: dict[str, Told] = {}
    growers: dict[str, str] = {}
    readers: dict[str, list[ReaderEntry]] = {}
    for cells in (Cells(table, line) for line in table.lines):
        block = _read_block(cells, known, blocks)
        code = _code(cells, known)
        grower = cells.words("grower")
        reader = read_reader(cells, grower, known)
        told = _facts(cells, known) | crop.read_crop(cells, known)
        if code is not None:
            plot = plots.setdefault(code, Told(cells))
            plot.add(code, cells, told | ({"block": block} if block else {}))
            if grower is not None:
                growers.setdefault(code, grower)
            if reader is not None:
                _add_reader(cells, readers.setdefault(code, []), reader, code)
    _check_codes(table, plots, known)
    _check_phones(table, [reader for each in readers.values() for reader in each])
    found = [_plot(code, plots[code], known, growers, readers) for code in plots]
    sheet = PlotSheet(
        path.name,
        tuple(_blocks(blocks, known)),
        tuple(plot for plot in found if plot),
        known.bounds.days.same_crop,
    )
    table.require_order()
    return sheet


# -- one line -------------------------------------------------------------------------------------


def _read_block(cells: Cells, known: Known, blocks: dict[str, Told]) -> str | None:
    name = cells.words("block")
    flow = cells.number("outlet_lps", known.bounds.plots.outlet_lps)
    told = {"outlet": cells.words("outlet"), "outlet_lps": flow}
    if name is not None:
        block = blocks.setdefault(name, Told(cells))
        block.add(name, cells, {k: v for k, v in told.items() if v is not None})
    elif not cells.has("block"):
        for column in BLOCK:
            if cells.has(column):
                cells.fail(column, "belongs to a block, and block is empty")
    return name


def _code(cells: Cells, known: Known) -> str | None:
    """The plot's code; it must be short enough for a text and be understood in one."""
    cells.need("plot")
    code = cells.words("plot")
    if code is None:
        return None
    if len(code) > len(CODE):
        cells.fail("plot", f"need a code of at most {len(CODE)} characters, got {shown(code)}")
    elif not (WRITTEN.fullmatch(code) and known.sayable(code)):
        cells.fail("plot", f"need letters and a number such as H07, got {shown(code)}")
    return None if "plot" in cells.wrong else code


def _facts(cells: Cells, known: Known) -> dict[str, Any]:
    bounds = known.bounds.plots
    numbers = (
        *("area_ha", "latitude", "elevation_m", "rim_cm", "tube_bottom_cm"),
        *("water_ec_ds_m", "bund_cm", *PUMP),
    )
    told: dict[str, Any] = {name: cells.number(name, getattr(bounds, name)) for name in numbers}
    told["soil"] = cells.choice("soil", known.soils)
    told["bars"] = cells.choices("bars", known.bars)
    told["profile"] = cells.choice("profile", known.profiles)
    told["area_confirmed"] = cells.flag("area_confirmed")
    told["water_source"] = cells.choice("water_source", get_args(WaterSource))
    told |= read_threshold(cells, known)
    return {column: value for column, value in told.items() if value is not None}


def _add_reader(cells: Cells, readers: list[ReaderEntry], reader: ReaderEntry, code: str) -> None:
    for before in readers:
        if before.number == reader.number:
            cells.fail("phone", f"line {before.line} lets this phone read {code} already")
            return
    readers.append(reader)


# -- the whole sheet ------------------------------------------------------------------------------


def _check_codes(table: Table, plots: dict[str, Told], known: Known) -> None:
    """No text may leave it open which of two plots it means, in the sheet or on record."""
    spoken = {_spoken(code): code for code in known.plots}
    for code, told in plots.items():
        other = spoken.setdefault(_spoken(code), code)
        if other != code:
            table.fail(told.first.line, "plot", f"{code} reads the same as {other} in a text")


def _spoken(code: str) -> str:
    return "".join(letter for letter in code.casefold() if letter.isalnum())


def _check_phones(table: Table, readers: Iterable[ReaderEntry]) -> None:
    """A phone has one language and one kind of letters, however many plots it reads."""
    told: dict[Any, tuple[int, str]] = {}
    for reader in readers:
        for column, value in (("language", reader.language), ("letters", reader.letters)):
            if value is None:
                continue
            line, before = told.setdefault((reader.number, column), (reader.line, value))
            if before != value:
                cure = f"line {line} gives this phone the {column} {before}; keep one"
                table.fail(reader.line, column, cure)


def _blocks(blocks: dict[str, Told], known: Known) -> Iterator[BlockEntry]:
    for name, told in blocks.items():
        if name not in known.blocks and "outlet" not in told.values | dict.fromkeys(told.wrong):
            told.first.fail("outlet", f"the block {name} is new, name its outlet")
        yield BlockEntry(told.first.line, name, **told.values)


def _plot(
    code: str,
    told: Told,
    known: Known,
    growers: dict[str, str],
    readers: dict[str, list[ReaderEntry]],
) -> PlotEntry | None:
    values, line = told.values, told.first.line
    if code not in known.plots and "block" not in values and "block" not in told.wrong:
        told.first.fail("block", f"the plot {code} is new, name its block")
    crop_told = {name: values[name] for name in crop.COLUMNS if name in values}
    season = crop.season_of(told.first, crop_told, told.wrong)
    facts = {name: values[name] for name in FACTS if name in values}
    facts |= _pump(told, known.plots.get(code)) | _threshold(code, told, facts, known)
    people = tuple(readers.get(code, ()))
    return PlotEntry(line, code, values.get("block"), facts, growers.get(code), people, season)


def _pump(told: Told, before: PlotOnRecord | None) -> dict[str, Any]:
    """What the plot's pump gives, in litres a second, is its outlet."""
    on_record = before.plot.water_source if before else None
    source = told.values.get("water_source", on_record)
    if "pump_lps" not in told.values:
        return {}
    if source not in PUMPS and "water_source" not in told.wrong:
        told.fail("pump_lps", "belongs to a pump, and water_source names none")
    return {"outlet_lps": told.values["pump_lps"]}


def _threshold(code: str, told: Told, facts: dict[str, Any], known: Known) -> dict[str, Any]:
    """The plot's own dry limit, judged by the plot as the sheet leaves it."""
    before = known.plots.get(code)
    starts = set(before.seasons) if before else set()
    first = told.values.get("established_on")
    if first and before and not same_crop(first, before.seasons, known.bounds.days.same_crop):
        starts.add(first)
    plot = plot_told(before.plot if before else Plot(code), facts)
    rules = known.thresholds
    return threshold_of(told.values, told.wrong, plot, before, starts, rules, told.fail)
