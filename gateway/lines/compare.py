"""Two rule books compared on the command line, a line for each plot with other advice."""

from collections.abc import Iterator

from gateway.advisory.compare import Change, Comparison
from gateway.agronomy.advice import Advice


def comparison_text(found: Comparison) -> str:
    """How many of the plots get other advice, and what each gets now and would get."""
    count = len(found.changes)
    head = f"{count} of {found.plots} plots with a crop would get other advice today"
    return "\n".join([head, *(_line(change) for change in found.changes)])


def _line(change: Change) -> str:
    before, after = list(_parts(change.before)), list(_parts(change.after))
    if before == after:  # a day or weight that has no short word here
        after.append("other days or weights")
    return f"  {change.before.plot}: {', '.join(before)} -> {', '.join(after)}"


def _parts(advice: Advice) -> Iterator[str]:
    yield f"{advice.action} ({advice.reasons[0]}) in {advice.stage}"
    threshold = advice.detail.threshold_cm
    if threshold is not None:
        yield f"dry limit {threshold:g} cm"
    if advice.flood_to_cm is not None:
        yield f"fill to {advice.flood_to_cm:g} cm"
    if advice.detail.act_by is not None:
        yield f"act by {advice.detail.act_by.isoformat()}"
    if advice.detail.keep_until is not None:
        yield f"keep until {advice.detail.keep_until.isoformat()}"
    if advice.next_reading_on is not None:
        yield f"look {advice.next_reading_on.isoformat()}"
