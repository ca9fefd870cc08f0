"""Half a measure in words: before its number ("साढ़े सात"), or after it ("seven and a half")."""

from gateway.messages.tokens import Token
from gateway.messages.vocabulary import Vocabulary

_LONGEST = 3


def leads_half(tokens: list[Token], at: int, vocabulary: Vocabulary) -> bool:
    """Whether the word before the number at token ``at`` adds a half to it."""
    return at > 0 and tokens[at - 1].text in vocabulary.half_before


def half_end(tokens: list[Token], at: int, vocabulary: Vocabulary) -> int:
    """The token after words at ``at`` that add a half to what stands before; ``at`` for none."""
    for end in range(min(at + _LONGEST, len(tokens)), at, -1):
        if " ".join(token.text for token in tokens[at:end]) in vocabulary.half_after:
            return end
    return at
