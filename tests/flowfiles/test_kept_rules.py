"""Rules kept with an advice are read also where today's program asks for more, or for less."""

from pathlib import Path

import pytest

from gateway.advisory.errors import PapersOutlived
from gateway.flowfiles.kept import rules_of_then
from gateway.flowfiles.rules import digest_of
from tests.agronomy.plots import book

PRACTICE = "practice.yaml"


def kept(*changes: tuple[str, str]) -> dict[str, str]:
    """Today's rules with some of their practice written otherwise."""
    text = book().files[PRACTICE]
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return {**book().files, PRACTICE: text}


def test_rules_that_are_still_whole_are_read_as_they_are() -> None:
    files = kept(("  threshold_cm: -15 ", "  threshold_cm: -12 "))
    found = rules_of_then("", files, book().files)
    assert (found.filled, found.left_out) == ((), ())
    assert found.book.practice.water.threshold_cm == -12
    assert found.book.digest == digest_of(files)


def test_what_they_lack_is_todays_and_named_and_all_else_stays_theirs() -> None:
    files = kept(
        ("  missed_days: 7 ", "  # missed_days "), ("  threshold_cm: -15 ", "  threshold_cm: -12 ")
    )
    found = rules_of_then("", files, book().files)
    assert found.filled == ("nitrogen.missed_days",)
    assert found.book.practice.nitrogen.missed_days == book().practice.nitrogen.missed_days
    assert found.book.practice.water.threshold_cm == -12
    assert found.book.digest == digest_of(files)  # they stay the rules of that day


def test_a_whole_part_may_be_missing() -> None:
    text = book().files[PRACTICE]
    before, after = text.split("\nlosses:\n")
    rest = after[after.index("\nsupply:") :]
    found = rules_of_then("", {**book().files, PRACTICE: before + rest}, book().files)
    assert found.filled == ("losses",)


def test_soils_that_the_office_struck_out_are_not_put_back() -> None:
    files = kept(("  silt: {last_irrigation_days: 20}\n", ""), ("  missed_days: 7 ", "  # gone "))
    found = rules_of_then("", files, book().files)
    assert "silt" not in found.book.practice.soils
    assert found.filled == ("nitrogen.missed_days",)


def test_a_profile_takes_what_it_does_not_say_from_its_own_day() -> None:
    files = kept(
        ("    start: {few_weeds_days: 14}\n", ""),
        ("  few_weeds_days: 7 ", "  few_weeds_days: 9 "),
        ("  missed_days: 7 ", "  # gone "),
    )
    found = rules_of_then("", files, book().files)
    assert found.book.practice_of("first-season").start.few_weeds_days == 9


def test_what_is_read_no_more_is_left_out_and_named() -> None:
    files = kept(("  missed_days: 7 ", "  missed_days: 7\n  phase_of_moon: 3 "))
    found = rules_of_then("", files, book().files)
    assert (found.filled, found.left_out) == ((), ("nitrogen.phase_of_moon",))


@pytest.mark.parametrize(
    "files",
    [
        pytest.param({"rules.yaml": "rows: []"}, id="no practice"),
        pytest.param(kept(("  missed_days: 7 ", "  missed_days: often ")), id="no number"),
        pytest.param({**book().files, "rules.yaml": "rows: []"}, id="no rows"),
        pytest.param({**book().files, PRACTICE: "["}, id="no YAML"),
    ],
)
def test_what_cannot_be_read_even_so_is_said_in_words(files: dict[str, str]) -> None:
    with pytest.raises(PapersOutlived, match="the rules of that day cannot be read") as said:
        rules_of_then("abc", files, book().files)
    assert said.value.digest == "abc"


def test_every_practice_can_be_read_without_any_one_key_of_it(tmp_path: Path) -> None:
    """Whatever key is added to the practice, advice from before it can be explained."""
    lines = book().files[PRACTICE].splitlines(keepends=True)
    starts = [n for n, line in enumerate(lines) if line[0].isalpha()]
    for n, start in enumerate(starts):
        name = lines[start].split(":")[0]
        if name in ("profiles", "soils", "bars"):
            continue
        end = starts[n + 1] if n + 1 < len(starts) else len(lines)
        files = {**book().files, PRACTICE: "".join(lines[:start] + lines[end:])}
        assert name in rules_of_then("", files, book().files).filled
