"""What was understood, in the words of the office: no codes, no signs to overlook."""

import pytest

from gateway.advisory.summary import summary_of
from gateway.messages.heard import Ask, Heard


@pytest.mark.parametrize(
    ("ask", "said"),
    [
        (Ask("H07", "sign", (-15.0, 15.0)), "H07: asked back: 15 cm below or above soil?"),
        (Ask("H07", "sign", (3.0, -3.0)), "H07: asked back: 3 cm above or below soil?"),
        (
            Ask("H07", "number", (-12.0, -1.2)),
            "H07: asked for the level: 12 cm below soil or 1.2 cm below soil?",
        ),
        (
            Ask("H07", "number", (0.0, 15.0)),
            "H07: asked for the level: at the soil surface or 15 cm above soil?",
        ),
        (
            Ask(None, "plot", ("H07", "K12"), -12.0),
            "asked which plot: H07 or K12? (water 12 cm below soil)",
        ),
        (
            Ask(None, "plot", ("H07", "K12"), None, dry=True),
            "asked which plot: H07 or K12? (tube dry)",
        ),
        (Ask("H07", "unclear"), "H07: not clear, asked to text it again"),
        (Ask("H07", "sign"), "H07: asked whether below or above the soil"),
        (Ask("H07", "day", (), -12.0), "H07: asked for which day (water 12 cm below soil)"),
    ],
    ids=lambda value: value if isinstance(value, str) else value.about,
)
def test_a_question_is_told_in_words_without_a_sign(ask: Ask, said: str) -> None:
    assert summary_of(Heard("ask", ask=(ask,))) == said


@pytest.mark.parametrize("about", ["unclear", "sign", "number", "plot", "day", "rim", "order"])
def test_every_question_has_words_of_its_own(about: str) -> None:
    said = summary_of(Heard("ask", ask=(Ask(None, about),)))
    assert len(said.split()) > 2
    assert "about" not in said
