"""Short forms of a phone's small keys, written out: "wtr undr d soil", "dua2nya", "2big"."""

import re

from gateway.messages.codes import Codes
from gateway.messages.vocabulary import Vocabulary

_RUN = re.compile(r"[^\W_]+")
_NUMBERED = re.compile(r"[-./#_ ]?[0-9]")
_COUNTED = re.compile(r"[0-9] ?\Z")


def written_out(folded: str, codes: Codes, vocabulary: Vocabulary) -> str:
    """A folded text, each short form that the language knows written as the word it stands for.

    What may be a plot of the sender stays as it is, and so does a lone letter beside a number.
    """
    forms = vocabulary.short
    if not forms or forms.keys().isdisjoint(runs := _RUN.findall(folded)):
        return folded
    own = {run for run in runs if run in forms and codes.starts(run)}

    def full(run: re.Match[str]) -> str:
        word = run.group()
        if word not in forms or word in own or (len(word) == 1 and _beside_number(folded, run)):
            return word
        return forms[word]

    return _RUN.sub(full, folded)


def _beside_number(folded: str, run: re.Match[str]) -> bool:
    numbered = _NUMBERED.match(folded, run.end())
    return bool(numbered or _COUNTED.search(folded, max(0, run.start() - 2), run.start()))
