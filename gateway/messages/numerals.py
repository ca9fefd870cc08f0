"""Numbers as growers write them: digits, decimal marks, signs, words, units."""

from dataclasses import dataclass

from gateway.messages.halves import half_end, leads_half
from gateway.messages.tokens import Token
from gateway.messages.vocabulary import Vocabulary

# 1 inch is 2.54 cm and 1 foot 30.48 cm by definition (international yard, 1959).
CM_IN = {"cm": 1.0, "mm": 0.1, "m": 100.0, "inch": 2.54, "ft": 30.48}
_FINE = ("m", "inch", "ft")
_LOOKALIKE = frozenset("oil")
_BETWEEN_DIGITS = frozenset("ex")
_LONGEST_NUMBER = 3
_LONGEST_LINK = 3


@dataclass(frozen=True, slots=True)
class Amount:
    """A number in a text. ``sign`` is -1, 1 or 0 (none written); ``unit`` a length or a quantity.

    ``sure`` is False where it can be read in more than one way ("1,500", "1O", "--5"); ``length``
    is False where the unit says that it measures something else (kg, hours, people).
    """

    value: float
    sign: int = 0
    unit: str | None = None
    length: bool = True
    sure: bool = True
    digits: int = 1

    @property
    def cm(self) -> float:
        """The size in cm, without its sign, rounded to 0.01 cm."""
        return round(self.value * CM_IN[self.unit or "cm"], 2)

    @property
    def signed(self) -> float:
        """The level in cm with the sign as written; no sign counts as above."""
        return (-1 if self.sign < 0 else 1) * self.cm + 0.0


def value_of(written: str) -> tuple[float, bool, int]:
    """The value of digits with marks, whether it is sure, and how many decimals it has."""
    parts = written.replace(",", ".").split(".")
    if len(parts) > 2 or len(written) > 12:
        return 0.0, False, 0
    if len(parts) == 1:
        return float(written), True, 0
    return float(f"{parts[0]}.{parts[1]}"), len(parts[1]) < 3, len(parts[1])


def amount_at(
    tokens: list[Token], at: int, vocabulary: Vocabulary, quoted: bool = False
) -> tuple[Amount, int]:
    """The number at token ``at`` with the sign before it and the unit after it.

    Returns the amount and the index of the first token after it. ``quoted``: a quotation mark is
    open, so the next one closes it and is not the sign for inches.
    """
    written = tokens[at].text
    value, sure, decimals = value_of(written)
    first = leads_half(tokens, at, vocabulary)
    sign, steady = sign_before(tokens, at - first, vocabulary)
    half, unit, end, length = _measured(tokens, at + 1, vocabulary, quoted)
    if unit is None and _half_unit(tokens, at + 1, vocabulary):
        sure = False
    if at and tokens[at].glued and set(tokens[at - 1].text) <= _LOOKALIKE | {"."}:
        sure = sure and tokens[at - 1].text == "." and not _starts(tokens, at - 1)
    if not quoted and end < len(tokens) and tokens[end].text == "'" and tokens[end].glued:
        sure = False
    if decimals > 1 and unit not in _FINE:
        sure = False
    if _lookalike_after(tokens, at + 1, vocabulary):
        nought = tokens[at + 1].text == "o" and sure and not sign and not decimals
        value, sure, end = value * 10 if nought else value, nought, at + 2
        if nought:
            unit, end, length = _unit_after(tokens, end, vocabulary, quoted)
    whole = len(written.replace(",", ".").split(".")[0])
    value, sure = _halved(value, half + first, sure)
    return Amount(value, sign, unit, length, sure and steady, whole), end


def _halved(value: float, halves: int, sure: bool) -> tuple[float, bool]:
    """The number with its half; a half beside decimals or another half is in doubt."""
    return value + 0.5 * halves, sure and halves < 1 + (value == int(value))


def _measured(
    tokens: list[Token], at: int, vocabulary: Vocabulary, quoted: bool
) -> tuple[int, str | None, int, bool]:
    """What follows a number: its halves (0 or 1), unit, the token after both, whether a length."""
    before = half_end(tokens, at, vocabulary)
    unit, end, length = _unit_after(tokens, before, vocabulary, quoted)
    after = half_end(tokens, end, vocabulary) if before == at else end
    return int(before > at) + int(after > end), unit, after, length


def _starts(tokens: list[Token], at: int) -> bool:
    """Whether the dot at ``at`` begins a number (".5", "-.5") and does not end a word."""
    return not tokens[at].glued or tokens[at - 1].shape == "mark"


def _half_unit(tokens: list[Token], at: int, vocabulary: Vocabulary) -> bool:
    """Whether a word that may be a unit or not stands before below or above ("6 in below")."""
    if at + 1 >= len(tokens) or tokens[at].text not in vocabulary.units:
        return False
    return _stands(tokens[at + 1], vocabulary)


def _stands(token: Token, vocabulary: Vocabulary) -> bool:
    term = vocabulary.phrases.get(token.text, {}).get("")
    return term is not None and term.role in ("below", "above")


def _sided(tokens: list[Token], at: int, vocabulary: Vocabulary) -> bool:
    """Whether a side stands before the number, so that its unit is one ("dưới 8 phân bón ...")."""
    return at > 1 and _stands(tokens[at - 2], vocabulary)


def _named_longer(tokens: list[Token], at: int, vocabulary: Vocabulary) -> bool:
    """Whether a unit that also names something reported goes on with it ("phân bón")."""
    return tokens[at + 1].text in vocabulary.phrases[tokens[at].text]


def _reported_kind(token: Token, vocabulary: Vocabulary) -> bool:
    """Whether a unit is also the name of something reported (Vietnamese "phân": cm, and dung).

    Without its accent it may name two things, and then means none of them by itself.
    """
    term = vocabulary.phrases.get(token.text, {}).get("")
    return term is None or term.role == "event"


def _lookalike_after(tokens: list[Token], at: int, vocabulary: Vocabulary) -> bool:
    if at >= len(tokens) or not tokens[at].glued or tokens[at].shape != "word":
        return False
    powers = at + 1 < len(tokens) and tokens[at + 1].shape == "number" and tokens[at + 1].glued
    if powers and tokens[at].text in _BETWEEN_DIGITS:
        return True
    return set(tokens[at].text) <= _LOOKALIKE and tokens[at].text not in vocabulary.quantities


def sign_before(tokens: list[Token], at: int, vocabulary: Vocabulary) -> tuple[int, bool]:
    """The sign written before token ``at`` (-1, 1, or 0), and whether it is beyond doubt.

    A hyphen glued to a letter or digit before it only separates, and so does a colon with a dash
    (":- 15"); after a space or a mark it is a minus.
    """
    if at == 0:
        return 0, True
    before = tokens[at - 1]
    if before.shape == "word":
        return vocabulary.signs.get(before.text, 0), True
    if before.text not in "+-" or before.shape != "mark":
        return 0, True
    previous = tokens[at - 2] if at > 1 else None
    if previous is not None and previous.shape == "mark" and previous.text in "+-":
        return 0, False
    if previous is not None and previous.text in ":;" and before.glued and not tokens[at].glued:
        return 0, True
    joined = previous is not None and before.glued and previous.shape != "mark"
    if before.text == "+":
        return 1, not (joined and previous is not None and previous.shape == "number")
    return (0, True) if joined else (-1, True)


def _unit_after(
    tokens: list[Token], at: int, vocabulary: Vocabulary, quoted: bool
) -> tuple[str | None, int, bool]:
    if at >= len(tokens):
        return None, at, True
    token = tokens[at]
    if _linked_unit(tokens, at, vocabulary):  # "9 na sentimetro"
        return vocabulary.units[tokens[at + 1].text], at + 2, True
    if token.text == "''" or (token.text == '"' and not quoted):
        return ("inch", at + 1, True) if token.glued else (None, at, True)
    if token.text == "%":
        return "other", at + 1, False
    if token.shape != "word":
        return None, at, True
    return _named_unit(tokens, at, vocabulary)


def _linked_unit(tokens: list[Token], at: int, vocabulary: Vocabulary) -> bool:
    """Whether an article alone parts a number from a unit that can be nothing else."""
    follows = tokens[at + 1].text if at + 1 < len(tokens) else ""
    long = len(follows) > _LONGEST_LINK and follows in vocabulary.units
    return long and tokens[at].text in vocabulary.skip and not tokens[at].glued


def _named_unit(
    tokens: list[Token], at: int, vocabulary: Vocabulary
) -> tuple[str | None, int, bool]:
    token = tokens[at]
    dotted, end = _dotted_unit(tokens, at, vocabulary)
    if not dotted:
        dotted, end = _worded_unit(tokens, at, vocabulary)
    if dotted:
        return dotted, end, True
    ends = at + 1 >= len(tokens) or tokens[at + 1].shape == "mark"
    if not ends and tokens[at + 1].shape == "number" and tokens[at + 1].glued:
        return None, at, True
    unit = vocabulary.units.get(token.text)
    apart = token.glued or ends or token.text not in vocabulary.phrases
    apart = apart or (
        _reported_kind(token, vocabulary)
        and (not _named_longer(tokens, at, vocabulary) or _sided(tokens, at, vocabulary))
    )
    if unit and apart:
        return unit, at + 1, True
    quantity = vocabulary.quantities.get(token.text)
    if quantity:
        return quantity, at + 1, False
    if token.text in vocabulary.ordinal_ends and token.glued:
        return "ordinal", at + 1, False
    return None, at, True


def _worded_unit(tokens: list[Token], at: int, vocabulary: Vocabulary) -> tuple[str | None, int]:
    """A unit of several words ("xăng ti mét"), and the token after it; (None, at) for none."""
    for end in range(min(at + _LONGEST_NUMBER, len(tokens)), at + 1, -1):
        unit = vocabulary.units.get(" ".join(token.text for token in tokens[at:end]))
        if unit is not None:
            return unit, end
    return None, at


def _dotted_unit(tokens: list[Token], at: int, vocabulary: Vocabulary) -> tuple[str | None, int]:
    """A unit written with dots ("से.मी."), and the token after it; (None, at) for none."""
    parts = tokens[at : at + 3]
    if len(parts) < 3 or parts[1].text != "." or not (parts[1].glued and parts[2].glued):
        return None, at
    unit = vocabulary.units.get(f"{parts[0].text} {parts[2].text}")
    last = at + 3 < len(tokens) and tokens[at + 3].text == "." and tokens[at + 3].glued
    return (unit, at + 3 + last) if unit else (None, at)


def _spelled_out(tokens: list[Token], at: int, vocabulary: Vocabulary) -> tuple[float | None, int]:
    """The longest number word at ``at`` ("dua belas", "mười hai"), and the token after it."""
    for end in range(min(at + _LONGEST_NUMBER, len(tokens)), at, -1):
        parts = [token.text for token in tokens[at:end] if token.text != "-" or not token.glued]
        found = vocabulary.numbers.get(" ".join(parts)) if tokens[end - 1].shape == "word" else None
        if found is not None:
            return found, end
    return None, at


def word_amount(tokens: list[Token], at: int, vocabulary: Vocabulary) -> tuple[Amount, int] | None:
    """A number in words at token ``at`` ("twenty two"), as ``amount_at`` gives it, or None."""
    first, end = _spelled_out(tokens, at, vocabulary)
    if first is None:
        return None
    value = first
    if first >= 20 and first % 10 == 0 and end < len(tokens):
        end += tokens[end].text == "-" and tokens[end].glued and end + 1 < len(tokens)
        second, after = _spelled_out(tokens, end, vocabulary)
        if second is not None and 0 < second < 10:
            value, end = first + second, after
        elif tokens[end - 1].text == "-":
            end -= 1
    first = leads_half(tokens, at, vocabulary)
    sign, steady = sign_before(tokens, at - first, vocabulary)
    half, unit, end, length = _measured(tokens, end, vocabulary, True)
    value, sure = _halved(value, half + first, steady)
    return Amount(value, sign, unit, length, sure, 1), end
