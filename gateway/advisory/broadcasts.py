"""A text of the office to many phones: what it is, whom it goes to, what becomes of it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Final, Literal, Protocol

from gateway.advisory.errors import GatewayError
from gateway.advisory.parcels import NewParcel

BroadcastState = Literal["draft", "released", "paused", "cancelled"]
PAUSED: Final = "the broadcast is paused"
CANCELLED: Final = "the broadcast was cancelled"

WATERS: Final = ("standing", "below", "wanted", "overdue", "untold")
"""By the plot's newest advice: water stands, lies below the soil, is called for, the day to look
again is over, or no level was ever told."""

HABITS: Final = ("regular", "seldom", "silent")


class NotNow(GatewayError):
    """Something that a broadcast does not allow as it stands; ``cure`` says what to do first."""

    def __init__(self, cure: str) -> None:
        super().__init__(cure)
        self.cure = cure


def topic_of(broadcast_id: int) -> str:
    """What the texts of a broadcast bear in the outbox."""
    return f"broadcast:{broadcast_id}"


def id_of(topic: str) -> int | None:
    """The broadcast whose text bears that topic; None for any other text."""
    kind, _, number = topic.partition(":")
    return int(number) if kind == "broadcast" and number.isdecimal() else None


@dataclass(frozen=True, slots=True)
class BroadcastCustoms:
    """How the office speaks to many. Built from flows/broadcasts.yaml.

    ``texts``: messages of the catalogues that may be sent to many, with what they are called.
    """

    second_officer_above: int
    valid: timedelta
    spread: timedelta
    batch: int
    tests_at_most: int
    replies: timedelta
    regular_readings: int
    regular_days: int
    texts: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Audience:
    """Whom it goes to. What is empty asks nothing; several in one are joined by "or"."""

    blocks: tuple[str, ...] = ()
    stages: tuple[str, ...] = ()
    languages: tuple[str, ...] = ()
    soils: tuple[str, ...] = ()
    waters: tuple[str, ...] = ()
    habits: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Wording:
    """Its words: ``message`` of the catalogues with its ``days``, or the office's own by language.

    ``read_by``: by language, who has read it aloud, where the catalogue is a draft still.
    """

    message: str | None = None
    days: Mapping[str, date] = field(default_factory=dict)
    own: Mapping[str, str] = field(default_factory=dict)
    read_by: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class NewBroadcast:
    """What an officer writes. ``asks``: it wants an answer; ``safety`` marks crop safety."""

    title: str
    audience: Audience
    wording: Wording
    leaves_at: datetime
    safety: bool = False
    asks: bool = False


@dataclass(frozen=True, slots=True)
class Broadcast:
    """A broadcast on record. ``phones`` are listed; ``upto`` is the last phone whose text was put.

    ``put_at``: when the last of its texts was put in the outbox.
    """

    id: int
    scheme_id: int
    title: str
    audience: Audience
    wording: Wording
    leaves_at: datetime
    valid_until: datetime
    safety: bool
    asks: bool
    state: BroadcastState
    written_by: str
    written_at: datetime
    phones: int = 0
    upto: int = 0
    released_by: str | None = None
    released_at: datetime | None = None
    put_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Candidate:
    """A plot that a phone reads, as far as the store alone can tell that it is meant."""

    phone_id: int
    language: str
    letters: Literal["script", "plain"] | None
    plot_id: int
    code: str


@dataclass(frozen=True, slots=True)
class ListedPhone:
    """A phone on the list, with the code of the words that it gets and its plots that are meant."""

    phone_id: int
    form: str
    plots: tuple[str, ...]
    plot_id: int | None = None


@dataclass(frozen=True, slots=True)
class ListLine:
    """A phone on the list as the office sees it; ``phone`` is masked."""

    phone: str
    growers: tuple[str, ...]
    plots: tuple[str, ...]
    form: str
    state: str | None = None


@dataclass(frozen=True, slots=True)
class ReplyLine:
    """A text from a phone after the broadcast reached it; numbers in it are hidden."""

    at: datetime
    growers: tuple[str, ...]
    phone: str
    body: str
    outcome: str | None
    understood: str


@dataclass(frozen=True, slots=True)
class BroadcastLine:
    """A broadcast in the list of all, with how many of its texts stand where."""

    broadcast: Broadcast
    states: Mapping[str, int]


class Broadcasts(Protocol):
    """What a unit of work keeps of broadcasts."""

    def add(
        self, scheme_id: int, new: NewBroadcast, until: datetime, by: str, now: datetime
    ) -> int:
        """A new draft."""

    def rewrite(
        self,
        scheme_id: int,
        broadcast_id: int,
        new: NewBroadcast,
        until: datetime,
        by: str,
        now: datetime,
    ) -> bool:
        """Other contents for a draft; False where it is none any more."""

    def get(self, scheme_id: int, broadcast_id: int) -> Broadcast:
        """Raises NotOnRecord."""

    def candidates(
        self, scheme_id: int, wanted: Audience, today: date, regular: tuple[int, date]
    ) -> list[Candidate]:
        """Plots and phones that are meant, the stage of the crop apart, by phone and code.

        ``regular``: how many readings since which day make a regular reader.
        """

    def set_list(self, broadcast_id: int, scheme_id: int, phones: Sequence[ListedPhone]) -> None:
        """The list of a draft, in place of an older one."""

    def forms(self, broadcast_id: int) -> dict[str, int]:
        """How many phones get it in which words, by their code."""

    def example(self, broadcast_id: int, form: str) -> ListedPhone | None:
        """The phone on the list with the most plots of those that get these words."""

    def change(self, broadcast_id: int, from_: str, to: str, by: str, now: datetime) -> bool:
        """Move if it still stands there; False where somebody was faster."""

    def state(self, broadcast_id: int) -> BroadcastState | None:
        """Where it stands now."""

    def is_to_put(self, scheme_id: int) -> bool:
        """Whether there is a released broadcast of which texts are to be put."""

    def to_put(self, scheme_id: int) -> Broadcast | None:
        """A released broadcast of which texts are to be put; nobody else has it at hand."""

    def next_listed(self, broadcast_id: int, after: int, most: int) -> list[ListedPhone]:
        """The next phones of its list, by number."""

    def put(self, parcels: Sequence[NewParcel], now: datetime) -> None:
        """Put many texts; those whose key is there already are left as they are."""

    def was_put(self, broadcast_id: int, upto: int, done_at: datetime | None) -> None:
        """Note how far its texts were put."""

    def hold_texts(self, scheme_id: int, broadcast_id: int, now: datetime) -> int:
        """Hold what waits of it, for as long as it is paused."""

    def free_texts(
        self,
        scheme_id: int,
        broadcast_id: int,
        leaves: Callable[[int], datetime],
        now: datetime,
    ) -> int:
        """Let what was held for a pause wait again, for the moment of each phone (its number)."""

    def withdraw_texts(self, scheme_id: int, broadcast_id: int, now: datetime) -> int:
        """Withdraw what has not left."""

    def tests(self, scheme_id: int, broadcast_id: int) -> int:
        """How many tests of it were sent."""


class BroadcastViews(Protocol):
    """Queries of the page Broadcasts, of one scheme only."""

    def broadcasts(self, scheme_id: int, most: int) -> list[BroadcastLine]:
        """The newest first."""

    def states(self, scheme_id: int, broadcast_id: int) -> dict[str, int]:
        """How many of its texts stand where."""

    def listed(
        self, scheme_id: int, broadcast_id: int, page: int, size: int
    ) -> tuple[list[ListLine], int]:
        """One page of its list, and how many stand on all of it."""

    def replies(
        self, scheme_id: int, broadcast_id: int, within: timedelta, most: int
    ) -> tuple[list[ReplyLine], dict[str, int]]:
        """Texts from its phones after it left for them, the newest first, and all by outcome."""
