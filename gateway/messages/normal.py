"""One way of writing: marks that cannot be seen go, look-alike forms fold together."""

import re
import unicodedata

from gateway.messages.vocabulary import Vocabulary

# Bidirectional controls, zero-width characters and variation selectors carry no meaning here
# (Unicode Standard 16, sections 9.2, 23.2 and 23.4; UAX 9).
_UNSEEN = dict.fromkeys(
    (
        *(0xAD, 0x61C, 0x180E, 0xFEFF),
        *range(0x200B, 0x2010),
        *range(0x202A, 0x202F),
        *range(0x2060, 0x2070),
        *range(0xFE00, 0xFE10),
        *range(0xE0000, 0xE0080),
    )
)
_MARKS = {
    ord(a): b
    for a, b in {
        "؟": "?", "।": ". ", "॥": ". ", "،": ",", "؛": ";", "٫": ".", "٬": ",", "។": ". ",
        "။": ". ", "၊": ", ", "，": ",", "、": ", ", "。": ". ", "：": ":", "；": ";",
        "’": "'", "‘": "'", "`": "'", "´": "'", "ʼ": "'", "“": '"', "”": '"', "″": '"', "„": '"',
        "\r": "\n", "\v": "\n", "\f": "\n", "\u2028": "\n", "\u2029": "\n", "\t": " ",
        "½": ".5", "×": "x", "⁄": "/", "∕": "/",
    }.items()
}  # fmt: skip
_CONTROL = re.compile(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\ud800-\udfff]")
_DOTTED_CM = re.compile(r"(?<![^\W\d_])c\. ?m\b\.?")
# Dots or an arrow that only lead from a plot to its level ("H07...12 below", "H07 -> 12 below").
_LEADERS = re.compile(r"\.{2,}|[-=]+>|\u2192|(?<!\S)=+(?!\S)")
_GLUED_APOSTROPHE = re.compile(r"(?<=[^\W\d_])'(?=[^\W\d_])")


def fold(text: str, vocabulary: Vocabulary) -> str:
    """The text in NFKC and lower case, with digits, signs and marks in their ASCII form.

    Characters that cannot be seen are dropped, so that they can neither hide nor join words.
    """
    if text.isascii():
        plain = text.translate(_MARKS)
    else:
        plain = text.translate(_UNSEEN).translate(vocabulary.folding).translate(_MARKS)
        plain = unicodedata.normalize("NFKC", plain).translate(vocabulary.folding)
        plain = unicodedata.normalize("NFC", plain.translate(_UNSEEN).translate(_MARKS))
    plain = _GLUED_APOSTROPHE.sub("", _CONTROL.sub(" ", plain).casefold())
    plain = _DOTTED_CM.sub("cm", _LEADERS.sub(" ", plain))
    if vocabulary.unspaced is not None and not text.isascii():
        plain = vocabulary.unspaced.sub(r" \g<0> ", plain)
    return plain
