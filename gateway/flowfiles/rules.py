"""Reads flows/rules.yaml and flows/practice.yaml: the whole rule book."""

import hashlib
from collections.abc import Mapping
from pathlib import Path
from typing import cast, get_args

from gateway.agronomy.advice import Action
from gateway.agronomy.rules import (
    MARKS,
    NUMBER_FACTS,
    WORD_FACTS,
    Bound,
    Range,
    Row,
    RuleBook,
    RuleTable,
    overshadowed,
)
from gateway.flowfiles.practice import USUAL, practices_of
from gateway.flowfiles.reader import Entry, FlowError, read_text
from gateway.flowfiles.varieties import varieties_of

FILES = ("practice.yaml", "rules.yaml")
VARIETIES = "varieties.yaml"  # an office may do without the table


def load_rulebook(flows: Path) -> RuleBook:
    """The rule book of a flows folder. Raises FlowError with place and cure."""
    names = (*FILES, VARIETIES) if (flows / VARIETIES).exists() else FILES
    return book_of({name: _read(flows / name) for name in names}, flows)


def rulebook_from_texts(files: Mapping[str, str]) -> RuleBook:
    """The rule book from kept texts, by file name, as ``RuleBook.files`` gave them."""
    missing = [name for name in FILES if name not in files]
    if missing:
        raise FlowError(Path(missing[0]), 1, 1, "this text of the rule book is missing")
    names = (name for name in (*FILES, VARIETIES) if name in files)
    return book_of({name: files[name] for name in names}, Path())


def digest_of(files: Mapping[str, str]) -> str:
    """The SHA-256 (hex) over names and contents, in the order of the names."""
    total = hashlib.sha256()
    for name in sorted(files):
        for part in (name, files[name]):
            data = part.encode()
            total.update(len(data).to_bytes(8, "big") + data)
    return total.hexdigest()


def _read(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except OSError as error:
        raise FlowError(path, 1, 1, f"cannot be read: {error.strerror}") from error
    except UnicodeDecodeError as error:
        raise FlowError(path, 1, 1, f"need UTF-8 text, byte {error.start} is not") from error


def book_of(files: dict[str, str], flows: Path, practice: Entry | None = None) -> RuleBook:
    """The rule book of these texts; ``practice`` may be that text as it was read already."""
    table = files.get(VARIETIES)
    varieties = varieties_of(read_text(flows / VARIETIES, table)) if table is not None else {}
    top = practice or read_text(flows / FILES[0], files[FILES[0]])
    practices = practices_of(top, varieties)
    rows = table_of(read_text(flows / FILES[1], files[FILES[1]]))
    return RuleBook(practices[USUAL], rows, digest_of(files), files, practices)


def table_of(top: Entry) -> RuleTable:
    """The decision table: names unique, every row within reach, the last without condition."""
    top.keys("rows")
    entries = top.need("rows").list()
    if not entries:
        top.need("rows").fail("need at least one row")
    rows = [_row(entry) for entry in entries]
    _check(rows, entries)
    return RuleTable(tuple(rows))


def _row(entry: Entry) -> Row:
    entry.keys("name", "when", "then", "act_within_days")
    within, when = entry.get("act_within_days"), entry.get("when")
    facts = list(when.items()) if when else []
    for name, fact in facts:
        if name not in WORD_FACTS and name not in NUMBER_FACTS:
            fact.fail(f"unknown fact; known: {', '.join(sorted({*WORD_FACTS, *NUMBER_FACTS}))}")
    return Row(
        name=entry.need("name").text(),
        action=cast(Action, entry.need("then").choice(*get_args(Action))),
        words=tuple((n, _words(n, fact)) for n, fact in facts if n in WORD_FACTS),
        ranges=tuple((n, _range(fact)) for n, fact in facts if n in NUMBER_FACTS),
        act_within_days=within.whole(0, 30, "days") if within else None,
    )


def _words(name: str, fact: Entry) -> frozenset[str]:
    allowed = sorted(WORD_FACTS[name])
    words = [each.choice(*allowed) for each in (fact.list() if fact.is_list() else [fact])]
    return frozenset(words) if words else fact.fail(f"need one of {', '.join(allowed)}")


def _range(fact: Entry) -> Range:
    bounds = fact.keys("at_least", "above", "at_most", "below")
    if not bounds:
        fact.fail("need at least one of at_least, above, at_most, below")
    if {"at_least", "above"} <= set(bounds) or {"at_most", "below"} <= set(bounds):
        fact.fail("need one bound a side: at_least or above, at_most or below")
    span = Range(**{name: _bound(bound) for name, bound in bounds.items()})
    if _is_empty(span):
        fact.fail("no number lies in this range; the lower bound must lie below the upper")
    return span


def _bound(entry: Entry) -> Bound:
    word = entry.text()
    if word in MARKS:
        return word
    try:
        float(word)
    except ValueError:
        entry.fail(f"need a number or one of {', '.join(MARKS)}, got {word!r}")
    return entry.number(-500, 500)


def _is_empty(span: Range) -> bool:
    low = span.at_least if span.at_least is not None else span.above
    high = span.at_most if span.at_most is not None else span.below
    if low is None or high is None or isinstance(low, str) != isinstance(high, str):
        return False
    a = MARKS.index(low) if isinstance(low, str) else low
    b = MARKS.index(high) if isinstance(high, str) else high
    return a > b or (a == b and (span.above is not None or span.below is not None))


def _check(rows: list[Row], entries: list[Entry]) -> None:
    names: set[str] = set()
    for row, entry in zip(rows, entries, strict=True):
        if row.name in names:
            entry.need("name").fail(f"the name {row.name!r} stands twice; each row needs its own")
        names.add(row.name)
    if rows[-1].words or rows[-1].ranges:
        entries[-1].fail("the last row must have no condition, so that every plot has an answer")
    for row, earlier in overshadowed(rows):
        entry = entries[rows.index(row)]
        entry.fail(
            f"row {row.name!r} is never reached, {earlier.name!r} above it always fits first"
        )
