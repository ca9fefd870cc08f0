"""Reads flows/practice.yaml: the practice of the scheme and its named profiles."""

from collections.abc import Mapping
from itertools import pairwise

from gateway.agronomy.practice import Practice
from gateway.flowfiles.reader import Entry
from gateway.flowfiles.typed import build

USUAL = "usual"


def practices_of(top: Entry) -> Mapping[str, Practice]:
    """The practice under ``usual`` and each profile under its name.

    Raises FlowError at the first mistake.
    """
    profiles = top.get("profiles")
    usual = build(Practice, _without_profiles(top), profile=USUAL)
    _check(usual, top)
    found = {USUAL: usual}
    for name, entry in profiles.items() if profiles else ():
        found[name] = build(Practice, entry, usual, profile=name)
        _check(found[name], entry)
    return found


def _without_profiles(top: Entry) -> Entry:
    kept = Entry(top.path, top.node, top.name)
    kept.node = type(top.node)(
        top.node.tag,
        [pair for pair in top.node.value if pair[0].value != "profiles"],
        top.node.start_mark,
        top.node.end_mark,
    )
    return kept


_UNDER_SURFACE = ("threshold_cm", "booting_threshold_cm", "limited_threshold_cm")
_STANDING = ("top_up_cm", "shallow_cm", "flood_to_cm", "too_deep_cm", "highest_cm")


def _check(practice: Practice, top: Entry) -> None:
    """Levels must stand in their natural order, or the rules would contradict each other."""
    for name in _UNDER_SURFACE:
        _in_order(practice, top, "deepest_cm", name)
        _in_order(practice, top, name, "surface_cm")
    for lower, upper in pairwise(("surface_cm", *_STANDING)):
        _in_order(practice, top, lower, upper)


def _in_order(practice: Practice, top: Entry, lower: str, upper: str) -> None:
    low, high = getattr(practice.water, lower), getattr(practice.water, upper)
    if low > high:
        section = top.get("water") or top
        place = section.get(lower) or section.get(upper) or section
        place.fail(f"{lower} ({low:g}) must not lie above {upper} ({high:g})")
