"""Report of an outlet: what its gate keeper or pump operator texts, kept and answered at once."""

from typing import Final

from gateway.advisory.act import say_notice
from gateway.advisory.ask import may_show_example
from gateway.advisory.outlets import REPORTED, OutletReport, OutletScope
from gateway.advisory.power import BY, note_power
from gateway.advisory.records import Understood
from gateway.advisory.summary import summary_of
from gateway.advisory.talk import Talk
from gateway.advisory.write import day_of
from gateway.messages.heard import Heard, Meaning, Sender
from gateway.messages.interpret import interpret
from gateway.messages.wording import word_notice

UNDONE, UNCLEAR = "outlet.undone", "outlet.unclear"
OF_EVERY_PHONE: Final = frozenset({"leave", "return"})


def report_outlet(talk: Talk, heard: Heard) -> Understood | None:
    """Take a report on an outlet that the phone keeps; None where the text is none."""
    kinds = {meaning.kind for meaning in heard.meanings}
    foreign = "other-plot" in heard.flags or not talk.plots
    if not foreign and not kinds & {*REPORTED, "wrong"}:
        return None
    scopes = talk.unit.outlets.scope_of(talk.kept.phone.id)
    if not scopes:
        return None
    told = hear_keeper(talk, scopes)
    reports = [meaning for meaning in told.meanings if meaning.kind in REPORTED]
    if reports and not told.readings:
        return _write(talk, scopes, told, reports)
    wrong = any(meaning.kind == "wrong" for meaning in told.meanings)
    return _take_back(talk, scopes) if wrong else None


def hear_keeper(talk: Talk, scopes: tuple[OutletScope, ...]) -> Heard:
    """The text once more, where outlets and the plots behind them may be named like own plots."""
    outlets = [scope.outlet for scope in scopes if scope.outlet]
    behind = [code for scope in scopes for code in scope.plots]
    language = talk.kept.phone.language
    sender = Sender(tuple(dict.fromkeys((*talk.plots, *outlets, *behind))), language)
    return interpret(talk.inbound.body, sender, talk.papers.vocabulary(language), talk.today)


def _write(
    talk: Talk, scopes: tuple[OutletScope, ...], told: Heard, reports: list[Meaning]
) -> Understood:
    """All of it or nothing: a report whose outlet is not clear is asked for again."""
    places = [_place_of(meaning, scopes) for meaning in reports]
    if any(place is None for place in places):
        say_unclear(talk, scopes)
        return Understood("ask", f"{summary_of(told)}; outlet not clear, asked to text it again")
    for meaning, place in zip(reports, places, strict=True):
        if place is not None:
            talk.unit.outlets.report(_report(talk, meaning, place), talk.now)
            named = place.plots.get(meaning.plot or "")
            note_power(talk, meaning, [named] if named else list(place.plots.values()))
    first, place = reports[0], places[0]
    head = (first.plot or place.outlet) if place else None
    text = word_notice(f"notice.{first.kind}", talk.catalogue, plot=head)
    talk.say(text, f"notice.{first.kind}")
    return Understood("accept", summary_of(told))


def _place_of(meaning: Meaning, scopes: tuple[OutletScope, ...]) -> OutletScope | None:
    """The outlet of a report: the one that it names, or that of the plot, or the only one kept."""
    named = meaning.plot or (meaning.value if isinstance(meaning.value, str) else None)
    if named is None:
        return scopes[0] if len({scope.outlet for scope in scopes}) == 1 else None
    fits = (scope for scope in scopes if _names(named, scope))
    return next(fits, None)


def _names(named: str, scope: OutletScope) -> bool:
    return named.casefold() == scope.outlet.casefold() or named in scope.plots


def _report(talk: Talk, meaning: Meaning, scope: OutletScope) -> OutletReport:
    told = meaning.value if isinstance(meaning.value, int | float) else None
    return OutletReport(
        block_id=scope.block_id,
        plot_id=scope.plots.get(meaning.plot or ""),
        phone_id=talk.kept.phone.id,
        text_id=talk.kept.id,
        kind=meaning.kind,
        hours=told if meaning.unit == "h" else None,
        on=day_of(meaning.on, talk.today),
    )


def _take_back(talk: Talk, scopes: tuple[OutletScope, ...]) -> Understood | None:
    """Wrong: takes the report of the text before this one back, where that was one."""
    last = talk.unit.texts.last_from(talk.kept.phone.id, talk.kept.id)
    back = last is not None and talk.unit.outlets.take_back(talk.kept.phone.id, last, talk.now)
    if last is None or not back:
        return None
    for _plot_id, row in talk.unit.books.rows_of_text(last):
        talk.unit.books.withdraw(row.id, BY, talk.now, talk.kept.id)
    talk.say(word_notice(UNDONE, talk.catalogue, plot=scopes[0].outlet), UNDONE)
    return Understood("accept", "takes the last report of an outlet back")


def meet_keeper(talk: Talk, heard: Heard) -> Understood | None:
    """What else a keeper writes who reads no plot: never the answer that a stranger gets."""
    kinds = {meaning.kind for meaning in heard.meanings}
    if talk.plots or kinds & OF_EVERY_PHONE:
        return None
    scopes = talk.unit.outlets.scope_of(talk.kept.phone.id)
    if not scopes:
        return None
    if kinds & {"person", "help"}:
        say_notice("notice.person")(talk, Meaning("person"))
    elif heard.outcome != "reject":
        say_unclear(talk, scopes)
    return Understood(heard.outcome, summary_of(heard))


def say_unclear(talk: Talk, scopes: tuple[OutletScope, ...]) -> None:
    """How to report, by an outlet of the phone's own; so often a day at most."""
    if may_show_example(talk):
        talk.say(word_notice(UNCLEAR, talk.catalogue, plot=scopes[0].outlet), "unclear")
