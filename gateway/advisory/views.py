"""Plain rows for the console's pages, and the port that brings them."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Protocol

from gateway.agronomy.quality import Look


@dataclass(frozen=True, slots=True)
class SentLine:
    """One text out in the reply log, with what the operator said of it."""

    parcel_id: int
    text: str
    state: str
    state_at: datetime
    carrier: str
    kind: str
    words: str = ""
    advice_id: int | None = None


@dataclass(frozen=True, slots=True)
class LogLine:
    """One line of the reply log: a text in with its answers, or a text that the office started.

    ``who`` is the grower's name, ``phone`` the masked number. ``plots`` are the codes it concerned.
    """

    at: datetime
    who: str
    phone: str
    phone_id: int
    plots: tuple[str, ...]
    carrier: str
    text_id: int | None = None
    body: str | None = None
    outcome: str | None = None
    understood: str = ""
    failure: str | None = None
    sent: tuple[SentLine, ...] = ()


@dataclass(frozen=True, slots=True)
class LogFilter:
    """Which lines to show. Times are UTC; ``words`` matches text in or out, without case."""

    since: datetime | None = None
    until: datetime | None = None
    plot: str | None = None
    block: str | None = None
    outcome: str | None = None
    state: str | None = None
    direction: str | None = None
    words: str | None = None


@dataclass(frozen=True, slots=True)
class LogPage:
    """One page of the reply log, newest first; ``page`` counts from 1."""

    lines: tuple[LogLine, ...]
    page: int
    pages: int
    total: int


@dataclass(frozen=True, slots=True)
class PlotLine:
    """One plot in the list of plots, with its newest advice and the reasons of that."""

    plot_id: int
    code: str
    block: str
    grower: str
    stage: str | None
    action: str | None
    level_cm: float | None
    next_reading_on: str | None
    advised_at: datetime | None
    reasons: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Handset:
    """A phone that may be picked on the simulator page. ``number`` is the mask; ``grower`` names
    whom it reads for, else who keeps an outlet with it, and is empty for a phone of nobody yet."""

    phone_id: int
    grower: str
    number: str
    plots: tuple[str, ...]
    language: str
    left: bool


@dataclass(frozen=True, slots=True)
class UnreadableLine:
    """A callback that could not be read."""

    id: int
    at: datetime
    carrier: str
    cause: str
    size: int


class Views(Protocol):
    """Queries of the console: plain rows, of one scheme only."""

    def reply_log(self, scheme_id: int, wanted: LogFilter, page: int, size: int) -> LogPage: ...
    def thread(self, scheme_id: int, phone_id: int, limit: int) -> list[LogLine]:
        """The newest lines of one phone, oldest first."""

    def plots(self, scheme_id: int) -> list[PlotLine]: ...
    def plot_title(self, scheme_id: int, code: str) -> tuple[int, str, str, tuple[str, ...]]:
        """Plot id, block, grower and masked phones of its readers. Raises NotOnRecord."""

    def looks_of_readers(self, plot_id: int, since: date) -> list[list[Look]]:
        """What each reader of a plot reported since a day, of this plot and of others."""

    def handsets(self, scheme_id: int) -> list[Handset]: ...
    def unreadable(self, limit: int) -> list[UnreadableLine]: ...
    def counts(self, scheme_id: int, since: datetime) -> dict[str, int]:
        """Texts in and out by outcome and state since then, for health and the top of pages."""
