"""What a sheet changed, or would change: told to the office, and noted in the audit."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Literal

from gateway.advisory.ports import Unit

WHO = "command line"

How = Literal["new", "changed", "unchanged"]


@dataclass(frozen=True, slots=True)
class Change:
    """One thing of a sheet; ``was`` and ``now`` hold what differs of a changed one."""

    how: How
    what: str
    name: str
    line: int
    was: Mapping[str, Any] = field(default_factory=dict)
    now: Mapping[str, Any] = field(default_factory=dict)

    def __str__(self) -> str:
        differs = "; ".join(
            f"{key} {_plain(self.was[key])} -> {_plain(self.now[key])}" for key in self.now
        )
        return f"{self.how} {self.what} {self.name} (line {self.line}){differs and ': '}{differs}"


@dataclass(frozen=True, slots=True)
class Changes:
    """Everything that one sheet came to, in its order."""

    all: tuple[Change, ...]

    def of(self, how: How) -> list[Change]:
        """Those that are new, changed or unchanged."""
        return [change for change in self.all if change.how == how]

    def counts(self) -> dict[str, int]:
        """How many of each: ``new plots``, ``changed plots``, ``unchanged seasons``, ..."""
        return dict(Counter(f"{change.how} {change.what}s" for change in self.all))

    def lines(self) -> Iterator[str]:
        """The counts for people, one line each of new, changed and unchanged."""
        hows: tuple[How, ...] = ("new", "changed", "unchanged")
        for how in hows:
            many = Counter(change.what for change in self.of(how))
            told = ", ".join(f"{count} {_several(what, count)}" for what, count in many.items())
            yield f"{how}: {told or 'nothing'}"


def compare(
    what: str,
    name: str,
    line: int,
    was: Mapping[str, Any],
    told: Mapping[str, Any],
    empty_counts: bool = False,
) -> Change:
    """The change from ``was`` to what a sheet told.

    Where it tells nothing, nothing changes, unless ``empty_counts``.
    """
    now = {
        key: value
        for key, value in told.items()
        if value != was[key] and (empty_counts or value is not None)
    }
    if not now:
        return Change("unchanged", what, name, line)
    return Change("changed", what, name, line, {key: was[key] for key in now}, now)


def note_changes(
    unit: Unit, scheme_id: int, what: str, name: str, changes: Changes, now: datetime
) -> None:
    """Audit rows: one for each changed thing, one for the sheet if it brought anything."""
    for change in changes.of("changed"):
        on = {"sheet": name, change.what: change.name}
        on |= {f"{key} was": _noted(key, change.was[key]) for key in change.now}
        on |= {f"{key} now": _noted(key, change.now[key]) for key in change.now}
        unit.office.audit(scheme_id, WHO, f"{change.what} changed", on, now)
    if plots := [change.name for change in changes.of("new") if change.what == "plot"]:
        on = {"sheet": name, "new plots": " ".join(plots)}
        unit.office.audit(scheme_id, WHO, "plots added", on, now)
    note_counts(unit, scheme_id, what, name, changes, now)


def note_counts(
    unit: Unit, scheme_id: int, what: str, name: str, changes: Changes, now: datetime
) -> None:
    """One audit row for a sheet, with what it brought; none where it brought nothing."""
    counts = {key: n for key, n in changes.counts().items() if not key.startswith("unchanged")}
    if counts:
        unit.office.audit(scheme_id, WHO, what, {"sheet": name, **counts}, now)


def _noted(key: str, value: Any) -> Any:
    """A value as the audit keeps it: never a name of a person, who may ask to be forgotten."""
    if key == "grower":
        return "a name"
    return ";".join(sorted(value)) if isinstance(value, frozenset) else value


def _several(what: str, count: int) -> str:
    return what if count == 1 else f"{what}s"


def _plain(value: Any) -> str:
    if value is None or value == "":
        return "not known"
    if isinstance(value, frozenset):
        return ";".join(sorted(value)) or "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)
