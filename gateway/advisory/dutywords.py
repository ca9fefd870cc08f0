"""Words for duties: every field that a text of the calendar may name."""

from collections.abc import Callable, Mapping
from datetime import date, timedelta
from typing import Any, Final

from gateway.advisory.due import Due
from gateway.advisory.glance import Glance
from gateway.agronomy.nitrogen import dose_doubts, product_kg
from gateway.messages.catalogue import Catalogue, Field
from gateway.messages.wording import word_notice

DAY: Final = timedelta(days=1)


def word_due(due: Due, glance: Glance, catalogue: Catalogue, scheme: str) -> str:
    """The text of a duty. It begins with the office's short name, and names weekday and date."""
    places = catalogue.places(due.text)
    fields: dict[str, Any] = {name: FIELDS[name](due, glance) for name in places if name in FIELDS}
    if glance.resting is not None:
        fields["until"] = glance.resting.last_on
    return word_notice(due.text, catalogue, plot=glance.case.plot.code, scheme=scheme, **fields)


def word_together(due: Due, catalogue: Catalogue, scheme: str, codes: list[str]) -> str:
    """One text for several plots of a phone; it names as many as fit into one segment."""
    assert due.rule.together is not None
    fields: dict[str, Field] = {"scheme": scheme, "by": due.last_on, "plot": codes[0]}
    return word_notice(due.rule.together, catalogue, plots=tuple(codes), **fields)


def _kg(due: Due, glance: Glance) -> float | None:
    """The weight for the whole plot from the approved plan; None where it may not be told."""
    known, plot = glance.practice.nitrogen, glance.case.plot
    if dose_doubts(glance.case, due.split, known):
        return None
    return product_kg(due.split, plot.area_ha, known.dose_step_kg)


def _until(due: Due, glance: Glance) -> date | None:
    if due.split:
        return due.split.to
    days = {
        "last-irrigation": glance.calendar.last_irrigation_on,
        "flowering-opens": glance.calendar.flowering_to,
    }
    return days.get(due.rule.anchor)


def _start(due: Due, glance: Glance) -> date | None:
    first = glance.season.established_on
    return first if due.rule.anchor == "planting" else glance.calendar.flowering_from


def _product(due: Due, _glance: Glance) -> str | None:
    product = due.split.product if due.split else None
    return product.upper() if product else None


def _limit(_due: Due, glance: Glance) -> float | None:
    return -glance.aim.mark_cm if glance.aim.mark_cm < 0 else None


def _told(*kinds: str) -> Callable[[Due, Glance], int]:
    def count(_due: Due, glance: Glance) -> int:
        first = glance.season.established_on
        return sum(e.kind in kinds and e.on >= first for e in glance.case.events)

    return count


FIELDS: Final[Mapping[str, Callable[[Due, Glance], Field]]] = {
    "by": lambda due, glance: max(due.owed_on, glance.today),
    "look": lambda due, glance: max(glance.advice.next_reading_on or glance.today, glance.today),
    "since": lambda due, glance: glance.last_sign,
    "until": _until,
    "start": _start,
    "harvest": lambda due, glance: glance.calendar.harvest_on,
    "to": lambda due, glance: glance.aim.flood_to_cm,
    "limit": _limit,
    "product": _product,
    "kg": _kg,
    "looks": _told("reading"),
    "floods": _told("flooded"),
}
