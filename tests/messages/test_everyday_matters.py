"""Everyday ways to speak of several plots, of leaving, and of other matters, class by class."""

import pytest

from tests.messages.hearing import hear, levels_of


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(("vi", "H07 với K12 cùng dưới 9 phân"), ("vi", "H07 K12 cả hai dưới 9")),
        *(("bn", "H07 K12 duto tei 9 niche"), ("hi", "H07 K12 दोनों 9 नीचे")),
        *(("id", "H07 K12 keduanya 9 di bawah"), ("fil", "H07 K12 parehong 9 sa ilalim")),
        *(
            ("fr", "H07 K12 les deux 9 sous le sol"),
            ("en", "H07 and K12 below 9 and 9 respectively"),
        ),
    ],
)
def test_plots_joined_by_a_word_of_number_share_their_level(language: str, text: str) -> None:
    levels = levels_of(hear(text, language, ("H07", "K12")))
    assert levels == [("H07", -9, None), ("K12", -9, None)]


def test_numbers_in_the_order_of_their_plots_keep_their_own_sides() -> None:
    levels = levels_of(hear("H07 and K12 below 6 and above 9 respectively", plots=("H07", "K12")))
    assert levels == [("H07", -6, None), ("K12", 9, None)]


def test_a_plot_set_aside_has_no_part_in_what_all_share() -> None:
    levels = levels_of(hear("all plots -12 except K12", plots=("H07", "K12")))
    assert levels == [("H07", -12, None)]


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(
            ("en", "Please remove my number, I dont want your texts"),
            ("en", "stop sms. i want to stop"),
        ),
        *(
            ("fr", "STOP sms svp, enlevez mon numéro"),
            ("id", "saya mau berhenti, jangan kirim sms lagi"),
        ),
        *(("hi", "mera number hata do, ab message mat bhejo"), ("bn", "aar message pathaben na")),
        *(
            ("fil", "wag na kayo magtext, tanggalin nyo number ko"),
            ("vi", "xóa số của tôi, đừng nhắn tin nữa"),
        ),
    ],
)
def test_a_text_that_asks_to_leave_in_each_of_its_clauses_leaves(language: str, text: str) -> None:
    assert [m.kind for m in hear(text, language).meanings] == ["leave"]


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(("en", "remove my number"), ("en", "remove my number, i want to stop")),
        *(("en", "stop pumping, remove my number"), ("en", "stop, stop the water")),
        *(("en", "remove my number, H07 12 below"), ("id", "berhenti airnya, jangan sms")),
        *(("fil", "tanggalin nyo number ko"), ("fr", "je veux arrêter l'eau")),
        *(("hi", "mera number hata do"), ("bn", "amar number bad den"), ("vi", "xóa số của tôi")),
    ],
)
def test_half_a_wish_to_leave_goes_to_a_person(language: str, text: str) -> None:
    kinds = {m.kind for m in hear(text, language).meanings}
    assert "person" in kinds
    assert "leave" not in kinds


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(
            ("id", "saya mau ikut lagi, dulu pernah berhenti"),
            ("hi", "mujhe phir se sms chalu karo"),
        ),
        *(
            ("bn", "abar message pathan"),
            ("fil", "ibalik nyo po ako"),
            ("en", "please put me back"),
        ),
    ],
)
def test_a_wish_to_come_back_is_heard(language: str, text: str) -> None:
    assert [m.kind for m in hear(text, language).meanings] == ["return"]


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(
            ("en", "change yesterday's H07 report, it is 9 below not 19"),
            ("en", "yesterday's H07 is wrong, right is 9 below"),
        ),
        *(
            ("fr", "mon relevé d'hier sur H07 n'est pas bon, le bon c'est 9 sous le sol"),
            ("hi", "kal ka H07 galat tha, sahi hai 9 niche"),
        ),
        *(
            ("id", "ganti angka kemarin H07, yang benar di bawah 9 bukan 19"),
            ("bn", "kalker H07 bhul chilo, thik holo 9 niche"),
        ),
        *(
            ("fil", "pakipalitan po yung report ko kahapon sa H07, 9 sa ilalim ang tama hindi 19"),
            ("vi", "sửa số hôm qua của H07: đúng là dưới 9, không phải dưới 19"),
        ),
    ],
)
def test_what_replaces_yesterday_s_value_is_of_yesterday(language: str, text: str) -> None:
    heard = hear(text, language)
    assert levels_of(heard) == [("H07", -9, "yesterday")]
    assert heard.readings[0].supersedes


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(
            ("id", "tgl 5 H07 di bawah 7"),
            ("vi", "ngày 5 H07 dưới 7"),
            ("fil", "ika-5 H07 7 sa ilalim"),
        ),
        *(("hi", "5 tarikh ko H07 7 niche"), ("bn", "5 tarikh H07 7 niche")),
    ],
)
def test_a_day_of_a_month_that_is_not_named_is_asked_for(language: str, text: str) -> None:
    heard = hear(text, language)
    assert not heard.readings
    assert [a.about for a in heard.ask] == ["day"]


@pytest.mark.parametrize(
    ("language", "text", "level"),
    [
        *(
            ("id", "tgl 5 kemarin lusa gak sempat, hari ini H07 di bawah 7", -7),
            ("vi", "H07duoi16", -16),
        ),
        *(("vi", "H07 tren5", 5), ("vi", "H07 dưới 9 lúc bảy giờ sáng nay", -9)),
        (
            "en",
            "My mother is 71 and was 2 nights in clinic, I paid 18000, now H07 is 15 cm below",
            -15,
        ),
        (
            "fil",
            "pasensya na, tatlong oras ako naglakad tapos 120 pamasahe. Ang H07 ay 8 cm sa ilalim",
            -8,
        ),
        ("vi", "Xin lỗi em nhắn muộn, đi xe hết 3 tiếng, tốn 120 nghìn. H07 dưới 8 phân", -8),
        *(("en", "sorry 12 boys came, H07 9 below", -9), ("fr", "sur H07, 9 cm sous le sol", -9)),
    ],
)
def test_numbers_of_a_story_or_a_day_leave_the_one_clear_level(
    language: str, text: str, level: float
) -> None:
    heard = hear(text, language)
    assert levels_of(heard) == [("H07", level, None)]
    assert not heard.meanings


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(
            ("en", "H07 hardly any weeds"),
            ("en", "H07 some weeds"),
            ("fr", "H07 que quelques herbes"),
        ),
        *(
            ("id", "H07 ada beberapa rumput saja"),
            ("fil", "H07 may ilang damo lang"),
            ("vi", "H07 hầu như không có cỏ"),
        ),
        *(
            ("hi", "H07 ghas na ke barabar hai"),
            ("hi", "H07 घास न के बराबर"),
            ("bn", "H07 ঘাস নেই বললেই চলে"),
        ),
    ],
)
def test_weeds_that_hardly_count_are_few(language: str, text: str) -> None:
    heard = hear(text, language)
    assert [(m.kind, m.value) for m in heard.meanings] == [("weeds", "few")]
    assert heard.outcome == "accept"
    assert not heard.readings


@pytest.mark.parametrize(
    ("language", "text", "kind"),
    [
        *(
            ("id", "padi H07 tenggelam semua kena banjir", "submerged"),
            ("fil", "H07 lubog sa baha ang palay", "submerged"),
        ),
        *(
            ("bn", "ধান জলের তলায় ডুবে গেছে H07", "submerged"),
            ("vi", "H07 lua chim trong nuoc lu", "submerged"),
        ),
        *(
            ("hi", "nahar do hafte se sukhi padi hai", "no-water"),
            ("bn", "khal dui soptaho dhore shukna", "no-water"),
        ),
        *(
            ("vi", "nước thuỷ lợi mãi không về", "no-water"),
            ("bn", "pump kharap hoye geche", "broken"),
        ),
    ],
)
def test_trouble_with_water_is_heard_as_what_it_is(language: str, text: str, kind: str) -> None:
    heard = hear(text, language)
    assert [m.kind for m in heard.meanings] == [kind]
    assert heard.outcome == "accept"


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(("en", "H07 tube goes 20 below"), ("vi", "H07 ong nho len 20 phan")),
        *(
            ("bn", "H07 nol mati theke 20 cm upore ber hoye ache"),
            ("hi", "H07 pipe zameen se 20 upar nikla hai"),
        ),
        *(
            ("bn", "H07 jol 2 cm barlo"),
            ("bn", "H07 jol 2 cm komlo"),
            ("hi", "H07 pani na ke barabar"),
        ),
    ],
)
def test_what_a_tube_measures_or_water_moved_by_is_no_level(language: str, text: str) -> None:
    heard = hear(text, language)
    assert heard.outcome == "ask"
    assert not heard.readings


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(("fr", "bonne fête à vous et à toute la famille"), ("id", "nggih pak suwun")),
        *(("fil", "maligayang pasko po sa inyong lahat"), ("bn", "shubho noboborsho")),
    ],
)
def test_wishes_and_thanks_get_no_answer(language: str, text: str) -> None:
    assert hear(text, language).outcome == "reject"


def test_up_to_a_depth_after_water_was_pumped_is_how_deep_it_was_flooded() -> None:
    heard = hear("I pumped water into H07, up to 4 cm")
    assert [(m.kind, m.value) for m in heard.meanings] == [("flooded", 4)]
