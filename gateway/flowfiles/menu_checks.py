"""Checks flows/menu.yaml against the catalogues: every part of every page, at its longest."""

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Final

from gateway.advisory.papers import plain_forms
from gateway.flowfiles.menu import FILE, load_menu
from gateway.flowfiles.reader import FlowError, read_file
from gateway.messages.catalogue import Catalogue
from gateway.messages.digest import GROUPS
from gateway.messages.letters import languages_among
from gateway.messages.menunow import LANGUAGE, NOW, RESTING, UNKNOWN, language_names
from gateway.messages.menupages import Menu, MenuFacts, MenuPage
from gateway.messages.menushow import View, fits_page, parts_of
from gateway.messages.worst import CODE, longest_text

_PLOTS: Final = (CODE,) * 20


def check_menu(flows: Path, catalogues: Mapping[str, Catalogue]) -> list[str]:
    """Every page that is too big, or names words that are missing, in each language."""
    try:
        menu = load_menu(flows)
        entries = read_file(flows / FILE).need("pages").keys()
    except FlowError as mistake:
        return [str(mistake)]
    mistakes = []
    forms = {form.language: form for form in plain_forms(catalogues).values()}
    for name in menu.pages:
        for catalogue in {**catalogues, **forms}.values():
            for cure in dict.fromkeys(_page_cures(menu, name, catalogue, catalogues)):
                mark = entries[name].node.start_mark
                place = f"{flows / FILE}:{mark.line + 1}:{mark.column + 1}"
                mistakes.append(f"{place} {name}: {cure} (language {catalogue.language})")
    return mistakes


def _page_cures(
    menu: Menu, name: str, catalogue: Catalogue, catalogues: Mapping[str, Catalogue]
) -> Iterator[str]:
    page = menu.pages[name]
    lacking = [word for word in _messages(menu, page) if not catalogue.has(word)]
    if lacking:
        yield f"no message {lacking[0]} in the catalogue"
        return
    for facts in longest_facts(catalogue, catalogues):
        for part in parts_of(View(menu, page, catalogue, facts, CODE), back=True):
            if not fits_page(menu, part.text):
                yield f"the page is too long for a phone: {part.text!r}"
                break


def longest_facts(catalogue: Catalogue, catalogues: Mapping[str, Catalogue]) -> list[MenuFacts]:
    """The longest that the facts of a phone come out, one for each thing that a plot may need."""
    scripts = {code: catalogues[code] for code in languages_among(catalogues)}
    names = tuple(language_names(catalogue, scripts, plain_forms(catalogues)).values())
    return [MenuFacts(_PLOTS, names, _always(line)) for line in _longest_lines(catalogue)]


def _longest_lines(catalogue: Catalogue) -> list[str]:
    named = [f"{NOW}{group}" for group in (*GROUPS, UNKNOWN, RESTING)]
    return [longest_text(catalogue, msgid) for msgid in named if catalogue.has(msgid)]


def _always(line: str) -> Callable[[str], str]:
    return lambda _plot: line


def _messages(menu: Menu, page: MenuPage) -> list[str]:
    outcomes = [page.outcome, *(choice.outcome for choice in page.choices)]
    words = [page.title, *page.texts, *(choice.label for choice in page.choices)]
    for outcome in filter(None, outcomes):
        words += [outcome.seen, *(word for word in outcome.report if word.startswith("keyword."))]
    if page.kind == "now":
        words += [f"{NOW}{group}" for group in (*GROUPS, UNKNOWN, RESTING)]
    if page.kind == "languages":
        words.append(LANGUAGE)
    return [*filter(None, words), *menu.labels.values(), *menu.ends.values()]
