"""The records that use cases and adapters hand each other. Times are aware, in UTC."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time
from typing import Any, Final, Literal

from gateway.advisory.number import Number
from gateway.agronomy.advice import Advice
from gateway.agronomy.book import Event
from gateway.agronomy.case import Case, WaterWindow
from gateway.agronomy.habit import Belief
from gateway.agronomy.plot import Plot
from gateway.agronomy.season import Season
from gateway.messages.letters import Letters

# -- what a carrier brings ------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Callback:
    """An HTTP request of a carrier, as bytes and strings; ``at`` is when it came."""

    method: str
    headers: Mapping[str, str]
    query: Mapping[str, str]
    body: bytes
    at: datetime


@dataclass(frozen=True, slots=True)
class Inbound:
    """A text from a phone, as it came. ``flaws`` names what was odd about its bytes."""

    carrier: str
    sender: Number
    body: str
    received_at: datetime
    reference: str | None = None
    carrier_time: str | None = None
    flaws: tuple[str, ...] = ()

    @property
    def key(self) -> str:
        """What makes this text one text: its reference, else a digest of sender, body and time.

        Where the carrier gives neither, the ten minutes in which it came stand for its time.
        """
        if self.reference:
            return f"ref:{self.reference}"
        moment = self.carrier_time or str(int(self.received_at.timestamp()) // 600)
        parts = "\x00".join((self.sender.reveal(), self.body, moment))
        return "sum:" + hashlib.sha256(parts.encode("utf-8", "surrogatepass")).hexdigest()


ReceiptState = Literal["delivered", "undeliverable", "expired", "underway"]


@dataclass(frozen=True, slots=True)
class Receipt:
    """A carrier's word on a text that it took. ``words`` are the operator's own, kept raw."""

    carrier: str
    reference: str
    state: ReceiptState
    words: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Dial:
    """One step of a USSD dialogue; ``entry`` is None at the first, ``gone`` when the phone left."""

    carrier: str
    session: str
    sender: Number
    entry: str | None
    at: datetime
    gone: bool = False


@dataclass(frozen=True, slots=True)
class Screen:
    """What a USSD dialogue shows next; ``end`` closes it."""

    text: str
    end: bool


@dataclass(frozen=True, slots=True)
class Handing:
    """What came of handing a text to a carrier.

    handed-over: taken, with a reference when there is one. refused: certainly not taken, and never
    will be. try-again: certainly not taken now. in-doubt: it may have been taken. link-down: the
    link itself is away, nothing was tried; ``wait_s`` is how long to leave it alone.
    """

    outcome: Literal["handed-over", "refused", "try-again", "in-doubt", "link-down"]
    reference: str | None = None
    words: str = ""
    wait_s: float | None = None


# -- people and places ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Scheme:
    """An irrigation scheme, the tenant. ``short_name`` opens each text that the office starts."""

    id: int
    code: str
    name: str
    short_name: str
    zone: str
    language: str
    region: str | None = None


@dataclass(frozen=True, slots=True)
class Phone:
    """A phone. ``known`` is False until it reads a plot or has a role; ``left`` ends pushes.

    ``letters``: the script of its language or plain ones; None where it has not chosen.
    """

    id: int
    scheme_id: int
    number: Number
    language: str
    left: bool = False
    known: bool = True
    letters: Letters | None = None


ReaderRole = Literal["reader", "lead-reader"]


@dataclass(frozen=True, slots=True)
class PlotRead:
    """One plot that a phone reads, and how: from the soil or from the rim, or not known."""

    plot_id: int
    code: str
    reads: Literal["soil", "rim"] | None = None
    rim_cm: float | None = None
    grower: str = ""


@dataclass(frozen=True, slots=True)
class Unsettled:
    """What may stand in the way of a text, nearly always nothing of it.

    ``consent``: the phone was asked whether it still wants texts. ``joining``: one of its is open.
    ``rests``: advice rests somewhere.
    """

    consent: bool = False
    joining: bool = False
    rests: bool = False


SETTLED: Final = Unsettled()


@dataclass(frozen=True, slots=True)
class KeptText:
    """An inbound text after it was written down. ``fresh`` False: it had come before.

    ``reads`` are the plots of its phone by code, ``question`` is the one open to it.
    """

    id: int
    fresh: bool
    phone: Phone
    scheme: Scheme
    reads: tuple[PlotRead, ...] = ()
    question: "Question | None" = None
    unsettled: Unsettled = SETTLED


# -- the book -------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class BookRow:
    """A row of a plot's event book. ``superseded`` rows are kept, but no longer count."""

    id: int
    event: Event
    recorded_at: datetime
    by: str
    text_id: int | None = None
    supersedes: int | None = None
    superseded: bool = False


@dataclass(frozen=True, slots=True)
class Setting:
    """What is set about a plot beside its book, as kept with each advice."""

    plot: Plot
    season: Season | None
    next_water: tuple[WaterWindow, ...] | None
    habit: Belief | None = None


@dataclass(frozen=True, slots=True)
class PlotCase:
    """A case with the keys of what it was built from. ``bars`` in the plot hold the officer's.

    ``to_carry``: there was a season before, and what it taught was not carried into this one yet.
    """

    plot_id: int
    scheme_id: int
    season_id: int | None
    case: Case
    to_carry: bool = False


@dataclass(frozen=True, slots=True)
class Question:
    """A question of ours to a phone, open until ``valid_until``. ``asked_of``: what it wrote."""

    id: int
    phone_id: int
    plot_id: int | None
    plot_code: str | None
    about: str
    candidates: tuple[float | str, ...]
    valid_until: datetime
    level_cm: float | None = None
    dry: bool = False
    asked_of: str | None = None


@dataclass(frozen=True, slots=True)
class AdviceRecord:
    """An advice as given: enough to give it again from the book, and to check that it is equal."""

    id: int
    plot_id: int
    season_id: int | None
    scheme_id: int
    as_of: datetime
    setting: Setting
    advice: Advice
    language: str
    text: str
    rules_digest: str
    words_digest: str
    text_id: int | None = None
    topic: str = ""


@dataclass(frozen=True, slots=True)
class Named:
    """What an advice called for: when it was given, its action, and the day to look it named."""

    at: datetime
    action: str
    look_on: date | None


@dataclass(frozen=True, slots=True)
class DutyRow:
    """A duty that the calendar owed: unique by season, duty, ordinal and anchor revision.

    ``sent``: a text of it has left the house; ``open``: one waits to leave.
    ``taken_back``: nobody was told of it, for its reason was gone; it may be owed anew.
    """

    id: int
    season_id: int
    duty: str
    ordinal: int
    revision: int
    anchor_on: date
    sent: bool
    open: bool = False
    taken_back: bool = False


@dataclass(frozen=True, slots=True)
class NewDuty:
    """A duty to be owed, at a revision of its anchor's day."""

    season_id: int
    duty: str
    ordinal: int
    revision: int
    anchor_on: date


@dataclass(frozen=True, slots=True)
class OfficeUser:
    """Somebody who may sign in. Roles: officer, supervisor, administrator."""

    id: int
    scheme_id: int
    name: str
    role: Literal["officer", "supervisor", "administrator"]
    active: bool = True


@dataclass(frozen=True, slots=True)
class NitrogenSplit:
    """One split of a plan: days after establishment, and kg of nitrogen per hectare.

    ``plan_kg`` is the weight of the product set aside for one plot, kg; None where none is.
    """

    from_day: int
    to_day: int
    kg_n_ha: float
    plan_kg: float | None = None


@dataclass(frozen=True, slots=True)
class NitrogenPlan:
    """The locally approved plan: product with its analysis (% N), who approved it, when, on what.

    The dose of product is kg_n_ha / (n_percent / 100) x area: arithmetic, never invention.
    """

    name: str
    product: str
    n_percent: float
    approved_by: str
    approved_on: date
    source: str
    splits: tuple[NitrogenSplit, ...]


@dataclass(frozen=True, slots=True)
class QuietHours:
    """The hours of the scheme's zone in which the office starts no text."""

    from_: time
    to: time


@dataclass(frozen=True, slots=True)
class Understood:
    """What is noted beside a text in: outcome, a line for people, and the meaning as plain data."""

    outcome: str
    summary: str
    data: Mapping[str, Any] = field(default_factory=dict)
    failure: str | None = None
