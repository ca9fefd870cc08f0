"""Advice in words: what is said for each case, and what is never said."""

import itertools
import re
from datetime import date, timedelta
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gateway.agronomy.advice import Action, Advice, Band, Detail, Stage
from gateway.agronomy.plot import WaterSource
from gateway.flowfiles.catalogues import load_catalogues
from gateway.flowfiles.rules import load_rulebook
from gateway.messages.advicewords import MESSAGES
from gateway.messages.catalogue import Catalogue
from gateway.messages.segments import count_segments, is_routine
from gateway.messages.wording import word_advice, word_why
from tests.wording.conftest import AS_OF, FLOWS, LOCALES, MakeAdvice

SHIPPED = load_catalogues(LOCALES)
ROWS = [row.name for row in load_rulebook(FLOWS).table.rows]
WAYS_OUT = {
    "en": ("NO WATER", "WRONG", "HELP", "GREEN", "SPRAY", "UREA", "BELOW 10", "ABOVE 3"),
    "id": ("TANPA AIR", "SALAH", "TOLONG", "HIJAU", "SEMPROT", "PUPUK", "BAWAH 10", "ATAS 3"),
}


@pytest.mark.parametrize(
    ("action", "stage", "reason", "facts", "said"),
    [
        pytest.param(
            "wait", "tillering", "above-threshold", {},
            ["H07: water 12 cm BELOW soil", "Do not irrigate yet", "Thu 12 Mar", "15 cm below"],
            id="wait",
        ),
        pytest.param(
            "wait", "tillering", "above-threshold", {"seen_cm": None},
            ["forecast 12 cm BELOW soil, not read", "LOOK in tube Thu 12 Mar"],
            id="wait by the forecast",
        ),
        pytest.param(
            "wait", "tillering", "spray-hold", {"not_before": date(2026, 3, 14)},
            ["let NO water out until Sat 14 Mar", "The label rules"],
            id="wait while a spray must stay in",
        ),
        pytest.param(
            "reflood", "tillering", "threshold-reached", {"level": -16},
            ["water 16 cm BELOW soil", "IRRIGATE by Tue 10 Mar to 5 cm", "FLOODED", "NO WATER"],
            id="irrigate",
        ),
        pytest.param(
            "reflood", "tillering", "too-dry", {"seen_dry": True, "seen_cm": None, "too_dry": True},
            ["tube DRY", "IRRIGATE FIRST by Tue 10 Mar to 5 cm", "Mud in it?"],
            id="dry tube",
        ),
        pytest.param(
            "reflood", "tillering", "too-dry", {"level": -22, "too_dry": True},
            ["22 cm BELOW soil, too dry", "IRRIGATE FIRST", "before other plots"],
            id="too dry",
        ),
        pytest.param(
            "reflood", "tillering", "threshold-reached", {"water_sure": False},
            ["IRRIGATE by Tue 10 Mar to 5 cm", "No water? Text H07 NO WATER"],
            id="water not sure",
        ),
        pytest.param(
            "reflood", "tillering", "last-water-before-threshold", {},
            ["Water may be late: IRRIGATE by Tue 10 Mar to 5 cm"],
            id="the last water for a while",
        ),
        pytest.param(
            "reflood", "tillering", "threshold-reached", {"seen_cm": None},
            ["forecast 12 cm BELOW soil, not read", "or look first"],
            id="irrigate by the forecast",
        ),
        pytest.param(
            "reflood", "tillering", "fertiliser-spread", {},
            ["fertiliser is on", "IRRIGATE by Tue 10 Mar", "let none out"],
            id="flood after fertiliser",
        ),
        pytest.param(
            "reflood", "flowering", "flowering-dry", {"level": -1},
            ["H07 in FLOWER: water 1 cm BELOW soil", "IRRIGATE FIRST", "until Sat 21 Mar"],
            id="flowering and dry",
        ),
        pytest.param(
            "top-up", "flowering", "flowering-low", {"level": 1},
            ["H07 in FLOWER: water 1 cm ABOVE soil", "ADD WATER by Tue 10 Mar to 5 cm",
             "Keep it wet until Sat 21 Mar"],
            id="flowering and low",
        ),
        pytest.param(
            "top-up", "unknown", "stage-unknown-low", {"level": 1},
            ["It may flower now", "ADD WATER"],
            id="perhaps flowering and low",
        ),
        pytest.param(
            "keep-flooded", "flowering", "flowering-ponded", {"level": 4},
            ["in FLOWER", "KEEP 5 cm water, never dry until Sat 21 Mar"],
            id="flowering and ponded",
        ),
        pytest.param(
            "keep-flooded", "tillering", "weed-hold", {"level": 3},
            ["Weeds: KEEP 5 cm water", "until Sat 21 Mar", "The label rules"],
            id="weeds",
        ),
        pytest.param(
            "keep-flooded", "tillering", "soil-or-water-barred", {"level": 3},
            ["This soil must stay wet"],
            id="barred soil",
        ),
        pytest.param(
            "keep-flooded", "establishment", "young-plants", {"level": 3},
            ["Young plants: KEEP 5 cm water"],
            id="young plants",
        ),
        pytest.param(
            "keep-flooded", "establishment", "young-plants", {"level": -2},
            ["ADD WATER by Tue 10 Mar to 5 cm, let no soil show"],
            id="young plants without water",
        ),
        pytest.param(
            "keep-moist", "establishment", "seedbed-moist", {"level": -1},
            ["KEEP the soil wet, but let no water stand"],
            id="seedbed",
        ),
        pytest.param(
            "keep-moist", "establishment", "seedbed-moist", {"level": 2},
            ["ADD NO WATER while some stands"],
            id="seedbed under water",
        ),
        pytest.param(
            "reflood-after-nitrogen", "tillering", "nitrogen-due",
            {"level": -14, "product": "UREA", "product_kg": 26, "water_sure": True},
            ["FERTILISE by Tue 10 Mar", "UREA 26 kg total", "Flood same day to 5 cm"],
            id="fertilise with sure water",
        ),
        pytest.param(
            "reflood-after-nitrogen", "tillering", "nitrogen-due",
            {"level": -14, "product": "UREA", "product_kg": 26},
            ["Only if water is sure FERTILISE: UREA 26 kg", "Flood the same day to 5 cm"],
            id="fertilise if water is sure",
        ),
        pytest.param(
            "reflood-after-nitrogen", "tillering", "nitrogen-due", {"water_sure": True},
            ["FERTILISE by Tue 10 Mar by the approved plan", "Flood the same day"],
            id="fertilise without a known dose",
        ),
        pytest.param(
            "dry-to-fertilise", "tillering", "nitrogen-due-water-stands", {"level": 4},
            ["water 4 cm ABOVE soil", "ADD NO WATER until none stands, not drier"],
            id="let it fall for fertiliser",
        ),
        pytest.param(
            "fertilise-shallow", "tillering", "nitrogen-last-days",
            {"level": 3, "product": "UREA", "product_kg": 26.5},
            ["FERTILISE into it by Tue 10 Mar: UREA 26.5 kg in all", "Shut inlet and outlet"],
            id="last days for fertiliser",
        ),
        pytest.param(
            "let-out", "tillering", "too-deep", {"level": 14},
            ["14 cm ABOVE soil, too much", "LET OUT slowly to 5 cm, NOT if just sprayed"],
            id="too much water",
        ),
        pytest.param(
            "let-out", "tillering", "submerged", {"level": 30},
            ["plants under water. LET OUT slowly, in steps", "No fertiliser until new leaves"],
            id="under water",
        ),
        pytest.param(
            "no-more-water", "ripening", "crop-ripens", {},
            ["harvest about Thu 9 Apr", "NO MORE WATER", "H07 GREEN"],
            id="no more water",
        ),
        pytest.param(
            "drain", "ripening", "standing-before-harvest", {"level": 3},
            ["harvest about Thu 9 Apr", "LET the water OUT", "H07 GREEN"],
            id="water out before harvest",
        ),
        pytest.param(
            "ask", "tillering", "reading-overdue", {"seen_cm": None},
            ["LOOK in the tube by Thu 12 Mar", "Tube dry or 15 cm below: irrigate"],
            id="a reading is needed",
        ),
        pytest.param(
            "ask", "flowering", "reading-overdue-at-flowering", {"seen_cm": None},
            ["in FLOWER", "Less than 5 cm? Add water"],
            id="a reading is needed at flowering",
        ),
        pytest.param(
            "ask", "tillering", "reading-doubted", {"level": 3},
            ["water 3 cm ABOVE soil does not fit", "LOOK AGAIN"],
            id="a reading in doubt",
        ),
        pytest.param(
            "ask", "tillering", "salty-canal-water", {},
            ["ASK the office before you irrigate"],
            id="salty canal water",
        ),
        pytest.param(
            "ask", "tillering", "submerged-in-spray-hold", {},
            ["Let NO water out", "ASK the office"],
            id="under water and sprayed",
        ),
        pytest.param("none", "before-planting", "before-planting", {}, ["not planted"], id="early"),
        pytest.param("none", "harvested", "season-over", {}, ["season is closed"], id="after"),
    ],
)  # fmt: skip
def test_what_is_said(
    action: Action,
    stage: Stage,
    reason: str,
    facts: dict[str, object],
    said: list[str],
    advice: MakeAdvice,
    english: Catalogue,
) -> None:
    text = word_advice(advice(action, stage, reason, **facts), english)
    assert [words for words in said if words not in text] == [], text


def test_a_spray_keeps_the_outlet_shut_even_at_flowering(
    advice: MakeAdvice, english: Catalogue
) -> None:
    for action, reason in (("top-up", "flowering-low"), ("reflood", "flowering-dry")):
        text = word_advice(advice(action, "flowering", reason, "inlet-only"), english)
        assert "by inlet" in text
        assert "Sprayed: let none out" in text


def test_where_no_water_is_known_to_come_the_first_there_is_goes_to_the_plot(
    advice: MakeAdvice, english: Catalogue
) -> None:
    text = word_advice(
        advice("reflood", "tillering", "threshold-reached", "no-water-known"), english
    )
    assert "No water planned. If any comes IRRIGATE FIRST to 5 cm" in text


def test_a_forecast_never_says_that_no_water_is_needed(
    advice: MakeAdvice, english: Catalogue
) -> None:
    text = word_advice(advice("wait", seen_cm=None), english)
    assert "forecast" in text
    assert "not irrigate" not in text


def test_a_dose_is_said_only_when_both_product_and_weight_are_known(
    advice: MakeAdvice, english: Catalogue
) -> None:
    text = word_advice(advice("reflood-after-nitrogen", product="UREA"), english)
    assert " kg" not in text
    assert "approved plan" in text


def test_a_reading_at_the_soil_has_no_number(advice: MakeAdvice, english: Catalogue) -> None:
    assert "H07: water AT the soil." in word_advice(advice("wait", level=0.1), english)


def test_the_grower_s_name_stands_at_the_head_where_it_costs_no_segment(
    advice: MakeAdvice, english: Catalogue
) -> None:
    assert word_advice(advice("reflood"), english, name="Ama").startswith("H07 Ama: water")
    long = word_advice(advice("reflood"), english, name="A" * 60)
    assert long == word_advice(advice("reflood"), english)


def test_the_same_advice_comes_in_another_language(
    advice: MakeAdvice, indonesian: Catalogue
) -> None:
    text = word_advice(advice("reflood", level=-16), indonesian)
    assert text.startswith("H07: air 16 cm di BAWAH tanah. AIRI paling lambat Sel 10 Mar")


# -- every advice there can be ------------------------------------------------------------------

DAYS = st.integers(0, 365).map(lambda n: date(2026, 1, 1) + timedelta(days=n))
LEVELS = st.integers(-41, 41).map(lambda n: n / 2)
SOMETIMES_DAY, SOMETIMES_LEVEL = st.none() | DAYS, st.none() | LEVELS
ADVICES = st.builds(
    Advice,
    plot=st.just("ABCDEFG8"),
    as_of=DAYS,
    stage=st.sampled_from(get_args(Stage)),
    action=st.sampled_from(get_args(Action)),
    reasons=st.lists(st.sampled_from([*ROWS, "inlet-only", "no-water-known"]), max_size=4).map(
        tuple
    ),
    level_cm=st.none() | LEVELS.map(lambda level: Band(level - 3, level, level + 3)),
    next_reading_on=SOMETIMES_DAY,
    flood_to_cm=st.sampled_from([None, 0, 2.5, 5, 7.5, 12.5]),
    water_mm=st.sampled_from([None, 60.0]),
    detail=st.builds(
        Detail,
        seen_cm=SOMETIMES_LEVEL,
        seen_dry=st.booleans(),
        act_by=SOMETIMES_DAY,
        keep_until=SOMETIMES_DAY,
        not_before=SOMETIMES_DAY,
        sprayed_on=SOMETIMES_DAY,
        product=st.sampled_from([None, "UREA", "SULPHATE"]),
        product_kg=st.sampled_from([None, 0.5, 26.0, 120.5]),
        water_sure=st.sampled_from([None, True, False]),
        too_dry=st.booleans(),
        water_source=st.sampled_from([None, *get_args(WaterSource)]),
        harvest_on=SOMETIMES_DAY,
        threshold_cm=st.sampled_from([None, -5, -10, -15, -20, -12.5, 0]),
    ),
)


@pytest.mark.parametrize("language", sorted(SHIPPED))
@given(advice=ADVICES)
def test_every_advice_is_one_routine_text_that_a_grower_can_act_on(
    language: str, advice: Advice
) -> None:
    text = word_advice(advice, SHIPPED[language])
    assert is_routine(text), text
    assert count_segments(text).encoding == ("gsm7" if SHIPPED[language].plain else "ucs2"), text
    assert language != "en" or count_segments(text).units <= 150
    assert not re.search(r"[+{}]|-\d|\b(AWD|threshold|hold|reflood|top up|drain)", text), text
    assert "  " not in text
    assert not re.search(r"\b(to|by|until|about) ?[.,:?]", text), text
    assert text.startswith("ABCDEFG8")


@pytest.mark.parametrize("language", sorted(WAYS_OUT))
def test_every_answer_offers_a_way_out(language: str) -> None:
    answers = {m for listed in MESSAGES.values() for m, _ in listed}
    words = SHIPPED[language].words
    without = [m for m in answers if not any(way in words[m] for way in WAYS_OUT[language])]
    assert without == []


def test_every_answer_of_the_catalogue_can_be_given() -> None:
    used = {msgid for listed in MESSAGES.values() for msgid, _ in listed}
    assert {msgid for msgid in SHIPPED["en"].words if msgid.startswith("answer.")} == used


def test_every_action_ends_in_a_message_for_any_advice() -> None:
    bare = Advice("H07", AS_OF, "tillering", "wait", ())
    for action, catalogue in itertools.product(get_args(Action), SHIPPED.values()):
        text = word_advice(Advice("H07", AS_OF, "tillering", action, ()), catalogue)
        assert text.startswith("H07"), text
    assert "not known" in word_advice(bare, SHIPPED["en"])


# -- reasons ------------------------------------------------------------------------------------


def test_each_row_of_the_decision_table_has_its_reason_in_words() -> None:
    assert [row for row in ROWS if not SHIPPED["en"].has(f"why.{row}")] == []


def test_each_reason_that_judgement_can_give_has_its_words() -> None:
    folder = Path(__file__).parents[2] / "gateway" / "agronomy"
    files = ("reasons", "stages", "threshold", "drydown")
    text = "\n".join((folder / f"{name}.py").read_text(encoding="utf-8") for name in files)
    said = set(re.findall(r'yield "([a-z-]+)"|\("([a-z]+-[a-z-]+)",\)', text))
    codes = {code for pair in said for code in pair if code}
    codes |= set(load_rulebook(FLOWS).practice.bars)
    assert {"inlet-only", "saline"} <= codes
    assert [code for code in sorted(codes) if not SHIPPED["en"].has(f"why.{code}")] == []


def test_why_tells_the_weightiest_reason_first(advice: MakeAdvice, english: Catalogue) -> None:
    text = word_why(advice("wait", "tillering", "spray-hold", "supply-unknown"), english)
    assert text.startswith("H07: the spray must stay in the plot; we do not know when water comes")


@pytest.mark.parametrize("language", sorted(SHIPPED))
@pytest.mark.parametrize("row", ROWS)
def test_why_is_a_routine_text_whatever_was_assumed(language: str, row: str) -> None:
    assumed = ("soil-not-checked", "seedling-age-assumed", "duration-unknown", "supply-unknown")
    text = word_why(
        Advice("ABCDEFG8", AS_OF, "tillering", "wait", (row, *assumed)), SHIPPED[language]
    )
    assert is_routine(text), text
    assert SHIPPED[language].say(f"why.{row}") in text


def test_why_has_an_answer_for_a_reason_that_has_no_words(
    advice: MakeAdvice, english: Catalogue
) -> None:
    text = word_why(advice("wait", "tillering", "a-row-of-the-office"), english)
    assert "your readings and the season" in text
