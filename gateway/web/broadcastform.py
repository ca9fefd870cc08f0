"""The form of a broadcast: what an officer filled in, and what that means."""

from datetime import UTC, date, datetime
from typing import Any, Final
from zoneinfo import ZoneInfo

from werkzeug.datastructures import MultiDict

from gateway.advisory.broadcasts import HABITS, WATERS, Audience, Broadcast, NewBroadcast, Wording
from gateway.web.manywords import STAGES

OWN: Final = "own"
LONGEST_TITLE, LONGEST_TEXT, LONGEST_NAME = 80, 600, 80
CHOICES: Final = ("blocks", "stages", "languages", "soils", "waters", "habits")
KNOWN: Final = {"stages": STAGES, "waters": WATERS, "habits": HABITS}


class Unfilled(Exception):
    """Something that the form needs; the words say what."""


def empty() -> dict[str, Any]:
    """A form that nobody has filled in."""
    return {"source": OWN, "texts": {}, "read_by": {}, "days": {}, **dict.fromkeys(CHOICES, ())}


def of(found: Broadcast, zone: str) -> dict[str, Any]:
    """The form as it was filled in for a draft."""
    leaves, words = found.leaves_at.astimezone(ZoneInfo(zone)), found.wording
    return {
        "title": found.title,
        "source": words.message or OWN,
        "texts": dict(words.own),
        "read_by": dict(words.read_by),
        "days": {name: day.isoformat() for name, day in words.days.items()},
        "on": leaves.date().isoformat(),
        "at": leaves.strftime("%H:%M"),
        "safety": found.safety,
        "asks": found.asks,
        **{choice: getattr(found.audience, choice) for choice in CHOICES},
    }


def given(form: MultiDict[str, str]) -> dict[str, Any]:
    """The form as it was sent, to be shown again."""
    return {
        "title": form.get("title", "")[:LONGEST_TITLE],
        "source": form.get("source", OWN),
        "texts": _by_name(form, "text-", LONGEST_TEXT),
        "read_by": _by_name(form, "read-", LONGEST_NAME),
        "days": _by_name(form, "day-", 10),
        "on": form.get("on", ""),
        "at": form.get("at", ""),
        "safety": bool(form.get("safety")),
        "asks": bool(form.get("asks")),
        **{choice: tuple(form.getlist(choice)) for choice in CHOICES},
    }


def read(form: MultiDict[str, str], zone: str) -> NewBroadcast:
    """What the form asks for. Raises Unfilled."""
    filled = given(form)
    own = filled["source"] == OWN
    days = {} if own else {name: _day(day, name) for name, day in filled["days"].items()}
    wording = Wording(
        message=None if own else filled["source"],
        days=days,
        own=filled["texts"] if own else {},
        read_by=filled["read_by"],
    )
    audience = Audience(**{choice: _chosen(choice, filled[choice]) for choice in CHOICES})
    leaves = _moment(filled["on"], filled["at"], zone)
    return NewBroadcast(
        filled["title"], audience, wording, leaves, filled["safety"], filled["asks"]
    )


def _by_name(form: MultiDict[str, str], prefix: str, longest: int) -> dict[str, str]:
    pairs = ((name.removeprefix(prefix), form[name]) for name in form if name.startswith(prefix))
    return {
        name: value.replace("\r\n", "\n").replace("\x00", "").strip()[:longest]
        for name, value in pairs
        if value.strip()
    }


def _chosen(choice: str, values: tuple[str, ...]) -> tuple[str, ...]:
    known = KNOWN.get(choice)
    return tuple(value for value in values if value and (known is None or value in known))


def _day(day: str, name: str) -> date:
    try:
        return date.fromisoformat(day)
    except ValueError:
        raise Unfilled(f"The day {name!r} of the text is none.") from None


def _moment(on: str, at: str, zone: str) -> datetime:
    try:
        there = datetime.fromisoformat(f"{on}T{at}").replace(tzinfo=ZoneInfo(zone))
        return there.astimezone(UTC)
    except (ValueError, OverflowError):
        raise Unfilled("Say on which day and at what time it leaves.") from None
