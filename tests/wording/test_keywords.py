"""What our texts offer to text back is understood, in the language that offers it."""

import re
from collections.abc import Callable
from typing import Any

import pytest

from gateway.flowfiles.catalogues import load_catalogues
from gateway.flowfiles.vocabulary import load_vocabularies
from gateway.messages.dates import digits_of
from gateway.messages.gsm import bare_letters
from gateway.messages.heard import Heard, Sender
from gateway.messages.interpret import interpret
from tests.wording.conftest import FLOWS, LOCALES

CATALOGUES = load_catalogues(LOCALES)
VOCABULARIES = load_vocabularies(FLOWS)
BELOW_ABOVE_DRY = {
    "en": ("BELOW", "ABOVE", "DRY"),
    "id": ("BAWAH", "ATAS", "KERING"),
    "fr": ("SOUS", "SUR", "SEC"),
    "fil": ("ILALIM", "IBABAW", "TUYO"),
    "vi": ("DƯỚI", "TRÊN", "KHÔ"),
    "hi": ("नीचे", "ऊपर", "सूखा"),
    "hi-Latn": ("NICHE", "UPAR", "SUKHA"),
    "bn": ("নিচে", "উপরে", "শুকনা"),
    "bn-Latn": ("NICHE", "UPORE", "SHUKNA"),
}
KINDS = (
    *("flooded", "no-water", "wrong", "help", "flowering", "nitrogen", "spray", "green"),
    *("weeds", "done", "yes", "more", "leave", "return", "join"),
    *("tall", "harvest", "weeds"),
)
ALONE = ("leave", "return", "join", "more", "done", "yes")
WORDS = {
    "en": "FLOODED|NO WATER|WRONG|HELP|HEADS|UREA|SPRAY|GREEN|FEW WEEDS|DONE|YES|MORE|STOP"
    "|START|JOIN|TALL|HARVEST|WEEDS",
    "id": "DIAIRI|TANPA AIR|SALAH|TOLONG|MALAI|PUPUK|SEMPROT|HIJAU|SEDIKIT GULMA|SELESAI|YA|LAGI"
    "|STOP|MULAI|DAFTAR|TANAMAN TINGGI|PANEN|GULMA",
    "fr": "IRRIGUE|SANS EAU|FAUX|AIDE|EPIS|UREE|TRAITE|VERT|PEU HERBES|FINI|OUI|SUITE|STOP|RETOUR"
    "|INSCRIRE|PLANTS HAUTS|RECOLTE|HERBES",
    "fil": "NATUBIGAN|WALANG TUBIG|MALI|TULONG|UHAY|ABONO|SPRAY|BERDE|KAUNTING DAMO|TAPOS|OO"
    "|SUSUNOD|STOP|BALIK|SALI|TANGKAD|ANI|DAMO",
    "vi": "ĐÃ TƯỚI|THIẾU NƯỚC|SAI|GIÚP|TRỔ BÔNG|ĐÃ BÓN|ĐÃ PHUN|XANH|ÍT CỎ|XONG|PHẢI|TIẾP|STOP"
    "|QUAY LẠI|ĐĂNG KÝ|LÚA CAO|GẶT|CỎ NHIỀU",
    "hi": "सींचा|पानी नहीं|गलत|मदद|बाली|खाद|छिड़काव|हरा|घास कम|पूरा|हाँ|और"
    "|STOP|शुरू|जुड़ो|ऊँचा|कटाई|घास ज्यादा",
    "hi-Latn": "SINCHA|PANI NAHI|GALAT|MADAD|BALI|KHAD|CHIDKAV|HARA|GHAS KAM|PURA|HAN|AUR|STOP"
    "|SHURU|JUDO|UNCHA|KATAI|GHAS ZYADA",
    "bn": "সেচ দিলাম|পানি নাই|ভুল|সাহায্য|শীষ|সার|স্প্রে|সবুজ|আগাছা কম|শেষ|হ্যাঁ|আরও"
    "|STOP|শুরু|যোগদান|লম্বা|ধান কাটা|আগাছা বেশি",
    "bn-Latn": "SECH DILAM|PANI NAI|VUL|SAHAJJO|SHISH|SAR|SPRAY|SOBUJ|AGACHA KOM|SHESH|HA|ARO|STOP"
    "|SHURU|JOGDAN|LOMBA|DHAN KATA|AGACHA BESHI",
}


def _as_sent(forms: dict[str, Any], write: Callable[[Any], Any]) -> dict[str, Any]:
    """The tables with Vietnamese without marks too, as a phone with plain letters gets it."""
    return {**forms, "vi-x-plain": write(forms["vi"])}


BELOW_ABOVE_DRY = _as_sent(BELOW_ABOVE_DRY, lambda three: tuple(map(bare_letters, three)))
WORDS = {code: words.split("|") for code, words in _as_sent(WORDS, bare_letters).items()}
OFFERING = ("answer.", "ask.", "notice.", "duty.")
"""Texts in which what follows the plot's code is always what to text back."""

WITHOUT_EXAMPLE = ("duty.flowering-ends",)
"""Texts that ask for the level in words only: the text before them gave the example."""


def hear(code: str, text: str) -> Heard:
    language = code.split("-")[0]
    return interpret(text, Sender(("H07", "H09"), language), VOCABULARIES[language])


@pytest.mark.parametrize("code", BELOW_ABOVE_DRY)
def test_a_level_that_we_offer_is_read(code: str) -> None:
    digits = digits_of(code)
    below, above, dry = BELOW_ABOVE_DRY[code]
    ten, three = f"{digits[1]}{digits[0]}", digits[3]
    said = ((f"{below} {ten}", -10), (f"{above} {three}", 3), (dry, None))
    for words, level in said:
        heard = hear(code, f"H07 {words}")
        assert heard.outcome == "accept", heard
        assert [(one.plot, one.level_cm, one.dry) for one in heard.readings] == [
            ("H07", level, level is None)
        ]


@pytest.mark.parametrize(
    ("code", "words", "kind"),
    [
        (code, words, kind)
        for code, listed in WORDS.items()
        for words, kind in zip(listed, KINDS, strict=True)
    ],
)
def test_a_keyword_that_we_offer_is_understood(code: str, words: str, kind: str) -> None:
    heard = hear(code, words if kind in ALONE else f"H07 {words}")
    assert heard.outcome == "accept", heard
    assert [one.kind for one in heard.meanings] == [kind]
    if kind == "weeds":
        assert heard.meanings[0].value == (
            "few" if words == WORDS[code][KINDS.index(kind)] else "many"
        )


@pytest.mark.parametrize("code", sorted(CATALOGUES))
def test_no_text_offers_a_word_after_the_plot_that_is_not_tried_here(code: str) -> None:
    known = (*BELOW_ABOVE_DRY[code], *WORDS[code])
    offered = [
        words
        for msgid, said in CATALOGUES[code].words.items()
        if msgid.startswith(OFFERING) and msgid not in WITHOUT_EXAMPLE
        for words in re.findall(r"(?=\{plot\} ([^\W\d_].*))", said)
    ]
    assert len(offered) > 100
    assert [one for one in offered if not one.startswith(known)] == []


@pytest.mark.parametrize("code", sorted(CATALOGUES))
def test_the_words_to_text_alone_are_offered_as_they_are_tried(code: str) -> None:
    texts = " ".join(CATALOGUES[code].words.values())
    assert [words for words in WORDS[code] if words not in texts] == []


@pytest.mark.parametrize("code", sorted(BELOW_ABOVE_DRY))
def test_the_words_that_a_keeper_is_told_to_text_are_understood(code: str) -> None:
    said = CATALOGUES[code.partition("-x-")[0]].words["outlet.unclear"]
    offered = re.findall(r"\{plot\} ([^,{]+?)(?=,|$| \w+ \{plot)", said)
    if code.endswith("-x-plain"):
        offered = [bare_letters(words) for words in offered]
    language = code.split("-")[0]
    sender, vocabulary = Sender(("U1",), language), VOCABULARIES[language]
    heard = [interpret(f"U1 {words}", sender, vocabulary) for words in offered]
    kinds = [meaning.kind for each in heard for meaning in each.meanings]
    assert kinds == ["outlet-open", "outlet-shut", "done", "no-power", "broken"], offered


@pytest.mark.parametrize("code", sorted(CATALOGUES))
def test_the_words_that_the_menu_reports_with_are_understood(code: str) -> None:
    say = CATALOGUES[code].say
    for keyword, level in (("keyword.below", -12.5), ("keyword.above", 12.5)):
        heard = hear(code, f"H07 {say(keyword)} 12.5")
        assert [one.level_cm for one in heard.readings] == [level]
    assert hear(code, f"H07 {say('keyword.dry')}").readings[0].dry


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
