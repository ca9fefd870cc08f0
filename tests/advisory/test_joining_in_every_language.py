"""Joining in each language by the words that its own questions offer, as a phone shows them."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from gateway.messages.gsm import bare_letters
from tests.houses import READER, STRANGER, TestHouse, open_test_house

# The words to join, for yes and for no, to come back; a code in the digits of the script.
WORDS = {
    "en": ("JOIN", "YES", "NO", "START", "H07"),
    "fr": ("INSCRIRE", "OUI", "NON", "RETOUR", "h 7"),
    "id": ("DAFTAR", "YA", "TIDAK", "MULAI", "H-07"),
    "fil": ("SALI", "OO", "HINDI", "BALIK", "H.7"),
    "vi": ("ĐĂNG KÝ", "ĐỒNG Ý", "KHÔNG", "QUAY LẠI", "H7"),
    "bn": ("যোগদান", "হ্যাঁ", "না", "শুরু", "H০৭"),
    "hi": ("जुड़ो", "हाँ", "नहीं", "शुरू", "H०७"),
}
# What a phone in plain letters is told to text, and texts.
PLAIN = {
    "vi": tuple(map(bare_letters, WORDS["vi"])),
    "bn": ("JOGDAN", "HA", "NA", "SHURU", "H07"),
    "hi": ("JUDO", "HAN", "NAHI", "SHURU", "H07"),
}
CASES = [(code, "script", words) for code, words in WORDS.items()]
CASES += [(code, "plain", words) for code, words in PLAIN.items()]
ASKING = ("join.consent", "join.consent.unpriced", "join.ask-holder", "consent.ask")


@pytest.fixture
def home(migrated_file: Path, tmp_path: Path) -> Iterator[TestHouse]:
    """A house on SQLite, with plot H07."""
    shutil.copy(migrated_file, tmp_path / "store.sqlite")
    opened = open_test_house(f"sqlite:///{tmp_path / 'store.sqlite'}")
    opened.add_plot("H07", READER)
    yield opened
    opened.close()


@pytest.mark.parametrize(("language", "letters", "words"), CASES)
def test_whoever_texts_the_words_that_are_offered_gets_through_all_questions(
    home: TestHouse, language: str, letters: str, words: tuple[str, ...]
) -> None:
    said = home.house.papers.catalogue(language, letters)
    join, yes, no, _, code = words
    for msgid in ASKING:
        assert yes in said.say(msgid)
        assert no in said.say(msgid)
    home.text(STRANGER, join)
    assert home.text(STRANGER, yes) == [ask(home, language, "join.name")]
    assert home.text(STRANGER, yes)[0].endswith(ask(home, language, "join.name"))
    assert home.text(STRANGER, "Ama Tavo") == [ask(home, language, "join.plot")]
    (listed,) = home.text(STRANGER, code)
    number = list(home.house.papers.catalogues).index(language) + 1
    own = home.house.papers.catalogue(language)
    assert f"{own.number(number)} = {own.say('join.language-name')}" in listed
    home.text(STRANGER, own.number(number))
    home.text(STRANGER, own.number(1))
    (line,) = home.house.store.people_views.requests(home.scheme_id)
    assert (line.name, line.code, line.reads) == ("Ama Tavo", "H07", "soil")


@pytest.mark.parametrize(("language", "letters", "words"), CASES)
def test_whoever_says_no_or_leaves_is_answered_in_their_language_and_may_come_back(
    home: TestHouse, language: str, letters: str, words: tuple[str, ...]
) -> None:
    join, yes, no, start, _ = words
    home.text(STRANGER, join)
    assert home.text(STRANGER, no) == [ask(home, language, "join.declined")]
    home.text(STRANGER, join)
    home.text(STRANGER, yes)
    assert home.text(STRANGER, "STOP") == [ask(home, language, "notice.left")]
    assert home.text(STRANGER, "STOP") == []
    (back,) = home.text(STRANGER, start)
    assert back == ask(home, language, "notice.returned.bare")


def ask(home: TestHouse, language: str, msgid: str) -> str:
    """A text as a phone gets it that has chosen no letters."""
    said = home.house.papers.catalogue(language)
    return said.say(msgid, scheme=home.house.scheme.short_name)
