"""What synthetic growers write is understood as they mean it, in each of their languages."""

from random import Random

import pytest

from gateway.flowfiles.vocabulary import load_vocabularies
from gateway.messages.heard import Heard, Pending, Sender
from gateway.messages.interpret import interpret
from gateway.settings import shipped
from gateway.trial.hand import write_level, write_unclearly
from gateway.trial.paper import load_trial
from tests.houses import TODAY

PAPER = load_trial(shipped("flows"))
VOCABULARIES = load_vocabularies(shipped("flows"))
EVENTS = {
    "flooded": "flooded",
    "nitrogen": "nitrogen",
    "heads": "flowering",
    "few_weeds": "weeds",
    "no_water": "no-water",
    "harvest": "harvest",
}


def heard(text: str, language: str, pending: Pending | None = None) -> Heard:
    """The text as the gateway understands it from a phone that reads one plot."""
    sender = Sender(("H07",), language, pending=pending)
    return interpret(text, sender, VOCABULARIES[language], TODAY)


@pytest.mark.parametrize("level", [-19.0, -12.0, -1.0, 0.0, 1.0, 7.0, None])
@pytest.mark.parametrize("language", PAPER.hands)
def test_a_level_is_read_as_it_was_seen(language: str, level: float | None) -> None:
    rng = Random(4)
    for _ in range(12):
        text = write_level(PAPER.hands[language], rng, "H07", level)
        found = heard(text, language)
        assert found.outcome == "accept", text
        (reading,) = found.readings
        assert (reading.level_cm, reading.dry) == (level, level is None), text


@pytest.mark.parametrize("level", [-12.0, 4.0])
@pytest.mark.parametrize("language", PAPER.hands)
def test_an_unclear_number_is_asked_about_and_the_word_settles_it(
    language: str, level: float
) -> None:
    rng = Random(4)
    for _ in range(8):
        unclear = write_unclearly(PAPER.hands[language], rng, "H07", level)
        assert unclear
        text, word = unclear
        asked = heard(text, language)
        assert asked.outcome == "ask", text
        pending = Pending("H07", asked.ask[0].candidates, asked.ask[0].about)
        (reading,) = heard(word, language, pending).readings
        assert reading.level_cm == level, (text, word)


@pytest.mark.parametrize(("field", "kind"), EVENTS.items())
@pytest.mark.parametrize("language", PAPER.hands)
def test_what_was_done_is_understood(language: str, field: str, kind: str) -> None:
    for form in getattr(PAPER.hands[language], field):
        text = form.format(plot="H07", n=5)
        found = heard(text, language)
        assert found.outcome == "accept", text
        assert [meaning.kind for meaning in found.meanings] == [kind], text


def test_a_surface_or_a_dry_tube_has_no_sign_to_ask_about() -> None:
    assert write_unclearly(PAPER.hands["en"], Random(1), "H07", 0.0) is None
    assert write_unclearly(PAPER.hands["en"], Random(1), "H07", None) is None
