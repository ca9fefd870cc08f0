"""The pages of the dialled menu as values, and what the menu must know of a phone."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

PageKind = Literal["choices", "plots", "number", "now", "texts", "languages"]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a dialogue comes to: the words of its text, and the piece that says it back.

    ``report`` holds ``plot``, ``number``, ``language``, names of ``keyword.*`` messages, or words
    as they stand.
    """

    report: tuple[str, ...]
    seen: str


@dataclass(frozen=True, slots=True)
class Choice:
    """One numbered line: it leads to the page ``to``, or it has an outcome."""

    label: str
    to: str | None = None
    outcome: Outcome | None = None


@dataclass(frozen=True, slots=True)
class MenuPage:
    """One page.

    choices: a list of ``choices``. plots: the plots of the phone, then ``to``. number: an entry of
    at most ``at_most`` (cm or mm) for ``outcome``. now: a line for each plot. texts: ``texts``,
    one after another. languages: one to choose, then ``outcome``. Below now and texts stand their
    ``choices``.
    """

    kind: PageKind
    title: str = ""
    to: str | None = None
    choices: tuple[Choice, ...] = ()
    outcome: Outcome | None = None
    at_most: float = 0
    minus: bool = False
    texts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Menu:
    """All pages, and what holds on each: its size in septets or UCS-2 units, keys and labels.

    ``labels`` name the messages for back, more, unclear; ``ends`` those for sent, passed_on,
    unclear, no_plots.
    """

    start: str
    pages: Mapping[str, MenuPage]
    septets: int
    ucs2: int
    most_choices: int
    second_chances: int
    back_key: str
    more_key: str
    labels: Mapping[str, str]
    ends: Mapping[str, str]


def _only_its_name(plot: str) -> str:
    return plot


@dataclass(frozen=True, slots=True)
class MenuFacts:
    """What the menu must know of the phone: the codes of the plots that it reads.

    ``languages``: the names of those it may have, each in its own words. ``now``: what a plot needs
    now, in a line; asked only for the plots that a page shows.
    """

    plots: tuple[str, ...]
    languages: tuple[str, ...] = ()
    now: Callable[[str], str] = _only_its_name
