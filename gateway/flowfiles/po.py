"""One gettext file as text: its entries with their lines, and the headers of our own."""

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import PoFileError, read_po

from gateway.flowfiles.reader import FlowError

_HEADER = re.compile(r'^"(?P<name>[A-Za-z-]+): (?P<value>.*?)(?:\\n)?"$')
_READ = re.compile(r"by (?P<by>.+) on (?P<on>\d{4}-\d\d-\d\d)")


@dataclass(frozen=True, eq=False)
class PoText:
    """A catalogue as its file holds it. ``headers``: value and line of each, by name."""

    path: Path
    text: str
    entries: Catalog
    headers: Mapping[str, tuple[str, int]]

    @property
    def digest(self) -> str:
        """SHA-256 of the file, hex."""
        return digest_of(self.text)

    @property
    def language(self) -> str:
        """The BCP 47 code that the header Language gives. Raises FlowError where there is none."""
        said, line = self.headers.get("Language", ("", 1))
        if not said:
            raise self.mistake(line, "Language: name the language here, as in: Language: en")
        return said.replace("_", "-")

    def messages(self) -> dict[str, Message]:
        """The entries by name, without the header."""
        return self._messages

    def words(self) -> dict[str, str]:
        """The messages that are there and not marked fuzzy."""
        return self._words

    @cached_property
    def _messages(self) -> dict[str, Message]:
        return {str(entry.id): entry for entry in self.entries if entry.id}

    @cached_property
    def _words(self) -> dict[str, str]:
        return words_of(self.entries)

    def read_aloud(self) -> tuple[str | None, date | None]:
        """Who read the catalogue aloud, and when: ``X-Read-Aloud: by NAME on YYYY-MM-DD``."""
        value, line = self.headers.get("X-Read-Aloud", ("", 1))
        if value == "not yet":
            return None, None
        cure = f"X-Read-Aloud: need 'not yet' or 'by NAME on YYYY-MM-DD', got {value!r}"
        if (match := _READ.fullmatch(value)) is None:
            raise self.mistake(line, cure)
        try:
            return match["by"], date.fromisoformat(match["on"])
        except ValueError as error:
            raise self.mistake(line, cure) from error

    def mistake(self, line: int, words: str) -> FlowError:
        """The mistake at a line of this file, to be raised or shown."""
        return FlowError(self.path, line, 1, words)


def parse_po(path: Path, po_text: str, *, entries: bool = True) -> PoText:
    """A catalogue's text taken apart; without ``entries`` only its headers. Raises FlowError."""
    catalog = _entries(path, po_text) if entries else Catalog()
    return PoText(path, po_text, catalog, _headers(po_text))


def read_text(path: Path) -> str:
    """The text of a catalogue file. Raises FlowError."""
    try:
        return path.read_text(encoding="utf-8")
    except OSError as error:
        raise FlowError(path, 1, 1, f"cannot be read: {error.strerror}") from error
    except UnicodeDecodeError as error:
        raise FlowError(path, 1, 1, f"need UTF-8 text, byte {error.start} is not") from error


def digest_of(po_text: str) -> str:
    """SHA-256 of a catalogue's text, hex."""
    return hashlib.sha256(po_text.encode()).hexdigest()


def words_of(entries: Catalog) -> dict[str, str]:
    """The messages of a catalogue that have words and are not marked fuzzy."""
    return {
        str(entry.id): str(entry.string)
        for entry in entries
        if entry.id and entry.string and not entry.fuzzy
    }


def _entries(path: Path, po_text: str) -> Catalog:
    try:
        return read_po(BytesIO(po_text.encode()), charset="utf-8", abort_invalid=True)
    except PoFileError as error:
        line = (error.lineno or 0) + 1
        raise FlowError(path, line, 1, f"not a gettext entry: {error}") from error


def _headers(po_text: str) -> dict[str, tuple[str, int]]:
    """Babel keeps only the headers that gettext knows, so the file's own are read here."""
    found: dict[str, tuple[str, int]] = {}
    for number, line in enumerate(po_text.splitlines(), start=1):
        if line.startswith("msgid") and found:
            break
        if match := _HEADER.match(line.strip()):
            found[match["name"]] = (match["value"].strip(), number)
    return found
