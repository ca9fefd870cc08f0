"""Notices, duties and digests: complete without a field, within their segments."""

import re
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gateway.agronomy.advice import Action, Advice
from gateway.agronomy.stages import Calendar
from gateway.flowfiles.catalogues import load_catalogues
from gateway.messages.catalogue import Catalogue, UnknownMessage
from gateway.messages.segments import count_segments
from gateway.messages.wording import digest_parts, word_digest, word_duty, word_notice
from tests.wording.conftest import LOCALES, MakeAdvice
from tests.wording.test_advice_words import ADVICES

SHIPPED = load_catalogues(LOCALES)
SEASON = Calendar(
    date(2026, 1, 1),
    date(2026, 1, 8),
    flowering_from=date(2026, 3, 7),
    flowering_to=date(2026, 3, 21),
)


@pytest.mark.parametrize(
    ("msgid", "fields", "said"),
    [
        pytest.param("notice.flooded", {"look": date(2026, 3, 12)},
                     "H07: irrigated, written down. Thank you. Look in the tube Thu 12 Mar",
                     id="irrigated"),
        pytest.param("notice.flooded", {}, "H07: irrigated, written down", id="irrigated, no day"),
        pytest.param("notice.spray", {"free": date(2026, 3, 16)}, "NO water out until Mon 16 Mar",
                     id="spray"),
        pytest.param("notice.spray", {}, "as long as the label says", id="spray, no end known"),
        pytest.param("notice.no-water", {}, "the office is told", id="no water"),
        pytest.param("notice.undone", {"what": "water 18 cm BELOW soil"},
                     "taken back: water 18 cm BELOW soil", id="taken back"),
        pytest.param("notice.undone", {}, "your last report is taken back", id="the last report"),
        pytest.param("notice.help", {}, "H07 BELOW 10, H07 ABOVE 3, H07 DRY", id="help"),
    ],
)  # fmt: skip
def test_a_notice_says_what_is_known(
    msgid: str, fields: dict[str, float | date | str], said: str, english: Catalogue
) -> None:
    assert said in word_notice(msgid, english, plot="H07", **fields)


@pytest.mark.parametrize("language", sorted(SHIPPED))
def test_notices_without_a_plot_have_no_gap(language: str) -> None:
    for msgid in ("help", "person", "returned", "language", "not-yours", "left", "stranger"):
        text = word_notice(f"notice.{msgid}", SHIPPED[language], plot="", scheme="WATER OFFICE")
        assert "  " not in text
        assert not text.startswith((":", " "))


def test_own_plots_are_listed_as_far_as_one_segment_holds_them(english: Catalogue) -> None:
    few = word_notice("notice.not-yours", english, plots=("H07", "H09"))
    assert "Your plots: H07 H09. Not so?" in few
    many = word_notice("notice.not-yours", english, plots=tuple(f"H{n:03}" for n in range(40)))
    assert count_segments(many).segments == 1
    assert "H000 H001" in many


def test_a_notice_that_is_nowhere_is_named(english: Catalogue) -> None:
    with pytest.raises(UnknownMessage, match=r"notice\.nothing"):
        word_notice("notice.nothing", english, plot="H07")


def test_the_duty_of_flowering_begins_with_the_office_and_names_the_first_day(
    english: Catalogue,
) -> None:
    text = word_duty("duty.flowering-begins", english, "WATER OFFICE", "H07", SEASON, to_cm=5)
    assert text.startswith("WATER OFFICE: H07 will flower soon. From Sat 7 Mar KEEP 5 cm water")
    assert "H07 HEADS" in text
    bare = word_duty("duty.flowering-begins", english, "WATER OFFICE", "H07", SEASON)
    assert "From Sat 7 Mar KEEP water on" in bare


def test_every_message_that_is_named_in_the_code_and_in_flows_is_in_the_catalogue(
    english: Catalogue,
) -> None:
    root = Path(__file__).parents[2]
    code = "\n".join(path.read_text(encoding="utf-8") for path in (root / "gateway").rglob("*.py"))
    flows = "\n".join(path.read_text(encoding="utf-8") for path in (root / "flows").glob("*.yaml"))
    named = set(re.findall(r'"((?:notice|answer|ask)\.[a-z]+(?:[.-][a-z]+)*)"', code))
    named |= set(re.findall(r"text: ((?:notice|duty)\.[a-z.-]+)", flows))
    assert {"notice.no-water", "answer.wait", "duty.flowering-begins"} <= named
    assert [msgid for msgid in sorted(named) if not english.has(msgid)] == []


# -- digests ------------------------------------------------------------------------------------


def test_a_digest_puts_the_urgent_first_and_names_days_and_depths(
    advice: MakeAdvice, english: Catalogue
) -> None:
    def on(plot: str, one: Advice) -> Advice:
        return Advice(**{**{n: getattr(one, n) for n in one.__slots__}, "plot": plot})

    text = word_digest(
        [
            on("H08", advice("wait")),
            on("H02", advice("keep-flooded", "establishment", level=4)),
            on("H07", advice("reflood")),
            on("H09", advice("top-up", "flowering", level=1)),
        ],
        english,
    )
    assert text == (
        "WATER FIRST by Tue 10 Mar: H09. WATER by Tue 10 Mar: H07. KEEP water: H02 5 cm. "
        "No water yet, look again: H08 Thu."
    )


def test_soil_to_be_kept_wet_is_never_listed_as_water_to_keep(
    advice: MakeAdvice, english: Catalogue
) -> None:
    assert word_digest([advice("keep-moist")], english) == "Soil WET, no water on it: H07."


@pytest.mark.parametrize("language", sorted(SHIPPED))
@given(advices=st.lists(ADVICES, min_size=1, max_size=60))
def test_a_digest_loses_no_plot_and_keeps_to_two_segments_each(
    language: str, advices: list[Advice]
) -> None:
    named = [
        Advice(**{**{n: getattr(one, n) for n in one.__slots__}, "plot": f"P{number:03}"})
        for number, one in enumerate(advices)
    ]
    parts = digest_parts(named, SHIPPED[language])
    assert all(count_segments(part).segments <= 2 for part in parts)
    more = SHIPPED[language].say("digest.more")
    assert [part.endswith(more) for part in parts] == [True] * (len(parts) - 1) + [False]
    for one in named:
        assert sum(one.plot in part for part in parts) == 1


def test_the_first_digest_text_holds_the_most_urgent(english: Catalogue) -> None:
    def plain(number: int, action: Action) -> Advice:
        day = date(2026, 3, 9)
        return Advice(
            f"H{number:03}", day, "tillering", action, (), next_reading_on=day + timedelta(days=3)
        )

    plots = [plain(n, "wait") for n in range(50)] + [plain(99, "reflood")]
    text = word_digest(plots, english)
    assert text.startswith("WATER by Mon 9 Mar: H099.")
    assert text.endswith("Text MORE for the rest.")
    assert count_segments(text).segments == 2
    assert word_digest([], english) == ""
