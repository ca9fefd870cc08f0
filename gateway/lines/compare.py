"""Two rule books compared on the command line: how many of each kind, then a line for each plot."""

from collections import Counter
from collections.abc import Iterator

from gateway.advisory.compare import NAMES_LIMIT, Change, Comparison
from gateway.agronomy.advice import Advice


def comparison_text(found: Comparison) -> str:
    """How many of the plots get other advice, of which kinds, and what changes for each."""
    count = len(found.changes)
    head = f"{count} of {found.plots} plots with a crop would get other advice today"
    return "\n".join([head, *_kinds(found), *(_line(change) for change in found.changes)])


def _kinds(found: Comparison) -> Iterator[str]:
    """The changes of what to do, the most frequent first."""
    acts = [(each.before.action, each.after.action) for each in found.changes]
    for (before, after), count in Counter(
        pair for pair in acts if pair[0] != pair[1]
    ).most_common():
        yield f"  {count} x {before} -> {after}"
    same = sum(before == after for before, after in acts)
    if same:
        yield f"  {same} x the same to do, by another reason, day, depth or weight"


def _line(change: Change) -> str:
    """What is done, where that changes, else what it is done by."""
    before, after = _parts(change.before), _parts(change.after)
    names = [name for name in {**before, **after} if before.get(name) != after.get(name)]
    if "act" in names:
        changed = f"{_all(before)} -> {_all(after)}"
    else:
        parts = [f"{name} {_or_none(before, name)} -> {_or_none(after, name)}" for name in names]
        changed = f"{before['act']}: {', '.join(parts) or 'other days or weights'}"
    return f"  {change.before.plot}: {changed}"


def _all(parts: dict[str, str]) -> str:
    return ", ".join(told if name == "act" else f"{name} {told}" for name, told in parts.items())


def _or_none(parts: dict[str, str], name: str) -> str:
    return parts.get(name, "none")


def _parts(advice: Advice) -> dict[str, str]:
    """What the grower is told, by the office's words for it."""
    detail = advice.detail
    limit = detail.threshold_cm if advice.action in NAMES_LIMIT else None
    told = {
        "act": f"{advice.action} ({advice.reasons[0]}) in {advice.stage}",
        "dry limit": f"{limit:g} cm" if limit is not None else None,
        "fill to": f"{advice.flood_to_cm:g} cm" if advice.flood_to_cm is not None else None,
        "first of all": "yes" if detail.too_dry and advice.action == "reflood" else None,
        "act by": detail.act_by,
        "keep until": detail.keep_until,
        "none out before": detail.not_before,
        "fertiliser": f"{detail.product_kg:g} kg" if detail.product_kg is not None else None,
        "harvest": detail.harvest_on if advice.action in ("no-more-water", "drain") else None,
        "look": advice.next_reading_on,
    }
    return {name: str(value) for name, value in told.items() if value is not None}
