"""Questions of ours: one text that says what is not clear and how to answer it."""

from collections.abc import Iterator

from gateway.messages.catalogue import Catalogue, Field
from gateway.messages.fitting import say_first
from gateway.messages.heard import Ask, Candidate
from gateway.messages.levels import say_candidate
from gateway.messages.worst import MOST_CHOICES

EXAMPLED = ("number", "rim", "unit", "day", "order", "plot")
"""What may be asked about with an example of the sender's own plot."""


def word_ask(ask: Ask, catalogue: Catalogue, plots: tuple[str, ...] = ()) -> str:
    """The question, in one text. ``plots`` are the sender's own; no other code is ever shown.

    Answers are numbered from 1 in the order of the candidates.
    """
    return say_first(catalogue, _fitting(ask), _fields(ask, catalogue, plots))


def _fitting(ask: Ask) -> Iterator[str]:
    levels = [one for one in ask.candidates if isinstance(one, int | float)]
    if _is_one_number(levels):
        yield "ask.sign.below-first" if levels[0] < 0 else "ask.sign.above-first"
    if len(levels) == 1:
        yield "ask.confirm"
    if len(levels) > 1:
        yield "ask.choice"
    if ask.about in EXAMPLED:
        yield f"ask.{ask.about}"
        yield f"ask.{ask.about}.bare"
    yield "ask.unclear"
    yield "ask.unclear.bare"


def _is_one_number(levels: list[float]) -> bool:
    return len(levels) == 2 and levels[0] == -levels[1] != 0


def _fields(ask: Ask, catalogue: Catalogue, plots: tuple[str, ...]) -> dict[str, Field]:
    plot = ask.plot if ask.plot in plots or not plots else None
    example = plot or next(iter(plots), None)
    levels = [one for one in ask.candidates if isinstance(one, int | float)]
    return {
        "head": plot or (example if len(plots) == 1 else None),
        "plot": example,
        "cm": abs(levels[0]) if levels else None,
        "first": say_candidate(levels[0], catalogue) if levels else None,
        "choices": number_choices(ask.candidates, catalogue),
    }


def number_choices(candidates: tuple[Candidate, ...], catalogue: Catalogue) -> str | None:
    """The candidates with their numbers; None where there are too many to list, or none."""
    if not 0 < len(candidates) <= MOST_CHOICES:
        return None
    return number_all(tuple(say_candidate(each, catalogue) for each in candidates), catalogue)


def number_all(choices: tuple[str, ...], catalogue: Catalogue) -> str:
    """Choices in words with their numbers, however many."""
    return ", ".join(
        f"{catalogue.number(number)} = {words}" for number, words in enumerate(choices, start=1)
    )
