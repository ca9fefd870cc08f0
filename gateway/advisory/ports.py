"""What the use cases need of the world, as protocols. Adapters above fulfil them."""

from collections.abc import Iterator, Mapping
from contextlib import AbstractContextManager
from datetime import date, datetime, timedelta
from typing import Any, Protocol

from gateway.advisory.number import Number
from gateway.advisory.parcels import NewParcel, Parcel, State
from gateway.advisory.records import (
    AdviceRecord,
    BookRow,
    Callback,
    Dial,
    DutyRow,
    Handing,
    Inbound,
    KeptText,
    NitrogenPlan,
    OfficeUser,
    Phone,
    PlotCase,
    PlotRead,
    Question,
    Receipt,
    Scheme,
    Screen,
    Setting,
    Understood,
)
from gateway.agronomy.advice import Advice
from gateway.agronomy.book import Event
from gateway.agronomy.case import Case, WaterWindow, WeatherDay
from gateway.agronomy.plot import Plot
from gateway.agronomy.season import Season


class Clock(Protocol):
    """The one source of the present moment, so that rehearsal and tests can move it."""

    def now(self) -> datetime:
        """The present moment, aware, in UTC."""


class Carrier(Protocol):
    """A link to an operator, outbound. It never raises for what the operator does."""

    name: str

    def send(self, parcel: Parcel) -> Handing:
        """Hand one text over and say what came of it."""


class Listener(Protocol):
    """A link to an operator, inbound: bytes in, records out.

    Each raises Unproven where the caller did not prove who they are, Unreadable where the bytes do
    not hold what the profile says.
    """

    name: str

    def text(self, callback: Callback) -> Inbound:
        """An inbound text."""

    def receipt(self, callback: Callback) -> Receipt:
        """A delivery receipt."""

    def dial(self, callback: Callback) -> Dial:
        """A step of a USSD dialogue."""

    def reply(self, screen: Screen | None = None) -> tuple[str, str]:
        """What to give back on success: content type and body."""


class Schemes(Protocol):
    """Schemes and what the office enrols in them."""

    def add(
        self,
        code: str,
        name: str,
        short_name: str,
        zone: str,
        language: str,
        region: str | None = None,
    ) -> Scheme: ...
    def by_code(self, code: str) -> Scheme: ...
    def all(self) -> list[Scheme]: ...
    def add_block(
        self, scheme_id: int, name: str, outlet: str, outlet_lps: float | None
    ) -> int: ...
    def add_plot(self, scheme_id: int, block_id: int, plot: Plot, village: str = "") -> int: ...
    def add_grower(self, scheme_id: int, name: str) -> int: ...
    def assign_grower(self, plot_id: int, grower_id: int) -> None: ...
    def add_plan(self, scheme_id: int, plan: NitrogenPlan) -> int: ...
    def add_season(
        self, plot_id: int, season: Season, variety: str = "", plan_id: int | None = None
    ) -> int:
        """A season of a plot. With a plan, its splits are dated from the plan, not the season."""

    def add_weather(
        self, scheme_id: int, days: list[WeatherDay], source: str, recorded_at: datetime
    ) -> int: ...
    def add_water(self, block_id: int, windows: list[WaterWindow]) -> None:
        """The turns now known to come for a block; replaces those it knew. Empty: none known."""

    def plot_id(self, scheme_id: int, code: str) -> int: ...


class People(Protocol):
    """Phones and who may do what with them. A phone is found by its keyed index alone."""

    def phone_of(self, scheme_id: int, number: Number, now: datetime) -> Phone:
        """The phone of that number; a new, unknown one is put on record."""

    def phone(self, phone_id: int) -> Phone: ...
    def enrol_reader(
        self,
        phone_id: int,
        plot_id: int,
        grower_id: int,
        language: str,
        reads: str | None,
        now: datetime,
    ) -> None: ...
    def plots_of(self, phone_id: int) -> list[PlotRead]:
        """The plots it reads, by code."""

    def readers_of(self, plot_id: int) -> list[Phone]: ...
    def set_left(self, phone_id: int, left: bool, now: datetime) -> None: ...


class Texts(Protocol):
    """Texts in, written down before they are understood."""

    def keep(self, scheme_id: int, inbound: Inbound, now: datetime) -> KeptText:
        """Write the text; where its carrier and key are there already, that row, not fresh."""

    def settle(self, text_id: int, understood: Understood) -> None: ...
    def keep_unreadable(self, carrier: str, raw: bytes, cause: str, now: datetime) -> int:
        """Keep the bytes of a callback that could not be read, as ciphertext."""

    def last_from(self, phone_id: int, before_id: int) -> int | None:
        """The text of this phone before that one."""


class Books(Protocol):
    """Event books, weather and the cases built from them, as known at any instant."""

    def append(
        self,
        plot_id: int,
        event: Event,
        by: str,
        recorded_at: datetime,
        text_id: int | None = None,
        supersedes: int | None = None,
    ) -> int: ...
    def withdraw(self, row_id: int, by: str, recorded_at: datetime, text_id: int | None) -> None:
        """Append a row that supersedes ``row_id`` and states nothing in its place."""

    def rows(self, plot_id: int, known_at: datetime | None = None) -> list[BookRow]: ...
    def rows_of_text(self, text_id: int) -> list[tuple[int, BookRow]]:
        """Plot id and row of each live event that a text brought."""

    def case(self, plot_id: int, as_of: datetime) -> PlotCase:
        """The case now set and known; ``as_of`` becomes a day in the scheme's zone."""

    def case_again(self, plot_id: int, setting: Setting, as_of: datetime) -> Case:
        """The case as it was known at ``as_of``, from the book and the weather's recorded_at."""

    def active_cases(self, scheme_id: int, as_of: datetime) -> Iterator[PlotCase]:
        """Every plot with a season that is not harvested."""


class Questions(Protocol):
    """Questions of ours that wait for an answer: one a phone, the newest."""

    def open(self, phone_id: int, now: datetime) -> Question | None: ...
    def put(
        self,
        phone_id: int,
        plot_id: int | None,
        about: str,
        candidates: tuple[float | str, ...],
        valid_until: datetime,
        text_id: int | None,
        level_cm: float | None = None,
        dry: bool = False,
    ) -> int:
        """Ask; an older open question of the phone is closed."""

    def close(self, question_id: int, how: str, now: datetime) -> None: ...


class Advices(Protocol):
    """Advice given, with the papers (rules, words) that made it."""

    def keep(
        self,
        plot_id: int,
        season_id: int | None,
        scheme_id: int,
        as_of: datetime,
        setting: Setting,
        advice: Advice,
        language: str,
        text: str,
        rules_digest: str,
        words_digest: str,
        text_id: int | None = None,
        topic: str = "",
    ) -> int: ...
    def get(self, advice_id: int) -> AdviceRecord: ...
    def latest(self, plot_id: int) -> AdviceRecord | None: ...
    def keep_paper(self, digest: str, files: Mapping[str, str]) -> None:
        """Keep the text of rules or catalogue under its digest, once."""

    def paper(self, digest: str) -> Mapping[str, str]: ...


class Outbox(Protocol):
    """Texts on their way out. Every change of state goes through the transition table."""

    def put(self, parcel: NewParcel, now: datetime) -> int | None:
        """Put a text; None where its key is there already."""

    def get(self, parcel_id: int) -> Parcel: ...
    def claim(self, carrier: str, now: datetime, lease: timedelta, limit: int) -> list[Parcel]:
        """Waiting texts that are due, answers and crop safety first, now claimed under a lease."""

    def move(
        self,
        parcel_id: int,
        from_: State,
        to: State,
        now: datetime,
        *,
        not_before: datetime | None = None,
        reference: str | None = None,
        words: str = "",
        count_attempt: bool = False,
    ) -> bool:
        """Move if it still stands at ``from_``; False where somebody was faster.

        Raises ForbiddenMove where the table has no such way.
        """

    def lapsed(self, now: datetime) -> list[Parcel]:
        """Claimed texts whose lease has ended."""

    def stale(self, now: datetime) -> list[Parcel]:
        """Waiting or held texts whose validity has ended."""

    def held(self, now: datetime) -> list[Parcel]:
        """Held texts whose not_before has come."""

    def replies(self, text_id: int) -> list[Parcel]: ...
    def of_duty(self, duty_id: int) -> list[Parcel]: ...
    def unsettled(self, carrier: str, older_than: datetime) -> list[Parcel]:
        """Handed over or in doubt, past their validity, with no receipt."""

    def notices(
        self, scheme_id: int, topic: str, since: datetime, phone_id: int | None = None
    ) -> int:
        """How many texts of a topic were put since then, in all or to one phone."""


class Receipts(Protocol):
    """Receipts, also those that came before the answer that they belong to."""

    def keep(self, receipt: Receipt) -> Parcel | None:
        """Write it; the text that it belongs to, or None (it is parked)."""

    def parked(self, carrier: str, reference: str) -> list[Receipt]:
        """Receipts of that reference that no text has claimed yet; they are claimed by this."""


class Duties(Protocol):
    """What the calendar owed."""

    def last(self, season_id: int, duty: str, ordinal: int) -> DutyRow | None: ...
    def owe(
        self,
        scheme_id: int,
        season_id: int,
        duty: str,
        ordinal: int,
        revision: int,
        anchor_on: date,
        now: datetime,
    ) -> int | None:
        """Owe it; None where it is owed already (by any process)."""


class Dialogues(Protocol):
    """USSD dialogues under way: their state as JSON, kept between the steps."""

    def state(self, phone_id: int, carrier: str, session: str, now: datetime) -> str | None:
        """The state of that session; None for a new one, or one that is past its time."""

    def left_off(self, phone_id: int, since: datetime) -> str | None:
        """The newest state of the phone that was not ended and stood still since then or later."""

    def put(
        self, phone_id: int, carrier: str, session: str, state: str, ended: bool, now: datetime
    ) -> None: ...


class Office(Protocol):
    """Office users and what they did."""

    def add_user(
        self, scheme_id: int, name: str, role: str, password: str, now: datetime
    ) -> OfficeUser: ...
    def check(self, name: str, password: str) -> OfficeUser | None: ...
    def user(self, user_id: int) -> OfficeUser | None: ...
    def audit(
        self, scheme_id: int | None, who: str, what: str, on: Mapping[str, Any], now: datetime
    ) -> None: ...


class Unit(Protocol):
    """One unit of work. Leaving it without ``commit`` means that nothing happened."""

    @property
    def schemes(self) -> Schemes: ...
    @property
    def people(self) -> People: ...
    @property
    def texts(self) -> Texts: ...
    @property
    def books(self) -> Books: ...
    @property
    def questions(self) -> Questions: ...
    @property
    def advices(self) -> Advices: ...
    @property
    def outbox(self) -> Outbox: ...
    @property
    def receipts(self) -> Receipts: ...
    @property
    def duties(self) -> Duties: ...
    @property
    def dialogues(self) -> Dialogues: ...
    @property
    def office(self) -> Office: ...
    def commit(self) -> None: ...
    def savepoint(self) -> AbstractContextManager[object]:
        """What fails inside is undone alone; the error goes on to the caller."""


class Store(Protocol):
    """Where everything is kept. ``begin`` raises StoreDown where the database does not answer."""

    def begin(self, write: bool = True) -> AbstractContextManager[Unit]: ...
