"""The pages of the dialled menu, and how each comes out on a phone."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from gateway.messages.catalogue import Catalogue
from gateway.messages.segments import count_segments

PageKind = Literal["plots", "choices", "number"]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a dialogue comes to: the words of its text, and the piece that says it back.

    ``report`` holds ``plot``, ``number``, names of ``keyword.*`` messages, or digits.
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
    """One page. plots: ``to``; choices: ``choices``; number: ``outcome``, ``at_most`` (cm)."""

    kind: PageKind
    title: str
    to: str | None = None
    choices: tuple[Choice, ...] = ()
    outcome: Outcome | None = None
    at_most: float = 0
    minus: bool = False


@dataclass(frozen=True, slots=True)
class Menu:
    """All pages, and what holds on each: its size in septets or UCS-2 units, keys and labels.

    ``labels`` name the messages for back, more, unclear; ``ends`` those for sent, unclear,
    no_plots.
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


def show_page(
    menu: Menu,
    name: str,
    catalogue: Catalogue,
    *,
    plot: str,
    plots: Sequence[str],
    first: int,
    back: bool,
    unclear: bool,
) -> str:
    """The page as the phone shows it, line by line."""
    page = menu.pages[name]
    lines = [catalogue.say(page.title, plot=plot)]
    if page.kind == "plots":
        lines += _plot_lines(menu, name, first, plots, catalogue)
    lines += _numbered(catalogue.say(choice.label) for choice in page.choices)
    if back:
        lines.append(f"{menu.back_key} {catalogue.say(menu.labels['back'])}")
    if unclear:
        lines.insert(0, catalogue.say(menu.labels["unclear"]))
    return "\n".join(lines)


def plots_on(
    menu: Menu, name: str, first: int, plots: Sequence[str], catalogue: Catalogue
) -> list[str]:
    """The plots that one page lists from the ``first`` on: as many as its size and keys allow."""
    head = [catalogue.say(menu.labels["unclear"]), catalogue.say(menu.pages[name].title)]
    tail = [f"{menu.back_key} {catalogue.say(menu.labels['back'])}", _more(menu, catalogue)]
    listed: list[str] = []
    for code in plots[first : first + menu.most_choices]:
        lines = [*head, *_numbered([*listed, code]), *tail]
        if listed and not fits_page(menu, "\n".join(lines)):
            break
        listed.append(code)
    return listed


def fits_page(menu: Menu, text: str) -> bool:
    """Whether the text fits one page in the encoding that it needs."""
    count = count_segments(text)
    return count.units <= (menu.septets if count.encoding == "gsm7" else menu.ucs2)


def _plot_lines(
    menu: Menu, name: str, first: int, plots: Sequence[str], catalogue: Catalogue
) -> list[str]:
    listed = plots_on(menu, name, first, plots, catalogue)
    more = [_more(menu, catalogue)] if len(listed) < len(plots) else []
    return [*_numbered(listed), *more]


def _more(menu: Menu, catalogue: Catalogue) -> str:
    return f"{menu.more_key} {catalogue.say(menu.labels['more'])}"


def _numbered(labels: Iterator[str] | Sequence[str]) -> list[str]:
    return [f"{number} {label}" for number, label in enumerate(labels, start=1)]
