"""How a page of the dialled menu comes out on a phone: what does not fit waits behind "More"."""

from collections.abc import Callable
from typing import NamedTuple

from gateway.messages.catalogue import Catalogue
from gateway.messages.menupages import Menu, MenuFacts, MenuPage
from gateway.messages.segments import count_segments


class Listing(NamedTuple):
    """The lines that a page lists, of which each part of it shows some.

    ``numbered``: none, anew from 1 on each part, or through all parts, so that a key keeps its
    meaning. ``most`` stand on one part.
    """

    total: int
    line: Callable[[int], str]
    numbered: str
    most: int


class Shown(NamedTuple):
    """What one part of a page shows: the entries from ``first`` up to ``last``, of ``total``."""

    text: str
    first: int
    last: int
    total: int


class View(NamedTuple):
    """A page in the words of a phone."""

    menu: Menu
    page: MenuPage
    catalogue: Catalogue
    facts: MenuFacts
    plot: str


def listing_of(view: View) -> Listing:
    """What the page lists."""
    page, facts, most = view.page, view.facts, view.menu.most_choices
    if page.kind == "plots":
        return Listing(len(facts.plots), lambda at: facts.plots[at], "anew", most)
    if page.kind == "languages":
        return Listing(len(facts.languages), lambda at: facts.languages[at], "anew", most)
    if page.kind == "now":
        room = most - len(page.choices)
        return Listing(len(facts.plots), lambda at: facts.now(facts.plots[at]), "", room)
    if page.kind == "texts":
        said = [view.catalogue.say(text) for text in page.texts]
        return Listing(len(said), lambda at: said[at], "", 1)
    labels = [view.catalogue.say(choice.label) for choice in page.choices]
    return Listing(len(labels), lambda at: labels[at], "through", most)


def show_part(view: View, first: int, *, back: bool, unclear: bool) -> Shown:
    """One part of a page, from its entry ``first`` on: as many as its size and keys allow.

    That the last entry was not clear is said where there is room; the page comes again anyway.
    """
    listing = listing_of(view)
    first = first if first < listing.total else 0
    last, text = first, _written(view, listing, first, first, back)
    while last < min(listing.total, first + listing.most):
        longer = _written(view, listing, first, last + 1, back)
        if last > first and not fits_page(view.menu, longer):
            break
        last, text = last + 1, longer
    if last < listing.total and _fits_whole(view, listing, first, back):
        last, text = listing.total, _written(view, listing, first, listing.total, back)
    again = f"{view.catalogue.say(view.menu.labels['unclear'])}\n{text}"
    text = again if unclear and fits_page(view.menu, again) else text
    return Shown(text, first, last, listing.total)


def parts_of(view: View, *, back: bool) -> list[Shown]:
    """The page part by part."""
    parts = [show_part(view, 0, back=back, unclear=False)]
    while parts[-1].last < parts[-1].total:
        parts.append(show_part(view, parts[-1].last, back=True, unclear=False))
    return parts


def fits_page(menu: Menu, text: str) -> bool:
    """Whether the text fits one page in the encoding that it needs."""
    count = count_segments(text)
    return count.units <= (menu.septets if count.encoding == "gsm7" else menu.ucs2)


def _fits_whole(view: View, listing: Listing, first: int, back: bool) -> bool:
    """Whether all fit after all: the last part of a page that has no others offers no more."""
    if first or listing.total > listing.most:
        return False
    return fits_page(view.menu, _written(view, listing, first, listing.total, back))


def _written(view: View, listing: Listing, first: int, last: int, back: bool) -> str:
    menu, say = view.menu, view.catalogue.say
    lines = [say(view.page.title, plot=view.plot)] if view.page.title else []
    lines += [_line(listing, first, at) for at in range(first, last)]
    if view.page.kind in ("now", "texts"):
        lines += [f"{n} {say(one.label)}" for n, one in enumerate(view.page.choices, start=1)]
    if first or last < listing.total:
        lines.append(f"{menu.more_key} {say(menu.labels['more'])}")
    if back:
        lines.append(f"{menu.back_key} {say(menu.labels['back'])}")
    return "\n".join(lines)


def _line(listing: Listing, first: int, at: int) -> str:
    if not listing.numbered:
        return listing.line(at)
    number = at + 1 if listing.numbered == "through" else at - first + 1
    return f"{number} {listing.line(at)}"
