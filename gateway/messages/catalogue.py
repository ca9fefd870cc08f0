"""A catalogue: the words of one language, by the symbolic name of each message."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, time

from gateway.messages.dates import DayNames, word_day, word_number, word_time
from gateway.messages.gsm import bare_letters, fold_typography, plain_letters, strange_letters
from gateway.messages.letters import is_bare

PLACE = re.compile(r"\{([a-z_]+)\}")
"""A place in a message that a field fills, such as ``{plot}``."""

NAMES = ("date.weekdays", "date.months")
"""Messages that only a catalogue has for whose language and letters CLDR has no names of days."""

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
    plain: bool = field(init=False)
    """Whether its own words keep to the alphabet of a plain text; what fills them then does too."""

    names: DayNames | None = field(init=False)

    def __post_init__(self) -> None:
        words = PLACE.sub("", fold_typography("".join(self.words.values())))
        object.__setattr__(self, "plain", not strange_letters(words))
        object.__setattr__(self, "names", _names_in(self.words))

    def say(self, msgid: str, **fields: Field) -> str:
        """The message with its places filled, in letters that a plain phone has.

        Days come out by the catalogue's own short form (``date.short``), numbers to the half and
        without sign. A field that is missing leaves its place empty: the checks find that before a
        grower does, and a text on its way is never lost over it. Raises UnknownMessage.
        """
        filled = PLACE.sub(lambda place: self._word(fields.get(place[1])), self._found(msgid))
        return self.write(filled)

    def write(self, text: str) -> str:
        """The text in the letters of this catalogue."""
        if is_bare(self.language):
            return bare_letters(text)
        return plain_letters(text) if self.plain else fold_typography(text)

    def day(self, day: date, form: str = "date.short") -> str:
        """A day as the catalogue's own pattern writes it: ``date.short`` or ``date.weekday``."""
        return self.write(word_day(day, self._found(form), self.language, self.names))

    def number(self, value: float) -> str:
        """A number to the half, in the digits of the language."""
        return word_number(value, self.language)

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
            return word_day(value, self._found("date.short"), self.language, self.names)
        if isinstance(value, time):
            return word_time(value, self.language)
        if isinstance(value, int | float):
            return self.number(value)
        return value or ""


def _names_in(words: Mapping[str, str]) -> DayNames | None:
    """The days and months that a catalogue names itself, where CLDR has none in its letters."""
    weekdays, months = (names_listed(words.get(name, "")) for name in NAMES)
    return DayNames(weekdays, months) if (len(weekdays), len(months)) == (7, 12) else None


def names_listed(words: str) -> tuple[str, ...]:
    """Names parted by commas."""
    return tuple(name.strip() for name in words.split(",") if name.strip())
