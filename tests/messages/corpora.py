"""The invented texts of each language, and how an answer is held against what was expected."""

import json
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).resolve().parents[1] / "corpus"
LANGUAGES = ("bn", "fil", "fr", "hi", "id", "vi")
"""Those beside English; each has a corpus written before a word of it was understood, one of texts
that tempt a hasty reader, written before its words were tried on them, and fresh ones of one more
writer who had not seen the parser, written when it had grown, and again of yet another."""

KINDS = ("blind", "second-look", "fresh", "again", "fifth", "sealed", "sixth")


def files_of(language: str) -> tuple[str, ...]:
    """The corpus files of a language beside English."""
    return tuple(f"{language}-{kind}.jsonl" for kind in KINDS)


FILES = tuple(name for language in LANGUAGES for name in files_of(language))


def cases_of(*names: str) -> list[dict[str, Any]]:
    """The lines of corpus files, one case each."""
    lines = (line for n in names for line in (FOLDER / n).read_text("utf-8").splitlines())
    return [json.loads(line) for line in lines]


def fits(found: dict[str, Any], wanted: dict[str, Any]) -> bool:
    """Whether all that is wanted is found; a list stands for any of its values."""

    def alike(key: str, value: Any) -> bool:
        any_of = isinstance(value, list) and key != "candidates"
        return found.get(key) in value if any_of else bool(found.get(key) == value)

    return all(alike(key, value) for key, value in wanted.items())


def differences(expected: dict[str, Any], got: dict[str, Any]) -> list[str]:
    """Where ``got`` differs; each expected part lists only the fields that matter."""
    wrong = []
    if not fits(got, {"outcome": expected["outcome"]}):
        wrong.append(f"outcome {got['outcome']}")
    for part in ("readings", "meanings", "ask"):
        if part not in expected:
            continue
        found = list(got[part])
        for one in expected[part]:
            one = {"dry": False, **one} if part == "readings" else one
            like = [f for f in found if fits(f, one)]
            if like:
                found.remove(like[0])
            else:
                wrong.append(f"missing {part} {one}")
        wrong += [f"unexpected {part} {f}" for f in found if not _may(part, f, expected)]
    never = set(expected.get("never", ())) & {m["kind"] for m in got["meanings"]}
    return wrong + [f"heard {kind}" for kind in never]


def _may(part: str, found: dict[str, Any], expected: dict[str, Any]) -> bool:
    allowed = expected.get("may_read", ()) if part == "readings" else ()
    return any(fits(found, {"dry": False, **one}) for one in allowed)
