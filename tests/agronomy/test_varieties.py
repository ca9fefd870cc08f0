"""The office's variety table, and what it does to a calendar."""

from dataclasses import replace
from pathlib import Path

import pytest

from gateway.agronomy.book import Event
from gateway.agronomy.season import Method, Season
from gateway.agronomy.stages import calendar_of
from gateway.agronomy.varieties import growth_of
from gateway.flowfiles.reader import FlowError, read_text
from gateway.flowfiles.rules import load_rulebook, rulebook_from_texts
from gateway.flowfiles.varieties import varieties_of
from tests.agronomy.plots import PLANTED, SEASON, book, days

TABLE = book().practice.varieties
RIPENING = book().practice.calendar.ripening_days


def grown(variety: str | None, method: Method = "transplanted", **more: object) -> Season:
    season = Season(method, PLANTED, variety=variety)
    return replace(season, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("season", "duration", "notes"),
    [
        (grown("medium", crop_season="wet"), 120, ("duration-from-variety",)),
        (grown(" MEDIUM ", crop_season="wet"), 120, ("duration-from-variety",)),
        (grown("medium", crop_season="cool"), 140, ("duration-from-variety",)),
        (grown("medium"), 120, ("duration-from-variety", "crop-season-unknown")),
        (grown("early"), 105, ("duration-from-variety",)),
        (grown("early", "wet-seeded"), 98, ("duration-from-variety",)),
        (grown("medium", "dry-seeded", crop_season="cool"), 133, ("duration-from-variety",)),
        (grown("late", duration_days=130), 130, ()),
        (grown("moonrise"), None, ("variety-unknown",)),
        (grown("moonrise", duration_days=130), 130, ()),
        (grown(None), None, ()),
        (grown("tall-local"), None, ("photoperiod-sensitive",)),
        (grown("tall-local", duration_days=150), None, ("photoperiod-sensitive",)),
        (grown("early", photoperiod_sensitive=True), None, ("photoperiod-sensitive",)),
        (grown("tall-local", photoperiod_sensitive=False, duration_days=150), 150, ()),
    ],
)
def test_a_duration_is_the_plots_own_or_the_tables(
    season: Season, duration: int | None, notes: tuple[str, ...]
) -> None:
    found = growth_of(season, TABLE, RIPENING)
    assert (found.duration_days, found.notes) == (duration, notes)


def test_a_variety_that_flowers_by_the_day_is_dated_by_its_heads() -> None:
    season = replace(SEASON, variety="tall-local")
    before = calendar_of(season, book().practice)
    assert (before.peak_on, before.stage_on(PLANTED + days(60))) == (None, "unknown")
    after = calendar_of(season, book().practice, [Event("heading", PLANTED + days(90))])
    assert after.peak_on == PLANTED + days(92)


def test_a_long_ripening_moves_flowering_not_maturity() -> None:
    table = {**TABLE, "medium": replace(TABLE["medium"], ripening_days=45)}
    practice = replace(book().practice, varieties=table)
    season = replace(SEASON, duration_days=None, variety="medium", crop_season="wet")
    usual, long = calendar_of(season, book().practice), calendar_of(season, practice)
    assert usual.peak_on is not None
    assert long.peak_on == usual.peak_on - days(15)
    assert long.harvest_on == usual.harvest_on
    assert long.last_irrigation_on == usual.last_irrigation_on  # as long before the harvest


@pytest.mark.parametrize(
    ("text", "cure"),
    [
        ("varieties: {a: {duration_days: {planted: 120}}}", "unknown key; known here"),
        ("varieties: {a: {duration_days: {transplanted: 12}}}", "at least 60"),
        ("varieties: {a: {}}", "need duration_days by method"),
        (
            "varieties:\n  a: {photoperiod_sensitive: yes, duration_days: {transplanted: 120}}",
            "has no duration",
        ),
        (
            "varieties:\n  A b: {photoperiod_sensitive: yes}\n  a-b: {photoperiod_sensitive: yes}",
            "stands twice",
        ),
        ("kinds: {}", "unknown key"),
        ("varieties: {a: {days: 120}}", "unknown key"),
    ],
)
def test_a_mistake_in_the_table_is_answered_with_its_cure(text: str, cure: str) -> None:
    with pytest.raises(FlowError) as caught:
        varieties_of(read_text(Path("flows/varieties.yaml"), text))
    assert cure in str(caught.value)
    assert str(caught.value).startswith("flows/varieties.yaml:")


def test_an_office_may_do_without_the_table(tmp_path: Path) -> None:
    for name in ("practice.yaml", "rules.yaml"):
        (tmp_path / name).write_text(book().files[name], "utf-8")
    bare = load_rulebook(tmp_path)
    assert bare.practice.varieties == {}
    assert set(bare.files) == {"practice.yaml", "rules.yaml"}
    assert bare.digest != book().digest
    assert rulebook_from_texts(bare.files).digest == bare.digest


def test_an_edit_of_the_table_changes_the_digest_and_the_dates() -> None:
    text = book().files["varieties.yaml"].replace("transplanted: 105,", "transplanted: 100,")
    edited = rulebook_from_texts({**book().files, "varieties.yaml": text})
    assert edited.digest != book().digest
    season = grown("early", sown_on=PLANTED - days(20))
    usual, moved = calendar_of(season, book().practice), calendar_of(season, edited.practice)
    assert usual.peak_on is not None
    assert moved.peak_on == usual.peak_on - days(5)
