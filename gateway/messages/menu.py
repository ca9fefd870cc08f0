"""The dialled menu (USSD) as values: a state and an entry in, the next state and page out."""

import json
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from typing import NamedTuple

from gateway.messages.catalogue import Catalogue, Field
from gateway.messages.menupages import Menu, MenuPage, Outcome, plots_on, show_page

_NUMBER = re.compile(r"(?P<minus>-?) *(?P<whole>\d{1,3})(?:[.,](?P<part>\d))? *")
_MINUS = str.maketrans(dict.fromkeys("−–—‐‑‒", "-"))

__all__ = [
    "Menu",
    "MenuFacts",
    "MenuState",
    "Step",
    "resume",
    "state_from_text",
    "state_to_text",
    "step",
]


@dataclass(frozen=True, slots=True)
class MenuFacts:
    """What the menu must know of the phone: the codes of the plots that it reads."""

    plots: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MenuState:
    """Where a dialogue stands. ``trail`` are the pages behind, ``first`` the first plot listed."""

    page: str
    trail: tuple[str, ...] = ()
    plot: str = ""
    first: int = 0
    misses: int = 0


class Step(NamedTuple):
    """One step: the state after it, what the phone shows, whether it ends, and the text reported.

    ``report`` is a text such as ``H07 BELOW 12``, to be received as if the phone had sent it.
    """

    state: MenuState
    text: str
    end: bool
    report: str | None


def step(
    menu: Menu, state: MenuState | None, entry: str, facts: MenuFacts, catalogue: Catalogue
) -> Step:
    """Go on from ``state`` (None: the phone has just dialled) by what was entered."""
    if not facts.plots:
        words = catalogue.say(menu.ends["no_plots"])
        return Step(MenuState(menu.start), words, True, None)
    if state is None or state.page not in menu.pages or not _plot_is_theirs(state, facts):
        return _shown(menu, _begin(menu, facts), facts, catalogue)
    key = _plain(entry)
    if key == menu.back_key and state.trail:
        back = MenuState(state.trail[-1], state.trail[:-1])
        return _shown(menu, replace(back, plot=_plot_before(menu, back, state)), facts, catalogue)
    return _answered(menu, state, key, facts, catalogue)


def resume(menu: Menu, state: MenuState, facts: MenuFacts, catalogue: Catalogue) -> Step:
    """Show again where a dialogue was broken off; it begins anew where its page is no more."""
    if not facts.plots or state.page not in menu.pages or not _plot_is_theirs(state, facts):
        return step(menu, None, "", facts, catalogue)
    return _shown(menu, replace(state, misses=0), facts, catalogue)


def state_to_text(state: MenuState) -> str:
    """The state as JSON, to be kept between two steps."""
    return json.dumps(asdict(state))


def state_from_text(text: str | None) -> MenuState | None:
    """The state that was kept; None where there is none, or one of another make."""
    try:
        kept = json.loads(text or "null")
        return MenuState(**{**kept, "trail": tuple(kept["trail"])}) if kept else None
    except (ValueError, TypeError, KeyError):
        return None


def _begin(menu: Menu, facts: MenuFacts) -> MenuState:
    first = menu.pages[menu.start]
    if first.kind == "plots" and len(facts.plots) == 1 and first.to:
        return MenuState(first.to, plot=facts.plots[0])
    return MenuState(menu.start)


def _plot_is_theirs(state: MenuState, facts: MenuFacts) -> bool:
    return not state.plot or state.plot in facts.plots


def _plot_before(menu: Menu, back: MenuState, state: MenuState) -> str:
    return "" if menu.pages[back.page].kind == "plots" else state.plot


def _answered(
    menu: Menu, state: MenuState, key: str, facts: MenuFacts, catalogue: Catalogue
) -> Step:
    page = menu.pages[state.page]
    if page.kind == "number":
        number = _number(key, page)
        if number is None or page.outcome is None:
            return _unclear(menu, state, facts, catalogue)
        return _reported(menu, state, page.outcome, number, catalogue)
    if page.kind == "plots":
        return _plot_chosen(menu, state, page, key, facts, catalogue)
    choice = _chosen(key, len(page.choices))
    if choice is None:
        return _unclear(menu, state, facts, catalogue)
    chosen = page.choices[choice]
    if chosen.outcome is not None:
        return _reported(menu, state, chosen.outcome, "", catalogue)
    return _shown(menu, _onward(state, chosen.to or menu.start), facts, catalogue)


def _plot_chosen(
    menu: Menu, state: MenuState, page: MenuPage, key: str, facts: MenuFacts, catalogue: Catalogue
) -> Step:
    listed = plots_on(menu, state.page, state.first, facts.plots, catalogue)
    if key == menu.more_key and len(listed) < len(facts.plots):
        first = state.first + len(listed)
        onward = replace(state, first=first if first < len(facts.plots) else 0, misses=0)
        return _shown(menu, onward, facts, catalogue)
    choice = _chosen(key, len(listed))
    if choice is None or page.to is None:
        return _unclear(menu, state, facts, catalogue)
    return _shown(menu, replace(_onward(state, page.to), plot=listed[choice]), facts, catalogue)


def _onward(state: MenuState, to: str) -> MenuState:
    return MenuState(to, (*state.trail, state.page), state.plot)


def _shown(menu: Menu, state: MenuState, facts: MenuFacts, catalogue: Catalogue) -> Step:
    text = show_page(
        menu,
        state.page,
        catalogue,
        plot=state.plot,
        plots=facts.plots,
        first=state.first,
        back=bool(state.trail),
        unclear=bool(state.misses),
    )
    return Step(state, text, False, None)


def _unclear(menu: Menu, state: MenuState, facts: MenuFacts, catalogue: Catalogue) -> Step:
    if state.misses < menu.second_chances:
        return _shown(menu, replace(state, misses=state.misses + 1), facts, catalogue)
    words = catalogue.say(menu.ends["unclear"], plot=state.plot or facts.plots[0])
    return Step(state, words, True, None)


def _reported(
    menu: Menu, state: MenuState, outcome: Outcome, number: str, catalogue: Catalogue
) -> Step:
    fields: Mapping[str, Field] = {"cm": float(number)} if number else {}
    seen = catalogue.say(outcome.seen, **fields)
    words = catalogue.say(menu.ends["sent"], plot=state.plot, seen=seen)
    filled = {"plot": state.plot, "number": number}
    said = (filled.get(word) or _keyword(word, catalogue) for word in outcome.report)
    return Step(state, words, True, " ".join(said))


def _keyword(word: str, catalogue: Catalogue) -> str:
    return word if word.isdigit() else catalogue.say(word)


def _plain(entry: str) -> str:
    """The entry with digits of every script as 0 to 9, without blanks and marks nobody sees."""
    seen = (letter for letter in entry.translate(_MINUS) if unicodedata.category(letter) != "Cf")
    return "".join(str(unicodedata.decimal(letter, letter)) for letter in seen).strip()


def _chosen(key: str, count: int) -> int | None:
    """Which of ``count`` numbered lines was entered, from 0."""
    if not re.fullmatch(r"[1-9]\d?", key):
        return None
    return int(key) - 1 if int(key) <= count else None


def _number(key: str, page: MenuPage) -> str | None:
    found = _NUMBER.fullmatch(key)
    if found is None or (found["minus"] and not page.minus):
        return None
    text = found["whole"].lstrip("0") or "0"
    text += f".{found['part']}" if found["part"] not in (None, "0") else ""
    return text if float(text) <= page.at_most else None
