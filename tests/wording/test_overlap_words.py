"""Words where rules overlap: sprays, cold, late water, doses in doubt, long submergence."""

from datetime import date

import pytest

from gateway.agronomy.advice import Action, Stage
from gateway.flowfiles.rules import load_rulebook
from gateway.messages.catalogue import Catalogue
from gateway.messages.segments import count_segments
from gateway.messages.wording import word_advice, word_why
from tests.wording.conftest import FLOWS, MakeAdvice

FREE, WATER = date(2026, 3, 14), date(2026, 3, 19)
SPRAYED = {"sprayed_on": date(2026, 3, 7), "not_before": FREE}

SAID: list[tuple[str, Action, Stage, tuple[str, ...], dict[str, object], list[str], list[str]]] = [
    ("cold and deep enough", "keep-flooded", "panicle", ("cold-booting", "cold-forecast"),
     {"level": 6}, ["COLD NIGHTS: KEEP 5 cm", "by day only"], ["let it dry"]),
    ("cold and low", "keep-flooded", "panicle", ("cold-booting", "cold-forecast"),
     {"level": -1}, ["COLD NIGHTS: ADD WATER by Tue 10 Mar to 5 cm", "by day only"], []),
    ("sprayed, deep, in flower", "keep-flooded", "flowering", ("flowering-ponded",),
     {"level": 12, **SPRAYED}, ["let none out until Sat 14 Mar", "until Sat 21 Mar"], ["5 cm"]),
    ("sprayed and barred", "keep-flooded", "tillering", ("soil-or-water-barred",),
     {"level": 12, **SPRAYED}, ["let none out until Sat 14 Mar", "when to go in"], ["5 cm"]),
    ("sprayed and low", "keep-flooded", "tillering", ("spray-needs-water", "inlet-only"),
     {"level": -1, **SPRAYED}, ["ADD WATER by Tue 10 Mar to 5 cm by the inlet", "none out"], []),
    ("the water comes later", "reflood", "tillering", ("threshold-reached", "water-comes-later"),
     {"level": -16, "next_water_on": WATER}, ["Water comes Thu 19 Mar: IRRIGATE FIRST then"], []),
    ("the last water for long", "reflood", "tillering", ("last-water-before-threshold",),
     {"next_water_on": WATER}, ["Next water Thu 19 Mar: IRRIGATE by Tue 10 Mar to 5 cm"], []),
    ("dry before its water", "ask", "tillering", ("no-water-before-threshold",),
     {"next_water_on": WATER}, ["may be dry before your water Thu 19 Mar", "NO WATER"], []),
    ("no water at all", "ask", "tillering", ("no-water-before-threshold",),
     {}, ["none is planned", "the office hears"], []),
    ("a dose above the plan", "reflood-after-nitrogen", "tillering",
     ("nitrogen-due", "dose-above-plan"), {"product": "UREA", "water_sure": True},
     ["How much? ASK", "flood the same day"], [" kg"]),
    ("long under water", "let-out", "tillering", ("submerged", "long-under-water"),
     {"level": 18}, ["LET OUT slowly, in steps", "Plant again? Ask first"], []),
    ("a pump of one's own", "reflood", "tillering", ("threshold-reached", "own-pump-at-hand"),
     {"level": -16, "water_source": "own-pump"}, ["Touch no wet wire", "H07 NO WATER"], ["hire"]),
    ("a hired pump", "reflood", "tillering", ("threshold-reached",),
     {"level": -16, "water_source": "hired-pump"}, ["hire a pump", "Touch no wet wire"], []),
    ("a turn", "reflood", "tillering", ("threshold-reached",),
     {"level": -16, "water_source": "gravity-turn"}, ["At night go two, with a light"], ["wire"]),
    ("nobody looked at the flower", "ask", "flowering", ("no-reading-at-flowering",),
     {"seen_cm": None}, ["in FLOWER: LOOK by Thu 12 Mar"], ["tube is dry"]),
    ("nobody looked at a plot that may not dry", "ask", "tillering", ("no-reading-yet",),
     {"seen_cm": None, "threshold_cm": 0.0, "keep_until": None},
     ["If no water stands, add some"], ["tube is dry"]),
    ("nobody looked among the weeds", "ask", "tillering", ("no-reading-yet",),
     {"seen_cm": None, "threshold_cm": 0.0, "keep_until": date(2026, 3, 23)},
     ["no soil to show until Mon 23 Mar", "LOOK by Thu 12 Mar"], ["tube is dry"]),
    ("nobody looked at a plot just sprayed", "ask", "tillering", ("reading-overdue",),
     {"seen_cm": None, **SPRAYED},
     ["let none OUT until Sat 14 Mar", "LOOK Thu 12 Mar, not before"], ["LOOK by", "by Thu"]),
]  # fmt: skip


@pytest.mark.parametrize(
    ("action", "stage", "reasons", "facts", "said", "never"),
    [row[1:] for row in SAID],
    ids=[row[0] for row in SAID],
)
def test_what_is_said_where_rules_overlap(
    action: Action,
    stage: Stage,
    reasons: tuple[str, ...],
    facts: dict[str, object],
    said: list[str],
    never: list[str],
    advice: MakeAdvice,
    english: Catalogue,
    indonesian: Catalogue,
) -> None:
    made = advice(action, stage, *reasons, **facts)
    text = word_advice(made, english)
    assert [words for words in said if words not in text] == [], text
    assert [words for words in never if words in text] == [], text
    assert count_segments(word_advice(made, indonesian)).segments == 1


def test_a_flowering_plot_is_never_told_to_wait_for_a_dry_tube(
    advice: MakeAdvice, english: Catalogue
) -> None:
    rows = load_rulebook(FLOWS).table.rows
    for row in rows:
        text = word_advice(advice(row.action, "flowering", row.name), english)
        if row.action in ("ask", "top-up", "reflood", "keep-flooded"):
            assert "dry sooner" not in text
            if row.name not in ("reading-doubted", "doubted-too-deep"):
                assert "Tube dry or" not in text


def test_every_reason_beside_the_rows_has_words_in_both_languages(
    advice: MakeAdvice, english: Catalogue, indonesian: Catalogue
) -> None:
    for code in (
        "snails", "plants-short", "same-number-again", "round-numbers-only",
        "reading-marked-doubtful", "heading-not-reported", "thermal-time", "grain-still-green",
        "photoperiod-sensitive", "variety-unknown", "duration-from-variety", "crop-season-unknown",
        "raised-step-not-known", "area-not-confirmed", "dose-above-plan", "long-under-water",
        "water-comes-later", "water-comes-too-late", "cold-forecast", "heat-forecast",
    ):  # fmt: skip
        for words in (english, indonesian):
            said = words.say(f"why.{code}")
            assert said in word_why(advice("wait", "tillering", code), words)
