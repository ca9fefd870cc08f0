"""A catalogue: the words of one language, by the symbolic name of each message."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, time

from gateway.messages.dates import word_day, word_number, word_time
from gateway.messages.gsm import fold_typography

PLACE = re.compile(r"\{([a-z_]+)\}")
"""A place in a message that a field fills, such as ``{plot}``."""

Field = str | float | date | time | None


class UnknownMessage(KeyError):
    """A message that no catalogue has: a mistake in the code, found by the tests."""

    def __init__(self, msgid: str, language: str) -> None:
        super().__init__(f"no message {msgid} in the catalogue {language}")
        self.msgid, self.language = msgid, language


@dataclass(frozen=True, slots=True)
class Catalogue:
    """The words of one language (BCP 47), and who has read them.

    ``drafted``: no native speaker has read it aloud yet; else ``read_by`` did on ``read_on``.
    ``digest`` is the SHA-256 (hex) of the file that it was read from, so that a text can be rebuilt
    later with the very words of its day.
    """

    language: str
    words: Mapping[str, str]
    drafted: bool
    read_by: str | None
    read_on: date | None
    digest: str

    def say(self, msgid: str, **fields: Field) -> str:
        """The message with its places filled, in letters that a plain phone has.

        Days come out by the catalogue's own short form (``date.short``), numbers to the half and
        without sign. A field that is missing leaves its place empty: the checks find that before a
        grower does, and a text on its way is never lost over it. Raises UnknownMessage.
        """
        filled = PLACE.sub(lambda place: self._word(fields.get(place[1])), self._found(msgid))
        return fold_typography(filled)

    def places(self, msgid: str) -> frozenset[str]:
        """The names of the fields that a message asks for."""
        return frozenset(PLACE.findall(self._found(msgid)))

    def has(self, msgid: str) -> bool:
        """Whether the catalogue has the message."""
        return msgid in self.words

    def _found(self, msgid: str) -> str:
        if msgid not in self.words:
            raise UnknownMessage(msgid, self.language)
        return self.words[msgid]

    def _word(self, value: Field) -> str:
        if isinstance(value, date):
            return word_day(value, self._found("date.short"), self.language)
        if isinstance(value, time):
            return word_time(value)
        if isinstance(value, int | float):
            return word_number(value, self.language)
        return value or ""
