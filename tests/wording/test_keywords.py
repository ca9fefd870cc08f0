"""What our texts offer to text back is understood, in the language that offers it."""

import re

import pytest

from gateway.flowfiles.catalogues import load_catalogues
from gateway.flowfiles.vocabulary import load_vocabularies
from gateway.messages.heard import Sender
from gateway.messages.interpret import interpret
from tests.wording.conftest import FLOWS, LOCALES

CATALOGUES = load_catalogues(LOCALES)
VOCABULARIES = load_vocabularies(FLOWS)
LEVELS = {
    "en": {"BELOW 10": -10, "ABOVE 3": 3, "DRY": None},
    "id": {"BAWAH 10": -10, "ATAS 3": 3, "KERING": None},
}
MEANINGS = {
    "en": {
        "FLOODED": "flooded",
        "NO WATER": "no-water",
        "WRONG": "wrong",
        "HELP": "help",
        "HEADS": "flowering",
        "UREA": "nitrogen",
        "SPRAY": "spray",
        "GREEN": "green",
        "WEEDS FEW": "weeds",
        "DONE": "done",
        "YES": "yes",
        "MORE": "more",
        "STOP": "leave",
        "START": "return",
        "JOIN": "join",
    },
    "id": {
        "DIAIRI": "flooded",
        "TANPA AIR": "no-water",
        "SALAH": "wrong",
        "TOLONG": "help",
        "MALAI": "flowering",
        "PUPUK": "nitrogen",
        "SEMPROT": "spray",
        "HIJAU": "green",
        "GULMA SEDIKIT": "weeds",
        "SELESAI": "done",
        "YA": "yes",
        "LAGI": "more",
        "STOP": "leave",
        "MULAI": "return",
        "DAFTAR": "join",
    },
}
OFFER = {
    "en": re.compile(r"(?:[Tt]ext(?: for example)?|\{plot\})((?: [A-Z]{2,}| \d+)+)"),
    "id": re.compile(r"(?:[Bb]alas|\{plot\})((?: [A-Z]{2,}| \d+)+)"),
}


def hear(language: str, text: str):
    sender = Sender(("H07", "H09"), language)
    return interpret(text, sender, VOCABULARIES[language])


@pytest.mark.parametrize(
    ("language", "words"), [(code, words) for code, table in LEVELS.items() for words in table]
)
def test_a_level_that_we_offer_is_read(language: str, words: str) -> None:
    heard = hear(language, f"H07 {words}")
    assert heard.outcome == "accept"
    level = LEVELS[language][words]
    assert [(one.plot, one.level_cm, one.dry) for one in heard.readings] == [
        ("H07", level, level is None)
    ]


@pytest.mark.parametrize(
    ("language", "words"), [(code, words) for code, table in MEANINGS.items() for words in table]
)
def test_a_keyword_that_we_offer_is_understood(language: str, words: str) -> None:
    alone = MEANINGS[language][words] in ("leave", "return", "join", "more", "done", "yes")
    heard = hear(language, words if alone else f"H07 {words}")
    assert heard.outcome == "accept", heard
    assert [one.kind for one in heard.meanings] == [MEANINGS[language][words]]
    if words in ("WEEDS FEW", "GULMA SEDIKIT"):
        assert heard.meanings[0].value == "few"


@pytest.mark.parametrize("language", sorted(CATALOGUES))
def test_no_text_offers_a_word_that_is_not_tried_here(language: str) -> None:
    known = LEVELS[language].keys() | MEANINGS[language].keys()
    offered = {
        found.strip()
        for words in CATALOGUES[language].words.values()
        for found in OFFER[language].findall(words)
    }
    assert len(offered) >= 10
    assert {one for one in offered if one not in known and not one[0].isdigit()} == set()


@pytest.mark.parametrize("language", sorted(CATALOGUES))
def test_the_words_that_the_menu_reports_with_are_understood(language: str) -> None:
    say = CATALOGUES[language].say
    for keyword, level in (("keyword.below", -12.5), ("keyword.above", 12.5)):
        heard = hear(language, f"H07 {say(keyword)} 12.5")
        assert [one.level_cm for one in heard.readings] == [level]
    assert hear(language, f"H07 {say('keyword.dry')}").readings[0].dry


@pytest.mark.parametrize(
    ("text", "level"),
    [
        pytest.param("H07 air 12 cm di bawah tanah", -12, id="below soil"),
        pytest.param("h07 di atas 3", 3, id="above"),
        pytest.param("petak H07 bawah 12,5 cm", -12.5, id="decimal comma"),
        pytest.param("H07 pipa kering", None, id="dry tube"),
        pytest.param("H07 salah, bawah 8 bukan 18", -8, id="put right in one text"),
    ],
)
def test_indonesian_as_growers_write_it_is_read(text: str, level: float | None) -> None:
    heard = hear("id", text)
    assert [(one.level_cm, one.dry) for one in heard.readings] == [(level, level is None)]


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("H07 12", id="no sign"),
        pytest.param("H07 belum kering", id="not dry yet"),
        pytest.param("H07 turun 3 cm", id="a change"),
        pytest.param("H07 12 di bawah bibir pipa", id="from the rim"),
        pytest.param("H07 antara 10 dan 12 bawah", id="a range"),
        pytest.param("H07 tanah kering", id="dry soil is no dry tube"),
    ],
)
def test_indonesian_that_is_not_clear_is_asked_about(text: str) -> None:
    heard = hear("id", text)
    assert heard.outcome == "ask"
    assert heard.readings == ()


@pytest.mark.parametrize("text", ["H07 belum dipupuk", "H07 tidak diairi", "apakah H07 kering?"])
def test_indonesian_that_denies_or_asks_is_no_report(text: str) -> None:
    heard = hear("id", text)
    assert heard.readings == ()
    assert not {"nitrogen", "flooded"} & {one.kind for one in heard.meanings}
