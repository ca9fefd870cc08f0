"""Advice as one text to a phone: the message is chosen by action and facts, then filled."""

from collections.abc import Callable, Iterator
from typing import Final

from gateway.agronomy.advice import Action, Advice
from gateway.messages.catalogue import Catalogue, Field
from gateway.messages.fitting import say_first
from gateway.messages.levels import say_seen, stands_high, stands_low, was_read
from gateway.messages.segments import count_segments

Test = Callable[[Advice], bool]


def _always(_advice: Advice) -> bool:
    return True


def _forecast(advice: Advice) -> bool:
    return not was_read(advice)


def _flowering(advice: Advice) -> bool:
    return advice.stage == "flowering"


def _establishment(advice: Advice) -> bool:
    return advice.stage == "establishment"


def _row(*words: str) -> Test:
    """Whether the row of the decision table that gave the advice has one of the words."""

    def test(advice: Advice) -> bool:
        return bool(advice.reasons) and any(word in advice.reasons[0] for word in words)

    return test


def _inlet_only(advice: Advice) -> bool:
    return "inlet-only" in advice.reasons


# For each action its messages, the special ones first. One is taken when its test holds and the
# advice has every figure that its words ask for; the last asks for the plot alone.
MESSAGES: Final[dict[Action, tuple[tuple[str, Test], ...]]] = {
    "none": (
        ("answer.none.before", lambda advice: advice.stage == "before-planting"),
        ("answer.none.harvested", lambda advice: advice.stage == "harvested"),
        ("answer.none", _always),
    ),
    "keep-moist": (
        ("answer.keep-moist.low", lambda advice: stands_low(advice) and bool(advice.water_mm)),
        ("answer.keep-moist.high", stands_high),
        ("answer.keep-moist", _always),
    ),
    "keep-flooded": (
        ("answer.keep.low", stands_low),
        ("answer.keep.sprayed", _row("spray")),
        ("answer.keep.weeds", _row("weed")),
        ("answer.keep.flowering", _flowering),
        ("answer.keep.barred", _row("bar", "soil", "salin", "acid", "cadmium")),
        ("answer.keep.young", _establishment),
        ("answer.keep", _always),
        ("answer.keep.bare", _always),
    ),
    "wait": (
        ("answer.wait.forecast", _forecast),
        ("answer.wait.forecast.bare", _forecast),
        ("answer.wait", _always),
        ("answer.wait.bare", _always),
    ),
    "reflood": (
        ("answer.irrigate.fertilised", _row("nitrogen", "fertil")),
        ("answer.irrigate.inlet-only", _inlet_only),
        ("answer.irrigate.forecast", _forecast),
        ("answer.irrigate.flowering", _flowering),
        ("answer.irrigate.no-supply", lambda advice: advice.detail.water_sure is False),
        ("answer.irrigate.too-dry", lambda advice: advice.detail.too_dry),
        ("answer.irrigate.dry", lambda advice: advice.detail.seen_dry),
        ("answer.irrigate", _always),
        ("answer.irrigate.bare", _always),
    ),
    "top-up": (
        ("answer.add.inlet-only", _inlet_only),
        ("answer.add", _always),
        ("answer.add.bare", _always),
    ),
    "reflood-after-nitrogen": (
        ("answer.nitrogen.dose", lambda advice: advice.detail.water_sure is True),
        ("answer.nitrogen", lambda advice: advice.detail.water_sure is True),
        ("answer.nitrogen-when-sure.dose", _always),
        ("answer.nitrogen-when-sure", _always),
        ("answer.nitrogen.bare", _always),
    ),
    "dry-to-fertilise": (("answer.dry-to-fertilise", _always),),
    "fertilise-shallow": (
        ("answer.fertilise-shallow.dose", _always),
        ("answer.fertilise-shallow", _always),
    ),
    "let-out": (
        ("answer.let-out.submerged", _row("submerged", "under")),
        ("answer.let-out", _always),
        ("answer.let-out.bare", _always),
    ),
    "no-more-water": (("answer.no-more-water", _always), ("answer.no-more-water.bare", _always)),
    "drain": (("answer.drain", _always), ("answer.drain.bare", _always)),
    "ask": (
        ("answer.ask.season", lambda advice: advice.stage == "unknown"),
        ("answer.ask.bar", _row("bar", "salin", "acid", "cadmium", "salty")),
        ("answer.ask.no-supply", _row("supply", "no-water")),
        ("answer.ask.flowering", _flowering),
        ("answer.ask.wet", _establishment),
        ("answer.ask.doubted", lambda advice: was_read(advice) and _row("doubt")(advice)),
        ("answer.ask", _always),
        ("answer.ask.bare", _always),
    ),
}


def word_advice(advice: Advice, catalogue: Catalogue, name: str | None = None) -> str:
    """One text for any advice, in the catalogue's language.

    ``name``: whom the plot belongs to, for a phone that reads for several growers; it is left out
    where it would cost a segment more.
    """
    plain = _said(advice, catalogue, advice.plot)
    if not name:
        return plain
    named = _said(advice, catalogue, f"{advice.plot} {name}")
    fits = count_segments(named).segments <= count_segments(plain).segments
    return named if fits else plain


def _said(advice: Advice, catalogue: Catalogue, head: str) -> str:
    return say_first(catalogue, _fitting(advice), fields_of(advice, catalogue, head))


def _fitting(advice: Advice) -> Iterator[str]:
    return (msgid for msgid, test in MESSAGES[advice.action] if test(advice))


def fields_of(advice: Advice, catalogue: Catalogue, head: str) -> dict[str, Field]:
    """What the words may ask for, by the names of the places; None where it is not known."""
    detail = advice.detail
    return {
        "head": head,
        "plot": advice.plot,
        "seen": say_seen(advice, catalogue),
        "by": detail.act_by or advice.as_of,
        "look": advice.next_reading_on or advice.as_of,
        "to": advice.flood_to_cm,
        "limit": detail.threshold_cm,
        "until": detail.keep_until,
        "free": detail.not_before,
        "sprayed": detail.sprayed_on,
        "product": detail.product,
        "kg": detail.product_kg,
        "harvest": detail.harvest_on,
        "start": detail.flowering_from,
    }
