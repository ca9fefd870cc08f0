"""Reads flows/practice.yaml: the practice of the scheme and its named profiles."""

from collections.abc import Mapping
from itertools import pairwise

from gateway.agronomy.practice import Practice
from gateway.agronomy.varieties import Variety
from gateway.flowfiles.reader import Entry
from gateway.flowfiles.typed import build

USUAL = "usual"
MONTHS = 12


def practices_of(
    top: Entry, varieties: Mapping[str, Variety] | None = None
) -> Mapping[str, Practice]:
    """The practice under ``usual`` and each profile under its name.

    Raises FlowError at the first mistake.
    """
    profiles = top.get("profiles")
    table = varieties or {}
    usual = build(Practice, _without_profiles(top), profile=USUAL, varieties=table)
    _check(usual, top)
    found = {USUAL: usual}
    for name, entry in profiles.items() if profiles else ():
        found[name] = build(Practice, entry, usual, profile=name, varieties=table)
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
    _check_end(practice, top)
    _check_heat(practice, top)


def _check_end(practice: Practice, top: Entry) -> None:
    """No soil may cut the water sooner than the calendar allows, nor keep it past maturity."""
    least, most = practice.calendar.least_last_irrigation_days, practice.calendar.ripening_days
    for name, soil in (("soil_unknown", practice.soil_unknown), *practice.soils.items()):
        if not least <= soil.last_irrigation_days <= most:
            entry = top.get("soils") if name != "soil_unknown" else None
            place = (entry and entry.get(name)) or top.get(name) or top.get("calendar") or top
            place.fail(
                f"last_irrigation_days of {name}: need {least} to {most} days after flowering"
            )


def _check_heat(practice: Practice, top: Entry) -> None:
    heat = practice.thermal
    if not heat.base_c < heat.optimum_c < heat.maximum_c:
        (top.get("thermal") or top).fail("need base_c below optimum_c below maximum_c")
    low, high = heat.usual_tmin_c, heat.usual_tmax_c
    if len(low) != len(high) or len(low) not in (0, MONTHS):
        (top.get("thermal") or top).fail("usual_tmin_c and usual_tmax_c: need twelve each, or none")
    if any(coldest > warmest for coldest, warmest in zip(low, high, strict=True)):
        (top.get("thermal") or top).fail("usual_tmin_c: must not lie above usual_tmax_c")
    if practice.salinity.bar not in practice.bars:
        (top.get("salinity") or top).fail(f"bar: need one of {', '.join(practice.bars)}")


def _in_order(practice: Practice, top: Entry, lower: str, upper: str) -> None:
    low, high = getattr(practice.water, lower), getattr(practice.water, upper)
    if low > high:
        section = top.get("water") or top
        place = section.get(lower) or section.get(upper) or section
        place.fail(f"{lower} ({low:g}) must not lie above {upper} ({high:g})")
