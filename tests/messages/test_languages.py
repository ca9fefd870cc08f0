"""Texts of six languages beside English, in their own letters, in Latin ones and mixed."""

import json
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gateway.flowfiles.vocabulary import load_vocabularies
from gateway.flowfiles.vocabulary_checks import missing_words
from gateway.lines.interpret import interpret_line
from gateway.messages.heard import Sender
from gateway.messages.interpret import interpret
from gateway.messages.vocabulary import Vocabulary
from tests.messages.corpora import FILES, LANGUAGES, cases_of, differences

_FLOWS = Path(__file__).resolve().parents[2] / "flows"
_VOCABULARIES = load_vocabularies(_FLOWS)
_LEAST_AS_EXPECTED = 0.95
_SHORT, _LONG = 500, 4_000


@pytest.mark.parametrize("file", FILES)
def test_texts_written_before_their_words_are_understood(file: str) -> None:
    """No wrong reading is taken and nothing denied is heard; at least 95 % are as expected."""
    cases = cases_of(file)
    found = [(case, interpret_line(json.dumps(case["in"]), _VOCABULARIES)) for case in cases]
    differing = [(c["in"]["text"], d) for c, got in found if (d := differences(c["out"], got))]
    grave = ("unexpected readings", "heard ")
    assert not [one for one in differing if any(d.startswith(grave) for d in one[1])]
    assert len(differing) <= (1 - _LEAST_AS_EXPECTED) * len(cases), differing


def test_every_language_has_words_for_all_that_english_can_say() -> None:
    assert missing_words(_FLOWS) == []


# -- scripts --------------------------------------------------------------------------------------

_SCRIPTS = {
    "bangla": ("১২", "নিচে", "উপরে", "শুকনা"),
    "devanagari": ("१२", "नीचे", "ऊपर", "सूखा"),
    "arabic": ("١٢", "تحت", "فوق", "جاف"),
    "arabic-eastern": ("۱۲", "نیچے", "اوپر", "خشک"),
    "thai": ("๑๒", "ต่ำกว่า", "สูงกว่า", "แห้ง"),
    "khmer": ("១២", "ក្រោម", "លើ", "ស្ងួត"),
    "burmese": ("၁၂", "အောက်", "အပေါ်", "ခြောက်"),
    "lao": ("໑໒", "ຕ່ຳກວ່າ", "ເທິງ", "ແຫ້ງ"),
    "full-width": ("１２", "below", "above", "dry"),
}


@pytest.mark.parametrize("language", ["en", *LANGUAGES])
@pytest.mark.parametrize("script", _SCRIPTS)
def test_digits_and_words_of_each_script_are_read_in_every_language(
    script: str, language: str
) -> None:
    digits, below, above, dry = _SCRIPTS[script]
    tails = {f"{digits} {below}": -12, f"{above} {digits}": 12, f"-{digits}": -12, dry: None}
    for tail, level in tails.items():
        heard = interpret(f"H07 {tail}", Sender(("H07",), language), _VOCABULARIES[language])
        assert [(r.level_cm, r.dry) for r in heard.readings] == [(level, level is None)], tail


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("\u202eH07 -12\u202c", id="right-to-left override"),
        pytest.param("H\u200b07 \u2066-\u206912", id="zero width and isolate"),
        pytest.param("\ufeffH07\u00a0\u221212\u200f", id="byte order mark, minus sign"),
        pytest.param("\u041d07 -12", id="Cyrillic letter in the code"),
        pytest.param("H07 b\u0435low 12", id="Cyrillic letter in a word"),
        pytest.param(
            "\U0001d407\U0001d7ce\U0001d7d5 -\U0001d7cf\U0001d7d0", id="mathematical bold"
        ),
    ],
)
def test_characters_that_deceive_the_eye_change_nothing(text: str) -> None:
    heard = interpret(text, Sender(("H07",)), _VOCABULARIES["en"])
    assert [r.level_cm for r in heard.readings] == [-12]


# -- spelling -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("language", "text", "level"),
    [
        ("vi", "H07 12 cm duoi mat dat", -12),
        ("vi", "H07 dưói mat dat 12", -12),
        ("vi", "ống H07 can nuoc", None),
        ("fr", "H07 zero", 0),
        ("fr", "H07 dix-sept cm sous le sol", -17),
        ("bn", "এইচ ০৭ নীচে ১২", -12),
        ("bn", "H07 সুকনা", None),
        ("hi", "एच०७ निचे १२", -12),
        ("hi", "H07 जमीन से 12 सेमी नीचे", -12),
        ("id", "H07 dua puluh dua cm di bawah tanah", -22),
        ("fil", "H07 kinse ilalim po", -15),
    ],
)
def test_other_spellings_of_a_word_are_that_word(
    language: str, text: str, level: float | None
) -> None:
    heard = interpret(text, Sender(("H07",), language), _VOCABULARIES[language])
    assert [(r.level_cm, r.dry) for r in heard.readings] == [(level, level is None)], heard


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("text", ["H07 12 below", "H07 dry", "H07 -12 cm", "H07 3 above soil"])
def test_english_words_are_understood_in_every_language(language: str, text: str) -> None:
    heard = interpret(text, Sender(("H07",), language), _VOCABULARIES[language])
    assert heard.outcome == "accept"
    assert len(heard.readings) == 1


# -- whatever is written --------------------------------------------------------------------------


def _words(vocabulary: Vocabulary) -> list[str]:
    """Words of all kinds, a few of each role, with numbers and marks between them."""
    found: dict[str, list[str]] = {}
    for word, node in sorted(vocabulary.phrases.items()):
        term = node.get("")
        few = found.setdefault(f"{term.role} {term.value}" if term else "", [])
        few += [word] if len(few) < 5 else []
    signs = ["H07", "K12", "12", "-9", "১২", "?", ",", ".", "-", "cm", *list(vocabulary.alone)[:3]]
    return [word for few in found.values() for word in few] + signs


@pytest.mark.parametrize("language", LANGUAGES)
def test_any_heap_of_its_words_has_an_answer(language: str) -> None:
    vocabulary = _VOCABULARIES[language]
    sender = Sender(("H07", "K12"), language)

    @settings(deadline=None, max_examples=150)
    @given(st.lists(st.sampled_from(_words(vocabulary)), max_size=10), st.sampled_from(["", " "]))
    def sound(words: list[str], glue: str) -> None:
        heard = interpret(glue.join(words), sender, vocabulary)
        assert (heard.outcome == "ask") is bool(heard.ask)
        assert all(r.plot in sender.plots for r in heard.readings)
        levels = [r.level_cm for r in heard.readings if r.level_cm is not None]
        assert all(vocabulary.deepest_cm <= level <= vocabulary.highest_cm for level in levels)

    sound()


@pytest.mark.parametrize("language", LANGUAGES)
def test_leaving_is_only_what_says_so_and_nothing_else(language: str) -> None:
    """No slip of the pen, no question and no other word beside it leads to leaving."""
    vocabulary = _VOCABULARIES[language]
    words = [w for w, kind in vocabulary.alone.items() if kind == "leave" and " " not in w]
    for word in words:
        slips = {word[:k] + word[k + 1 :] for k in range(len(word))} | {word + word[-1]}
        tries = [*(s for s in slips if s not in vocabulary.alone), f"{word}?", f"{word} 5"]
        for text in (*tries, f"H07 {word}", f"{word} H07 12"):
            heard = interpret(text, Sender(("H07",), language), vocabulary)
            assert "leave" not in {m.kind for m in heard.meanings}, text


@pytest.mark.parametrize("language", LANGUAGES)
def test_work_grows_no_faster_than_the_text(language: str) -> None:
    """Calls at n and 8n characters, counted by the profile hook: at most 12 times as many."""
    texts = [c["in"]["text"] for c in cases_of(f"{language}-second-look.jsonl")[::12]]
    for piece in (f"{text}, " for text in texts):
        small, large = (_calls((piece * n)[:n], language) for n in (_SHORT, _LONG))
        assert large <= 12 * small, piece


def _calls(text: str, language: str) -> int:
    sender, vocabulary = Sender(("H07", "K12"), language), _VOCABULARIES[language]
    interpret(text, sender, vocabulary)  # what is kept between texts is kept now
    count = 0

    def counted(_frame: object, event: str, _arg: object) -> None:
        nonlocal count
        count += event in ("call", "c_call")

    before = sys.getprofile()
    sys.setprofile(counted)
    try:
        interpret(text, sender, vocabulary)
    finally:
        sys.setprofile(before)
    return count
