"""A sheet of keepers: one line a phone and outlet, gate keepers and pump operators."""

from collections.abc import Collection, Mapping
from pathlib import Path
from typing import cast, get_args

from gateway.advisory.outlets import KeeperEntry, KeeperRole, KeeperSheet
from gateway.sources.cells import Cells
from gateway.sources.people import number_of
from gateway.sources.shown import shown
from gateway.sources.table import read_table

COLUMNS = ("block", "outlet", "name", "role", "phone", "language")


def read_keepers(
    path: Path, region: str | None, languages: Collection[str], blocks: Mapping[str, str]
) -> KeeperSheet:
    """The keepers of the sheet at ``path``; ``blocks`` gives the outlet of each on record.

    Raises SheetRefused with every mistake in it.
    """
    table = read_table(path, COLUMNS, ("phone", "role", "name"))
    lines = (Cells(table, line) for line in table.lines)
    found = [_entry(cells, region, languages, blocks) for cells in lines]
    table.require_order()
    return KeeperSheet(path.name, tuple(entry for entry in found if entry is not None))


def _entry(
    cells: Cells, region: str | None, languages: Collection[str], blocks: Mapping[str, str]
) -> KeeperEntry | None:
    named = _blocks(cells, blocks)
    number = number_of(cells, region)
    name, role = cells.words("name"), cells.choice("role", get_args(KeeperRole))
    language = cells.choice("language", languages)
    cells.need("phone", "name", "role")
    if number is None or name is None or role is None or not named:
        return None
    return KeeperEntry(cells.line, number, named, name, cast(KeeperRole, role), language)


def _blocks(cells: Cells, blocks: Mapping[str, str]) -> tuple[str, ...]:
    """The block that a line names, or all behind the outlet that it names."""
    block, outlet = cells.words("block"), cells.words("outlet")
    fits = tuple(
        name
        for name, behind in blocks.items()
        if block in (None, name) and outlet in (None, behind)
    )
    if block is None and outlet is None:
        cells.fail("outlet", "name an outlet, or a block")
        return ()
    if not fits:
        column, said = ("block", block) if block is not None else ("outlet", outlet)
        known = ", ".join(blocks if column == "block" else dict.fromkeys(blocks.values()))
        cells.fail(
            column, f"no {column} {shown(said or '')} is on record; known: {known or 'none'}"
        )
    return fits
