"""Texts beside advice: what was written down, put right or handed on, and what the office owes."""

from gateway.agronomy.advice import Advice
from gateway.agronomy.stages import Calendar
from gateway.messages.catalogue import Catalogue, Field
from gateway.messages.fitting import as_many_as_fit, say_first


def word_notice(
    msgid: str, catalogue: Catalogue, *, plots: tuple[str, ...] = (), **fields: Field
) -> str:
    """One notice, such as ``notice.no-water``; its ``.bare`` form where a field is missing.

    The plot stands at the head unless ``head`` is given. ``plots`` are listed as far as they fit.
    """
    filled: dict[str, Field] = {"head": fields.get("plot"), **fields}

    def say(listed: list[str]) -> str:
        return say_first(catalogue, (msgid, f"{msgid}.bare"), {**filled, "plots": " ".join(listed)})

    return say(as_many_as_fit(plots, say))


def word_duty(
    msgid: str,
    catalogue: Catalogue,
    scheme: str,
    plot: str,
    calendar: Calendar,
    to_cm: float | None = None,
) -> str:
    """A text that the office owes: it begins with the office's short name, and names the days.

    ``to_cm`` is the water to keep at the tube, from the scheme's practice.
    """
    return word_notice(
        msgid,
        catalogue,
        plot=plot,
        scheme=scheme,
        to=to_cm,
        until=calendar.flowering_to,
        harvest=calendar.harvest_on,
        start=calendar.flowering_from,
    )


def word_why(advice: Advice, catalogue: Catalogue) -> str:
    """The reasons of an advice in one routine text, the weightiest first, as many as fit."""
    known = [f"why.{reason}" for reason in advice.reasons if catalogue.has(f"why.{reason}")]
    said = [catalogue.say(msgid) for msgid in known or ["why.other"]]

    def say(listed: list[str]) -> str:
        return catalogue.say(
            "notice.why", head=advice.plot, plot=advice.plot, why="; ".join(listed)
        )

    return say(as_many_as_fit(said, say))
