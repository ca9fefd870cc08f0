"""The shape of what a plot's page is made from."""

from collections.abc import Sequence
from datetime import date
from typing import Protocol

from gateway.advisory.records import BookRow
from gateway.advisory.views import LogLine
from gateway.agronomy.advice import Advice, Band, DateBand, Stage
from gateway.agronomy.case import Case


class StageCalendar(Protocol):
    """A season's calendar, as far as pictures need it."""

    def stage_on(self, day: date) -> Stage:
        """The stage of the crop on that day."""


class LevelEstimate(Protocol):
    """Where the water is thought to be, and when it will be at the threshold."""

    @property
    def level_cm(self) -> Band | None: ...
    @property
    def threshold_on(self) -> DateBand: ...


class PlotPage(Protocol):
    """One plot with its season, judged today. ``readers`` are masked phones; levels signed cm."""

    @property
    def code(self) -> str: ...
    @property
    def block(self) -> str: ...
    @property
    def grower(self) -> str: ...
    @property
    def readers(self) -> Sequence[str]: ...
    @property
    def today(self) -> date: ...
    @property
    def zone(self) -> str: ...
    @property
    def case(self) -> Case: ...
    @property
    def calendar(self) -> StageCalendar | None: ...
    @property
    def estimate(self) -> LevelEstimate | None: ...
    @property
    def advice(self) -> Advice: ...
    @property
    def advice_text(self) -> str: ...
    @property
    def rows(self) -> Sequence[BookRow]: ...
    @property
    def log(self) -> Sequence[LogLine]: ...
    @property
    def threshold_cm(self) -> float: ...
    @property
    def tube_bottom_cm(self) -> float: ...
