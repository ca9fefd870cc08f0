"""flows/calendar.yaml becomes the season's calendar: its duties, and the customs around them."""

from collections.abc import Iterator, Mapping
from datetime import time, timedelta
from pathlib import Path
from typing import cast, get_args

from gateway.advisory.duties import (
    CHEAP_FACTS,
    DUTY_FACTS,
    JUDGED_FACTS,
    Anchor,
    Audience,
    DutyCalendar,
    DutyRule,
    DutyText,
    Wanting,
    Weekly,
)
from gateway.flowfiles.customs import read_time
from gateway.flowfiles.reader import Entry, read_file
from gateway.messages.catalogue import Catalogue

FILE = "calendar.yaml"
TOLD_APART = ("look", "look-asked", "crossing", "water-awaited")


def load_duties(flows: Path) -> DutyCalendar:
    """The calendar in ``flows/calendar.yaml``. Raises FlowError with file, line and cure."""
    top = read_file(flows / FILE)
    top.keys(
        "rounds",
        "part_lease_seconds",
        "anchor_moved_days",
        "faithful_looks",
        "silent_after_days",
        "weekly",
        "duties",
    )
    weekly = top.need("weekly")
    weekly.keys("texts", "paid_asks")
    return DutyCalendar(
        rounds=_rounds(top.need("rounds")),
        part_lease=timedelta(seconds=top.need("part_lease_seconds").whole(1, 3600, "seconds")),
        anchor_moved_days=top.need("anchor_moved_days").whole(0, 30, "days"),
        faithful_looks=top.need("faithful_looks").whole(1, 20),
        silent_after_days=top.need("silent_after_days").whole(1, 60, "days"),
        weekly=Weekly(weekly.need("texts").whole(0, 100), weekly.need("paid_asks").whole(0, 100)),
        duties={name: _duty(name, entry) for name, entry in top.need("duties").items()},
    )


def check_duties(flows: Path, catalogues: Mapping[str, Catalogue]) -> list[str]:
    """Every duty whose words a language does not have, with file, line and cure."""
    mistakes = []
    for _name, entry in read_file(flows / FILE).need("duties").items():
        for text in _texts_named(entry):
            for language, catalogue in catalogues.items():
                if not catalogue.has(text.text()):
                    mark = text.node.start_mark
                    place = f"{text.path}:{mark.line + 1}:{mark.column + 1}"
                    mistakes.append(f"{place} text: no such text in {language}: {text.text()}")
    return mistakes


def _texts_named(duty: Entry) -> Iterator[Entry]:
    yield from (each.need("text") for each in duty.need("texts").list())
    together = duty.get("together")
    if together:
        yield together


def _rounds(entry: Entry) -> tuple[time, ...]:
    hours = tuple(sorted({read_time(each) for each in entry.list()}))
    return hours or entry.fail('need at least one time such as "04:30"')


def _duty(name: str, entry: Entry) -> DutyRule:
    entry.keys(
        "title", "anchor", "days", "hour", "spread", "valid_days", "to", "safety", "asks", "texts",
        "together", "why",
    )  # fmt: skip
    texts, days = entry.need("texts"), entry.need("days")
    if entry.need("anchor").text() in TOLD_APART and len(days.list()) != 1:
        days.fail("need one day, for a look that is missing is told apart by its own day")
    together, to = entry.get("together"), entry.get("to")
    return DutyRule(
        name=name,
        title=entry.need("title").text(),
        anchor=cast(Anchor, entry.need("anchor").choice(*get_args(Anchor))),
        days=_days(days),
        hour=read_time(entry.need("hour")),
        spread=timedelta(minutes=entry.need("spread").whole(0, 600, "minutes")),
        valid_days=entry.need("valid_days").whole(1, 60, "days"),
        to=cast(Audience, to.choice(*get_args(Audience)) if to else "readers"),
        safety=_flag(entry, "safety"),
        asks=_flag(entry, "asks"),
        texts=_texts(texts),
        together=together.text() if together else None,
        why=entry.need("why").text(),
    )


def _days(entry: Entry) -> tuple[int, ...]:
    days = tuple(each.whole(-60, 120, "days") for each in entry.list())
    if not days or list(days) != sorted(set(days)):
        entry.fail("need one day or more, each once, the earliest first")
    return days


def _flag(entry: Entry, key: str) -> bool:
    found = entry.get(key)
    return found.flag() if found else False


def _texts(entry: Entry) -> tuple[DutyText, ...]:
    entries = entry.list()
    if not entries:
        entry.fail("need one text or more")
    for each in entries[:-1]:
        if each.get("when") is None:
            each.fail("without facts it always fits, so that no text below is ever sent")
    return tuple(_text(each) for each in entries)


def _text(entry: Entry) -> DutyText:
    entry.keys("when", "text")
    when = entry.get("when")
    facts = dict(when.items()) if when else {}
    for name, fact in facts.items():
        if name not in DUTY_FACTS:
            fact.fail(f"unknown fact; known: {', '.join(sorted(DUTY_FACTS))}")
    return DutyText(
        text=entry.need("text").text(),
        cheap=_wanting(facts, CHEAP_FACTS),
        judged=_wanting(facts, JUDGED_FACTS),
    )


def _wanting(facts: Mapping[str, Entry], known: Mapping[str, frozenset[str]]) -> Wanting:
    return tuple((name, _words(name, fact)) for name, fact in facts.items() if name in known)


def _words(name: str, fact: Entry) -> frozenset[str]:
    allowed = sorted(DUTY_FACTS[name])
    words = [each.choice(*allowed) for each in (fact.list() if fact.is_list() else [fact])]
    return frozenset(words) if words else fact.fail(f"need one of {', '.join(allowed)}")
