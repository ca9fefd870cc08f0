"""Advise on a plot: case, judgement, words, and the record that lets it be given again."""

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from gateway.advisory.papers import Papers
from gateway.advisory.ports import Unit
from gateway.advisory.records import PlotCase, Setting
from gateway.agronomy.advice import Advice
from gateway.agronomy.judge import judge
from gateway.agronomy.rules import RuleBook
from gateway.messages.catalogue import Catalogue
from gateway.messages.wording import word_advice, word_notice

# With these there is nothing to do now: a report may be answered by "written down".
CALM: Final = frozenset({"none", "keep-moist", "keep-flooded", "wait"})


@dataclass(frozen=True, slots=True)
class Given:
    """Advice that was kept, in the words it is sent in."""

    advice_id: int
    plot_id: int
    advice: Advice
    text: str


def judge_plot(
    unit: Unit, papers: Papers, plot_id: int, as_of: datetime
) -> tuple[PlotCase, Advice]:
    """The advice for a plot as of an instant, from all that is known now."""
    found = unit.books.case(plot_id, as_of)
    return found, judge(found.case, papers.rules)


def advise_plot(
    unit: Unit,
    papers: Papers,
    plot_id: int,
    as_of: datetime,
    catalogue: Catalogue,
    text_id: int | None,
    noted: str = "",
) -> Given:
    """Judge a plot, word the advice, and keep it with the digests of rules and words.

    ``noted`` is a notice that may stand for the advice where there is nothing to do now.
    """
    found, advice = judge_plot(unit, papers, plot_id, as_of)
    topic = noted if advice.action in CALM else ""
    text = word_given(advice, catalogue, papers.rules, topic)
    advice_id = unit.advices.keep(
        plot_id,
        found.season_id,
        found.scheme_id,
        as_of,
        Setting(found.case.plot, found.case.season, found.case.next_water),
        advice,
        catalogue.language,
        text,
        papers.rules.digest,
        catalogue.digest,
        text_id,
        topic,
    )
    return Given(advice_id, plot_id, advice, text)


def word_given(advice: Advice, catalogue: Catalogue, rules: RuleBook, topic: str) -> str:
    """The advice in words, or the notice ``topic`` with the days and levels of the advice."""
    if not topic:
        return word_advice(advice, catalogue)
    return word_notice(
        topic,
        catalogue,
        plot=advice.plot,
        look=advice.next_reading_on,
        to=rules.practice.water.flood_to_cm,
        until=advice.detail.keep_until,
        free=advice.detail.not_before,
    )
