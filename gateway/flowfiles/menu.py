"""Reads flows/menu.yaml, the pages of the dialled menu."""

from pathlib import Path
from typing import Final

from gateway.flowfiles.menupages import read_page
from gateway.flowfiles.reader import Entry, read_file
from gateway.messages.menupages import Menu, Outcome

FILE: Final = "menu.yaml"
_NUMBERED: Final = 9


def load_menu(flows: Path) -> Menu:
    """The menu of a folder. Raises FlowError, with line and cure."""
    top = read_file(flows / FILE)
    top.keys("page", "second_chances", "keys", "labels", "ends", "start", "pages")
    sizes = top.need("page")
    sizes.keys("septets", "ucs2", "choices", "depth")
    most = sizes.need("choices").whole(1, _NUMBERED - 1)
    entries = top.need("pages").keys()
    keys = top.need("keys")
    menu = Menu(
        start=top.need("start").choice(*entries),
        pages={name: read_page(entry, tuple(entries)) for name, entry in entries.items()},
        septets=sizes.need("septets").whole(1, 182, "septets"),
        ucs2=sizes.need("ucs2").whole(1, 80, "units"),
        most_choices=most,
        second_chances=top.need("second_chances").whole(0, 9),
        back_key=_key(keys, "back", most),
        more_key=_key(keys, "more", most),
        labels=_names(top.need("labels"), ("back", "more", "unclear")),
        ends=_names(top.need("ends"), ("sent", "passed_on", "unclear", "no_plots")),
    )
    _check_keys(menu, entries)
    _check_ways(menu, entries, sizes.need("depth").whole(1, 9))
    return menu


def _key(keys: Entry, name: str, most: int) -> str:
    entry = keys.need(name)
    key = entry.text()
    if not (len(key) == 1 and (key == "0" or (key.isdigit() and int(key) > most))):
        entry.fail(f"need 0 or a digit above the {most} choices of a page, got {key!r}")
    return key


def _names(entry: Entry, needed: tuple[str, ...]) -> dict[str, str]:
    entry.keys(*needed)
    return {name: entry.need(name).text() for name in needed}


def _check_keys(menu: Menu, entries: dict[str, Entry]) -> None:
    """A list of choices counts on from part to part, and may not reach the key for more."""
    last = min(int(key) for key in (menu.more_key, menu.back_key) if key != "0") - 1
    for name, page in menu.pages.items():
        most = last if page.kind == "choices" else menu.most_choices - 1
        if len(page.choices) > most:
            listed = entries[name].need("choices")
            listed.fail(f"need at most {most} choices on this page, got {len(page.choices)}")


def _check_ways(menu: Menu, entries: dict[str, Entry], most: int) -> None:
    """Walk every way from the start; none may be longer than ``most`` pages or come back.

    Whoever reports on a plot must have been asked which.
    """
    ways: list[tuple[str, ...]] = [(menu.start,)]
    walked: set[str] = set()
    while ways:
        way = ways.pop()
        walked.add(way[-1])
        if len(way) > most or way[-1] in way[:-1]:
            entries[way[-1]].fail(f"the way {' > '.join(way)} is longer than {most} pages")
        page = menu.pages[way[-1]]
        outcomes = [page.outcome, *(choice.outcome for choice in page.choices)]
        if any(_of_a_plot(one) for one in outcomes) and not _plot_chosen(menu, way):
            entries[way[-1]].fail("a page of kind plots must come before a report on a plot")
        onward = [page.to, *(choice.to for choice in page.choices)]
        ways += [(*way, to) for to in onward if to is not None]
    for name in menu.pages.keys() - walked:
        entries[name].fail("no way leads to this page; remove it, or lead to it")


def _of_a_plot(outcome: Outcome | None) -> bool:
    return outcome is not None and "plot" in outcome.report


def _plot_chosen(menu: Menu, way: tuple[str, ...]) -> bool:
    return any(menu.pages[name].kind == "plots" for name in way)
