"""Choosing the first message whose places can all be filled, and fitting what is optional."""

from collections.abc import Callable, Iterable, Mapping

from gateway.messages.catalogue import Catalogue, Field
from gateway.messages.segments import is_routine


def say_first(catalogue: Catalogue, msgids: Iterable[str], fields: Mapping[str, Field]) -> str:
    """The first of the messages that ``fields`` can fill wholly; the last where none is.

    Raises UnknownMessage where the catalogue has none of them.
    """
    asked = list(msgids)
    names = [msgid for msgid in asked if catalogue.has(msgid)] or asked
    full = (name for name in names if catalogue.has(name) and is_filled(catalogue, name, fields))
    return catalogue.say(next(full, names[-1]), **fields)


def is_filled(catalogue: Catalogue, msgid: str, fields: Mapping[str, Field]) -> bool:
    """Whether each place of the message has something to stand in it."""
    return all(fields.get(place) not in (None, "") for place in catalogue.places(msgid))


def as_many_as_fit(pieces: Iterable[str], say: Callable[[list[str]], str]) -> list[str]:
    """The longest run of the first pieces with which ``say`` costs no more than a routine text."""
    kept: list[str] = []
    for piece in pieces:
        if not is_routine(say([*kept, piece])):
            break
        kept.append(piece)
    return kept
