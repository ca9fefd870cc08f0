"""What is kept of joining: dialogues under way, requests that wait, and consent; as protocols."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, Literal, Protocol

from gateway.advisory.records import Phone

JoinState = Literal["underway", "lapsed", "waiting", "confirmed", "refused", "dropped"]
"""underway: a question of ours waits. lapsed: it waited too long, and can be taken up again.
waiting: all is told, and somebody must say yes. dropped: given up, nothing told is kept."""


@dataclass(frozen=True, slots=True)
class Joining:
    """One phone's way into the scheme. ``answers`` by what was asked; ``step`` is asked now."""

    id: int
    scheme_id: int
    phone_id: int
    carrier: str
    language: str
    state: JoinState
    step: str
    moved_at: datetime
    answers: Mapping[str, str] = field(default_factory=dict)
    misses: int = 0
    plot_id: int | None = None


@dataclass(frozen=True, slots=True)
class PlotHeld:
    """A plot, who farms it, and the phones that read it and have not left."""

    plot_id: int
    code: str
    grower_id: int | None
    grower: str | None
    holders: tuple[Phone, ...] = ()


class Joinings(Protocol):
    """Dialogues and requests of joining: one open at a time for a phone."""

    def open_of(self, phone_id: int) -> Joining | None:
        """The one that is under way, lapsed or waiting."""

    def get(self, scheme_id: int, joining_id: int) -> Joining: ...
    def begin(
        self, phone: Phone, carrier: str, language: str, step: str, now: datetime
    ) -> Joining: ...
    def keep(self, joining: Joining, now: datetime) -> None:
        """Keep where it stands: state, step, answers, language, misses, plot."""

    def settle(
        self, joining_id: int, to: JoinState, by: str, plot_id: int | None, now: datetime
    ) -> bool:
        """Confirm, refuse or drop one that is not settled yet; False where somebody was faster."""

    def holder_said(self, joining_id: int, said: Literal["yes", "no"]) -> None: ...
    def begun_since(self, scheme_id: int, since: datetime) -> int:
        """How many phones began since then."""

    def standing_still(
        self, scheme_id: int, state: JoinState, before: datetime
    ) -> list[Joining]: ...
    def plot_like(self, scheme_id: int, code: str) -> PlotHeld | None:
        """The one plot that a code as written by hand names; leading zeros may be missing."""

    def plot(self, plot_id: int) -> PlotHeld: ...
    def end_reader(self, phone_id: int, plot_id: int) -> None:
        """A phone reads a plot no more."""


@dataclass(frozen=True, slots=True)
class Heard:
    """When a phone was last heard of, and whether consent was asked of it anew since.

    ``heard_at``: its last text, its last consent, or when it was put on record. ``refused_at``:
    when an operator last could not deliver to it, with the ``words`` of that.
    """

    asked: bool
    why: str
    heard_at: datetime
    language: str
    letters: Any
    short_name: str
    refused_at: datetime | None = None
    words: str = ""


class Consents(Protocol):
    """Who agreed to get texts, and of whom this was asked again; rows are only added."""

    def note(
        self,
        phone_id: int,
        how: Literal["given", "asked"],
        about: Mapping[str, Any],
        now: datetime,
    ) -> None: ...
    def heard(self, phone_id: int) -> Heard: ...


# -- for the office -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class RequestLine:
    """A request that waits. ``plot`` as told, ``code`` of the plot that it is, if any."""

    id: int
    at: datetime
    phone: str
    name: str
    plot: str
    language: str
    reads: str
    code: str | None = None
    grower: str | None = None
    holders: int = 0
    holder_said: str | None = None


@dataclass(frozen=True, slots=True)
class LostLine:
    """A plot in no phone's care: nobody reads it, or all who do have left or fell silent."""

    plot: str
    block: str
    grower: str | None
    why: Literal["none", "left", "asked"]
    since: datetime | None = None


@dataclass(frozen=True, slots=True)
class KeeperLine:
    """Somebody with an outlet in their scope."""

    name: str
    role: str
    phone: str
    block: str
    outlet: str
    left: bool


@dataclass(frozen=True, slots=True)
class ReportLine:
    """A report on an outlet."""

    at: datetime
    on: date
    block: str
    outlet: str
    kind: str
    who: str
    plot: str | None = None
    hours: float | None = None
    taken_back: bool = False


class PeopleViews(Protocol):
    """What the page People shows."""

    def requests(self, scheme_id: int) -> list[RequestLine]:
        """Those that wait, the oldest first."""

    def lost(self, scheme_id: int, most: int) -> list[LostLine]: ...
    def keepers(self, scheme_id: int) -> list[KeeperLine]: ...
    def reports(self, scheme_id: int, most: int) -> list[ReportLine]:
        """The newest first."""
