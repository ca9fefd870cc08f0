"""Which of the sender's own plots a few letters and digits name. Only own codes are ever known."""

import re
import unicodedata
from functools import lru_cache

from gateway.messages.tokens import Token

_DIGITS = re.compile(r"[0-9]+")
_PARTS = re.compile(r"[0-9]+|[^\W\d_]+")
_ALIKE = str.maketrans("oil", "011")


def _squash(code: str) -> str:
    plain = unicodedata.normalize("NFKC", code).casefold()
    return "".join(_PARTS.findall(plain))


def _loose(squashed: str) -> str:
    return _DIGITS.sub(lambda run: run.group().lstrip("0") or "0", squashed)


def _alike(squashed: str) -> str:
    return _loose(squashed.translate(_ALIKE))


class Codes:
    """The sender's own codes, found as written, without leading zeros, or with O and l for 0 and 1.

    An exact spelling wins over a looser one; several codes are returned where several fit.
    """

    def __init__(self, plots: tuple[str, ...]) -> None:
        self.plots = plots
        self.most_parts = 1
        self._tables: tuple[dict[str, list[str]], ...] = ({}, {}, {})
        self._digits: dict[str, list[str]] = {}
        self._heads: set[str] = set()
        for code in dict.fromkeys(plots):
            self._add(code)

    def _add(self, code: str) -> None:
        squashed = _squash(code)
        parts = _PARTS.findall(squashed)
        self.most_parts = max(self.most_parts, len(parts))
        self._heads |= {squashed, *parts}
        for table, key in zip(
            self._tables, (squashed, _loose(squashed), _alike(squashed)), strict=True
        ):
            table.setdefault(key, []).append(code)
        runs = _DIGITS.findall(squashed)
        if len(runs) == 1:
            self._digits.setdefault(_loose(runs[0]), []).append(code)

    def named(self, written: str, spaced: bool = False) -> tuple[str, ...]:
        """The own codes that ``written`` (letters and digits, folded) can name, or none.

        Letters in place of digits are forgiven only within one word ("to 7" is never T07).
        """
        keys = (written, _loose(written), *(() if spaced else (_alike(written),)))
        for table, key in zip(self._tables, keys, strict=False):
            if key in table:
                return tuple(table[key])
        return ()

    def exactly(self, written: str) -> str | None:
        """The own code spelled just so, if there is one and only one."""
        found = self._tables[0].get(written, [])
        return found[0] if len(found) == 1 else None

    def starts(self, letters: str) -> bool:
        """Whether an own code begins with these letters, so that they may be the half of it."""
        return letters in self._heads

    def numbered(self, digits: str) -> tuple[str, ...]:
        """The own codes whose only number this is: "7" may stand for H07."""
        return tuple(self._digits.get(_loose(digits), ()))


@lru_cache(maxsize=4096)
def codes_of(plots: tuple[str, ...]) -> Codes:
    """The codes of one sender; kept, for a phone writes again and again."""
    return Codes(plots)


def code_at(tokens: list[Token], at: int, codes: Codes) -> tuple[tuple[str, ...], int, str]:
    """Own codes named from token ``at`` on, how many tokens they take, and digits left over.

    Returns ((), 0, "") where none is named. The longest spelling wins. A space, or a glued dot,
    dash, slash, underscore or number sign, may stand between the parts.
    """
    written, best = "", ((), 0, "")  # type: tuple[str, tuple[tuple[str, ...], int, str]]
    parts, i, spaced = 0, at, False
    while i < len(tokens) and parts < codes.most_parts + 2:
        token = tokens[i]
        if token.shape == "mark":
            joined = token.text in "-./_#" and token.glued and i > at
            if not (joined and i + 1 < len(tokens) and tokens[i + 1].glued):
                break
            i += 1
            continue
        if token.shape == "number" and not token.text.isdigit():
            left = _cut(written, token.text, codes) if token.glued or parts == 1 else None
            return (left[0], i + 1 - at, left[1]) if left and parts else best
        done = parts >= codes.most_parts and not token.glued
        if done and (best[1] or not _apart(tokens, at, i)):
            break
        spaced = spaced or (parts > 0 and not token.glued)
        written += token.text
        parts += 1
        i += 1
        found = codes.named(written, spaced) if _sound(written, parts, codes) else ()
        if found:
            best = (found, i - at, "")
        elif parts > 1 and token.shape == "number" and not best[1]:
            left = _cut(written[: -len(token.text)], token.text, codes)
            if left and len(left[1]) < len(token.text):
                best = (left[0], i - at, left[1])
    return best


def _apart(tokens: list[Token], at: int, end: int) -> bool:
    """Whether a code is spelled out one by one, with a space after each ("h 0 7")."""
    spelled = tokens[at : end + 1]
    apart = not any(token.glued for token in spelled[1:])
    return apart and all(len(token.text) == 1 and token.shape != "mark" for token in spelled)


def _sound(written: str, parts: int, codes: Codes) -> bool:
    """A bare word or number is a code only when it is spelled just so and has a digit or letter."""
    if written.isdigit():
        return False
    return bool(_DIGITS.search(written)) or (codes.exactly(written) is not None and parts == 1)


def _cut(letters: str, digits: str, codes: Codes) -> tuple[tuple[str, ...], str] | None:
    """A code and a number written as one ("h0715", "h7.15"): where one own code alone begins it."""
    whole = re.match(r"[0-9]+", digits)
    head = whole.group() if whole else ""
    if len(head) < len(digits):
        found = codes.named(letters + head)
        if found:
            return found, digits[len(head) + 1 :]
    cuts = [(codes.exactly(letters + head[:k]), head[k:]) for k in range(1, min(len(head), 12))]
    fits = [(code, rest) for code, rest in cuts if code is not None]
    if len(fits) == 1 and fits[0][0] is not None:
        return (fits[0][0],), fits[0][1] + digits[len(head) :]
    return None
