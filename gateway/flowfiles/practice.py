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


def _check(practice: Practice, top: Entry) -> None:
    """Levels must stand in their natural order, or the rules would contradict each other."""
    water = practice.water
    order = {
        "deepest_cm": water.deepest_cm,
        "threshold_cm": water.threshold_cm,
        "limited_threshold_cm": water.limited_threshold_cm,
        "surface_cm": water.surface_cm,
        "top_up_cm": water.top_up_cm,
        "shallow_cm": water.shallow_cm,
        "flood_to_cm": water.flood_to_cm,
        "too_deep_cm": water.too_deep_cm,
    }
    names = list(order)
    for lower, upper in pairwise(names):
        if order[lower] > order[upper]:
            section = top.get("water") or top
            (section.get(lower) or section.get(upper) or section).fail(
                f"{lower} ({order[lower]:g}) must not lie above {upper} ({order[upper]:g})"
            )
