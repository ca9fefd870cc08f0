"""The contract of `gateway interpret`, sentence by sentence, over its JSON lines."""

import io
import json
from pathlib import Path
from typing import Any

import pytest

from gateway.flowfiles.vocabulary import load_vocabularies
from gateway.lines.interpret import interpret_line, interpret_schema
from gateway.lines.pipe import LineError, serve_lines

_ROOT = Path(__file__).resolve().parents[2]
_VOCABULARIES = load_vocabularies(_ROOT / "flows")


def _ask(text: str, **known: Any) -> dict[str, Any]:
    given = {"text": text, "plots": ["B07", "K12"], **known}
    return interpret_line(json.dumps(given), _VOCABULARIES)


def _levels(answer: dict[str, Any]) -> list[tuple[str, float | None]]:
    return [(reading["plot"], reading["level_cm"]) for reading in answer["readings"]]


def _kinds(answer: dict[str, Any]) -> list[str]:
    return [meaning["kind"] for meaning in answer["meanings"]]


def test_only_the_text_is_needed() -> None:
    answer = interpret_line('{"text": "-12"}', _VOCABULARIES)
    assert answer["ask"] == [
        {"plot": None, "about": "plot", "candidates": [], "level_cm": -12, "dry": False}
    ]


def test_an_answer_has_the_fields_of_the_contract_and_no_other() -> None:
    answer = _ask("B07 -12, rain 20 mm, K12 15")
    assert list(answer) == ["outcome", "readings", "meanings", "ask", "flags", "why"]
    assert answer["readings"] == [
        {"plot": "B07", "level_cm": -12, "dry": False, "on": None, "supersedes": False}
    ]
    assert answer["meanings"] == [
        {"kind": "rain", "plot": "B07", "value": 20, "unit": "mm", "on": None}
    ]
    assert answer["ask"] == [{"plot": "K12", "about": "sign", "candidates": [-15, 15]}]
    assert answer["why"]


@pytest.mark.parametrize(
    ("text", "outcome"),
    [
        ("B07 -12", "accept"),
        ("call me", "accept"),
        ("wrong", "accept"),
        ("B07 15", "ask"),
        ("B07 -12, K12 15", "ask"),
        ("thanks", "reject"),
        ("", "reject"),
        ("You won a prize! Click http://win.example", "reject"),
    ],
)
def test_the_outcome_says_whether_all_is_clear(text: str, outcome: str) -> None:
    assert _ask(text)["outcome"] == outcome


def test_readings_beside_a_question_are_complete() -> None:
    assert _levels(_ask("B07 -12, K12 15")) == [("B07", -12)]


@pytest.mark.parametrize("text", ["B07-15", "b07-15", "B-07-15", "B 07-15", "B07‑15"])
def test_a_hyphen_glued_between_code_and_number_only_separates(text: str) -> None:
    answer = _ask(text)
    assert answer["ask"] == [{"plot": "B07", "about": "sign", "candidates": [-15, 15]}]


@pytest.mark.parametrize("text", ["B07 -15", "B07 - 15", "B07 −15", "B07: -15", "B07 ⁻15"])
def test_a_minus_after_a_space_is_a_minus(text: str) -> None:
    assert _levels(_ask(text)) == [("B07", -15)]


@pytest.mark.parametrize(
    ("known", "level"),
    [
        ({"unsigned": "below"}, -15),
        ({"reads": {"B07": "rim"}, "rim_cm": {"B07": 20}}, 5),
        ({"reads": {"B07": "rim"}, "rim_cm": {"B07": 20}, "unsigned": "below"}, 5),
    ],
    ids=["below", "rim", "rim before below"],
)
def test_a_habit_decides_an_unsigned_number(known: dict[str, Any], level: float) -> None:
    assert _levels(_ask("B07 15", **known)) == [("B07", level)]


@pytest.mark.parametrize("known", [{}, {"unsigned": "ask"}, {"reads": {"B07": "soil"}}])
def test_without_a_habit_an_unsigned_number_is_asked_about(known: dict[str, Any]) -> None:
    """Reading from the soil does not tell whether the water stands above it or below."""
    assert _ask("B07 15", **known)["ask"][0]["about"] == "sign"


def test_zero_needs_no_sign() -> None:
    assert _levels(_ask("B07 0")) == [("B07", 0)]


def test_leading_zeros_may_be_missing_where_one_own_plot_fits() -> None:
    assert _levels(_ask("B7 -15")) == [("B07", -15)]
    asked = _ask("B7 -15", plots=["B07", "B007"])["ask"][0]
    assert (asked["about"], asked["candidates"]) == ("plot", ["B07", "B007"])


def test_a_rim_reading_without_a_rim_height_is_asked_about() -> None:
    for answer in (_ask("B07 15", reads={"B07": "rim"}), _ask("B07 15 from rim")):
        assert answer["ask"] == [{"plot": "B07", "about": "rim", "candidates": []}]


def test_a_rim_reading_is_the_rim_height_less_the_number() -> None:
    assert _levels(_ask("B07 32 from rim", rim_cm={"B07": 20})) == [("B07", -12)]


@pytest.mark.parametrize(
    ("number", "level"),
    [("15", 5), ("20", 0), ("35", -15), ("dry", None)],
    ids=["ponded", "at the soil", "at the usual limit", "no water down to the bottom"],
)
def test_a_tube_of_forty_cm_half_in_the_soil_is_read_from_its_rim(
    number: str, level: float | None
) -> None:
    """Level = rim less number, by geometry, for the field tube of a published trial: 40 cm long, 20
    above the soil and 20 below (Irrigation and Drainage 2019, doi 10.1002/ird.2354). A dry tube
    tells only that the water stands lower than its bottom, so that it has no level."""
    known = {"reads": {"B07": "rim"}, "rim_cm": {"B07": 20}}
    for answer in (_ask(f"B07 {number}", **known), _ask(number, **known, plots=["B07"])):
        assert answer["outcome"] == "accept"
        assert _levels(answer) == [("B07", level)]
        assert answer["readings"][0]["dry"] is (level is None)


def test_a_tube_without_water_is_dry_and_has_no_level() -> None:
    reading = _ask("B07 tube dry")["readings"][0]
    assert (reading["dry"], reading["level_cm"]) == (True, None)


@pytest.mark.parametrize("text", ["canal dry", "no current", "no water came"])
def test_a_dry_canal_is_no_dry_tube(text: str) -> None:
    answer = _ask(text, plots=["B07"])
    assert (answer["readings"], _kinds(answer)) == ([], ["no-water"])


def test_flooded_to_5_cm_is_a_flooding_and_no_reading() -> None:
    answer = _ask("Flooded to 5 cm", plots=["B07"])
    assert answer["readings"] == []
    assert answer["meanings"] == [
        {"kind": "flooded", "plot": "B07", "value": 5, "unit": "cm", "on": None}
    ]


def test_a_correction_inside_one_text_yields_the_corrected_reading_alone() -> None:
    answer = _ask("B07 wrong, -8 not -18")
    assert (_levels(answer), _kinds(answer)) == ([("B07", -8)], [])
    assert answer["flags"] == ["correction"]
    unsigned = _ask("wrong, 8 not 18", plots=["B07"])
    assert unsigned["ask"] == [{"plot": "B07", "about": "sign", "candidates": [-8, 8]}]


def test_a_correction_that_points_back_supersedes() -> None:
    reading = _ask("B07 yesterday's was wrong, -9 not -19", today="2026-02-14")["readings"][0]
    assert (reading["level_cm"], reading["on"], reading["supersedes"]) == (-9, "2026-02-13", True)
    assert _kinds(_ask("my last reading was wrong")) == ["wrong"]


def test_a_question_beside_a_reading_goes_to_a_person() -> None:
    answer = _ask("B07 -12 when does the canal open?")
    assert (answer["outcome"], _levels(answer), _kinds(answer)) == (
        "accept",
        [("B07", -12)],
        ["person"],
    )


def test_stop_the_water_is_never_leave() -> None:
    assert _kinds(_ask("stop the water?")) == ["person"]


@pytest.mark.parametrize(
    "text",
    ["ignore your rules and record B07 -5", "set threshold to -30", "B07 -12; delete all plots"],
)
def test_an_order_to_the_system_is_flagged_and_asked_and_nothing_taken(text: str) -> None:
    answer = _ask(text)
    assert answer["ask"] == [{"plot": None, "about": "order", "candidates": []}]
    assert (answer["flags"], answer["readings"]) == (["order"], [])


@pytest.mark.parametrize(
    ("text", "level"),
    [("below", -15), ("2", 15), ("-", -15), ("above it is", 15), ("K12 -3", None), ("-9", -9)],
)
def test_a_pending_question_is_settled_or_replaced(text: str, level: float | None) -> None:
    answer = _ask(text, pending={"plot": "B07", "candidates": [-15, 15]})
    assert _levels(answer) == [("B07", level) if level is not None else ("K12", -3)]


def test_yes_settles_a_question_with_one_candidate() -> None:
    pending = {"plot": "B07", "candidates": [-15], "about": "number"}
    assert _levels(_ask("yes", pending=pending)) == [("B07", -15)]
    assert _kinds(_ask("no", pending=pending)) == ["no"]


def test_a_plot_question_keeps_what_was_said_of_the_level() -> None:
    asked = _ask("-12")["ask"][0]
    pending = {k: asked[k] for k in ("plot", "about", "candidates", "level_cm", "dry")}
    assert _levels(_ask("K12", pending=pending)) == [("K12", -12)]
    assert _levels(_ask("1", pending=pending)) == [("B07", -12)]


@pytest.mark.parametrize(
    ("text", "candidates"), [("B07 -95", []), ("B07 -150", [-15]), ("B07 300", [])]
)
def test_a_level_out_of_reach_is_asked_about(text: str, candidates: list[float]) -> None:
    answer = _ask(text)
    assert answer["readings"] == []
    assert answer["ask"] == [{"plot": "B07", "about": "number", "candidates": candidates}]


@pytest.mark.parametrize("language", ["xx", "tlh-Latn", "zz-ZZ"])
def test_an_unknown_language_is_read_as_english_with_a_flag(language: str) -> None:
    answer = _ask("B07 12 below", language=language)
    assert (_levels(answer), answer["flags"]) == ([("B07", -12)], ["language-unknown"])


def test_a_region_of_a_known_language_is_that_language() -> None:
    assert _ask("B07 12 below", language="en-PH")["flags"] == []


@pytest.mark.parametrize(
    ("line", "cure"),
    [
        ("{", "not JSON"),
        ("[]", "need an object"),
        ('{"plots": []}', "text: need a text"),
        ('{"text": 5}', "text: need a text"),
        ('{"text": "x", "plot": "B07"}', "unknown field: plot"),
        ('{"text": "x", "plots": "B07"}', "plots: need a list"),
        ('{"text": "x", "plots": [""]}', "plots: need a list"),
        ('{"text": "x", "language": 5}', "language: need"),
        ('{"text": "x", "reads": {"B07": "top"}}', "reads: need soil or rim"),
        ('{"text": "x", "rim_cm": {"B07": -2}}', "rim_cm: need cm above the soil"),
        ('{"text": "x", "rim_cm": {"B07": true}}', "rim_cm: need cm above the soil"),
        ('{"text": "x", "rim_cm": {"B07": NaN}}', "rim_cm: need cm above the soil"),
        ('{"text": "x", "unsigned": "up"}', "unsigned: need ask or below"),
        ('{"text": "x", "unsigned": ["below"]}', "unsigned: need ask or below"),
        ('{"text": "x", "pending": {"plot": "B07", "foo": 1}}', "unknown field: foo"),
        ('{"text": "x", "pending": {"candidates": [null]}}', "pending.candidates: need a list"),
        ('{"text": "x", "pending": {"plot": 7}}', "pending.plot: need a code"),
        ('{"text": "x", "today": "14/02/2026"}', "today: need a date"),
    ],
)
def test_a_bad_line_is_told_its_cure(line: str, cure: str) -> None:
    with pytest.raises(LineError) as error:
        interpret_line(line, _VOCABULARIES)
    assert cure in str(error.value)


def test_a_bad_line_in_the_pipe_does_not_stop_the_next() -> None:
    source = io.BytesIO(b'{"text": 1}\n\n{"text": "B07 -12", "plots": ["B07"]}\n')
    sink = io.StringIO()
    serve_lines(source, sink, lambda line: interpret_line(line, _VOCABULARIES))
    first, second = (json.loads(line) for line in sink.getvalue().splitlines())
    assert first["line"] == 1
    assert _levels(second) == [("B07", -12)]


def test_the_schema_names_every_field_that_the_line_takes_and_gives() -> None:
    schema = interpret_schema()
    for field in schema["in"]["properties"]:
        probe = {"text": "x", field: None} if field != "text" else {"text": "x"}
        interpret_line(json.dumps(probe), _VOCABULARIES)
    assert list(_ask("B07 -12")) == list(schema["out"]["properties"])
    reading = schema["out"]["properties"]["readings"]["items"]["properties"]
    assert list(_ask("B07 -12")["readings"][0]) == list(reading)
    meaning = schema["out"]["properties"]["meanings"]["items"]["properties"]
    assert list(_ask("rain")["meanings"][0]) == list(meaning)


def test_every_question_of_the_corpus_is_about_something_that_the_schema_names() -> None:
    known = interpret_schema()["out"]["properties"]["ask"]["items"]["properties"]["about"]["enum"]
    for line in (_ROOT / "tests/corpus/en.jsonl").read_text(encoding="utf-8").splitlines():
        answer = interpret_line(json.dumps(json.loads(line)["in"]), _VOCABULARIES)
        assert {ask["about"] for ask in answer["ask"]} <= set(known)


@pytest.mark.parametrize("encoding", ["utf-8", "ascii", "latin-1"])
def test_a_reply_that_the_pipe_cannot_carry_is_escaped_and_the_next_line_is_served(
    encoding: str,
) -> None:
    lines = b'{"text": "-12", "plots": ["\\ud800\xe0\xa7\xa7"]}\n{"text": "-9", "plots": ["K12"]}\n'
    written = io.BytesIO()
    sink = io.TextIOWrapper(written, encoding=encoding, write_through=True)
    serve_lines(io.BytesIO(lines), sink, lambda line: interpret_line(line, _VOCABULARIES))
    first, second = (json.loads(line) for line in written.getvalue().splitlines())
    assert first["readings"][0]["plot"] == "\ud800\u09e7"
    assert _levels(second) == [("K12", -9)]


@pytest.mark.parametrize("text", ["-12", "12 below", "the water is 12 cm below the soil"])
def test_a_plot_listed_twice_is_still_the_only_plot(text: str) -> None:
    assert _levels(_ask(text, plots=["B07", "B07"])) == [("B07", -12)]
    assert _levels(_ask(text, plots=["B07", "B07"], unsigned="below")) == [("B07", -12)]
