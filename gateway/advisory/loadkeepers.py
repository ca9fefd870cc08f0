"""Take a sheet of keepers in: who is new gets the outlet, who is told anew is put right."""

from gateway.advisory.changes import Change, Changes, compare, note_changes
from gateway.advisory.outlets import KeeperEntry, KeeperOnRecord, KeeperSheet
from gateway.advisory.ports import Clock, Store, Unit
from gateway.advisory.records import Scheme


def load_keepers(
    store: Store, clock: Clock, scheme: Scheme, sheet: KeeperSheet, check: bool = False
) -> Changes:
    """Enrol all of a sheet in one unit of work; with ``check`` it is left without a commit."""
    with store.begin() as unit:
        blocks = {name: block.id for name, block in unit.register.of(scheme.id).blocks.items()}
        known = unit.outlets.keepers(scheme.id)
        found = []
        for entry in sheet.keepers:
            there = {keeper.block: keeper for keeper in known.get(entry.number, ())}
            for block in entry.blocks:
                change = _change(entry, block, there.get(block))
                found.append(change)
                if change.how != "unchanged":
                    _enrol(unit, scheme, entry, blocks[block], there.get(block), clock)
        changes = Changes(tuple(found))
        if not check:
            note_changes(unit, scheme.id, "keepers loaded", sheet.name, changes, clock.now())
            unit.commit()
    return changes


def _change(entry: KeeperEntry, block: str, known: KeeperOnRecord | None) -> Change:
    name = f"of {block}, phone {entry.number.masked}"
    if known is None:
        return Change("new", "keeper", name, entry.line)
    was = {"name": known.name, "role": known.role, "language": known.language}
    told = {"name": entry.name, "role": entry.role, "language": entry.language}
    return compare("keeper", name, entry.line, was, told)


def _enrol(
    unit: Unit,
    scheme: Scheme,
    entry: KeeperEntry,
    block_id: int,
    known: KeeperOnRecord | None,
    clock: Clock,
) -> None:
    """A phone that is known keeps its language unless the sheet tells another."""
    phone = unit.people.phone_of(scheme.id, entry.number, clock.now())
    language = entry.language or (known.language if known else phone.language)
    unit.outlets.enrol(phone.id, block_id, entry.name, entry.role, language, clock.now())
