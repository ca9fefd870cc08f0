# ruff: noqa: E501 - the tables read best with a line for each mistake
"""The rule book's files: an edit changes the advice, a mistake is answered with place and cure."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from gateway.agronomy.judge import judge
from gateway.flowfiles.reader import FlowError
from gateway.flowfiles.rules import FILES, digest_of, load_rulebook, rulebook_from_texts
from tests.agronomy.plots import FLOWS, PLOT, in_stage, reading


@pytest.fixture
def flows(tmp_path: Path) -> Path:
    for name in FILES:
        shutil.copy(FLOWS / name, tmp_path / name)
    return tmp_path


def edit(flows: Path, name: str, old: str, new: str) -> None:
    text = (flows / name).read_text(encoding="utf-8")
    assert old in text, f"{name} no longer holds {old!r}"
    (flows / name).write_text(text.replace(old, new, 1), encoding="utf-8")


def once(stage: str, level: float):  # type: ignore[no-untyped-def]
    case = in_stage(stage)
    return replace(case, events=(reading(case.as_of, level),))


@pytest.mark.parametrize(
    ("name", "old", "new", "stage", "level", "before", "after"),
    [
        ("practice.yaml", "threshold_cm: -15", "threshold_cm: -10", "tillering", -12, "wait", "reflood"),
        ("practice.yaml", "top_up_cm: 2", "top_up_cm: 3", "flowering", 2.5, "keep-flooded", "top-up"),
        ("practice.yaml", "too_deep_cm: 10", "too_deep_cm: 20", "tillering", 14, "let-out", "wait"),
        ("practice.yaml", "unanswered_days: 14", "unanswered_days: 4", "establishment", -4, "keep-flooded", "wait"),
        ("practice.yaml", "ripening_days: 30", "ripening_days: 50", "panicle", -4, "wait", "reflood"),
        ("practice.yaml", "window: {before_days: 7", "window: {before_days: 25", "panicle", -4, "wait", "reflood"),
        ("rules.yaml", "{name: above-threshold, then: wait}", "{name: above-threshold, then: ask}", "tillering", -4, "wait", "ask"),
        ("rules.yaml", "{stage: flowering, level_cm: {at_most: top-up}}", "{stage: flowering, level_cm: {at_most: 4}}", "flowering", 3.5, "keep-flooded", "top-up"),
    ],
    ids=["threshold", "top-up mark", "too deep", "start", "ripening", "window", "action", "range"],
)  # fmt: skip
def test_an_edited_number_changes_the_advice(
    flows: Path, name: str, old: str, new: str, stage: str, level: float, before: str, after: str
) -> None:
    case = once(stage, level)
    assert judge(case, load_rulebook(flows)).action == before
    edit(flows, name, old, new)
    assert judge(case, load_rulebook(flows)).action == after


def test_a_profile_changes_only_what_it_names(flows: Path) -> None:
    edit(
        flows,
        "practice.yaml",
        "profiles:\n",
        "profiles:\n  shallow:\n    water: {threshold_cm: -8, booting_threshold_cm: -8}\n",
    )
    book = load_rulebook(flows)
    case = once("tillering", -9)
    assert judge(case, book).action == "wait"
    assert judge(replace(case, plot=replace(PLOT, profile="shallow")), book).action == "reflood"
    shallow, usual = book.practices["shallow"], book.practice
    assert replace(shallow.water, threshold_cm=-15, booting_threshold_cm=-15) == usual.water
    assert (shallow.calendar, shallow.start, shallow.bars) == (
        usual.calendar,
        usual.start,
        usual.bars,
    )


def test_the_book_is_rebuilt_from_its_own_texts() -> None:
    book = load_rulebook(FLOWS)
    again = rulebook_from_texts(dict(book.files))
    assert again == book
    assert len(book.digest) == 64


def test_the_digest_tells_one_text_from_another(flows: Path) -> None:
    before = load_rulebook(flows).digest
    edit(flows, "rules.yaml", "decision table", "decision  table")
    assert load_rulebook(flows).digest != before
    assert digest_of({"a": "bc"}) != digest_of({"ab": "c"})


def test_a_text_that_was_not_kept_is_named() -> None:
    with pytest.raises(FlowError, match=r"rules\.yaml:1:1 .*missing"):
        rulebook_from_texts({"practice.yaml": ""})


MISTAKES = [
    ("rules.yaml", "stage: before-planting", "stag: before-planting", "stag: unknown fact; known: bar,"),
    ("rules.yaml", "stage: before-planting", "stage: before-lunch", "stage: need one of before-planting"),
    ("rules.yaml", "name: season-over", "name: before-planting", "name: the name 'before-planting' stands twice"),
    ("rules.yaml", "then: none", "then: nothing", "then: need one of none, keep-moist"),
    ("rules.yaml", "then: none", "than: none", "than: unknown key; known here: name, when, then"),
    ("rules.yaml", "at_most: too-dry", "at_most: bone-dry", "at_most: need a number or one of too-dry, threshold"),
    ("rules.yaml", "at_most: too-dry", "at_most: nan", "at_most: need at least -500"),
    ("rules.yaml", "{at_most: too-dry}", "{up_to: too-dry}", "up_to: unknown key; known here: at_least, above"),
    ("rules.yaml", "{at_most: too-dry}", "{}", "level_cm: need at least one of at_least, above"),
    ("rules.yaml", "{at_most: too-dry}", "{at_most: 4, below: 5}", "level_cm: need one bound a side"),
    ("rules.yaml", "{at_most: too-dry}", "{at_most: 4, above: 5}", "level_cm: no number lies in this range"),
    ("rules.yaml", "{at_most: too-dry}", "{above: surface, at_most: threshold}", "level_cm: no number lies in this range"),
    ("rules.yaml", "    act_within_days: 0", "    act_within_days: soon", "act_within_days: need a whole number of days, got 'soon'"),
    ("rules.yaml", "{name: above-threshold, then: wait}", "{name: above-threshold, when: {bar: none}, then: wait}", "the last row must have no condition"),
    ("rules.yaml", "rows:", "rows: []\nmore:", "more: unknown key"),
    ("rules.yaml", "  - {name: season-over", "  - {name: always, then: wait}\n  - {name: season-over", "row 'season-over' is never reached, 'always'"),
    ("rules.yaml", "  - name: flowering-dry", "  - {name: low, when: {level_cm: {at_most: top-up}}, then: wait}\n  - name: flowering-dry", "row 'flowering-dry' is never reached, 'low'"),
    ("practice.yaml", "threshold_cm: -15", "threshold_cm: deep", "threshold_cm: need a number of cm, got 'deep'"),
    ("practice.yaml", "threshold_cm: -15", "threshold_cm: 15", "must not lie above"),
    ("practice.yaml", "threshold_cm: -15", "treshold_cm: -15", "treshold_cm: unknown key; known here: threshold_cm"),
    ("practice.yaml", "  reproductive_days: 35\n", "", "the key reproductive_days is missing"),
    ("practice.yaml", "reproductive_days: 35", "reproductive_days: 35.5", "reproductive_days: need a whole number of days"),
    ("practice.yaml", "hold_days: 14", "hold_days: -2", "hold_days: need at least 0"),
    ("practice.yaml", "saline: keep-flooded", "saline: keep-wet", "saline: need one of keep-flooded, ask, limit, note"),
    ("practice.yaml", "raised_allowed: yes", "raised_allowed: perhaps", "raised_allowed: need one of yes, no"),
    ("practice.yaml", "start: {few_weeds_days: 14}", "starts: {few_weeds_days: 14}", "starts: unknown key"),
    ("practice.yaml", "heavy-clay: {last_irrigation_days: 18}", "heavy-clay: {last_irrigation_days: 10}", "last_irrigation_days of heavy-clay: need 18 to 30 days"),
    ("practice.yaml", "soil_unknown: {last_irrigation_days: 20}", "soil_unknown: {last_irrigation_days: 31}", "last_irrigation_days of soil_unknown: need 18 to 30 days"),
    ("practice.yaml", "optimum_c: 30", "optimum_c: 50", "need base_c below optimum_c below maximum_c"),
    ("practice.yaml", "usual_tmin_c: []", "usual_tmin_c: [20, 21]", "need twelve each, or none"),
    ("practice.yaml", "usual_tmin_c: []\n  usual_tmax_c: []", f"usual_tmin_c: {[30] * 12}\n  usual_tmax_c: {[20] * 12}", "must not lie above usual_tmax_c"),
    ("practice.yaml", "bar: saline}", "bar: salty}", "bar: need one of saline, acid-sulphate"),
    ("practice.yaml", "cold: no", "cold: perhaps", "cold: need one of yes, no"),
    ("practice.yaml", "in_holds: wait", "in_holds: never", "in_holds: need one of wait, shallow"),
    ("practice.yaml", "deep_share: 0.5", "deep_share: 5", "deep_share: need at least 0.05 and at most 1"),
    ("practice.yaml", "  products: {}", "  products: {some: {hold_days: 3}}", "the key reentry_hours is missing"),
    ("practice.yaml", "calendar:", "calendar: [", "not YAML"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "old", "new", "cure"),
    MISTAKES,
    ids=[
        f"{m[0].removesuffix('.yaml')}: {m[2].strip()[:40] or 'a key left out'}" for m in MISTAKES
    ],
)
def test_a_mistake_is_answered_with_its_place_and_cure(
    flows: Path, name: str, old: str, new: str, cure: str
) -> None:
    edit(flows, name, old, new)
    with pytest.raises(FlowError) as caught:
        load_rulebook(flows)
    assert caught.value.path == flows / name
    assert cure in caught.value.words
    assert str(caught.value).startswith(
        f"{flows / name}:{caught.value.line}:{caught.value.column} "
    )


def test_the_place_is_that_of_the_wrong_word(flows: Path) -> None:
    edit(flows, "practice.yaml", "threshold_cm: -15", "threshold_cm: deep")
    lines = (flows / "practice.yaml").read_text(encoding="utf-8").splitlines()
    with pytest.raises(FlowError) as caught:
        load_rulebook(flows)
    assert lines[caught.value.line - 1][caught.value.column - 1 :].startswith("deep")


@pytest.mark.parametrize("name", FILES)
def test_a_file_that_is_missing_or_empty_is_named(flows: Path, name: str) -> None:
    (flows / name).write_text("", encoding="utf-8")
    with pytest.raises(FlowError, match="the file is empty"):
        load_rulebook(flows)
    (flows / name).write_bytes(b"\xff\xfe")
    with pytest.raises(FlowError, match="need UTF-8"):
        load_rulebook(flows)
    (flows / name).unlink()
    with pytest.raises(FlowError, match="cannot be read"):
        load_rulebook(flows)
