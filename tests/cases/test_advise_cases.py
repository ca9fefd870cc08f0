"""Cases made by hand, put to the real ``gateway advise``: what an agronomist would say to each.

Each line of the files beside this one is ``{"case": the line as it is sent, "expect": {...},
"says": the sentence of an agronomist}``. ``office`` names settings that the office has changed.
The files ``second-eye-*`` were judged by somebody who had not seen the rules.
Expected are ``stage``, ``action`` (one, or several that are equally right), ``reasons_include``,
``reasons_exclude``, ``next_reading_on`` (null, or first and last day), numbers by their name
(one, or the least and the most),
``has_water`` and ``never_water``, ``hours_of`` (area in ha, outlet in L/s), ``text_en`` and
``text_en_not``; or ``error``, words that the answer to a mistake must hold.
"""

import json
from collections import Counter
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from gateway.agronomy.advice import Advice
from gateway.agronomy.rules import RuleBook
from gateway.flowfiles.catalogues import load_catalogues
from gateway.flowfiles.rules import load_rulebook, rulebook_from_texts
from gateway.lines.advise import advise_line
from gateway.lines.pipe import LineError
from gateway.messages.wording import word_advice

HERE, ROOT = Path(__file__).parent, Path(__file__).parents[2]
OFFICE = {
    "cold": ("  cold: no", "  cold: yes"),
    "heat": ("  heat: no", "  heat: yes"),
    "fertilise-in-holds": ("  in_holds: wait", "  in_holds: shallow"),
    "usual-weather": (
        "  usual_tmin_c: []\n  usual_tmax_c: []",
        f"  usual_tmin_c: {[20] * 12}\n  usual_tmax_c: {[30] * 12}",
    ),
    "product": (
        "  products: {}",
        "  products: {greenkill: {hold_days: 5, reentry_hours: 24, keep_cm: 3}}",
    ),
}
LINES = [
    (f"{path.stem} {number}: {line['says']}", line)
    for path in sorted(HERE.glob("*.jsonl"))
    for number, line in enumerate(
        map(json.loads, path.read_text(encoding="utf-8").splitlines()), start=1
    )
]
CASES = [pytest.param(line, id=name) for name, line in LINES if "error" not in line["expect"]]
MISTAKES = [pytest.param(line, id=name) for name, line in LINES if "error" in line["expect"]]
NUMBERS = ("flood_to_cm", "water_mm", "water_m3", "hours")


@cache
def book(changed: tuple[str, ...]) -> RuleBook:
    """The shipped rule book with what an office has changed in its practice."""
    shipped = load_rulebook(ROOT / "flows")
    practice = shipped.files["practice.yaml"]
    for name in changed:
        old, new = OFFICE[name]
        assert practice.count(old) == 1
        practice = practice.replace(old, new)
    return rulebook_from_texts({**shipped.files, "practice.yaml": practice})


@cache
def catalogues() -> Any:
    return load_catalogues(ROOT / "locales")


def words(advice: Advice) -> dict[str, str]:
    return {code: word_advice(advice, words) for code, words in catalogues().items()}


def reply(line: dict[str, Any]) -> dict[str, Any]:
    rules = book(tuple(line.get("office", ())))
    return advise_line(json.dumps(line["case"], ensure_ascii=False), rules, words)


def several(expected: str | list[str]) -> list[str]:
    return expected if isinstance(expected, list) else [expected]


def is_as(found: float | None, expected: float | list[float] | None) -> bool:
    """Whether a number is the expected one to a tenth, or lies between the least and the most."""
    if found is None or expected is None:
        return found is expected
    least, most = expected if isinstance(expected, list) else (expected, expected)
    return least - 0.1 <= found <= most + 0.1


def test_there_are_200_cases_and_each_says_something_of_its_own() -> None:
    assert len(LINES) >= 200
    assert [said for said, n in Counter(line["says"] for _, line in LINES).items() if n > 1] == []
    actions = {
        line["expect"].get("action")
        for _, line in LINES
        if isinstance(line["expect"].get("action"), str)
    }
    assert len(actions) == 13


@pytest.mark.parametrize("line", CASES)
def test_the_advice_is_what_an_agronomist_would_say(line: dict[str, Any]) -> None:
    found, expect = reply(line), line["expect"]
    assert found["stage"] in several(expect["stage"]), found
    assert found["action"] in several(expect["action"]), found
    assert set(expect["reasons_include"]) <= set(found["reasons"]), found["reasons"]
    assert not set(expect.get("reasons_exclude", ())) & set(found["reasons"]), found["reasons"]
    for name in NUMBERS:
        if name in expect:
            assert is_as(found[name], expect[name]), (name, found)
    if "next_reading_on" in expect:
        days, day = expect["next_reading_on"], found["next_reading_on"]
        assert day is None if days is None else days[0] <= day <= days[1], day


@pytest.mark.parametrize("line", CASES)
def test_water_and_words_agree_with_the_advice(line: dict[str, Any]) -> None:
    found, expect = reply(line), line["expect"]
    if expect.get("has_water"):
        assert found["water_mm"] > 0
        assert found["water_m3"] > 0
    if expect.get("never_water"):
        assert found["water_mm"] is None
    if "hours_of" in expect:  # t = V / (3.6 Q), FAO Irrigation Water Management Training Manual 6
        area, outlet = expect["hours_of"]
        assert found["water_m3"] == pytest.approx(10 * area * found["water_mm"], abs=0.1)
        assert found["hours"] == pytest.approx(found["water_m3"] / (3.6 * outlet), abs=0.01)
    for piece in expect.get("text_en", ()):
        assert piece in found["text"]["en"]
    for piece in expect.get("text_en_not", ()):
        assert piece not in found["text"]["en"]


@pytest.mark.parametrize("line", MISTAKES)
def test_a_mistake_is_named_with_its_cure(line: dict[str, Any]) -> None:
    with pytest.raises(LineError) as caught:
        reply(line)
    assert line["expect"]["error"] in str(caught.value)
