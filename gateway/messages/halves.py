"""Half a measure in words: before its number ("साढ़े सात"), or after it ("seven and a half")."""

from gateway.messages.tokens import Token
from gateway.messages.vocabulary import Vocabulary

_LONGEST = 3


def leads_half(tokens: list[Token], at: int, vocabulary: Vocabulary) -> bool:
    """Whether the word before the number at token ``at`` adds a half to it."""
    return at > 0 and tokens[at - 1].text in vocabulary.half_before


def half_end(tokens: list[Token], at: int, vocabulary: Vocabulary) -> int:
    """The token after words, or "1/2", at ``at`` that add a half to a number; ``at`` for none."""
    if _is_fraction(tokens, at):
        return at + 3
    for end in range(min(at + _LONGEST, len(tokens)), at, -1):
        if " ".join(token.text for token in tokens[at:end]) in vocabulary.half_after:
            return end
    return at


def _is_fraction(tokens: list[Token], at: int) -> bool:
    """Whether "1/2" stands at ``at``, apart from what goes before it ("12 1/2 below")."""
    parts = tokens[at : at + 4]
    if [part.text for part in parts[:3]] != ["1", "/", "2"] or parts[0].glued:
        return False
    goes_on = len(parts) > 3 and parts[3].glued and parts[3].shape != "word"
    return parts[1].glued and parts[2].glued and not goes_on
