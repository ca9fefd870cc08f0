"""What is known of the water, as a piece of a sentence."""

from gateway.agronomy.advice import Advice
from gateway.agronomy.book import Event
from gateway.messages.catalogue import Catalogue
from gateway.messages.heard import Candidate

_NEAR_CM = 0.25
"""A level nearer to the soil than this comes out as 0, so it is said to be at the soil."""


def was_read(advice: Advice) -> bool:
    """Whether the advice rests on a reading of its day, not on the forecast."""
    return advice.detail.seen_dry or advice.detail.seen_cm is not None


def level_of(advice: Advice) -> float | None:
    """The level in cm that the advice speaks of; None for a dry tube or where it is not known."""
    if was_read(advice):
        return advice.detail.seen_cm
    return advice.level_cm.p50 if advice.level_cm else None


def stands_low(advice: Advice) -> bool:
    """Whether no water stands: at the soil, below it, or the tube is dry."""
    level = level_of(advice)
    return advice.detail.seen_dry or (level is not None and level < _NEAR_CM)


def stands_high(advice: Advice) -> bool:
    """Whether water is known to stand above the soil."""
    level = level_of(advice)
    return level is not None and level >= _NEAR_CM


def say_seen(advice: Advice, catalogue: Catalogue) -> str:
    """The level in words, with the word for forecast where nobody read it."""
    if advice.detail.seen_dry:
        return catalogue.say("level.dry")
    level = level_of(advice)
    if level is None:
        return catalogue.say("level.unknown")
    return say_level(level, catalogue, "level." if was_read(advice) else "level.forecast-")


def say_level(level_cm: float, catalogue: Catalogue, start: str = "level.") -> str:
    """A level (cm, signed) in words without sign; ``start`` names the kind of piece."""
    return catalogue.say(f"{start}{side_of(level_cm)}", cm=abs(level_cm))


def say_event(event: Event, catalogue: Catalogue) -> str | None:
    """The reading of an event in words; None for an event of another kind."""
    if event.dry:
        return catalogue.say("level.dry")
    return say_level(event.level_cm, catalogue) if event.level_cm is not None else None


def side_of(level_cm: float) -> str:
    """Where a level lies: below, above or surface."""
    if abs(level_cm) < _NEAR_CM:
        return "surface"
    return "below" if level_cm < 0 else "above"


def say_candidate(candidate: Candidate, catalogue: Catalogue) -> str:
    """One thing that a question offers: a plot's code, or a level in words."""
    if isinstance(candidate, str):
        return candidate
    return say_level(candidate, catalogue, "choice.")
