"""A sheet of water to come: one line a turn of an outlet; a line without days: none is known.

A line that names a kind of pump under ``water_source`` tells of days with power instead. With
``starts`` and ``ends`` it runs on each of the days between these hours alone.
"""

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import cast, get_args

from gateway.advisory.sheets import SheetBounds, Turn, WaterSheet
from gateway.agronomy.case import WaterWindow
from gateway.agronomy.plot import WaterSource
from gateway.sources.cells import Cells
from gateway.sources.shown import shown
from gateway.sources.table import read_table

DAYS = ("from", "to", "sure")
HOURS = ("starts", "ends")
COLUMNS = ("block", "outlet", "water_source", *DAYS, *HOURS)


def read_water(
    path: Path, bounds: SheetBounds, today: date, blocks: Mapping[str, str]
) -> WaterSheet:
    """The turns of the sheet at ``path`` by block; ``blocks`` gives the outlet of each on record.

    Raises SheetRefused with every mistake in it.
    """
    table = read_table(path, COLUMNS, DAYS)
    turns: dict[str, list[Turn]] = {}
    for cells in (Cells(table, line) for line in table.lines):
        named = _blocks(cells, blocks)
        window = _window(cells, bounds, today)
        source = cells.choice("water_source", get_args(WaterSource)) or "gravity-turn"
        for block in named:
            turn = Turn(cells.line, window, cast(WaterSource, source))
            _add(cells, turns.setdefault(block, []), turn)
    table.require_order()
    return WaterSheet(path.name, {name: tuple(told) for name, told in turns.items()})


def _blocks(cells: Cells, blocks: Mapping[str, str]) -> Sequence[str]:
    """The blocks of a line: the one that it names, or all behind the outlet that it names."""
    block, outlet = cells.words("block"), cells.words("outlet")
    if not cells.has("block") and not cells.has("outlet"):
        cells.fail("outlet", "name an outlet, or a block")
        return ()
    if block is not None and block not in blocks:
        known = ", ".join(blocks) or "none"
        cells.fail("block", f"no block {shown(block)} is on record; known: {known}")
    elif outlet is not None and outlet not in blocks.values():
        known = ", ".join(dict.fromkeys(blocks.values())) or "none"
        cells.fail("outlet", f"no outlet {shown(outlet)} is on record; known: {known}")
    elif block is not None and outlet is not None and blocks[block] != outlet:
        cells.fail("outlet", f"the block {block} lies behind {blocks[block]}")
    elif not cells.wrong:
        return [
            name
            for name, behind in blocks.items()
            if block in (None, name) and outlet in (None, behind)
        ]
    return ()


def _window(cells: Cells, bounds: SheetBounds, today: date) -> WaterWindow | None:
    first = cells.day("from", today, bounds.days.water)
    last = cells.day("to", today, bounds.days.water)
    sure, starts, ends = cells.flag("sure"), cells.clock("starts"), cells.clock("ends")
    if not any(cells.has(column) for column in (*DAYS, *HOURS)):
        return None
    cells.need(*DAYS, *(HOURS if cells.has("starts") or cells.has("ends") else ()))
    if first is None or last is None or sure is None:
        return None
    if last < first:
        cells.fail("to", f"need a day from {first} on, got {last}")
    return WaterWindow(first, last, sure, starts, ends)


def _add(cells: Cells, turns: list[Turn], turn: Turn) -> None:
    """Turns of one block may not overlap, and none is known only where no turn is told."""
    for before in turns:
        if before.source != turn.source:
            continue
        if before.window is None or turn.window is None:
            if not cells.wrong:
                cells.fail("from", f"line {before.line} tells of this outlet too; keep one")
        elif _overlap(before.window, turn.window):
            cells.fail("from", f"overlaps the turn of line {before.line}")
    turns.append(turn)


def _overlap(one: WaterWindow, other: WaterWindow) -> bool:
    """Whether both would run at once; two turns of one day are told apart by their hours."""
    if other.from_ > one.to or one.from_ > other.to:
        return False
    if one.starts is None or one.ends is None or other.starts is None or other.ends is None:
        return True
    return one.runs_at(other.starts) or other.runs_at(one.starts)
