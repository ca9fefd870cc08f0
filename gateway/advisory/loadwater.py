"""Take a sheet of water to come in: for the blocks that it names it replaces what was known."""

from gateway.advisory.changes import Change, Changes, note_changes
from gateway.advisory.ports import Clock, Store
from gateway.advisory.records import Scheme
from gateway.advisory.register import BlockOnRecord
from gateway.advisory.sheets import Turn, WaterSheet
from gateway.agronomy.case import WaterWindow

Windows = tuple[WaterWindow, ...]


def load_water(
    store: Store, clock: Clock, scheme: Scheme, sheet: WaterSheet, check: bool = False
) -> Changes:
    """Replace the turns of each block named; with ``check`` it is left without a commit."""
    with store.begin() as unit:
        blocks = unit.register.of(scheme.id).blocks
        found = []
        for name, turns in sheet.blocks.items():
            windows = _windows(turns)
            found.append(_change(blocks[name], turns[0].line, windows))
            if found[-1].how != "unchanged":
                unit.schemes.add_water(blocks[name].id, list(windows))
        changes = Changes(tuple(found))
        if not check:
            note_changes(unit, scheme.id, "water loaded", sheet.name, changes, clock.now())
            unit.commit()
    return changes


def _windows(turns: tuple[Turn, ...]) -> Windows:
    told = (turn.window for turn in turns if turn.window is not None)
    return tuple(sorted(told, key=lambda window: window.from_))


def _change(block: BlockOnRecord, line: int, told: Windows) -> Change:
    name = f"of {block.name}"
    if block.water is None:
        return Change("new", "turn list", name, line, {"turns": "unknown"}, {"turns": _words(told)})
    if block.water == told:
        return Change("unchanged", "turn list", name, line)
    was, now = {"turns": _words(block.water)}, {"turns": _words(told)}
    return Change("changed", "turn list", name, line, was, now)


def _words(windows: Windows) -> str:
    told = (f"{w.from_} to {w.to}{'' if w.sure else ' (not sure)'}" for w in windows)
    return ", ".join(told) or "none known"
