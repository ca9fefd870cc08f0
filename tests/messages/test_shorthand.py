"""Short forms of small keys, written out before a text is read."""

import pytest

from gateway.messages.codes import codes_of
from gateway.messages.heard import Sender
from gateway.messages.interpret import interpret
from gateway.messages.shorthand import written_out
from tests.messages.hearing import VOCABULARIES

_ENGLISH = VOCABULARIES["en"]


@pytest.mark.parametrize(
    ("text", "full"),
    [
        ("wtr frm d canal", "water from the canal"),
        ("seen 2day", "seen today"),
        ("b4 rain", "before rain"),
        ("nothing short", "nothing short"),
        ("d 7 below", "d 7 below"),
        ("row d-7", "row d-7"),
        ("5 d", "5 d"),
    ],
)
def test_a_short_form_stands_for_its_word_but_not_beside_a_number(text: str, full: str) -> None:
    assert written_out(text, codes_of(("H07",)), _ENGLISH) == full


@pytest.mark.parametrize(
    ("code", "text"), [("B4", "b4 -12"), ("TD7", "td 7 -12"), ("D7", "d -12"), ("2DAY", "2day -12")]
)
def test_what_may_be_a_plot_of_the_sender_is_no_short_form(code: str, text: str) -> None:
    assert written_out(text, codes_of((code,)), _ENGLISH) == text


def test_a_plot_that_looks_like_a_short_form_is_still_read() -> None:
    heard = interpret("b4 -12", Sender(("B4",)), _ENGLISH)
    assert [(r.plot, r.level_cm) for r in heard.readings] == [("B4", -12.0)]


@pytest.mark.parametrize("language", sorted(VOCABULARIES))
def test_no_short_form_stands_for_a_sign_or_for_leaving(language: str) -> None:
    words = VOCABULARIES[language]
    for full in words.short.values():
        assert full not in words.signs
        assert full not in words.alone


@pytest.mark.parametrize(
    "text",
    [
        *("pls stop sending me these msgs", "dont txt me any more", "do not send me any more sms"),
        *("I do not want to receive these texts", "stop sending messages to this number"),
    ],
)
def test_leaving_may_be_asked_for_in_many_words(text: str) -> None:
    assert {m.kind for m in interpret(text, Sender(("H07",)), _ENGLISH).meanings} == {"leave"}


@pytest.mark.parametrize(
    "text",
    [
        *("stop it", "leave it", "stop now", "leave us", "stop again", "do not stop sending texts"),
        *("stop sending water", "dont send me urea", "stop texting, start sending water"),
        *("the messages stop", "shall i stop the texts?", "dont stop the messages"),
    ],
)
def test_words_that_only_resemble_leaving_never_leave(text: str) -> None:
    assert "leave" not in {m.kind for m in interpret(text, Sender(("H07",)), _ENGLISH).meanings}


@pytest.mark.parametrize(
    ("language", "text", "kind"),
    [
        ("fr", "beaucoup d'escargots H07", "snails"),
        ("fr", "bcp descargots H07", "snails"),
        ("id", "rumputnya byk di H07", "weeds"),
        ("id", "hujannya deras", "rain"),
        ("fil", "maraming damo H07", "weeds"),
    ],
)
def test_a_word_is_known_with_what_any_word_may_carry(language: str, text: str, kind: str) -> None:
    heard = interpret(text, Sender(("H07",), language), VOCABULARIES[language])
    assert {m.kind for m in heard.meanings} == {kind}


@pytest.mark.parametrize(
    ("language", "text", "on"),
    [
        ("fr", "il y a 2 jours H07 -9", "-2"),
        ("id", "kmrn H07 -9", "yesterday"),
        ("id", "H07 -9 hari ini", None),
        ("fil", "2 araw na nakalipas H07 -9", "-2"),
        ("en", "H07 -9 2day", None),
        ("en", "ystrdy H07 -9", "yesterday"),
    ],
)
def test_a_day_is_heard_beside_a_level(language: str, text: str, on: str | None) -> None:
    heard = interpret(text, Sender(("H07",), language), VOCABULARIES[language])
    assert [(r.level_cm, r.on) for r in heard.readings] == [(-9.0, on)]


def test_weeks_ago_are_a_day_to_be_asked() -> None:
    heard = interpret("il y a 2 semaines H07 -9", Sender(("H07",), "fr"), VOCABULARIES["fr"])
    assert (heard.readings, [one.about for one in heard.ask]) == ((), ["day"])
