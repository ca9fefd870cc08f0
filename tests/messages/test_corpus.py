"""Invented texts as growers write them, with what a careful human would understand.

``en.jsonl`` was written before the parser; ``en-second-look.jsonl`` was tried on it afterwards,
read answer by answer, and keeps what was found right. ``en-blind.jsonl`` and
``en-third-look.jsonl`` were written by second and third pairs of eyes that had not seen the parser,
``en-fresh.jsonl`` by one more when it had grown, ``en-again.jsonl`` by yet another.
In them a list stands for any of its values, a part that is left out is not looked at, ``may_read``
holds readings that may be taken but need not, ``never`` kinds that must not be heard; some lines
are beyond the parser and are asked back.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from gateway.flowfiles.vocabulary import load_vocabularies
from gateway.lines.interpret import interpret_line
from tests.messages.corpora import cases_of, differences

_ROOT = Path(__file__).resolve().parents[2]
_VOCABULARIES = load_vocabularies(_ROOT / "flows")
_LEAST_AS_EXPECTED = 0.95


_CORPUS = cases_of("en.jsonl", "en-second-look.jsonl")
_BLIND = (
    "en-blind.jsonl",
    "en-third-look.jsonl",
    "en-fresh.jsonl",
    "en-again.jsonl",
    "en-fifth.jsonl",
    "en-sealed.jsonl",
    "en-sixth.jsonl",
)


def _name(case: dict[str, Any]) -> str:
    return ascii(case["in"]["text"])[:60] + ("" if "pending" not in case["in"] else " (answer)")


@pytest.mark.parametrize("case", _CORPUS, ids=_name)
def test_a_text_means_what_a_careful_human_would_say(case: dict[str, Any]) -> None:
    got = interpret_line(json.dumps(case["in"]), _VOCABULARIES)
    assert not differences(case["out"], got), got


@pytest.mark.parametrize("file", _BLIND)
def test_texts_of_a_writer_who_had_not_seen_the_parser_are_understood(file: str) -> None:
    """No wrong reading and no unwanted leaving is taken; at least 95 % are as expected."""
    cases = cases_of(file)
    found = [(case, interpret_line(json.dumps(case["in"]), _VOCABULARIES)) for case in cases]
    differing = [(c["in"]["text"], d) for c, got in found if (d := differences(c["out"], got))]
    grave = ("unexpected readings", "heard ")
    assert not [one for one in differing if any(d.startswith(grave) for d in one[1])]
    assert len(differing) <= (1 - _LEAST_AS_EXPECTED) * len(cases), differing
