"""What a unit of work keeps of places, people, texts, books and advice, as protocols."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import Protocol

from gateway.advisory.number import Number
from gateway.advisory.records import (
    AdviceRecord,
    BookRow,
    Inbound,
    KeptText,
    Named,
    NitrogenPlan,
    Phone,
    PlotCase,
    PlotRead,
    ReaderRole,
    Scheme,
    Setting,
    Understood,
)
from gateway.agronomy.advice import Advice
from gateway.agronomy.book import Event
from gateway.agronomy.case import Case, WaterWindow, WeatherDay
from gateway.agronomy.habit import Belief, Posterior
from gateway.agronomy.plot import Plot, WaterSource
from gateway.agronomy.season import Season
from gateway.messages.letters import Letters


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
    def add_water(
        self, block_id: int, windows: list[WaterWindow], source: WaterSource = "gravity-turn"
    ) -> None:
        """The turns, or the power hours of a kind of pump, now known to come for a block.

        They replace those it knew. Empty: none known.
        """

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
        role: ReaderRole | None = None,
    ) -> None: ...
    def set_letters(self, phone_id: int, letters: Letters) -> None:
        """Note the letters that a phone gets its texts in."""

    def set_language(self, phone_id: int, language: str) -> None:
        """Note the language that a phone gets its texts in."""

    def led_by(self, phone_id: int) -> dict[int, int]:
        """The plots of the blocks that it leads, each with its block."""

    def led_plots(self, phone_id: int) -> list[PlotRead]:
        """The plots of the blocks that it leads, by code."""

    def leaders_of(self, plot_id: int) -> list[Phone]:
        """The lead readers of the block in which a plot lies, also those that left."""

    def plots_of(self, phone_id: int) -> list[PlotRead]:
        """The plots it reads, by code."""

    def readers_of(self, plot_id: int) -> list[Phone]: ...
    def readers_of_plots(self, plot_ids: Sequence[int]) -> Mapping[int, list[Phone]]:
        """The phones that read each of those plots, also those that left."""

    def leads_of_plots(self, plot_ids: Sequence[int]) -> Mapping[int, list[Phone]]:
        """The lead readers of the block of each of those plots, by plot."""

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

    def taken_back_by(self, text_id: int) -> list[int]:
        """The plots of which a text took something back."""

    def case(self, plot_id: int, as_of: datetime) -> PlotCase:
        """The case now set and known; ``as_of`` becomes a day in the scheme's zone."""

    def case_before(self, plot_id: int, as_of: datetime) -> Case | None:
        """The case of the season before the present one, at its end; None where none was told."""

    def keep_posterior(
        self, season_id: int, habit: Belief | None, posterior: Posterior | None
    ) -> None:
        """Keep what earlier seasons taught a season's plot, and what it taught itself so far."""

    def case_again(self, plot_id: int, setting: Setting, as_of: datetime) -> Case:
        """The case as it was known at ``as_of``, from the book and the weather's recorded_at."""

    def cases(self, plot_ids: Sequence[int], as_of: datetime) -> list[PlotCase]:
        """The cases of those plots, the harvested ones too."""

    def active_cases(self, scheme_id: int, as_of: datetime) -> Iterator[PlotCase]:
        """Every plot with a season that is not harvested."""


class Questions(Protocol):
    """Questions of ours that wait for an answer: one a phone, the newest. A text kept brings it."""

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
    def looks_named(self, plot_ids: Sequence[int], most: int) -> Mapping[int, list[Named]]:
        """What each plot's latest advices called for, the newest first."""

    def keep_paper(self, digest: str, files: Mapping[str, str]) -> None:
        """Keep the text of rules or catalogue under its digest, once."""

    def paper(self, digest: str) -> Mapping[str, str]: ...
