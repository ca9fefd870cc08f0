"""What a hasty reader takes the wrong way round: weeds still there, hours, the side of a slip."""

import pytest

from gateway.messages.heard import Heard, Sender
from gateway.messages.interpret import interpret
from tests.messages.hearing import VOCABULARIES


def _heard(language: str, text: str) -> Heard:
    return interpret(text, Sender(("H07", "K12"), language), VOCABULARIES[language])


def _levels(heard: Heard) -> list[tuple[str, float | None]]:
    return [(r.plot, r.level_cm) for r in heard.readings]


@pytest.mark.parametrize(
    ("language", "text"),
    [
        ("en", "H07 weeds not removed yet"),
        ("en", "H07 weeds did not die"),
        ("fr", "H07 herbes pas encore arrachées"),
        ("id", "gulma H07 belum dicabut"),
        ("fil", "hindi pa natanggal ang damo sa H07"),
        ("vi", "H07 cỏ chưa nhổ"),
        ("bn", "H07 agacha more nai"),
        ("bn", "H07 আগাছা এখনো তোলা হয়নি"),
        ("hi", "H07 खरपतवार नहीं निकाला"),
        ("hi", "H07 ghas mari nahi"),
    ],
)
def test_weeds_that_were_not_pulled_or_did_not_die_are_many(language: str, text: str) -> None:
    assert [(m.kind, m.value) for m in _heard(language, text).meanings] == [("weeds", "many")]


@pytest.mark.parametrize(
    ("language", "text", "kind"),
    [
        ("en", "havent managed to spray H07", "spray"),
        ("id", "saya belum sempat pupuk H07", "nitrogen"),
        ("fil", "di pa nakakapag abono H07", "nitrogen"),
        ("hi", "H07 bali abhi nahi nikli", "flowering"),
        ("hi", "H07 urea abhi tak nahi daali", "nitrogen"),
    ],
)
def test_an_act_that_could_not_be_done_yet_is_denied(language: str, text: str, kind: str) -> None:
    assert [(m.kind, m.value) for m in _heard(language, text).meanings] == [("no", kind)]


@pytest.mark.parametrize(
    ("language", "text"),
    [
        ("en", "H07 18 below, sorry, 8"),
        ("en", "H07 18 below. mistake. 8"),
        ("fr", "H07 18 en dessous, oups, 8"),
        ("id", "H07 bawah 18, maaf, 8"),
        ("fil", "H07 ilalim 18 ay mali, 8 pala"),
        ("vi", "H07 dưới 18, à nhầm, 8"),
        ("bn", "H07 নিচে ১৮, না, ৮"),
        ("hi", "H07 नीचे 18, माफ करना, 8"),
    ],
)
def test_a_corrected_size_keeps_the_side_that_was_told(language: str, text: str) -> None:
    assert _levels(_heard(language, text)) == [("H07", -8.0)]


@pytest.mark.parametrize("text", ["H07 18 below, sorry, 18", "H07 -18 sorry 8"])
def test_a_correction_that_may_be_of_the_side_is_asked_about(text: str) -> None:
    heard = _heard("en", text)
    assert not heard.readings
    assert [ask.about for ask in heard.ask] == ["sign"]


@pytest.mark.parametrize(
    ("language", "text"),
    [
        ("en", "reached H07 at 6.10, water 12 below"),
        ("id", "pukul 6 H07 bawah 12"),
        ("id", "H07 jam 6.15 bawah 12"),
        ("id", "H07 pompa 2 jam 12 di bawah"),
        ("fil", "alas sais H07 ilalim 12"),
        ("fil", "H07 labing dalawa ilalim"),
        ("en", "new sim 000-555-0142 from today. H07 is 12 below"),
        ("en", "H07 water stands 12 cm under the soil"),
        ("vi", "H07 rong 5 cong, duoi 12"),
    ],
)
def test_hours_phones_and_areas_beside_a_level_are_none(language: str, text: str) -> None:
    assert _levels(_heard(language, text)) == [("H07", -12.0)]


def test_a_level_of_a_plot_that_is_set_aside_is_not_taken() -> None:
    heard = _heard("en", "not H07 9 below, K12 9 below")
    assert _levels(heard) == [("K12", -9.0)]
    assert heard.ask


def test_neither_over_nor_under_is_at_the_soil() -> None:
    assert _levels(_heard("en", "H07 level with the soil, not over not under")) == [("H07", 0.0)]
    assert not _heard("en", "H07 not at soil level, below").readings


@pytest.mark.parametrize(
    ("language", "text"),
    [
        ("en", "H07 transplanted 20 days ago, 12 below"),
        ("en", "planted on 15 March, H07 12 below"),
        ("fr", "H07 repiqué le 15 mars, 12 sous le sol"),
        ("id", "H07 tanam 15/3, 12 di bawah"),
        ("fil", "tinanim noong marso 15, H07 ilalim 12"),
        ("vi", "H07 sạ 15/3, dưới 12"),
        ("bn", "১৫ মার্চ রোপণ করছি, H07 নিচে ১২"),
        ("hi", "15 मार्च को रोपाई की, H07 नीचे 12"),
    ],
)
def test_a_day_of_planting_is_not_the_day_of_the_level(language: str, text: str) -> None:
    heard = _heard(language, text)
    assert [(r.level_cm, r.on) for r in heard.readings] == [(-12.0, None)]


@pytest.mark.parametrize(
    ("language", "text"),
    [
        ("fr", "H07 douze et demi sous le sol"),
        ("id", "H07 bawah dua belas setengah"),
        ("fil", "H07 12 at kalahati ilalim"),
    ],
)
def test_a_half_in_words_is_half_a_centimetre(language: str, text: str) -> None:
    assert _levels(_heard(language, text)) == [("H07", -12.5)]


@pytest.mark.parametrize(
    ("language", "text"),
    [("vi", "ngày 15 tháng 3 H07 dưới 12"), ("vi", "ngay 15 thang ba H07 duoi 12")],
)
def test_a_month_in_two_words_is_a_month(language: str, text: str) -> None:
    heard = _heard(language, text)
    assert [(r.level_cm, r.on) for r in heard.readings] == [(-12.0, "--03-15")]


@pytest.mark.parametrize("text", ["sob jomi -5 kore dao", "সব জমি -৫ করে দাও"])
def test_levels_to_be_set_for_all_plots_are_an_order(text: str) -> None:
    heard = _heard("bn", text)
    assert not heard.readings
    assert [ask.about for ask in heard.ask] == ["order"]
