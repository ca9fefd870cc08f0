"""Reads the rules of an older day, kept with an advice, by a program that asks for more.

A key that the kept practice lacks is taken from today's file, and one that no program reads any
more is left out; both are named, so that nobody takes what comes out for what was read then. Where
the office names keys of its own (soils, products, bars, profiles) nothing is filled in.
"""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Final

import yaml

from gateway.advisory.errors import PapersOutlived
from gateway.advisory.explain import RulesOfThen
from gateway.flowfiles.reader import Entry, FlowError, UnknownKey, read_text
from gateway.flowfiles.rules import FILES, book_of, rulebook_from_texts

PRACTICE: Final = FILES[0]
OWN_KEYS: Final = frozenset({"soils", "products", "bars", "profiles", "seedling_ages"})
MOST_LEFT_OUT: Final = 50


def rules_of_then(digest: str, kept: Mapping[str, str], today: Mapping[str, str]) -> RulesOfThen:
    """The rule book kept under ``digest``, by file name; ``today`` fills in what it lacks.

    Raises PapersOutlived where it is no longer read even so.
    """
    try:
        return RulesOfThen(rulebook_from_texts(kept))
    except FlowError as error:
        if not kept.keys() >= set(FILES[:2]):
            raise PapersOutlived("rules", digest, str(error)) from error
    try:
        return _completed(dict(kept), today)
    except FlowError as error:
        raise PapersOutlived("rules", digest, str(error)) from error


def _completed(kept: dict[str, str], today: Mapping[str, str]) -> RulesOfThen:
    top = read_text(Path(PRACTICE), kept[PRACTICE])
    filled = tuple(_fill(top.node, read_text(Path(PRACTICE), today[PRACTICE]).node))
    left_out: list[str] = []
    while True:
        try:
            return RulesOfThen(book_of(kept, Path(), top), filled, tuple(left_out))
        except UnknownKey as unknown:
            if len(left_out) == MOST_LEFT_OUT:
                raise
            left_out.append(_leave_out(top, unknown.key))


def _fill(node: yaml.Node, today: yaml.Node, where: str = "") -> Iterator[str]:
    """Puts into a mapping what today's has beside it; yields the names of the keys."""
    if not (isinstance(node, yaml.MappingNode) and isinstance(today, yaml.MappingNode)):
        return
    there = {key.value: value for key, value in node.value}
    for key, value in today.value:
        if key.value not in there:
            node.value.append((key, value))
            yield where + key.value
        elif key.value not in OWN_KEYS:
            yield from _fill(there[key.value], value, f"{where}{key.value}.")


def _leave_out(top: Entry, key: yaml.Node) -> str:
    for name, mapping in _mappings(top.node):
        if any(each is key for each, _value in mapping.value):
            mapping.value = [pair for pair in mapping.value if pair[0] is not key]
            return f"{name}{key.value}"
    raise AssertionError("an unknown key stands in the file that it was read from")


def _mappings(node: yaml.Node, where: str = "") -> Iterator[tuple[str, yaml.MappingNode]]:
    if isinstance(node, yaml.MappingNode):
        yield where, node
        for key, value in node.value:
            yield from _mappings(value, f"{where}{key.value}.")
