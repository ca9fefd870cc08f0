"""How a plot loses its water and what it took, said in words with their doubt."""

from dataclasses import replace
from datetime import date

import pytest

from gateway.agronomy.advice import Band, DateBand
from gateway.agronomy.drydown import Estimate
from gateway.agronomy.methane import methane
from gateway.agronomy.savings import Account
from gateway.web.waterwords import account_words, habit_words, methane_words

ESTIMATE = Estimate(
    Band(-9, -7, -5),
    DateBand(),
    Band(6.2, 8.4, 10.6),
    Band(1.1, 1.6, 2.4),
    date(2026, 3, 4),
    fall_cm_d=Band(1.4, 2.0, 3.1),
)
ACCOUNT = Account(
    since=date(2026, 1, 10),
    until=date(2026, 3, 2),
    floodings=4,
    rain_mm=35.2,
    put_on_mm=Band(270, 300, 330),
    twin_mm=Band(390, 420, 450),
    less_mm=Band(80, 120, 160),
    drained=(4.2, 5.9),
)


def test_the_losses_of_a_plot_are_said_with_their_doubt() -> None:
    assert habit_words(ESTIMATE) == [
        "Loses about 8 mm a day while water stands (8 of 10 chances: 6 to 11).",
        "Falls about 2.0 cm a day below the surface (8 of 10 chances: 1.4 to 3.1).",
        "Takes about 1.6 mm of water for each cm below the surface (8 of 10 chances: 1.1 to 2.4).",
    ]


def test_the_account_sets_the_plot_beside_the_field_kept_flooded() -> None:
    assert account_words(ACCOUNT) == [
        "Put on in 4 floodings: about 300 mm (8 of 10 chances: 270 to 330); rain 35 mm.",
        "A field of the same soil kept flooded would have taken about 420 mm"
        " (8 of 10 chances: 390 to 450).",
        "The plot took about 120 mm less (8 of 10 chances: 80 to 160).",
        "It fell below the surface 2 times, for 4, 6 days.",
    ]


@pytest.mark.parametrize(
    ("less", "said"),
    [
        (Band(-160, -120, -80), "The plot took about 120 mm more (8 of 10 chances: 80 to 160)."),
        (Band(-20, 30, 80), "Which of both took more cannot be told yet."),
    ],
)
def test_no_more_is_said_of_the_difference_than_its_band_bears(less: Band, said: str) -> None:
    words = account_words(replace(ACCOUNT, less_mm=less))
    assert words[2] == said
    assert not any("saved" in line for line in words)


def test_a_plot_that_never_dried_is_said_to_have_stayed_wet() -> None:
    [*_, last] = account_words(replace(ACCOUNT, drained=()))
    assert last == "It has not fallen below the surface between two floodings."
    [*_, once] = account_words(replace(ACCOUNT, drained=(3.2,)))
    assert once == "It fell below the surface once, for 3 days."


def test_methane_is_said_as_a_range_beside_the_flooded_one() -> None:
    """0.80 x 113 x 0.41 to 1.76 x 113 x 0.72, and 0.73 to 1.27 (IPCC 2019, tables 5.11, 5.12)."""
    assert methane_words(methane(2, "world")) == (
        "Methane of a whole season like this (dried more than once): 37 to 143 kg per ha;"
        " kept flooded: 66 to 253 kg per ha."
    )
