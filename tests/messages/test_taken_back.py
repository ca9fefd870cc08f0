"""What a text takes back, doubts or only plans is no reading; what it shares is not multiplied."""

import pytest

from gateway.messages.heard import Heard, Sender
from gateway.messages.interpret import interpret
from tests.messages.hearing import VOCABULARIES


def _heard(text: str, *plots: str, language: str = "en") -> Heard:
    return interpret(text, Sender(plots or ("H07",), language), VOCABULARIES[language])


def _levels(heard: Heard) -> list[tuple[str, float | None]]:
    return [(r.plot, r.level_cm) for r in heard.readings]


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(
            ("en", t)
            for t in ("cancel H07 -12", "H07 -12 cancel", "pls ignore -12", "undo H07 -12")
        ),
        *(("en", t) for t in ("dont record H07 -12", "do not save H07 12 below", "forget -12")),
        *(("fr", "annulez H07 -12"), ("id", "hapus H07 -12"), ("fil", "burahin H07 -12")),
        *(("vi", "đừng ghi H07 -12"), ("hi", "H07 -12 मत लिखो"), ("bn", "H07 -12 বাদ দিন")),
    ],
)
def test_a_level_that_is_taken_back_undoes_the_last_report(language: str, text: str) -> None:
    heard = _heard(text, language=language)
    assert not heard.readings
    assert [m.kind for m in heard.meanings] == ["wrong"]


@pytest.mark.parametrize("text", ["cancel that, H07 -9", "cancel H07 -12, put -9"])
def test_a_level_after_one_that_is_taken_back_replaces_it(text: str) -> None:
    heard = _heard(text)
    assert _levels(heard) == [("H07", -9.0)]
    assert heard.readings[0].supersedes


@pytest.mark.parametrize(
    "text", ["dont forget H07 -12", "ignore the canal H07 -12", "remove grass tomorrow, H07 -12"]
)
def test_a_word_of_taking_back_that_is_about_something_else_takes_nothing(text: str) -> None:
    heard = _heard(text)
    assert _levels(heard) == [("H07", -12.0)]
    assert "wrong" not in {m.kind for m in heard.meanings}


@pytest.mark.parametrize("text", ["cancel", "cancel H07", "ignore"])
def test_taking_back_without_saying_what_is_asked_about(text: str) -> None:
    assert _heard(text).outcome == "ask"


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(("en", "H07 -12 not sure"), ("fr", "H07 -12 pas sûr"), ("id", "H07 -12 ga yakin")),
        *(("fil", "H07 -12 di ako sure"), ("vi", "H07 -12 không chắc"), ("hi", "H07 -12 पक्का नहीं")),
        ("bn", "H07 -12 নিশ্চিত না"),
    ],
)
def test_a_level_that_its_reader_doubts_is_asked_about(language: str, text: str) -> None:
    heard = _heard(text, language=language)
    assert not heard.readings
    assert [one.candidates for one in heard.ask] == [(-12.0,)]


@pytest.mark.parametrize(
    "text", ["H07 -12 water turn is tomorrow", "H07 12 below power comes tomorrow"]
)
def test_a_level_before_the_turn_that_will_come_is_kept(text: str) -> None:
    assert _levels(_heard(text)) == [("H07", -12.0)]


@pytest.mark.parametrize("text", ["H07 -12 tomorrow", "H07 will be -12 tomorrow"])
def test_a_level_of_tomorrow_is_none(text: str) -> None:
    assert not _heard(text).readings


@pytest.mark.parametrize(
    "text",
    ["H07 -12 market day is tomorrow", "i cant come tomorrow H07 -12", "rain likely H07 -12"],
)
def test_a_level_that_may_be_of_tomorrow_is_asked_about_not_lost(text: str) -> None:
    heard = _heard(text)
    assert (heard.outcome, heard.readings) == ("ask", ())


@pytest.mark.parametrize(
    "text", ["H07 K12 urea 26 kg", "both urea 26 kg", "H07 and K12 2 bags urea"]
)
def test_a_weight_told_of_two_plots_is_given_to_neither_and_handed_on(text: str) -> None:
    heard = _heard(text, "H07", "K12")
    told = {(m.kind, m.plot, m.value) for m in heard.meanings}
    assert told == {("nitrogen", "H07", None), ("nitrogen", "K12", None), ("person", None, None)}
    assert "shared-amount" in heard.flags


@pytest.mark.parametrize("text", ["H07 and K12 urea 26 kg each", "urea 26 kg each H07 K12"])
def test_a_weight_told_of_each_plot_is_that_of_each(text: str) -> None:
    told = [(m.plot, m.value) for m in _heard(text, "H07", "K12").meanings]
    assert told == [("H07", 26.0), ("K12", 26.0)]


def test_plots_side_by_side_share_what_words_tell() -> None:
    told = [(m.kind, m.plot) for m in _heard("H07 K12 flooded", "H07", "K12").meanings]
    assert told == [("flooded", "H07"), ("flooded", "K12")]


@pytest.mark.parametrize("text", ["H07 -12 or K12 -12", "H07 -12 or maybe K12 -14"])
def test_a_level_of_one_plot_or_the_other_is_asked_about(text: str) -> None:
    heard = _heard(text, "H07", "K12")
    assert (heard.outcome, heard.readings) == ("ask", ())


def test_a_neighbours_level_is_left_out_beside_the_own_one() -> None:
    assert _levels(_heard("neighbour has -20, mine, H07, is -9")) == [("H07", -9.0)]


@pytest.mark.parametrize(
    "text",
    [
        *("H07 has not reached 15 below", "is 15 below too deep", "H07 15 below or more"),
        *("H07 is the tube dry or not", "last season H07 was 20 below", "last year H07 -20"),
    ],
)
def test_what_is_denied_asked_bounded_or_long_past_is_no_reading(text: str) -> None:
    heard = _heard(text)
    assert (heard.outcome, heard.readings) == ("ask", ())


def test_a_plot_that_is_set_aside_has_no_reading() -> None:
    assert _levels(_heard("not H07 but K12 -9", "H07", "K12")) == [("K12", -9.0)]
    heard = _heard("except H07 all dry", "H07", "K12")
    assert [(r.plot, r.dry) for r in heard.readings] == [("K12", True)]


@pytest.mark.parametrize(
    ("language", "text"),
    [
        *(("fr", t) for t in ("les feuilles sont sèches H07", "H07 n'a pas atteint 15 dessous")),
        *(("fr", t) for t in ("plus une goutte dans le canal H07", "sur H07 12 cm")),
        *(("id", t) for t in ("daun kering H07", "H07 belum sampai 15 di bawah")),
        *(("fil", t) for t in ("tuyo ang dahon H07", "pag tuyo na H07 magpapatubig ako")),
        *(("fil", t) for t in ("H07 wala pa sa 15 sa ilalim", "gawing tuyo lahat ng pitak")),
    ],
)
def test_a_hasty_reader_is_not_tempted(language: str, text: str) -> None:
    assert not _heard(text, language=language).readings


def test_a_level_below_the_rim_is_no_level_below_the_soil() -> None:
    sender = Sender(("H07",), "fil", rim_cm=(("H07", 20.0),))
    heard = interpret("H07 12 sa ilalim ng labi ng tubo", sender, VOCABULARIES["fil"])
    assert _levels(heard) == [("H07", 8.0)]
