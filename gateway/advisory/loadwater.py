"""Take a sheet of water to come in: for the blocks that it names it replaces what was known.

Turns of the outlet and the power hours of each kind of pump are lists of their own.
"""

from collections.abc import Iterator
from datetime import time

from gateway.advisory.changes import Change, Changes, How, note_changes
from gateway.advisory.ports import Clock, Store
from gateway.advisory.records import Scheme
from gateway.advisory.register import BlockOnRecord
from gateway.advisory.sheets import Turn, WaterSheet
from gateway.agronomy.case import WaterWindow
from gateway.agronomy.plot import PUMPS, WaterSource

Windows = tuple[WaterWindow, ...]


def load_water(
    store: Store, clock: Clock, scheme: Scheme, sheet: WaterSheet, check: bool = False
) -> Changes:
    """Replace the turns of each block named; with ``check`` it is left without a commit."""
    with store.begin() as unit:
        blocks = unit.register.of(scheme.id).blocks
        found = []
        for name, source, turns in _lists(sheet):
            windows = _windows(turns)
            found.append(_change(blocks[name], source, turns[0].line, windows))
            if found[-1].how != "unchanged":
                unit.schemes.add_water(blocks[name].id, list(windows), source)
        changes = Changes(tuple(found))
        if not check:
            note_changes(unit, scheme.id, "water loaded", sheet.name, changes, clock.now())
            unit.commit()
    return changes


def _lists(sheet: WaterSheet) -> Iterator[tuple[str, WaterSource, list[Turn]]]:
    """Each block and source that the sheet names, with what it tells of both together."""
    for name, told in sheet.blocks.items():
        for source in dict.fromkeys(turn.source for turn in told):
            yield name, source, [turn for turn in told if turn.source == source]


def _windows(turns: list[Turn]) -> Windows:
    told = (turn.window for turn in turns if turn.window is not None)
    return tuple(sorted(told, key=lambda w: (w.from_, w.starts or time.min)))


def _change(block: BlockOnRecord, source: WaterSource, line: int, told: Windows) -> Change:
    before, pump = block.told_of(source), source in PUMPS
    what, key = ("power list", "days with power") if pump else ("turn list", "turns")
    name = f"of {block.name}" + (f", {source}" if pump else "")
    if before == told:
        return Change("unchanged", what, name, line)
    was, now = "unknown" if before is None else _words(before), _words(told)
    how: How = "new" if before is None else "changed"
    return Change(how, what, name, line, {key: was}, {key: now})


def _words(windows: Windows) -> str:
    return ", ".join(_word(window) for window in windows) or "none known"


def _word(window: WaterWindow) -> str:
    hours = f" {window.starts:%H:%M}-{window.ends:%H:%M}" if window.starts and window.ends else ""
    return f"{window.from_} to {window.to}{hours}{'' if window.sure else ' (not sure)'}"
