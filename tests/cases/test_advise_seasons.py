"""What must hold for every season put through ``gateway advise``, whatever was told of it."""

import json
from typing import Any

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from gateway.lines.advise import advise_line
from tests.agronomy.test_judge_properties import WETNESS
from tests.cases.seasons import (
    Line,
    day_of,
    is_barred,
    is_in_flower,
    is_sprayed,
    lines,
    on,
    read_twice,
    should_flower,
    was_submerged,
    with_level,
    without_water,
)
from tests.cases.test_advise_cases import book

DRYING = frozenset({"wait", "dry-to-fertilise", "no-more-water", "drain", "let-out"})
LETTING = frozenset({"let-out", "drain", "dry-to-fertilise"})
levels = st.one_of(st.integers(-19, 10), st.integers(11, 13), st.integers(0, 3)).map(float)
steps = st.integers(-20, 20).map(lambda tenths: tenths / 10)
# Of generated seasons one in six is in flower: what is left out costs nothing but time.
often = settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow],
)


def reply(line: Line) -> dict[str, Any]:
    return advise_line(json.dumps(line), book(()), lambda advice: {"en": advice.action})


def is_doubted(found: dict[str, Any]) -> bool:
    return any("doubted" in reason for reason in found["reasons"])


def with_event(line: Line, kind: str, ago: int, **more: Any) -> Line:
    event = {"on": on(day_of(line) - ago), "kind": kind, **more}
    return line | {"events": [*line["events"], event]}


@often
@given(lines(), levels, st.integers(0, 6))
def test_nothing_is_let_out_of_a_sprayed_plot(line: Line, level: float, ago: int) -> None:
    line = with_event(read_twice(line, level), "spray", ago)
    assert is_sprayed(line)
    assert reply(line)["action"] not in LETTING


@often
@given(lines(), levels)
def test_no_advice_dries_a_flowering_plot(line: Line, level: float) -> None:
    line = read_twice(line, level)
    found = reply(line)
    in_flower = is_in_flower(line) and day_of(line) > 40
    assert not in_flower or found["stage"] in ("flowering", "harvested")
    assume(found["stage"] == "flowering")
    assert found["action"] not in DRYING or (found["action"] == "let-out" and level > 3)
    if level <= 0:
        assert found["action"] == "reflood"
        assert found["water_mm"] > 0


@often
@given(lines(52, 105), levels)
def test_the_reckoned_flowering_days_are_kept_wet(line: Line, level: float) -> None:
    assume(should_flower(line))
    found = reply(read_twice(line, level))
    assert found["stage"] == "flowering"
    assert found["action"] not in DRYING or (found["action"] == "let-out" and level > 3)
    if level <= 0:
        assert found["action"] == "reflood"


@often
@given(lines(), levels, st.sampled_from(["saline", "acid-sulphate", "cadmium"]))
def test_no_advice_dries_a_barred_plot(line: Line, level: float, bar: str) -> None:
    line = read_twice(line | {"plot": line["plot"] | {"bars": [bar]}}, level)
    found = reply(line)
    assume(found["stage"] not in ("ripening", "harvested"))
    assert is_barred(line)
    assert found["action"] not in DRYING or (found["action"] == "let-out" and level > 3)


@often
@given(lines(), levels, st.integers(0, 6))
def test_no_advice_dries_a_plot_that_lay_under_water(line: Line, level: float, ago: int) -> None:
    line = with_event(read_twice(line, level), "submerged", ago)
    found = reply(line)
    assume(found["stage"] not in ("ripening", "harvested") and ago <= day_of(line))
    assert was_submerged(line)
    assert found["action"] not in DRYING - {"let-out"}
    assert "nitrogen" not in found["action"]
    assert not found["action"].startswith("fertilise")


@settings(max_examples=150, deadline=None)
@given(lines(), st.integers(-17, 11), steps, steps)
def test_a_lower_level_never_yields_a_drier_action(
    line: Line, level: float, one: float, other: float
) -> None:
    """Two levels near the one that was read yesterday, so that neither is doubted."""
    line = read_twice(line, level)
    low, high = (reply(with_level(line, level + step)) for step in sorted((one, other)))
    assert WETNESS[low["action"]] >= WETNESS[high["action"]]


@often
@given(lines(36, 75), st.integers(-19, -15))
def test_a_raised_threshold_never_reaches_the_panicle(line: Line, level: float) -> None:
    found = reply(read_twice(line, level))
    assume(found["stage"] in ("panicle", "flowering") and not is_doubted(found))
    assert found["action"] in ("reflood", "reflood-after-nitrogen", "keep-flooded")
    assert found["water_mm"] > 0


@often
@given(lines(), levels)
def test_what_is_not_known_is_answered_no_less_carefully(line: Line, level: float) -> None:
    """Soil not asked, water not told, the nursery's day not known: as wet as the good."""
    day, plot = day_of(line), line["plot"] | {"bars": []}
    season = line["season"] | {"method": "transplanted", "sown_on": on(-21)}
    always = [{"from": on(day - 1), "to": on(day + 90), "sure": True}]
    good = read_twice(line | {"plot": plot, "season": season, "next_water": always}, level)
    known = reply(good)
    unasked = {key: value for key, value in plot.items() if key != "bars"}
    undated = {key: value for key, value in season.items() if key != "sown_on"}
    for unknown in (
        good | {"plot": unasked},
        good | {"season": undated},
        {key: value for key, value in good.items() if key != "next_water"},
        {key: value for key, value in good.items() if key != "next_water"} | {"season": undated},
    ):
        found = reply(unknown)
        assert WETNESS[found["action"]] >= WETNESS[known["action"]] or found["action"] == "ask"


@often
@given(lines())
def test_a_plot_that_nobody_looked_at_is_never_told_to_wait(line: Line) -> None:
    found = reply(without_water(line))
    assume(found["stage"] not in ("ripening", "harvested"))
    assert found["action"] in ("ask", "keep-flooded", "keep-moist", "let-out")
    assert found["next_reading_on"] is not None


TRUTHS = (is_sprayed, is_barred, was_submerged, is_in_flower, should_flower)


def test_the_generated_seasons_hold_each_truth_and_its_absence() -> None:
    found: set[tuple[Any, bool]] = set()

    @settings(max_examples=150, deadline=None, database=None, derandomize=True)
    @given(lines())
    def look(line: Line) -> None:
        found.update((truth, truth(line)) for truth in TRUTHS)

    look()
    assert found == {(truth, held) for truth in TRUTHS for held in (True, False)}
