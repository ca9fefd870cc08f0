"""The guide to the field tube: asked for by one word, a step a text, the next on MORE."""

from datetime import timedelta

import pytest

from gateway.messages.segments import ROUTINE, count_segments
from gateway.messages.tubeguide import step_after
from tests.houses import READER, STRANGER, TestHouse

STEPS = 6
MORE = {
    "en": "MORE",
    "fr": "SUITE",
    "id": "LAGI",
    "fil": "SUSUNOD",
    "vi": "TIẾP",
    "bn": "আরও",
    "hi": "और",
}
# The measures, each in the step that tells it. Common practice, no source.
MEASURES = [("40", "15"), ("20", "2"), ("1 m",), ("20",), (), ()]


def words_of(home: TestHouse, language: str) -> list[str]:
    """The steps as the catalogue has them."""
    catalogue = home.house.papers.catalogue(language)
    return [catalogue.say(f"guide.tube.{number}") for number in range(1, STEPS + 1)]


@pytest.mark.parametrize("language", MORE)
def test_each_language_gets_every_step_in_turn_and_then_no_more(
    home: TestHouse, language: str
) -> None:
    home.add_plot("K12", STRANGER, language=language)
    catalogue = home.house.papers.catalogue(language)
    got = home.text(STRANGER, catalogue.say("keyword.tube"))
    for _ in range(STEPS):
        got += home.text(STRANGER, MORE[language])
    assert got == [*words_of(home, language), catalogue.say("notice.no-more", plot="K12")]


@pytest.mark.parametrize("language", MORE)
def test_a_step_is_one_routine_text(home: TestHouse, language: str) -> None:
    for text in words_of(home, language):
        count = count_segments(text)
        assert count.segments <= ROUTINE[count.encoding], text


def test_the_measures_stand_in_their_steps(home: TestHouse) -> None:
    for text, numbers in zip(words_of(home, "en"), MEASURES, strict=True):
        assert all(f" {number}" in text for number in numbers), text


def test_a_plot_beside_the_word_changes_nothing(home: TestHouse) -> None:
    assert home.text(READER, "H07 tube guide") == words_of(home, "en")[:1]


def test_a_dry_tube_is_a_reading_and_no_question(home: TestHouse) -> None:
    assert "tube DRY" in home.text(READER, "tube dry")[0]


def test_more_goes_on_with_what_was_said_last(home: TestHouse) -> None:
    home.text(READER, "TUBE")
    home.text(READER, "H07 BELOW 8")
    assert "nothing more" in home.text(READER, "MORE")[0]


def test_days_later_more_does_not_go_on_with_the_guide(home: TestHouse) -> None:
    home.text(READER, "TUBE")
    home.clock.move(timedelta(days=2))
    assert "nothing more" in home.text(READER, "MORE")[0]


def test_plain_help_still_calls_the_office(home: TestHouse) -> None:
    assert "will call" in home.text(READER, "HELP")[0]


@pytest.mark.parametrize("topic", [None, "", "advice", "guide.tube.", "guide.tube.x"])
def test_after_anything_else_there_is_no_step(home: TestHouse, topic: str | None) -> None:
    assert step_after(topic, home.house.papers.catalogue("en")) is None
