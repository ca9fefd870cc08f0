"""One text under way: who wrote, what they read, and what is said back."""

from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Final
from zoneinfo import ZoneInfo

from gateway.advisory.led import led_plots_named
from gateway.advisory.papers import Papers
from gateway.advisory.parcels import NewParcel
from gateway.advisory.ports import Unit
from gateway.advisory.records import Inbound, KeptText, PlotRead, Question
from gateway.messages.catalogue import Catalogue
from gateway.messages.heard import Candidate

NEW_PHONE: Final = "new-phone"
"""What a question is about that asks whether another phone may read a plot."""


@dataclass(slots=True)
class Talk:
    """The text, the unit of work it is answered in, and the phone's plots and open question."""

    unit: Unit
    papers: Papers
    kept: KeptText
    inbound: Inbound
    now: datetime
    plots: dict[str, PlotRead]
    question: Question | None
    said: list[str] = field(default_factory=list)
    noted: dict[str, str] = field(default_factory=dict)
    """Plot code to the notice that may answer for its advice, where nothing need be done now."""

    written: set[str] = field(default_factory=set)
    """Codes of plots of which the text told something that was written down."""

    @property
    def local(self) -> datetime:
        """When the text came, in the scheme's zone."""
        return self.inbound.received_at.astimezone(ZoneInfo(self.kept.scheme.zone))

    @property
    def today(self) -> date:
        """The day it came, in the scheme's zone."""
        return self.local.date()

    def name_of(self, code: str) -> str | None:
        """Whom a plot is read for, where the phone reads for several growers."""
        growers = {read.grower for read in self.plots.values()}
        return self.plots[code].grower if len(growers) > 1 else None

    @property
    def catalogue(self) -> Catalogue:
        """The words of the phone's language."""
        return self.papers.catalogue(self.kept.phone.language, self.kept.phone.letters)

    def say(
        self,
        text: str,
        topic: str,
        *,
        kind: str = "answer",
        plot_id: int | None = None,
        advice_id: int | None = None,
    ) -> None:
        """Put one answer to this text in the outbox. It leaves at any hour."""
        parcel = NewParcel(
            scheme_id=self.kept.scheme.id,
            phone_id=self.kept.phone.id,
            carrier=self.inbound.carrier,
            text=text,
            language=self.catalogue.language,
            kind=kind,
            not_before=self.now,
            valid_until=self.now + self.papers.customs.answer_valid,
            topic=topic,
            plot_id=plot_id,
            in_reply_to=self.kept.id,
            advice_id=advice_id,
        )
        if self.unit.outbox.put(parcel, self.now):
            self.said.append(topic)

    def ask(
        self,
        text: str,
        about: str,
        candidates: tuple[Candidate, ...],
        plot: str | None,
        level_cm: float | None,
        dry: bool,
    ) -> None:
        """Say a question and keep it open for the customary time."""
        plot_id = self.plots[plot].plot_id if plot in self.plots else None
        self.unit.questions.put(
            self.kept.phone.id,
            plot_id,
            about,
            candidates,
            self.now + self.papers.customs.question_valid,
            self.kept.id,
            level_cm,
            dry,
        )
        self.say(text, f"question.{about}", kind="question", plot_id=plot_id)


def begin_talk(unit: Unit, papers: Papers, kept: KeptText, inbound: Inbound, now: datetime) -> Talk:
    """The talk that this text opens or goes on with."""
    plots = {read.code: read for read in kept.reads} | led_plots_named(unit, kept, inbound.body)
    # What we asked about another phone is no question about the plot, and reports do not settle it.
    about_water = kept.question is not None and kept.question.about != NEW_PHONE
    question = kept.question if plots and about_water else None
    return Talk(unit, papers, kept, inbound, now, plots, question)
