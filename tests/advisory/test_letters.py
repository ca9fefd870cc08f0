"""The letters of a phone: script or plain, by its choice or the language's, and explained so."""

from pathlib import Path

import pytest

from gateway.flowfiles.letters import check_letters, load_letters
from gateway.flowfiles.reader import FlowError
from gateway.messages.gsm import strange_letters
from gateway.messages.letters import Letters
from tests.houses import STRANGER, TestHouse

ROOT = Path(__file__).parents[2]


def choose(home: TestHouse, letters: Letters) -> None:
    with home.house.store.begin() as unit:
        unit.people.set_letters(home.phones[STRANGER].id, letters)
        unit.commit()


@pytest.mark.parametrize(
    ("language", "letters", "text", "said"),
    [
        pytest.param("vi", None, "K12 DUOI 12", "K12: nuoc 12 cm DUOI dat.", id="usual: plain"),
        pytest.param("vi", "script", "K12 DƯỚI 12", "K12: nước 12 cm DƯỚI đất.", id="marks chosen"),
        pytest.param("bn", None, "K12 নিচে ১২", "K12: মাটির ১২ সেমি নিচে।", id="usual: script"),
        pytest.param("bn", "plain", "K12 NICHE 12", "K12: pani matir 12 cm NICHE.", id="romanised"),
        pytest.param("hi", "plain", "K12 niche 12", "K12: pani mitti se 12 cm NICHE.", id="hindi"),
        pytest.param("fr", "script", "K12 sous 12", "K12: eau 12 cm SOUS le sol.", id="one form"),
    ],
)
def test_an_answer_comes_in_the_letters_of_the_phone(
    home: TestHouse, language: str, letters: Letters | None, text: str, said: str
) -> None:
    home.add_plot("K12", STRANGER, language=language)
    if letters:
        choose(home, letters)
    answers = home.text(STRANGER, text)
    assert len(answers) == 1
    assert answers[0].startswith(said)
    if letters == "plain":
        assert strange_letters(answers[0]) == []


@pytest.mark.parametrize(
    ("language", "letters"), [("vi", "plain"), ("vi", "script"), ("bn", "plain")]
)
def test_an_old_advice_is_given_again_in_the_letters_of_its_day(
    home: TestHouse, language: str, letters: Letters
) -> None:
    home.add_plot("K12", STRANGER, language=language)
    choose(home, letters)
    home.text(STRANGER, "K12 -12")
    assert home.house.explain(1).same
    choose(home, "script" if letters == "plain" else "plain")
    assert home.house.explain(1).same


@pytest.mark.parametrize(
    ("words", "cure"),
    [
        pytest.param("letters: {vi: latin}", "script, plain", id="no such letters"),
        pytest.param("letter: {vi: plain}", "letter", id="no such key"),
    ],
)
def test_a_mistake_in_the_file_is_answered_with_its_line(
    tmp_path: Path, words: str, cure: str
) -> None:
    (tmp_path / "letters.yaml").write_text(words, encoding="utf-8")
    with pytest.raises(FlowError, match=rf"letters\.yaml:1:\d+ .*{cure}"):
        load_letters(tmp_path)


def test_letters_of_a_language_without_texts_are_named(tmp_path: Path) -> None:
    (tmp_path / "letters.yaml").write_text("letters: {xx: plain}\n", encoding="utf-8")
    (found,) = check_letters(tmp_path, ["en"])
    assert "letters.yaml:1:15 xx: need a language of locales: en" in found
    assert check_letters(ROOT / "flows", ["bn", "en", "fil", "fr", "hi", "id", "vi"]) == []
