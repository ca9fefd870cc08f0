"""Advise on a plot: case, judgement, words, and the record that lets it be given again."""

from dataclasses import dataclass
from datetime import datetime

from gateway.advisory.papers import Papers
from gateway.advisory.ports import Unit
from gateway.advisory.records import PlotCase, Setting
from gateway.agronomy.advice import Advice
from gateway.agronomy.judge import judge
from gateway.messages.catalogue import Catalogue
from gateway.messages.wording import word_advice


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
) -> Given:
    """Judge a plot, word the advice, and keep it with the digests of rules and words."""
    found, advice = judge_plot(unit, papers, plot_id, as_of)
    text = word_advice(advice, catalogue)
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
    )
    return Given(advice_id, plot_id, advice, text)
