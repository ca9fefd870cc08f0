"""Invented texts as growers write them, with what a careful human would understand.

``en.jsonl`` was written before the parser; ``en-second-look.jsonl`` was tried on it afterwards,
read answer by answer, and keeps what was found right. ``en-blind.jsonl`` and
``en-third-look.jsonl`` were written by second and third pairs of eyes that had not seen the parser.
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

_ROOT = Path(__file__).resolve().parents[2]
_VOCABULARIES = load_vocabularies(_ROOT / "flows")
_FOLDER = _ROOT / "tests" / "corpus"
_LEAST_AS_EXPECTED = 0.95


def _cases(*names: str) -> list[dict[str, Any]]:
    lines = (line for n in names for line in (_FOLDER / n).read_text("utf-8").splitlines())
    return [json.loads(line) for line in lines]


_CORPUS = _cases("en.jsonl", "en-second-look.jsonl")
_BLIND = ("en-blind.jsonl", "en-third-look.jsonl")


def _name(case: dict[str, Any]) -> str:
    return ascii(case["in"]["text"])[:60] + ("" if "pending" not in case["in"] else " (answer)")


def _fits(found: dict[str, Any], wanted: dict[str, Any]) -> bool:
    def alike(key: str, value: Any) -> bool:
        any_of = isinstance(value, list) and key != "candidates"
        return found.get(key) in value if any_of else bool(found.get(key) == value)

    return all(alike(key, value) for key, value in wanted.items())


def _differences(expected: dict[str, Any], got: dict[str, Any]) -> list[str]:
    """Where ``got`` differs; each expected part lists only the fields that matter."""
    wrong = []
    if not _fits(got, {"outcome": expected["outcome"]}):
        wrong.append(f"outcome {got['outcome']}")
    for part in ("readings", "meanings", "ask"):
        if part not in expected:
            continue
        found = list(got[part])
        for one in expected[part]:
            one = {"dry": False, **one} if part == "readings" else one
            fits = [f for f in found if _fits(f, one)]
            if fits:
                found.remove(fits[0])
            else:
                wrong.append(f"missing {part} {one}")
        wrong += [f"unexpected {part} {f}" for f in found if not _may(part, f, expected)]
    never = set(expected.get("never", ())) & {m["kind"] for m in got["meanings"]}
    return wrong + [f"heard {kind}" for kind in never]


def _may(part: str, found: dict[str, Any], expected: dict[str, Any]) -> bool:
    allowed = expected.get("may_read", ()) if part == "readings" else ()
    return any(_fits(found, {"dry": False, **one}) for one in allowed)


@pytest.mark.parametrize("case", _CORPUS, ids=_name)
def test_a_text_means_what_a_careful_human_would_say(case: dict[str, Any]) -> None:
    got = interpret_line(json.dumps(case["in"]), _VOCABULARIES)
    assert not _differences(case["out"], got), got


@pytest.mark.parametrize("file", _BLIND)
def test_texts_of_a_writer_who_had_not_seen_the_parser_are_understood(file: str) -> None:
    """No wrong reading and no unwanted leaving is taken; at least 95 % are as expected."""
    cases = _cases(file)
    found = [(case, interpret_line(json.dumps(case["in"]), _VOCABULARIES)) for case in cases]
    differing = [(c["in"]["text"], d) for c, got in found if (d := _differences(c["out"], got))]
    grave = ("unexpected readings", "heard ")
    assert not [one for one in differing if any(d.startswith(grave) for d in one[1])]
    assert len(differing) <= (1 - _LEAST_AS_EXPECTED) * len(cases), differing
