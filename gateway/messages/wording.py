"""Words for phones: every text that a grower gets is made by one of these functions."""

from gateway.messages.advicewords import word_advice
from gateway.messages.asks import word_ask
from gateway.messages.digest import digest_parts, word_digest
from gateway.messages.notices import word_duty, word_notice, word_why

__all__ = [
    "digest_parts",
    "word_advice",
    "word_ask",
    "word_digest",
    "word_duty",
    "word_notice",
    "word_why",
]
