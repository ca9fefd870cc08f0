"""Segments against 3GPP TS 23.038 (alphabet) and TS 23.040 clause 9.2.3.24.1 (joined parts)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gateway.messages.gsm import BASIC, EXTENSION
from gateway.messages.segments import count_segments, fold_typography, split_text

DRY_BENGALI = "পাইপে পানি নেই "


def test_the_alphabet_has_the_128_places_of_ts_23_038_table_6_2_1() -> None:
    assert len(BASIC) == len(set(BASIC)) == 128
    places = {0: "@", 10: "\n", 13: "\r", 16: "Δ", 27: "\x1b", 32: " ", 36: "¤", 48: "0", 64: "¡"}
    places |= {65: "A", 91: "Ä", 95: "§", 96: "¿", 97: "a", 123: "ä", 127: "à"}
    assert {place: BASIC[place] for place in places} == places


def test_the_letters_that_ascii_shares_stand_at_their_ascii_places() -> None:
    # TS 23.038 6.2.1: letters, digits and most marks keep the code of ITU-T T.50 (IRA).
    shared = [chr(c) for c in range(0x20, 0x7F) if chr(c) not in "$@[\\]^_`{|}~"]
    assert [BASIC.index(letter) for letter in shared] == [ord(letter) for letter in shared]


def test_the_extension_table_is_that_of_ts_23_038_table_6_2_1_1() -> None:
    assert set(EXTENSION) == set("\f^{}\\[~]|€")
    assert EXTENSION["€"] == 0x65
    assert EXTENSION["["] == 0x3C


@pytest.mark.parametrize(
    ("text", "encoding", "units", "segments"),
    [
        pytest.param("", "gsm7", 0, 1, id="an empty text"),
        pytest.param("a" * 160, "gsm7", 160, 1, id="160 septets stand alone"),
        pytest.param("a" * 161, "gsm7", 161, 2, id="161 septets are joined"),
        pytest.param("a" * 306, "gsm7", 306, 2, id="twice 153"),
        pytest.param("a" * 307, "gsm7", 307, 3, id="one more than twice 153"),
        pytest.param("€" * 80, "gsm7", 160, 1, id="80 euro signs cost 160"),
        pytest.param("€" * 81, "gsm7", 162, 2, id="81 euro signs cost 162"),
        pytest.param("a" * 152 + "€" + "a" * 151, "gsm7", 305, 2, id="an escape pair fits"),
        pytest.param("a" * 152 + "€" + "a" * 152, "gsm7", 306, 3, id="an escape pair moves on"),
        pytest.param("ü" * 160, "gsm7", 160, 1, id="letters of the alphabet beyond ascii"),
        pytest.param("ক" * 70, "ucs2", 70, 1, id="70 units stand alone"),
        pytest.param("ক" * 71, "ucs2", 71, 2, id="71 units are joined"),
        pytest.param("ক" * 134, "ucs2", 134, 2, id="twice 67"),
        pytest.param("ক" * 135, "ucs2", 135, 3, id="one more than twice 67"),
        pytest.param("😀" * 35, "ucs2", 70, 1, id="a surrogate pair is two units"),
        pytest.param("😀" * 36, "ucs2", 72, 2, id="33 pairs in 67 units, the rest behind"),
        pytest.param("a" * 69 + "`", "ucs2", 70, 1, id="a backtick is not in the alphabet"),
        pytest.param("ok\x1b", "ucs2", 3, 1, id="a bare escape is not a letter"),
    ],
)
def test_a_text_costs(text: str, encoding: str, units: int, segments: int) -> None:
    count = count_segments(text)
    assert (count.encoding, count.units, count.segments) == (encoding, units, segments)


def test_an_escape_pair_and_a_surrogate_pair_are_never_parted() -> None:
    assert split_text("a" * 152 + "€" + "b" * 10) == ["a" * 152, "€" + "b" * 10]
    assert split_text("ক" * 66 + "😀" + "খ" * 5) == ["ক" * 66, "😀" + "খ" * 5]


def test_a_letter_keeps_its_vowel_sign_where_that_costs_nothing() -> None:
    text = "ক" * 66 + "কি" + "খ" * 10
    assert split_text(text) == ["ক" * 66, "কি" + "খ" * 10]


def test_a_letter_gives_up_its_vowel_sign_before_it_costs_a_segment() -> None:
    text = "ক" * 66 + "কি" + "খ" * 66
    assert len(text) == 134
    assert split_text(text) == [text[:67], text[67:]]


@given(st.text(alphabet="aé€[{কি😀\u0300\u200d\x1b", max_size=700))
def test_parts_join_to_the_text_fit_their_segment_and_are_as_many_as_counted(text: str) -> None:
    parts, count = split_text(text), count_segments(text)
    assert "".join(parts) == text
    assert len(parts) == count.segments
    if len(parts) > 1:
        for part in parts:
            size = len(part.encode("utf-16-be")) // 2
            septets = sum(2 if letter in EXTENSION else 1 for letter in part)
            assert (septets <= 153) if count.encoding == "gsm7" else (size <= 67)


@given(st.text(alphabet="ab€ক😀", min_size=1, max_size=500), st.sampled_from("a€ক😀"))
def test_a_longer_text_never_costs_less(text: str, more: str) -> None:
    assert count_segments(text + more).segments >= count_segments(text).segments


@pytest.mark.parametrize(
    ("text", "folded"),
    [
        pytest.param("“wait”", '"wait"', id="double quotes"),
        pytest.param("don’t", "don't", id="apostrophe"),
        pytest.param("06:00–09:30", "06:00-09:30", id="dash"),
        pytest.param("5\u00a0cm", "5 cm", id="space that does not break"),
        pytest.param("more…", "more...", id="dots"),
        pytest.param("a\u00ad\u200bb", "ab", id="letters that nobody sees"),
        pytest.param(DRY_BENGALI, DRY_BENGALI, id="another script stays"),
    ],
)
def test_typography_is_folded_to_the_alphabet(text: str, folded: str) -> None:
    assert fold_typography(text) == folded


def test_folding_saves_the_segment_that_one_quote_would_cost() -> None:
    text = "a" * 100 + "’"
    assert count_segments(text).segments == 2
    assert count_segments(fold_typography(text)).segments == 1
