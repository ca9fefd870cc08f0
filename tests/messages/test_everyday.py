"""Everyday ways to tell a level, class by class: each was once asked about, or read wrongly."""

import pytest

from tests.messages.hearing import hear, levels_of


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(("en", "H07 12 1/2 below"), ("fr", "H07 douze et demi sous le sol")),
        *(("fil", "H07 dose y medya sa ilalim"), ("vi", "H07 dưới mười hai phân rưỡi")),
        *(("vi", "H07 duoi 12 phan ruoi"), ("hi", "H07 sadhe barah niche")),
    ],
)
def test_half_a_measure_is_heard(language: str, text: str) -> None:
    assert levels_of(hear(text, language)) == [("H07", -12.5, None)]


@pytest.mark.parametrize(
    ("language", "text", "level"),
    [
        *(("fil", "H07 bente dos sa ilalim", -22), ("fil", "H07 dise otso sa ilalim", -18)),
        *(
            ("id", "H07 duapuluh dua di bawah tanah", -22),
            ("fr", "H07 vingt et un sous le sol", -21),
        ),
        *(("hi", "H07 छब्बीस सेमी नीचे", -26), ("bn", "H07 নয় সেমি নিচে", -9)),
        ("vi", "H07 dưới hăm lăm phân", -25),
    ],
)
def test_numbers_in_words_are_read_whole(language: str, text: str, level: float) -> None:
    assert levels_of(hear(text, language)) == [("H07", level, None)]


@pytest.mark.parametrize("text", ["H07 fifti two below", "H07 zwanzig two below"])
def test_a_number_in_words_after_a_strange_word_is_not_taken(text: str) -> None:
    assert not hear(text).readings


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(("en", "group 4 H07 8 below"), ("id", "kelompok 4 H07 8 di bawah tanah")),
        *(
            ("vi", "tổ 4 H07 8 cm dưới mặt đất"),
            ("en", "at 6 H07 8 below"),
            ("en", "H07 8 below at 6"),
        ),
        *(("vi", "tôi là chú Tư, H07 8 cm dưới mặt đất"), ("id", "H07 -8 jam 6 pagi")),
        *(("en", "tube is 40 cm long, water 8 below soil H07"), ("hi", "H07 -8 h bhai")),
        ("en", "H07 the tube sticks out 20 cm and water is 8 below soil"),
    ],
)
def test_numbers_that_only_name_or_measure_something_are_no_level(language: str, text: str) -> None:
    assert levels_of(hear(text, language)) == [("H07", -8, None)]


@pytest.mark.parametrize("text", ["my tube is 40 cm long, 20 above soil", "at 5 -12"])
def test_a_number_that_may_be_of_the_tube_or_the_hour_is_asked_about(text: str) -> None:
    assert not hear(text).readings


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(
            ("en", "Yesterday I went to market, H07 7 below"),
            ("bn", "গতকাল বাজারে গেছিলাম, H07 ৭ সেমি নিচে"),
        ),
        *(
            ("vi", "Hôm qua tôi đi chợ, H07 7 cm dưới mặt đất"),
            ("hi", "H07 7 niche kal pani dunga"),
        ),
        *(("bn", "H07 ৭ নিচে কাল আবার মাপব"), ("hi", "H07 7 सेमी नीचे कल फिर देखूंगा")),
    ],
)
def test_a_day_of_another_matter_or_to_come_is_not_that_of_the_level(
    language: str, text: str
) -> None:
    assert levels_of(hear(text, language)) == [("H07", -7, None)]


@pytest.mark.parametrize(("language", "text"), [("hi", "kal H07 7 niche"), ("bn", "কাল H07 ৭ নিচে")])
def test_a_day_of_two_meanings_is_past_without_a_verb_to_come(language: str, text: str) -> None:
    assert levels_of(hear(text, language)) == [("H07", -7, "yesterday")]


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(
            ("fr", "l'eau a baissé à 12 cm sous le sol H07"),
            ("vi", "H07 nuoc xuong 12 cm duoi mat dat"),
        ),
        *(
            ("id", "H07 airnya turun jadi 12 di bawah tanah"),
            ("bn", "H07 পানি মাটির ১২ সেমি নিচে নামছে"),
        ),
    ],
)
def test_water_that_moved_to_a_level_below_the_soil_is_there(language: str, text: str) -> None:
    assert levels_of(hear(text, language)) == [("H07", -12, None)]


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(("en", "H07 fell 2 below"), ("vi", "H07 rút 2 cm"), ("fr", "H07 baissé de 2 cm")),
        *(
            ("en", "H07 water not yet down to 15 below"),
            ("hi", "H07 पाइप का पानी 11 सेमी नीचे उतर गया"),
        ),
    ],
)
def test_water_that_moved_by_so_much_or_not_so_far_is_no_level(language: str, text: str) -> None:
    assert not hear(text, language).readings


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(("en", "H07 dry, irrigate?"), ("fil", "H07 tuyo ang tubo patubigan ko na ba?")),
        *(("id", "H07 pipa kering harus diairi?"), ("bn", "H07 পাইপ শুকনা সেচ দিব কি?")),
        *(("hi", "H07 पाइप सूखा पानी दूं क्या"), ("fil", "H07 tuyo ang tubo pwede na ba magpatubig?")),
    ],
)
def test_a_dry_tube_before_a_question_about_an_act_is_told(language: str, text: str) -> None:
    assert [(r.plot, r.dry) for r in hear(text, language).readings] == [("H07", True)]


@pytest.mark.parametrize("text", ["H07 dry?", "H07 dry ba", "is H07 dry"])
def test_a_dry_tube_that_is_asked_about_is_not_told(text: str) -> None:
    assert not hear(text, "fil" if "ba" in text else "en").readings


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(("en", "all plots 12 below except K12"), ("fr", "toutes les parcelles 12 sous sauf K12")),
        *(("hi", "सब खेत 12 नीचे K12 छोड़कर"), ("fil", "lahat ng pitak 12 sa ilalim maliban sa K12")),
    ],
)
def test_all_but_one_are_the_others(language: str, text: str) -> None:
    heard = hear(text, language, ("H07", "K12"))
    assert levels_of(heard) == [("H07", -12, None)]


@pytest.mark.parametrize(
    ("language", "text"),
    [("en", "my two plots are 12 below"), ("fr", "mes deux parcelles sont a 12 cm sous le sol")],
)
def test_as_many_plots_as_the_sender_reads_are_all(language: str, text: str) -> None:
    levels = levels_of(hear(text, language, ("A12", "K12")))
    assert levels == [("A12", -12, None), ("K12", -12, None)]


def test_numbers_in_the_order_of_their_plots() -> None:
    heard = hear("H07 and K12: 4 and 9 below respectively", plots=("H07", "K12"))
    assert levels_of(heard) == [("H07", -4, None), ("K12", -9, None)]


@pytest.mark.parametrize(
    ("language", "text", "value"),
    [
        *(("en", "H07 pulled weeds but not all", "many"), ("en", "H07 pulled weeds", "few")),
        *(("fr", "désherbé H07 mais il en reste", "many"), ("bn", "H07 আগাছা এখন কম", "few")),
    ],
)
def test_weeds_that_are_partly_pulled_are_still_many(language: str, text: str, value: str) -> None:
    assert [(m.kind, m.value) for m in hear(text, language).meanings] == [("weeds", value)]


@pytest.mark.parametrize(
    ("language", "text"),
    [
        ("bn", "H07 e 5 cm pani disi"),
        ("hi", "H07 में 5 सेमी पानी दिया"),
        ("en", "H07 flooded to 5 cm"),
    ],
)
def test_the_depth_of_a_flooding_may_stand_before_it(language: str, text: str) -> None:
    told = [(m.kind, m.value) for m in hear(text, language).meanings]
    assert told == [("flooded", 5.0)]


@pytest.mark.parametrize(
    ("language", "text"), [("bn", "ভুলে পাঠাইছি H07 -12"), ("hi", "गलती से भेजा H07 -12")]
)
def test_a_level_after_words_of_sending_by_mistake_is_asked_about(language: str, text: str) -> None:
    heard = hear(text, language)
    assert not heard.readings
    assert [one.candidates for one in heard.ask] == [(-12.0,)]


def test_letters_for_noughts_are_read_where_a_word_tells_the_side() -> None:
    assert levels_of(hear("H07 1O below")) == [("H07", -10, None)]
    assert not hear("H07 -1O").readings


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(("en", "roots are 10 below the soil H07"), ("id", "akar 10 cm di bawah tanah H07")),
        *(("fr", "H07 doit être à 5 au dessus à la floraison"), ("en", "H07 should be 5 above")),
        *(
            ("hi", "H07 5 ऊपर रखना है"),
            ("bn", "আমার ভাইয়ের জমি ১০ নিচে"),
            ("en", "example: H07 9 below"),
        ),
        *(("vi", "H07 đừng để dưới 15"), ("fil", "hintayin hanggang 15 sa ilalim ng lupa H07")),
        *(
            ("en", "is H07 10 below"),
            ("hi", "15 नीचे का मतलब क्या है?"),
            ("en", "H07 keep at 5 above"),
        ),
    ],
)
def test_what_is_no_water_or_only_should_be_is_no_level(language: str, text: str) -> None:
    assert not hear(text, language).readings


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(("fr", "notre canal est encore à sec"), ("bn", "আমাদের খাল আবার শুকায়ে গেছে")),
        ("hi", "हमारी नहर फिर सूख गई"),
    ],
)
def test_a_dry_canal_is_no_dry_tube(language: str, text: str) -> None:
    heard = hear(text, language)
    assert not heard.readings
    assert [m.kind for m in heard.meanings] == ["no-water"]
