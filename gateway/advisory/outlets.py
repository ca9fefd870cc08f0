"""What is kept of outlets: who keeps one, and what they report; as protocols and records."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final, Literal, Protocol

from gateway.advisory.number import Number
from gateway.messages.heard import Kind

KeeperRole = Literal["gate-keeper", "pump-operator"]
REPORTED: Final[tuple[Kind, ...]] = ("done", "no-power", "broken", "outlet-open", "outlet-shut")
"""What the keeper of an outlet may report of it."""


@dataclass(frozen=True, slots=True)
class OutletScope:
    """A block behind an outlet that a phone keeps, and the plots in it: code to number."""

    block_id: int
    block: str
    outlet: str
    plots: dict[str, int]


@dataclass(frozen=True, slots=True)
class KeeperOnRecord:
    """Somebody with an outlet in their scope."""

    phone_id: int
    block: str
    name: str
    role: str
    language: str


@dataclass(frozen=True, slots=True)
class KeeperEntry:
    """A line of a sheet of keepers; ``blocks`` are all behind its outlet, or the one named."""

    line: int
    number: Number
    blocks: Sequence[str]
    name: str
    role: KeeperRole
    language: str | None = None


@dataclass(frozen=True, slots=True)
class KeeperSheet:
    """A sheet of keepers that is in order."""

    name: str
    keepers: tuple[KeeperEntry, ...]


@dataclass(frozen=True, slots=True)
class OutletReport:
    """What one text told of an outlet. ``hours`` of water or pumping, where they were told."""

    block_id: int
    plot_id: int | None
    phone_id: int
    text_id: int
    kind: Kind
    hours: float | None
    on: date


class Outlets(Protocol):
    """Keepers of outlets and their reports."""

    def scope_of(self, phone_id: int) -> tuple[OutletScope, ...]:
        """What the phone keeps, by outlet."""

    def keepers(self, scheme_id: int) -> dict[Number, list[KeeperOnRecord]]: ...
    def enrol(
        self, phone_id: int, block_id: int, name: str, role: str, language: str, now: datetime
    ) -> None:
        """Give a phone an outlet; a second time puts name and role right."""

    def report(self, report: OutletReport, now: datetime) -> None: ...
    def take_back(self, phone_id: int, text_id: int, now: datetime) -> bool:
        """Take back what that text of the phone reported; False where that was nothing."""
