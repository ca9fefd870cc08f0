"""Questions of ours: numbered in the order of the candidates, with the sender's own plots only."""

import itertools

import pytest

from gateway.flowfiles.catalogues import load_catalogues
from gateway.messages.catalogue import Catalogue
from gateway.messages.heard import Ask
from gateway.messages.segments import is_routine
from gateway.messages.wording import word_ask
from tests.wording.conftest import LOCALES

SHIPPED = load_catalogues(LOCALES)
OWN = ("H07", "H09")
ABOUTS = ("sign", "plot", "number", "rim", "unit", "day", "order", "unclear", "something new")


@pytest.mark.parametrize(
    ("ask", "said"),
    [
        pytest.param(
            Ask("H07", "sign", (-15.0, 15.0)),
            ["H07: is the water 15 cm BELOW the soil or ABOVE", "1 for BELOW, 2 for ABOVE"],
            id="sign",
        ),
        pytest.param(
            Ask("H07", "sign", (15.0, -15.0)),
            ["1 for ABOVE, 2 for BELOW"],
            id="sign, above first",
        ),
        pytest.param(
            Ask("H07", "sign", (-15.0, 5.0)),
            ["1 = 15 cm BELOW, 2 = 5 cm ABOVE"],
            id="two levels of different size",
        ),
        pytest.param(
            Ask("H07", "number", (-15.0,)), ["is it 15 cm BELOW?", "text YES"], id="one candidate"
        ),
        pytest.param(Ask("H07", "number"), ["H07: number not clear", "H07 BELOW 10"], id="number"),
        pytest.param(Ask(None, "plot", OWN, level_cm=-12), ["1 = H07, 2 = H09"], id="which plot"),
        pytest.param(Ask("H07", "rim"), ["from the rim", "from the SOIL"], id="rim"),
        pytest.param(Ask("H07", "unit"), ["in cm?"], id="unit"),
        pytest.param(Ask("H07", "day"), ["on which day"], id="day"),
        pytest.param(Ask(None, "order"), ["takes no orders", "H07 BELOW 10"], id="order"),
        pytest.param(
            Ask(None, "unclear"),
            ["Not clear", "H07 BELOW 10", "H07 ABOVE 3", "H07 DRY"],
            id="unclear",
        ),
    ],
)
def test_what_is_asked(ask: Ask, said: list[str], english: Catalogue) -> None:
    text = word_ask(ask, english, OWN)
    assert [words for words in said if words not in text] == [], text


def test_more_plots_than_fit_are_not_listed(english: Catalogue) -> None:
    many = tuple(f"H{number:02}" for number in range(1, 20))
    text = word_ask(Ask(None, "plot", many), english, many)
    assert "Begin with the code of the plot, for example H01 BELOW 10" in text


def test_a_plot_that_the_sender_does_not_read_is_never_shown(english: Catalogue) -> None:
    for about in ABOUTS:
        assert "Z99" not in word_ask(Ask("Z99", about), english, OWN)


def test_a_phone_without_plots_gets_an_example_without_a_plot(english: Catalogue) -> None:
    text = word_ask(Ask(None, "unclear"), english, ())
    assert text == english.say("ask.unclear.bare")


@pytest.mark.parametrize("language", sorted(SHIPPED))
def test_every_question_is_one_routine_text_without_a_gap(language: str) -> None:
    plots = [f"ABCDEF{number:02}" for number in range(9)]
    for about, plot, count, own in itertools.product(
        ABOUTS, (None, plots[0]), range(5), (0, 1, 2, 9)
    ):
        levels = (-20.5, 20.5, -12.5, 0.0, 3.0)[:count]
        for candidates in (levels, tuple(plots[:count]), tuple(plots)):
            text = word_ask(Ask(plot, about, candidates), SHIPPED[language], tuple(plots[:own]))
            assert is_routine(text), text
            assert "{" not in text
            assert not text.startswith(":"), text
            assert "  " not in text
