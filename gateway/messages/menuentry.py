"""What was entered on a dialled page: a key or a number, in the digits of any script."""

import re
import unicodedata

from gateway.messages.menupages import MenuPage

_NUMBER = re.compile(r"(?P<minus>-?) *(?P<whole>\d{1,3})(?:[.,](?P<part>\d))? *")
_MINUS = str.maketrans(dict.fromkeys("−–—‐‑‒", "-"))


def plain_key(entry: str) -> str:
    """The entry with digits of every script as 0 to 9, without blanks and marks nobody sees."""
    seen = (letter for letter in entry.translate(_MINUS) if unicodedata.category(letter) != "Cf")
    return "".join(str(unicodedata.decimal(letter, letter)) for letter in seen).strip()


def chosen_key(key: str, shown: range) -> int | None:
    """Which of the entries of ``shown`` was entered, from 0; on the phone they count from 1."""
    if not re.fullmatch(r"[1-9]\d?", key):
        return None
    return int(key) - 1 if int(key) - 1 in shown else None


def entered_number(key: str, page: MenuPage) -> str | None:
    """The number for a page of that kind, as it stands in a text; None where it cannot be one."""
    found = _NUMBER.fullmatch(key)
    if found is None or (found["minus"] and not page.minus):
        return None
    text = found["whole"].lstrip("0") or "0"
    text += f".{found['part']}" if found["part"] not in (None, "0") else ""
    return text if float(text) <= page.at_most else None
