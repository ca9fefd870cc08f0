"""Letters and digits of each language, against Unicode CLDR (through Babel) and 3GPP TS 23.038."""

import unicodedata
from datetime import date, time, timedelta

import pytest
from babel import Locale
from babel.units import format_unit

from gateway.flowfiles.catalogues import load_catalogues
from gateway.messages.catalogue import Catalogue
from gateway.messages.dates import digits_of, locale_of, word_number, word_time
from gateway.messages.gsm import bare_letters, plain_letters, strange_letters
from gateway.messages.letters import bare_code, languages_among
from gateway.messages.segments import count_segments, is_routine
from gateway.messages.worst import longest_text
from tests.wording.conftest import LOCALES

SHIPPED = load_catalogues(LOCALES)
LANGUAGES = ("bn", "en", "fil", "fr", "hi", "id", "vi")
BARE = Catalogue(bare_code("vi"), SHIPPED["vi"].words, True, None, None, "")
FORMS = {**SHIPPED, BARE.language: BARE}
PLAIN = sorted(code for code in FORMS if code not in ("bn", "hi", "vi"))
YEAR = [date(2026, 1, 1) + timedelta(days=n) for n in range(365)]


def test_the_seven_languages_are_there_and_their_plain_forms_are_no_languages() -> None:
    assert tuple(sorted(languages_among(FORMS))) == LANGUAGES


# -- digits and numbers: CLDR ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("language", "zero"),
    [
        # Unicode names of the digit that begins CLDR's default numbering system of each.
        pytest.param("bn", "BENGALI DIGIT ZERO", id="bangla"),
        pytest.param("hi", "DIGIT ZERO", id="hindi is written with the digits of the keys"),
        pytest.param("mr", "DEVANAGARI DIGIT ZERO", id="marathi"),
        pytest.param("my", "MYANMAR DIGIT ZERO", id="burmese"),
        pytest.param("fa", "EXTENDED ARABIC-INDIC DIGIT ZERO", id="persian"),
        pytest.param("vi", "DIGIT ZERO", id="vietnamese"),
        pytest.param("bn-Latn", "DIGIT ZERO", id="bangla in latin letters"),
        pytest.param("vi-x-plain", "DIGIT ZERO", id="vietnamese without marks"),
    ],
)
def test_digits_are_those_of_the_language(language: str, zero: str) -> None:
    digits = digits_of(language)
    assert unicodedata.name(digits[0]) == zero
    assert [unicodedata.decimal(one) for one in digits] == list(range(10))


@pytest.mark.parametrize("code", sorted(SHIPPED))
def test_the_digits_of_a_catalogue_are_those_that_cldr_names(code: str) -> None:
    written = {one for words in SHIPPED[code].words.values() for one in words if one.isdecimal()}
    assert written <= set(digits_of(code))


def test_a_number_and_a_time_come_in_the_digits_of_the_language() -> None:
    assert word_number(-12.5, "bn") == "১২.৫"
    assert word_number(12.5, "fr") == word_number(12.5, "vi-x-plain") == "12,5"
    assert word_time(time(6, 5), "bn") == "০৬:০৫"


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_plural_rule_of_the_language_bends_our_units(language: str) -> None:
    """CLDR gives cm, kg and h one short form for every plural, so no text needs plural forms."""
    locale = Locale.parse(language)
    for unit in ("length-centimeter", "mass-kilogram"):
        said = {format_unit(n, unit, "short", locale=locale) for n in (0, 1, 1.5, 2, 5, 20)}
        assert len({"".join(one for one in s if one.isalpha()) for s in said}) == 1


# -- days ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("code", "said"),
    [
        # Unicode CLDR, except the romanised Bangla, which CLDR has not: the catalogue's own names.
        pytest.param("fr", "jeu 12 mars", id="french"),
        pytest.param("fil", "Huw 12 Mar", id="filipino"),
        pytest.param("vi", "T5 12/3", id="vietnamese"),
        pytest.param("hi", "गुरु 12 मार्च", id="hindi"),
        pytest.param("hi-Latn", "Guru 12 Mar", id="hindi in latin letters"),
        pytest.param("bn", "বৃহস্পতি ১২ মার্চ", id="bangla"),
        pytest.param("bn-Latn", "Brihospoti 12 March", id="bangla in latin letters"),
    ],
)
def test_a_day_is_named_in_the_language(code: str, said: str) -> None:
    assert SHIPPED[code].day(date(2026, 3, 12)) == said


@pytest.mark.parametrize("code", PLAIN)
def test_every_day_of_a_year_is_written_in_plain_letters_without_dots(code: str) -> None:
    days = [FORMS[code].day(day) for day in YEAR]
    assert [day for day in days if strange_letters(day) or "." in day] == []
    assert len(set(days)) == len(YEAR)


def test_names_of_a_catalogue_of_its_own_follow_the_calendar() -> None:
    week = [SHIPPED["bn-Latn"].day(date(2026, 3, n), "date.weekday") for n in range(9, 16)]
    assert week == ["Som", "Mongol", "Budh", "Brihospoti", "Shukro", "Shoni", "Robi"]


# -- letters ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "plain", "bare"),
    [
        pytest.param("DƯỚI đất", "DUOI dat", "DUOI dat", id="vietnamese"),
        pytest.param("à é ù", "à é ù", "a e u", id="marks that the alphabet has"),
        pytest.param(
            "août, français, œuf", "aout, francais, oeuf", "aout, francais, oeuf", id="fr"
        ),
        pytest.param("peut-être", "peut-etre", "peut-etre", id="circumflex"),
        pytest.param("নিচে ১০", "নিচে ১০", "নিচে ১০", id="another script keeps its vowels"),
        pytest.param("ठंडी रातें", "ठंडी रातें", "ठंडी रातें", id="and its marks"),
        pytest.param("Łódź ı", "Lodz i", "Lodz i", id="letters that do not come apart"),
    ],
)
def test_letters_lose_the_marks_that_a_plain_text_lacks(text: str, plain: str, bare: str) -> None:
    assert plain_letters(text) == plain
    assert bare_letters(text) == bare


def test_a_name_with_marks_does_not_turn_a_plain_text_into_ucs2() -> None:
    said = SHIPPED["en"].say("answer.irrigate.bare", head="H07 Nguyễn Thị Ả", plot="H07")
    assert count_segments(said).encoding == "gsm7"
    assert "H07 Nguyen Thi A" in said


def test_vietnamese_goes_out_with_its_marks_or_without() -> None:
    assert SHIPPED["vi"].say("level.below", cm=12) == "nước 12 cm DƯỚI đất"
    assert BARE.say("level.below", cm=12) == "nuoc 12 cm DUOI dat"
    assert locale_of(BARE.language) == locale_of("vi")


# -- what it costs ---------------------------------------------------------------------------------


@pytest.mark.parametrize("code", sorted(FORMS))
def test_every_routine_text_keeps_to_its_segments_at_its_longest(code: str) -> None:
    """3GPP TS 23.038: 160 septets alone; TS 23.040 9.2.3.24.1: two joined of 67 units each."""
    names = [n for n in FORMS[code].words if n.startswith(("answer.", "ask.", "notice.", "duty."))]
    texts = {name: longest_text(FORMS[code], name) for name in names}
    assert len(texts) > 120
    assert [text for text in texts.values() if not is_routine(text)] == []
    encodings = {count_segments(text).encoding for text in texts.values()}
    assert encodings == ({"gsm7"} if code in PLAIN else {"ucs2"})
