"""A conversation by text: undone once, why, again, help, another language, in all languages."""

import re
import shutil
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import update

from gateway.advisory.number import Number
from gateway.advisory.views import LogFilter
from gateway.messages.segments import is_routine
from gateway.store.tables.places import plot
from tests.houses import READER, STRANGER, TestHouse, open_test_house
from tests.messages.corpora import cases_of

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
    assert reply.startswith(("H07 Grower of H07: ", "K12 Grower of K12: "))


@pytest.mark.parametrize(
    ("read_first", "first", "level"),
    [("H07 BELOW 4", "BELOW", -5.0), ("H07 ABOVE 5", "ABOVE", 5.0)],
    ids=["below", "above"],
)
def test_the_forecast_ranks_above_and_below_and_1_means_the_first(
    home: TestHouse, read_first: str, first: str, level: float
) -> None:
    home.add_plot("H07", READER)
    home.text(READER, read_first)
    assert one(home.text(READER, "H07 5")).startswith(f"H07: is the water 5 cm {first}")
    home.text(READER, "1")
    assert readings(home)[-1] == level


def test_two_questions_of_one_text_are_asked_one_after_the_other(home: TestHouse) -> None:
    home.add_plot("H07", READER)
    home.add_plot("H09", READER)
    assert one(home.text(READER, "H07 12 H09 8")).startswith("H07: is the water 12 cm BELOW")
    advice, question = home.text(READER, "below")
    assert advice.startswith("H07 Grower of H07: water 12 cm BELOW")
    assert question.startswith("H09: is the water 8 cm BELOW")
    assert one(home.text(READER, "1")).startswith("H09 Grower of H09: water 8 cm BELOW")
    assert (readings(home), readings(home, "H09")) == ([-12], [-8])


def test_an_example_is_given_once_for_a_text_that_names_several_plots(home: TestHouse) -> None:
    home.add_plot("H07", READER)
    home.add_plot("K12", READER)
    assert "number not clear" in one(home.text(READER, "H07 K12 -12"))


@pytest.mark.parametrize(
    ("text", "levels"),
    [("-12", [-12]), ("H07 -12 sorry K12 -12", [])],
)
def test_a_plot_chosen_among_several_is_never_called_a_stranger_s(
    home: TestHouse, text: str, levels: list[float]
) -> None:
    home.add_plot("H07", READER)
    home.add_plot("K12", READER)
    assert "Which plot" in one(home.text(READER, text))
    reply = one(home.text(READER, "H07"))
    assert reply.startswith(("H07: ", "H07 Grower of H07: "))
    assert "not on the list" not in reply
    assert readings(home) == levels


def _english_asks() -> list[dict[str, Any]]:
    """Texts of the English corpora of which nothing is taken before we have asked back."""
    kinds = ("", "-blind", "-second-look", "-third-look", "-fresh")
    names = tuple(f"en{kind}.jsonl" for kind in kinds)
    asked = [case for case in cases_of(*names) if case["out"]["outcome"] == "ask"]
    fresh = [one for one in asked if "pending" not in one["in"] and one["in"].get("plots")]
    return list({one["in"]["text"]: one for one in fresh}.values())


def test_each_question_of_the_english_corpora_ends_in_one_more_row_and_one_answer(
    home: TestHouse,
) -> None:
    settled = 0
    for number, case in enumerate(_english_asks()):
        phone = Number(f"+{12025550100 + number}")
        text, codes = case["in"]["text"], case["in"]["plots"]
        ids = [home.add_plot(code, phone) for code in codes]
        question = home.text(phone, text)
        if len(question) == 1 and _rows(home, ids) == 0:
            answer = codes[0] if "Which plot" in question[0] else f"{codes[0]} below 13"
            reply = home.text(phone, answer)
            if answer == codes[0] and _rows(home, ids) == 0:
                reply = home.text(phone, f"{codes[0]} below 13")
            assert len(reply) == 1, (text, question, reply)
            assert _rows(home, ids) == 1, (text, question, reply)
            settled += 1
        _free_the_codes(home, ids)
    assert settled > 200


def _rows(home: TestHouse, ids: list[int]) -> int:
    with home.house.store.begin(write=False) as unit:
        return sum(len(unit.books.rows(plot_id)) for plot_id in ids)


def _free_the_codes(home: TestHouse, ids: list[int]) -> None:
    with home.house.store.begin_work() as work:
        for plot_id in ids:
            work.run(update(plot).where(plot.c.id == plot_id).values(code=f"X{plot_id}"))
        work.conn.commit()


def test_the_book_knows_readers_apart_and_no_number_of_theirs(home: TestHouse) -> None:
    home.add_plot("H07", READER, STRANGER)
    home.text(READER, "H07 -5")
    home.text(STRANGER, "H07 -6")
    home.text(READER, "H07 -7")
    with home.house.store.begin(write=False) as unit:
        rows = unit.books.rows(unit.schemes.plot_id(home.scheme_id, "H07"))
    first, second, third = [row.event.reader for row in rows if row.event.kind == "reading"]
    assert first == third != second
    assert not any(READER.reveal()[-4:] in str(row.event.reader) for row in rows)
