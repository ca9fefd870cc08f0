"""Reads flows/menu.yaml, the pages of the dialled menu."""

from collections.abc import Mapping
from pathlib import Path

from gateway.flowfiles.reader import Entry, FlowError, read_file
from gateway.messages.catalogue import Catalogue
from gateway.messages.menupages import Choice, Menu, MenuPage, Outcome, fits_page, show_page
from gateway.messages.worst import CODE

FILE = "menu.yaml"
_KINDS = ("plots", "choices", "number")
_NUMBERED = 9


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
        pages={name: _page(entry, tuple(entries), most) for name, entry in entries.items()},
        septets=sizes.need("septets").whole(1, 182, "septets"),
        ucs2=sizes.need("ucs2").whole(1, 80, "units"),
        most_choices=most,
        second_chances=top.need("second_chances").whole(0, 9),
        back_key=_key(keys, "back", most),
        more_key=_key(keys, "more", most),
        labels=_names(top.need("labels"), ("back", "more", "unclear")),
        ends=_names(top.need("ends"), ("sent", "unclear", "no_plots")),
    )
    _check_plots_come_first(menu, top)
    _check_depth(menu, entries, sizes.need("depth").whole(1, 9))
    return menu


def check_menu(flows: Path, catalogues: Mapping[str, Catalogue]) -> list[str]:
    """Every page that is too big, or names words that are missing, in each language."""
    try:
        menu = load_menu(flows)
        entries = read_file(flows / FILE).need("pages").keys()
    except FlowError as mistake:
        return [str(mistake)]
    mistakes = []
    for name in menu.pages:
        for language, catalogue in catalogues.items():
            if cure := _page_cure(menu, name, catalogue):
                mark = entries[name].node.start_mark
                place = f"{flows / FILE}:{mark.line + 1}:{mark.column + 1}"
                mistakes.append(f"{place} {name}: {cure} (language {language})")
    return mistakes


def _page_cure(menu: Menu, name: str, catalogue: Catalogue) -> str | None:
    lacking = [word for word in _messages(menu, menu.pages[name]) if not catalogue.has(word)]
    if lacking:
        return f"no message {lacking[0]} in the catalogue"
    codes = (CODE,) * menu.most_choices
    text = show_page(
        menu, name, catalogue, plot=CODE, plots=codes, first=0, back=True, unclear=True
    )
    return None if fits_page(menu, text) else f"the page is too long for a phone: {text!r}"


def _messages(menu: Menu, page: MenuPage) -> list[str]:
    outcomes = [page.outcome, *(choice.outcome for choice in page.choices)]
    words = [page.title, *(choice.label for choice in page.choices)]
    for outcome in filter(None, outcomes):
        words += [outcome.seen, *(word for word in outcome.report if word.startswith("keyword."))]
    return [*words, *menu.labels.values(), *menu.ends.values()]


def _page(entry: Entry, pages: tuple[str, ...], most: int) -> MenuPage:
    kind = entry.need("kind").choice(*_KINDS)
    title = entry.need("title").text()
    if kind == "plots":
        entry.keys("kind", "title", "to")
        return MenuPage("plots", title, to=entry.need("to").choice(*pages))
    if kind == "choices":
        entry.keys("kind", "title", "choices")
        return MenuPage("choices", title, choices=_choices(entry.need("choices"), pages, most))
    entry.keys("kind", "title", "at_most", "minus", "report", "seen")
    minus = entry.get("minus")
    return MenuPage(
        "number",
        title,
        outcome=_outcome(entry),
        at_most=entry.need("at_most").number(0, 999, "cm"),
        minus=minus is not None and minus.flag(),
    )


def _choices(entry: Entry, pages: tuple[str, ...], most: int) -> tuple[Choice, ...]:
    listed = entry.list()
    if not 0 < len(listed) <= most:
        entry.fail(f"need 1 to {most} choices on a page, got {len(listed)}")
    return tuple(_choice(one, pages) for one in listed)


def _choice(entry: Entry, pages: tuple[str, ...]) -> Choice:
    entry.keys("label", "to", "report", "seen")
    label, to = entry.need("label").text(), entry.get("to")
    if to is None:
        return Choice(label, outcome=_outcome(entry))
    if entry.get("report") is not None:
        to.fail("a choice leads to a page or reports, not both")
    return Choice(label, to=to.choice(*pages))


def _outcome(entry: Entry) -> Outcome:
    words = entry.need("report").list()
    for word in words:
        said = word.text()
        if not (said in ("plot", "number") or said.startswith("keyword.") or said.isdigit()):
            word.fail(f"need plot, number, a keyword.* of the catalogue, or digits, got {said!r}")
    return Outcome(tuple(word.text() for word in words), entry.need("seen").text())


def _key(keys: Entry, name: str, most: int) -> str:
    entry = keys.need(name)
    key = entry.text()
    if not (len(key) == 1 and (key == "0" or (key.isdigit() and int(key) > most))):
        entry.fail(f"need 0 or a digit above the {most} choices of a page, got {key!r}")
    return key


def _names(entry: Entry, needed: tuple[str, ...]) -> dict[str, str]:
    entry.keys(*needed)
    return {name: entry.need(name).text() for name in needed}


def _check_plots_come_first(menu: Menu, top: Entry) -> None:
    if menu.pages[menu.start].kind != "plots":
        top.need("start").fail("need a page of kind plots: each page after it speaks of one plot")


def _check_depth(menu: Menu, entries: Mapping[str, Entry], most: int) -> None:
    """Walk every way from the start; none may be longer than ``most`` pages or come back."""
    ways: list[tuple[str, ...]] = [(menu.start,)]
    while ways:
        way = ways.pop()
        if len(way) > most or way[-1] in way[:-1]:
            entries[way[-1]].fail(f"the way {' > '.join(way)} is longer than {most} pages")
        page = menu.pages[way[-1]]
        onward = [page.to, *(choice.to for choice in page.choices)]
        ways += [(*way, to) for to in onward if to is not None]
