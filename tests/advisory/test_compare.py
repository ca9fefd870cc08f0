"""A changed file of rules shows which plots would get other advice, before it goes live."""

from datetime import timedelta
from pathlib import Path

import pytest

from gateway.advisory.compare import Compare, Comparison
from gateway.flowfiles.rules import rulebook_from_texts
from gateway.lines.compare import comparison_text
from tests.agronomy.plots import book
from tests.houses import READER, TestHouse


def changed(old: str, new: str, file: str = "practice.yaml") -> dict[str, str]:
    files = dict(book().files)
    assert files[file].count(old) == 1
    return files | {file: files[file].replace(old, new)}


def against(home: TestHouse, files: dict[str, str]) -> Comparison:
    compare = Compare(home.house.store, home.house.clock)
    return compare(home.scheme_id, book(), rulebook_from_texts(files))


@pytest.fixture
def read(home: TestHouse) -> TestHouse:
    """H07 with panicles forming at 12 below, K01 in flower at 4 above, M02 harvested long ago."""
    home.add_plot("K01", READER, planted_days_ago=70)
    home.add_plot("M02", READER, planted_days_ago=200)
    home.text(READER, "H07 BELOW 12")
    home.clock.move(timedelta(minutes=5))
    home.text(READER, "K01 ABOVE 4")
    return home


def test_the_same_rules_change_nothing(read: TestHouse) -> None:
    assert against(read, dict(book().files)).changes == ()


def test_a_cautious_threshold_shows_the_plot_that_would_be_irrigated(read: TestHouse) -> None:
    found = against(read, changed("  threshold_cm: -15 ", "  threshold_cm: -10 "))
    assert [change.before.plot for change in found.changes] == ["H07"]
    assert (found.changes[0].before.action, found.changes[0].after.action) == ("wait", "reflood")
    words = comparison_text(found)
    assert words.startswith("1 of ")
    assert "  1 x wait -> reflood\n" in words
    assert "H07: wait (above-threshold) in panicle, dry limit -15 cm" in words
    assert "-> reflood (threshold-reached) in panicle, fill to 5 cm, act by 2026-03-11" in words


def test_a_deeper_filling_shows_only_where_water_is_asked_for(read: TestHouse) -> None:
    found = against(read, changed("  flood_to_cm: 5\n", "  flood_to_cm: 6\n"))
    assert [change.before.plot for change in found.changes] == ["K01"]
    assert "K01: keep-flooded (flowering-ponded) in flowering: fill to 5 cm -> 6 cm" in (
        comparison_text(found)
    )


def test_a_row_under_a_new_name_is_other_advice(read: TestHouse) -> None:
    files = changed("name: flowering-ponded", "name: flowering-wet", "rules.yaml")
    found = against(read, files)
    assert [change.after.reasons[0] for change in found.changes] == ["flowering-wet"]


def test_nothing_is_kept_by_comparing(read: TestHouse, tmp_path: Path) -> None:
    with read.house.store.begin(write=False) as unit:
        plot = unit.schemes.plot_id(read.scheme_id, "H07")
        before = unit.advices.latest(plot)
    against(read, changed("  threshold_cm: -15 ", "  threshold_cm: -10 "))
    with read.house.store.begin(write=False) as unit:
        assert unit.advices.latest(plot) == before
