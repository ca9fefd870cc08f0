"""The dialled menu (USSD) as values: a state and an entry in, the next state and page out."""

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from typing import NamedTuple

from gateway.messages.catalogue import Catalogue, Field
from gateway.messages.menuentry import chosen_key, entered_number, plain_key
from gateway.messages.menupages import Choice, Menu, MenuFacts, MenuPage, Outcome
from gateway.messages.menushow import Shown, View, parts_of, show_part

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
class MenuState:
    """Where a dialogue stands. ``trail`` are the pages behind, ``first`` the first entry listed."""

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


class _Dialled(NamedTuple):
    """A dialogue at one page: all that an entry is read by."""

    menu: Menu
    state: MenuState
    facts: MenuFacts
    catalogue: Catalogue

    @property
    def page(self) -> MenuPage:
        return self.menu.pages[self.state.page]

    @property
    def view(self) -> View:
        return View(self.menu, self.page, self.catalogue, self.facts, self.state.plot)

    @property
    def has_back(self) -> bool:
        return bool(self.state.trail) or self.state.first > 0

    def part(self) -> Shown:
        return show_part(
            self.view, self.state.first, back=self.has_back, unclear=bool(self.state.misses)
        )

    def at(self, state: MenuState) -> "_Dialled":
        return self._replace(state=state)

    def show(self) -> Step:
        return Step(self.state, self.part().text, False, None)


def step(
    menu: Menu, state: MenuState | None, entry: str, facts: MenuFacts, catalogue: Catalogue
) -> Step:
    """Go on from ``state`` (None: the phone has just dialled) by what was entered."""
    if not facts.plots:
        words = catalogue.say(menu.ends["no_plots"])
        return Step(MenuState(menu.start), words, True, None)
    if state is None or not _holds(menu, state, facts):
        begun = _Dialled(menu, MenuState(menu.start), facts, catalogue)
        return _onward(begun, menu.start, ()).show()
    dialled = _Dialled(menu, state, facts, catalogue)
    key = plain_key(entry)
    if key == menu.back_key and dialled.has_back:
        return _back(dialled).show()
    return _answered(dialled, key)


def resume(menu: Menu, state: MenuState, facts: MenuFacts, catalogue: Catalogue) -> Step:
    """Show again where a dialogue was broken off; it begins anew where its page is no more."""
    if not facts.plots or not _holds(menu, state, facts):
        return step(menu, None, "", facts, catalogue)
    return _Dialled(menu, replace(state, misses=0), facts, catalogue).show()


def state_to_text(state: MenuState, begun: str = "") -> str:
    """The state as JSON, to be kept between two steps; ``begun`` says when the dialogue began."""
    return json.dumps({**asdict(state), "begun": begun})


def state_from_text(text: str | None) -> tuple[MenuState | None, str]:
    """The state that was kept, and when it began; None where there is none, or of another make."""
    try:
        kept = json.loads(text or "null")
        if not kept:
            return None, ""
        begun = str(kept.pop("begun", ""))
        return MenuState(**{**kept, "trail": tuple(kept["trail"])}), begun
    except (ValueError, TypeError, KeyError, AttributeError):
        return None, ""


def _holds(menu: Menu, state: MenuState, facts: MenuFacts) -> bool:
    """Whether the pages are still there, and the plot is still the phone's."""
    there = all(page in menu.pages for page in (state.page, *state.trail))
    return there and (not state.plot or state.plot in facts.plots)


# -- ways from page to page -----------------------------------------------------------------------


def _onward(dialled: _Dialled, to: str, trail: tuple[str, ...]) -> _Dialled:
    """On to a page; one that asks which plot is passed over where there is only one."""
    page, plots = dialled.menu.pages[to], dialled.facts.plots
    state = MenuState(to, trail, dialled.state.plot)
    if page.kind == "plots" and len(plots) == 1 and page.to:
        state = MenuState(page.to, trail, plots[0])
    return dialled.at(state)


def _back(dialled: _Dialled) -> _Dialled:
    """The part before of the same page, else the page before."""
    state = dialled.state
    if state.first:
        starts = [part.first for part in parts_of(dialled.view, back=bool(state.trail))]
        before = max((first for first in starts if first < state.first), default=0)
        return dialled.at(replace(state, first=before, misses=0))
    page = state.trail[-1]
    # Whoever goes back to before a plot was chosen has none.
    kinds = [dialled.menu.pages[one].kind for one in state.trail[:-1]]
    several = len(dialled.facts.plots) > 1
    plot = state.plot if not several or "plots" in kinds else ""
    return dialled.at(MenuState(page, state.trail[:-1], plot))


def _more(dialled: _Dialled, part: Shown) -> _Dialled:
    """The next part of a page, after the last the first again."""
    first = part.last if part.last < part.total else 0
    return dialled.at(replace(dialled.state, first=first, misses=0))


# -- what an entry does ---------------------------------------------------------------------------


def _answered(dialled: _Dialled, key: str) -> Step:
    page = dialled.page
    if page.kind == "number":
        number = entered_number(key, page)
        if number is None or page.outcome is None:
            return _unclear(dialled)
        return _reported(dialled, page.outcome, number=number)
    part = dialled.part()
    if key == dialled.menu.more_key and (part.first or part.last < part.total):
        return _more(dialled, part).show()
    if page.kind in ("plots", "languages"):
        return _listed_chosen(dialled, part, key)
    shown = range(part.first, part.last) if page.kind == "choices" else range(len(page.choices))
    at = chosen_key(key, shown)
    return _unclear(dialled) if at is None else _taken(dialled, page.choices[at])


def _taken(dialled: _Dialled, choice: Choice) -> Step:
    if choice.outcome is not None:
        return _reported(dialled, choice.outcome)
    trail = (*dialled.state.trail, dialled.state.page)
    return _onward(dialled, choice.to or dialled.menu.start, trail).show()


def _listed_chosen(dialled: _Dialled, part: Shown, key: str) -> Step:
    """A plot or a language, numbered anew on each part of its page."""
    page, state = dialled.page, dialled.state
    at = chosen_key(key, range(part.last - part.first))
    if at is None:
        return _unclear(dialled)
    if page.outcome is not None:
        return _reported(dialled, page.outcome, language=dialled.facts.languages[part.first + at])
    plot = dialled.facts.plots[part.first + at]
    to = MenuState(page.to or dialled.menu.start, (*state.trail, state.page), plot)
    return dialled.at(to).show()


def _unclear(dialled: _Dialled) -> Step:
    state, menu = dialled.state, dialled.menu
    if state.misses < menu.second_chances:
        return dialled.at(replace(state, misses=state.misses + 1)).show()
    plot = state.plot or dialled.facts.plots[0]
    return Step(state, dialled.catalogue.say(menu.ends["unclear"], plot=plot), True, None)


def _reported(dialled: _Dialled, outcome: Outcome, *, number: str = "", language: str = "") -> Step:
    say, state, ends = dialled.catalogue.say, dialled.state, dialled.menu.ends
    fields: Mapping[str, Field] = {"cm": float(number), "mm": float(number)} if number else {}
    if "plot" in outcome.report:
        seen = say(outcome.seen, **fields)
        words = say(ends["sent"], plot=state.plot, seen=seen)
    else:
        words = say(ends["passed_on"])
    filled = {"plot": state.plot, "number": number, "language": language}
    said = (filled.get(word) or _keyword(word, dialled.catalogue) for word in outcome.report)
    return Step(state, words, True, " ".join(said))


def _keyword(word: str, catalogue: Catalogue) -> str:
    return catalogue.say(word) if word.startswith("keyword.") else word
