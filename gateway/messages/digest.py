"""Advice on many plots in one text: what to do first stands first."""

from collections.abc import Iterable
from datetime import date

from gateway.agronomy.advice import Advice
from gateway.messages.catalogue import Catalogue
from gateway.messages.levels import stands_low
from gateway.messages.segments import count_segments

SEGMENTS = 2
GROUPS = (
    "first",
    "irrigate",
    "fertilise",
    "fertilise-shallow",
    "let-out",
    "look",
    "keep",
    "moist",
    "wait",
    "end",
    "none",
)
"""The groups of a digest in the order of their urgency; each has a message ``digest.*``."""

_GROUP_OF = {
    "reflood": "irrigate",
    "top-up": "first",
    "reflood-after-nitrogen": "fertilise",
    "fertilise-shallow": "fertilise-shallow",
    "dry-to-fertilise": "wait",
    "let-out": "let-out",
    "ask": "look",
    "keep-flooded": "keep",
    "keep-moist": "moist",
    "wait": "wait",
    "no-more-water": "end",
    "drain": "end",
    "none": "none",
}


def word_digest(advices: Iterable[Advice], catalogue: Catalogue) -> str:
    """The first text of the digest: two segments at most, the rest comes on MORE."""
    return next(iter(digest_parts(advices, catalogue)), "")


def digest_parts(advices: Iterable[Advice], catalogue: Catalogue) -> list[str]:
    """The whole digest, text by text, each of two segments at most."""
    left = sorted(advices, key=lambda advice: GROUPS.index(group_of(advice)))
    parts = []
    while left:
        count = _fitting(left, catalogue)
        parts.append(_say(left[:count], catalogue, more=count < len(left)))
        left = left[count:]
    return parts


def group_of(advice: Advice) -> str:
    """The group that an advice belongs to."""
    urgent = advice.detail.too_dry or advice.stage == "flowering"
    if advice.action == "reflood" and urgent:
        return "first"
    if advice.action == "keep-flooded" and stands_low(advice):
        return "irrigate"
    return _GROUP_OF[advice.action]


def _fitting(left: list[Advice], catalogue: Catalogue) -> int:
    count = 1
    while count < len(left):
        text = _say(left[: count + 1], catalogue, more=count + 1 < len(left))
        if count_segments(text).segments > SEGMENTS:
            break
        count += 1
    return count


def _say(advices: list[Advice], catalogue: Catalogue, *, more: bool) -> str:
    sentences = [
        _say_group(group, members, catalogue)
        for group in GROUPS
        if (members := [advice for advice in advices if group_of(advice) == group])
    ]
    return " ".join([*sentences, *([catalogue.say("digest.more")] if more else [])])


def _say_group(group: str, members: list[Advice], catalogue: Catalogue) -> str:
    by = min(advice.detail.act_by or advice.as_of for advice in members)
    listed = [_listed(advice, group, catalogue) for advice in members]
    joiner = ", " if group in ("wait", "keep") else " "
    return catalogue.say(f"digest.{group}", by=by, plots=joiner.join(listed))


def _listed(advice: Advice, group: str, catalogue: Catalogue) -> str:
    if group == "wait":
        return f"{advice.plot} {_weekday(advice.next_reading_on or advice.as_of, catalogue)}"
    if group == "keep" and advice.flood_to_cm is not None:
        return catalogue.say("digest.depth", plot=advice.plot, to=advice.flood_to_cm)
    return advice.plot


def _weekday(day: date, catalogue: Catalogue) -> str:
    return catalogue.day(day, "date.weekday")
