"""The guide to the field tube, a step a text: how to make it, place it and try it.

Its measures stand in the catalogues (``guide.tube.1`` and on) and are common practice with no
source: 40 cm long, 15 cm or more across, the lower 20 cm with holes of 0.5 cm about 2 cm apart,
20 cm above the soil, at least 1 m from the bund, never through the hard pan, emptied to its bottom,
and tried by comparing the level inside with the one outside.
"""

from typing import Final

from gateway.messages.catalogue import Catalogue

TOPIC: Final = "guide.tube."
ASKED_AS: Final = "tube"
"""The value of a meaning ``help`` that asks for this guide."""


def first_step() -> str:
    """The message that the guide begins with."""
    return f"{TOPIC}1"


def step_after(topic: str | None, catalogue: Catalogue) -> str | None:
    """The message that follows the step ``topic``; None after the last, or where it is no step."""
    number = (topic or "").removeprefix(TOPIC)
    if topic is None or not topic.startswith(TOPIC) or not number.isdecimal():
        return None
    following = f"{TOPIC}{int(number) + 1}"
    return following if catalogue.has(following) else None


def word_step(step: str, catalogue: Catalogue) -> str:
    """A step of the guide in the words of a catalogue."""
    return catalogue.say(step)
