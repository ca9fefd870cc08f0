"""The checks: the shipped catalogues pass, and each way of breaking one is found at its line."""

import shutil
from pathlib import Path

import pytest

from gateway.flowfiles.catalogues import check_catalogues

ROOT = Path(__file__).parents[2]


@pytest.fixture
def locales(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "locales", tmp_path / "locales", ignore=shutil.ignore_patterns("*.mo"))
    return tmp_path / "locales"


def say(locales: Path, language: str, msgid: str, words: str) -> int:
    """Give a message other words. Returns the line of its msgid."""
    path = locales / language.replace("-", "_") / "LC_MESSAGES" / "gateway.po"
    lines = path.read_text(encoding="utf-8").splitlines()
    at = lines.index(f'msgid "{msgid}"')
    lines[at + 1] = f'msgstr "{words}"'
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return at + 1


def test_the_shipped_catalogues_have_no_mistake() -> None:
    assert check_catalogues(ROOT / "locales") == []


@pytest.mark.parametrize(
    ("language", "msgid", "words", "cure"),
    [
        pytest.param("id", "level.dry", "", "has no words", id="no words"),
        pytest.param("id", "level.dry", "tube DRY", "still the English words", id="not translated"),
        pytest.param("id", "level.below", "air BAWAH", "{cm} is missing", id="place missing"),
        pytest.param("id", "level.dry", "pipa {cm}", "{cm} is never filled", id="place too many"),
        pytest.param(
            "en", "level.dry", "tube {colour}", "{colour} is not known", id="no such place"
        ),
        pytest.param("id", "level.dry", "pipa } KERING", "a brace stands alone", id="brace"),
        pytest.param("id", "level.dry", "pipa ĶERING", "a plain text lacks: Ķ", id="letter"),
        pytest.param("en", "level.dry", "below threshold", "misread 'threshold'", id="office word"),
        pytest.param("id", "level.dry", "pipa AWD", "misread 'AWD'", id="office word elsewhere"),
        pytest.param("id", "level.dry", "pipa banjir", "misread 'banjir'", id="its own list"),
        pytest.param("en", "level.dry", "topped: drained", "misread 'drain'", id="bent word"),
        pytest.param("en", "level.below", "water -{cm} cm", "a sign '-'", id="minus"),
        pytest.param("en", "level.above", "water + {cm} cm", "a sign '+'", id="plus"),
        pytest.param(
            "id", "notice.done", "{head} {plot} " + "x" * 160, "2 segments", id="too long"
        ),
        pytest.param(
            "en", "notice.done", "{head} {plot} " + "x" * 134, "need 150", id="no room left"
        ),
        pytest.param("en", "menu.plot", "x" * 151, "a page holds 150", id="page too long"),
        pytest.param("fr", "level.dry", "fenêtre SEC", "plain text lacks: ê", id="circumflex"),
        pytest.param("vi", "level.dry", "ống ক KHÔ", "a plain text lacks: ক", id="marks may go"),
        pytest.param("bn", "notice.left", "{scheme} 10", "write ০১২৩", id="digits of the keys"),
        pytest.param("hi", "notice.left", "{scheme} १०", "another script: १ ०", id="local digits"),
        pytest.param("hi", "level.dry", "पाइप कल", "misread 'कल'", id="a word of another script"),
        pytest.param(
            "bn", "notice.done", "{head} {plot} " + "ক" * 120, "need 2", id="too long ucs2"
        ),
        pytest.param("bn-Latn", "date.weekdays", "Som, Mongol", "7 names parted", id="two days"),
    ],
)
def test_a_mistake_is_found_with_file_line_and_cure(
    locales: Path, language: str, msgid: str, words: str, cure: str
) -> None:
    line = say(locales, language, msgid, words)
    path = locales / language.replace("-", "_") / "LC_MESSAGES" / "gateway.po"
    found = [
        one for one in check_catalogues(locales) if one.startswith(f"{path}:{line}:1 {msgid}:")
    ]
    assert any(cure in one for one in found), check_catalogues(locales)


def test_a_vowel_sign_makes_no_end_of_a_word(locales: Path) -> None:
    say(locales, "hi", "level.dry", "पाइप निकला")  # holds the word that stands alone above
    assert check_catalogues(locales) == []


def test_a_script_needs_its_texts_in_plain_letters_too(locales: Path) -> None:
    shutil.rmtree(locales / "hi_Latn")
    assert any(
        "hi/LC_MESSAGES" in m and "add locales/hi_Latn" in m for m in check_catalogues(locales)
    )


def test_days_without_names_in_the_catalogue_s_letters_must_be_named(locales: Path) -> None:
    path = locales / "bn_Latn" / "LC_MESSAGES" / "gateway.po"
    text = path.read_text(encoding="utf-8").replace('msgid "date.months"', 'msgid "date.month"')
    path.write_text(text, encoding="utf-8")
    assert any("date.months: CLDR has none" in one for one in check_catalogues(locales))


def test_letters_that_nobody_knows_are_a_mistake(locales: Path) -> None:
    path = locales / "vi" / "LC_MESSAGES" / "gateway.po"
    text = path.read_text(encoding="utf-8").replace("X-Letters: script", "X-Letters: bare")
    path.write_text(text, encoding="utf-8")
    assert any("X-Letters: need one of script, plain" in one for one in check_catalogues(locales))


def test_plural_forms_are_a_mistake_since_no_text_counts_with_them(locales: Path) -> None:
    path = locales / "en" / "LC_MESSAGES" / "gateway.po"
    text = path.read_text(encoding="utf-8")
    plural = 'msgid "level.dry"\nmsgid_plural "level.drys"\nmsgstr[0] "tube"\nmsgstr[1] "tubes"'
    path.write_text(text.replace('msgid "level.dry"\nmsgstr "tube DRY"', plural), encoding="utf-8")
    assert any("level.dry" in m and "plural forms" in m for m in check_catalogues(locales))


def test_a_hyphen_inside_a_word_is_no_minus(locales: Path) -> None:
    say(locales, "id", "level.dry", "pipa pelan-pelan KERING")
    assert check_catalogues(locales) == []


def test_exactly_150_septets_are_enough(locales: Path) -> None:
    say(locales, "en", "notice.done", "{head} {plot} " + "x" * 132)
    assert check_catalogues(locales) == []


def test_a_longer_part_makes_the_messages_around_it_too_long(locales: Path) -> None:
    say(locales, "en", "level.below", "the water in the tube lies {cm} cm BELOW soil")
    found = check_catalogues(locales)
    assert any("answer.irrigate:" in one for one in found)


def test_a_missing_message_is_found(locales: Path) -> None:
    path = locales / "id" / "LC_MESSAGES" / "gateway.po"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace('msgid "level.dry"', 'msgid "level.dryy"'), encoding="utf-8")
    found = check_catalogues(locales)
    assert any("level.dry: is missing; in en it is 'tube DRY'" in one for one in found)
    assert any("level.dryy: no message of that name in en" in one for one in found)


def test_a_header_mistake_does_not_hide_the_other_files(locales: Path) -> None:
    path = locales / "id" / "LC_MESSAGES" / "gateway.po"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("X-Read-Aloud: not yet", "X-Read-Aloud: ?"), encoding="utf-8")
    line = say(locales, "en", "level.dry", "threshold")
    found = check_catalogues(locales)
    assert any("X-Read-Aloud" in one for one in found)
    assert any(f":{line}:1 level.dry" in one for one in found)
