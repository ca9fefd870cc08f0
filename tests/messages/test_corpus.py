"""Invented texts as growers write them, with what a careful human would understand.

``en.jsonl`` was written before the parser; ``en-second-look.jsonl`` was tried on it afterwards,
read answer by answer, and keeps what was found right.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from gateway.flowfiles.vocabulary import load_vocabularies
from gateway.lines.interpret import interpret_line

_ROOT = Path(__file__).resolve().parents[2]
_VOCABULARIES = load_vocabularies(_ROOT / "flows")
_CORPUS = [
    json.loads(line)
    for path in sorted((_ROOT / "tests" / "corpus").glob("*.jsonl"))
    for line in path.read_text(encoding="utf-8").splitlines()
]


def _name(case: dict[str, Any]) -> str:
    return ascii(case["in"]["text"])[:60] + ("" if "pending" not in case["in"] else " (answer)")


def _differences(expected: dict[str, Any], got: dict[str, Any]) -> list[str]:
    """Where ``got`` differs; each expected part lists only the fields that matter."""
    wrong = []
    if got["outcome"] != expected["outcome"]:
        wrong.append(f"outcome {got['outcome']}")
    for part in ("readings", "meanings", "ask"):
        wanted, found = expected[part], list(got[part])
        for one in wanted:
            one = {"dry": False, **one} if part == "readings" else one
            fits = [f for f in found if all(f.get(k) == v for k, v in one.items())]
            if fits:
                found.remove(fits[0])
            else:
                wrong.append(f"missing {part} {one}")
        wrong += [f"unexpected {part} {f}" for f in found]
    return wrong


@pytest.mark.parametrize("case", _CORPUS, ids=_name)
def test_a_text_means_what_a_careful_human_would_say(case: dict[str, Any]) -> None:
    got = interpret_line(json.dumps(case["in"]), _VOCABULARIES)
    assert not _differences(case["out"], got), got
