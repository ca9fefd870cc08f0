"""The alphabet of a plain text message: 3GPP TS 23.038, clauses 6.2.1 and 6.2.1.1."""

import unicodedata

_ROWS = (
    "@£$¥èéùìòÇ\nØø\rÅå",
    "Δ_ΦΓΛΩΠΨΣΘΞ\x1bÆæßÉ",
    " !\"#¤%&'()*+,-./",
    "0123456789:;<=>?",
    "¡ABCDEFGHIJKLMNO",
    "PQRSTUVWXYZÄÖÑÜ§",
    "¿abcdefghijklmno",
    "pqrstuvwxyzäöñüà",
)
ESCAPE = "\x1b"
BASIC = "".join(_ROWS)
"""The 128 letters of the default alphabet, in the order of their codes (27 is the escape)."""

EXTENSION = {
    "\f": 0x0A,
    "^": 0x14,
    "{": 0x28,
    "}": 0x29,
    "\\": 0x2F,
    "[": 0x3C,
    "~": 0x3D,
    "]": 0x3E,
    "|": 0x40,
    "€": 0x65,
}
"""Letters that are sent as an escape and a code: two septets each."""

_LETTERS = frozenset(BASIC.replace(ESCAPE, "")).union(EXTENSION)

_FOLDED = str.maketrans(
    {
        **dict.fromkeys("‘’‚‛′´`ʼ", "'"),
        **dict.fromkeys("“”„‟″«»", '"'),
        **dict.fromkeys("‐‑‒–—―−", "-"),
        **dict.fromkeys("\t\u00a0\u2007\u2009\u200a\u202f\u3000", " "),
        **dict.fromkeys("\u00ad\u200b\u2060\ufeff", ""),
        "…": "...",
        "•": "*",
        "×": "x",
    }
)

_FOLDED_ASCII = frozenset(chr(code) for code in _FOLDED if code < 128)

# Letters that Unicode does not take apart into a plain one and a mark.
_UNMARKED = str.maketrans(
    {"đ": "d", "Đ": "D", "ł": "l", "Ł": "L", "ı": "i", "œ": "oe", "Œ": "OE", "ð": "d", "þ": "th"}
)


def strange_letters(text: str) -> list[str]:
    """The letters of a text that the alphabet lacks, each once, in the order they appear."""
    return [letter for letter in dict.fromkeys(text) if letter not in _LETTERS]


def fold_typography(text: str) -> str:
    """The text with typographic quotes, dashes, spaces and dots as letters of the alphabet.

    One such letter would send the whole text in UCS-2, at 70 letters a segment in place of 160.
    Nothing else is changed: letters of other scripts stay as they are.
    """
    if text.isascii() and not _FOLDED_ASCII.intersection(text):
        return text
    return text.translate(_FOLDED)


def plain_letters(text: str) -> str:
    """The text with each letter that the alphabet lacks as the one below its marks: ê as e.

    Letters of the alphabet keep their marks, and letters of other scripts stay as they are.
    """
    folded = unicodedata.normalize("NFC", fold_typography(text))
    if folded.isascii():
        return folded
    return "".join(one if one in _LETTERS else bare_letters(one) for one in folded)


def bare_letters(text: str) -> str:
    """The text with all Latin letters without marks, as Vietnamese is typed on a plain phone."""
    apart = unicodedata.normalize("NFD", fold_typography(text).translate(_UNMARKED))
    bare = (one for at, one in enumerate(apart) if not _marks_latin(apart, at))
    return unicodedata.normalize("NFC", "".join(bare))


def _marks_latin(apart: str, at: int) -> bool:
    """Whether this is a mark upon a Latin letter; those of other scripts carry vowels."""
    if not unicodedata.combining(apart[at]):
        return False
    while at and unicodedata.combining(apart[at]):
        at -= 1
    return apart[at].isascii()
