"""Slips of the pen: which known word a misspelt one meant, where only one can be meant."""

from functools import lru_cache

from gateway.messages.vocabulary import NEVER_BY_SLIP, STRICT, Term, Vocabulary

_LONG = 9
_SHORTEST_STEM = 3


def meant(word: str, vocabulary: Vocabulary) -> str:
    """The word itself where it is known, else the one known word that it is a slip of.

    A slip keeps the first letter. One letter may be missing, doubled, wrong or swapped; in words
    of nine letters and more two of them, unless the word tells where the water stands: in shorter
    ones two lead from one common word to another ("having", "heading"). Nothing is guessed when
    two words of different meaning are as near, or when the near one is barred. What
    any word may carry at either end ("airnya", "d'escargots") goes first.
    """
    if word in vocabulary.known or word in vocabulary.skip or not 4 <= len(word) <= 20:
        return word
    stem = _stem(word, vocabulary)
    if stem is not None:
        return stem
    near: dict[str, int] = {}
    for target in vocabulary.slips.get(word[0], ()):
        bare = target.lstrip()
        if abs(len(bare) - len(word)) <= 2:
            slips = _distance(word, bare)
            if slips <= _allowed(bare, vocabulary):
                near[target] = slips
    return _only(near, vocabulary) or word


def _stem(word: str, vocabulary: Vocabulary) -> str | None:
    """The known word within; never one that a slip could not lead to, nor one that says where."""
    shorter = [word.removesuffix(ending) for ending in vocabulary.endings]
    shorter += [word.removeprefix(beginning) for beginning in vocabulary.beginnings]
    for stem in shorter:
        if stem != word and len(stem) >= _SHORTEST_STEM and stem in vocabulary.known:
            term = _term(stem, vocabulary)
            return None if term is not None and term.role in (*STRICT, *NEVER_BY_SLIP) else stem
    return None


def _only(near: dict[str, int], vocabulary: Vocabulary) -> str | None:
    best = [target for target, slips in near.items() if slips == min(near.values())]
    if not best or any(target.startswith(" ") for target in best):
        return None
    meanings = {_term(target, vocabulary) for target in best}
    if len(best) > 1 and (len(meanings) > 1 or None in meanings):
        return None
    longest = max(best, key=len)
    return longest if len(longest) >= 5 else None


def _term(word: str, vocabulary: Vocabulary) -> Term | None:
    found: Term | None = vocabulary.phrases.get(word, {}).get("")
    return found


def _allowed(target: str, vocabulary: Vocabulary) -> int:
    term = _term(target, vocabulary)
    strict = term is not None and term.role in STRICT
    return 1 if strict or len(target) < _LONG else 2


@lru_cache(maxsize=8192)
def _distance(a: str, b: str) -> int:
    """Letters to add, drop, change or swap to turn ``a`` into ``b`` (optimal string alignment)."""
    before: list[int] = []
    row = list(range(len(b) + 1))
    for i, left in enumerate(a, start=1):
        older, before, row = before, row, [i]
        for j, right in enumerate(b, start=1):
            cost = min(before[j] + 1, row[-1] + 1, before[j - 1] + (left != right))
            if i > 1 and j > 1 and left == b[j - 2] and a[i - 2] == right:
                cost = min(cost, older[j - 2] + 1)
            row.append(cost)
    return row[-1]
