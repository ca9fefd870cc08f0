"""Reads one page of flows/menu.yaml, by its kind."""

from collections.abc import Callable
from typing import Final

from gateway.flowfiles.reader import Entry
from gateway.messages.menupages import Choice, MenuPage, Outcome

Pages = tuple[str, ...]


def read_page(entry: Entry, pages: Pages) -> MenuPage:
    """The page; ``pages`` are the names that it may lead to. Raises FlowError."""
    return _READERS[entry.need("kind").choice(*_READERS)](entry, pages)


def _choices_page(entry: Entry, pages: Pages) -> MenuPage:
    entry.keys("kind", "title", "choices")
    return MenuPage("choices", _title(entry), choices=_choices(entry.need("choices"), pages))


def _plots_page(entry: Entry, pages: Pages) -> MenuPage:
    entry.keys("kind", "title", "to")
    return MenuPage("plots", _title(entry), to=entry.need("to").choice(*pages))


def _number_page(entry: Entry, pages: Pages) -> MenuPage:
    entry.keys("kind", "title", "at_most", "minus", "report", "seen")
    minus = entry.get("minus")
    return MenuPage(
        "number",
        _title(entry),
        outcome=_outcome(entry, entry.need("seen").text()),
        at_most=entry.need("at_most").number(0, 999, "cm or mm"),
        minus=minus is not None and minus.flag(),
    )


def _now_page(entry: Entry, pages: Pages) -> MenuPage:
    entry.keys("kind", "choices")
    return MenuPage("now", choices=_below(entry, pages))


def _texts_page(entry: Entry, pages: Pages) -> MenuPage:
    entry.keys("kind", "texts", "choices")
    listed = entry.need("texts")
    texts = tuple(one.text() for one in listed.list())
    if not texts:
        listed.fail("need the name of a text, got an empty list")
    return MenuPage("texts", choices=_below(entry, pages), texts=texts)


def _languages_page(entry: Entry, pages: Pages) -> MenuPage:
    entry.keys("kind", "title", "report")
    return MenuPage("languages", _title(entry), outcome=_outcome(entry, ""))


_READERS: Final[dict[str, Callable[[Entry, Pages], MenuPage]]] = {
    "choices": _choices_page,
    "plots": _plots_page,
    "number": _number_page,
    "now": _now_page,
    "texts": _texts_page,
    "languages": _languages_page,
}


def _title(entry: Entry) -> str:
    return entry.need("title").text()


def _below(entry: Entry, pages: Pages) -> tuple[Choice, ...]:
    listed = entry.get("choices")
    return _choices(listed, pages) if listed is not None else ()


def _choices(entry: Entry, pages: Pages) -> tuple[Choice, ...]:
    listed = entry.list()
    if not listed:
        entry.fail("need at least one choice")
    return tuple(_choice(one, pages) for one in listed)


def _choice(entry: Entry, pages: Pages) -> Choice:
    entry.keys("label", "to", "report", "seen")
    label, to, seen = entry.need("label").text(), entry.get("to"), entry.get("seen")
    if to is None:
        return Choice(label, outcome=_outcome(entry, seen.text() if seen else label))
    if entry.get("report") is not None:
        to.fail("a choice leads to a page or reports, not both")
    return Choice(label, to=to.choice(*pages))


def _outcome(entry: Entry, seen: str) -> Outcome:
    words = entry.need("report").list()
    for word in words:
        said = word.text()
        known = said in ("plot", "number", "language", "mm") or said.startswith("keyword.")
        if not (known or said.isdigit()):
            named = "plot, number, language, mm, digits or a keyword.* of the catalogue"
            word.fail(f"need {named}, got {said!r}")
    return Outcome(tuple(word.text() for word in words), seen)
