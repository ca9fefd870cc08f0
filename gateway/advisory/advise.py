"""Advise on a plot: case, judgement, words, and the record that lets it be given again."""

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from gateway.advisory.carry import carry_over
from gateway.advisory.papers import Papers
from gateway.advisory.ports import Unit
from gateway.advisory.records import PlotCase, Setting
from gateway.agronomy.advice import Advice
from gateway.agronomy.judge import Judged, judge, judge_and_learn
from gateway.agronomy.rules import RuleBook
from gateway.messages.catalogue import Catalogue
from gateway.messages.segments import count_segments
from gateway.messages.wording import word_advice, word_notice

# With these there is nothing to do now: a report may be answered by "written down".
CALM: Final = frozenset({"none", "keep-moist", "keep-flooded", "wait"})


@dataclass(frozen=True, slots=True)
class Given:
    """Advice that was kept, in the words it is sent in.

    ``text`` may name whom the plot belongs to; what is kept names nobody, so that it can be given
    again also when that person is erased.
    """

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
    name: str | None = None,
) -> Given:
    """Judge a plot, word the advice, and keep it with the digests of rules and words.

    ``noted`` is a notice that may stand for the advice where there is nothing to do now. ``name``:
    whom the plot belongs to, where the phone reads for several.
    """
    found = carry_over(unit, papers, unit.books.case(plot_id, as_of), as_of)
    judged = judge_and_learn(found.case, papers.rules)
    keep_learned(unit, found, judged)
    advice = judged.advice
    topic = noted if advice.action in CALM else ""
    text = word_given(advice, catalogue, papers.rules, topic)
    advice_id = unit.advices.keep(
        plot_id,
        found.season_id,
        found.scheme_id,
        as_of,
        Setting(found.case.plot, found.case.season, found.case.next_water, found.case.habit),
        advice,
        catalogue.language,
        text,
        papers.rules.digest,
        catalogue.digest,
        text_id,
        topic,
    )
    said = word_given(advice, catalogue, papers.rules, topic, name) if name else text
    return Given(advice_id, plot_id, advice, said)


def keep_learned(unit: Unit, found: PlotCase, judged: Judged) -> None:
    """Keep what the finished dry-downs taught, where it is not what was kept before."""
    if judged.posterior is not None and judged.posterior != found.case.kept:
        assert found.season_id is not None, "dry-downs belong to a season"
        unit.books.keep_posterior(found.season_id, found.case.habit, judged.posterior)


def word_given(
    advice: Advice, catalogue: Catalogue, rules: RuleBook, topic: str, name: str | None = None
) -> str:
    """The advice in words, or the notice ``topic`` with the days and levels of the advice.

    ``name`` stands behind the plot, unless it would cost a segment more.
    """
    if not topic:
        return word_advice(advice, catalogue, name)
    plain = _word_noted(advice, catalogue, rules, topic, advice.plot)
    if not name:
        return plain
    named = _word_noted(advice, catalogue, rules, topic, f"{advice.plot} {name}")
    fits = count_segments(named).segments <= count_segments(plain).segments
    return named if fits else plain


def _word_noted(
    advice: Advice, catalogue: Catalogue, rules: RuleBook, topic: str, head: str
) -> str:
    return word_notice(
        topic,
        catalogue,
        head=head,
        plot=advice.plot,
        look=advice.next_reading_on,
        to=rules.practice.water.flood_to_cm,
        until=advice.detail.keep_until,
        free=advice.detail.not_before,
    )
