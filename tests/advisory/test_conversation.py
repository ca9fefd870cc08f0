"""A conversation by text: undone once, why, again, help, another language, in all languages."""

import re
import shutil
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from gateway.advisory.views import LogFilter
from gateway.messages.segments import is_routine
from tests.houses import READER, TestHouse, open_test_house

LANGUAGES = ("en", "fr", "id", "fil", "vi", "bn", "hi")
WHY = {
    "en": "WHY",
    "fr": "POURQUOI",
    "id": "KENAPA",
    "fil": "BAKIT",
    "vi": "TẠI SAO",
    "bn": "কেন",
    "hi": "क्यों",
}
WRONG = {
    "en": "WRONG",
    "fr": "FAUX",
    "id": "SALAH",
    "fil": "MALI",
    "vi": "SAI",
    "bn": "ভুল",
    "hi": "गलत",
}
THANKS = {
    "en": "thank you",
    "fr": "merci",
    "id": "terima kasih",
    "fil": "salamat po",
    "vi": "cảm ơn",
    "bn": "ধন্যবাদ",
    "hi": "धन्यवाद",
}


@pytest.fixture
def home(migrated_file: Path, tmp_path: Path) -> Iterator[TestHouse]:
    """A house on SQLite, without plots."""
    shutil.copy(migrated_file, tmp_path / "store.sqlite")
    opened = open_test_house(f"sqlite:///{tmp_path / 'store.sqlite'}")
    yield opened
    opened.close()


def readings(home: TestHouse, code: str = "H07") -> list[float | None]:
    """The levels in a plot's book that still count."""
    with home.house.store.begin(write=False) as unit:
        rows = unit.books.rows(unit.schemes.plot_id(home.scheme_id, code))
    return [
        row.event.level_cm for row in rows if row.event.kind == "reading" and not row.superseded
    ]


def one(texts: list[str]) -> str:
    assert len(texts) == 1, texts
    assert is_routine(texts[0]), texts[0]
    return texts[0]


@pytest.mark.parametrize("language", LANGUAGES)
def test_again_why_wrong_help_thanks_and_unclear_in_every_language(
    home: TestHouse, language: str
) -> None:
    home.add_plot("H07", READER, language=language)
    words = home.house.papers.catalogue(language)
    given = one(home.text(READER, f"H07 {words.say('keyword.below')} 12"))
    assert one(home.text(READER, words.say("keyword.advice"))) == given
    assert one(home.text(READER, WHY[language])).startswith("H07: ")
    assert one(home.text(READER, words.say("keyword.help"))) == words.say("notice.help", plot="H07")
    assert home.text(READER, THANKS[language]) == []
    assert home.text(READER, " ") == []
    unclear = [home.text(READER, f"H07 abcd {word}") for word in ("qqq", "zzz", "xxx")]
    assert [len(reply) for reply in unclear] == [1, 1, 0]
    assert all("H07" in one(reply) for reply in unclear[:2])
    log = home.house.store.views.reply_log(home.scheme_id, LogFilter(outcome="ask"), 1, 9)
    assert log.total == 3, "the office sees each of them"
    seen = words.say("level.below", cm=12)
    assert one(home.text(READER, WRONG[language])) == words.say(
        "notice.undone", head="H07", plot="H07", what=seen
    )
    assert readings(home) == []
    home.clock.move(timedelta(days=1))
    assert len(home.text(READER, "H07 abcd www")) == 1, "a new day, a new example"


def test_wrong_said_twice_takes_back_one_report_only(home: TestHouse) -> None:
    home.add_plot("H07", READER)
    home.text(READER, "H07 -5")
    home.text(READER, "H07 -16")
    assert "taken back: water 16 cm BELOW soil" in one(home.text(READER, "WRONG"))
    home.clock.move(timedelta(minutes=20))
    assert "no report of yours" in one(home.text(READER, "WRONG"))
    assert readings(home) == [-5]
    home.text(READER, "H07 -6")
    home.clock.move(timedelta(minutes=20))
    assert "taken back: water 6 cm BELOW soil" in one(home.text(READER, "WRONG"))
    assert readings(home) == [-5]


def test_wrong_with_a_plot_takes_back_the_report_on_that_plot(home: TestHouse) -> None:
    home.add_plot("H07", READER)
    home.add_plot("K12", READER)
    home.text(READER, "H07 -5")
    home.text(READER, "K12 -7")
    assert one(home.text(READER, "H07 WRONG")).startswith("H07: taken back")
    assert (readings(home), readings(home, "K12")) == ([], [-7])
    assert one(home.text(READER, "K12 WRONG")).startswith("K12: taken back")


def test_wrong_to_a_question_of_ours_drops_the_question_and_nothing_older(
    home: TestHouse,
) -> None:
    home.add_plot("H07", READER)
    home.text(READER, "H07 -5")
    assert "BELOW" in one(home.text(READER, "H07 15"))
    assert "is taken back" in one(home.text(READER, "WRONG"))
    assert readings(home) == [-5]
    home.text(READER, "below")
    assert readings(home) == [-5], "the question is closed"


def test_wrong_after_a_report_that_came_later_than_a_question_is_about_the_report(
    home: TestHouse,
) -> None:
    home.add_plot("H07", READER)
    home.add_plot("K12", READER)
    home.text(READER, "H07 15")
    home.text(READER, "K12 -7")
    assert one(home.text(READER, "WRONG")).startswith("K12: taken back")
    assert readings(home, "K12") == []
    assert "IRRIGATE" in one(home.text(READER, "H07 below 16"))


def test_all_of_one_report_is_taken_back_together(home: TestHouse) -> None:
    home.add_plot("H07", READER)
    home.add_plot("K12", READER)
    home.text(READER, "H07 -5, K12 -7")
    one(home.text(READER, "WRONG"))
    assert (readings(home), readings(home, "K12")) == ([], [])


def test_another_language_is_spoken_from_then_on(home: TestHouse) -> None:
    home.add_plot("H07", READER)
    assert "francais" in one(home.text(READER, "french"))
    assert re.search("SOUS", one(home.text(READER, "H07 -12")))
    assert "English" in one(home.text(READER, "langue anglais"))


@pytest.mark.parametrize(
    ("text", "answer"),
    [
        ("H07 15", "below"),
        ("H07 15", "1"),
        ("12 below", "H07"),
        ("H07 mouth 8", "H07 below 12"),
        ("H07 150", "H07 below 15"),
        ("H07 ankle", "H07 above 5"),
        ("H07 below 12 K12 13", "K12 below 13"),
    ],
)
def test_each_question_ends_in_one_reading_and_one_advice(
    home: TestHouse, text: str, answer: str
) -> None:
    home.add_plot("H07", READER)
    home.add_plot("K12", READER)
    home.text(READER, text)
    before = len(readings(home)) + len(readings(home, "K12"))
    reply = one(home.text(READER, answer))
    assert len(readings(home)) + len(readings(home, "K12")) == before + 1, reply
    assert reply.startswith(("H07: ", "K12: "))
