"""Texts as the gateway hears them; the words of all languages are read once a process."""

from pathlib import Path

from gateway.flowfiles.vocabulary import load_vocabularies
from gateway.messages.heard import Heard, Sender
from gateway.messages.interpret import interpret

FLOWS = Path(__file__).resolve().parents[2] / "flows"
VOCABULARIES = load_vocabularies(FLOWS)


def hear(text: str, language: str = "en", plots: tuple[str, ...] = ("H07",)) -> Heard:
    """What a phone of that language that reads those plots says by a text."""
    return interpret(text, Sender(plots, language), VOCABULARIES[language])


def levels_of(found: Heard) -> list[tuple[str, float | None, str | None]]:
    """Plot, level and day of each reading; the text must be clear."""
    assert found.outcome == "accept", found
    return [(r.plot, r.level_cm, r.on) for r in found.readings]
