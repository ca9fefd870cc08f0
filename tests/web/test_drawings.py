"""The drawings: where things lie on them, and what they say to who cannot see them."""

from datetime import timedelta
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from gateway.agronomy.advice import Band, DateBand
from gateway.web.chart import describe, draw_season
from gateway.web.picture import Mark, Span, recent
from gateway.web.scale import Scale
from gateway.web.svg import tag
from gateway.web.tube import describe as describe_tube
from gateway.web.tube import draw_tube
from tests.web.pictures import FIRST, TODAY, a_picture, day

SVG = "{http://www.w3.org/2000/svg}"


def drawn(picture, width=960):
    return ElementTree.fromstring(str(draw_season(picture, width, 380)))


def of_class(root, name):
    return [e for e in root.iter() if name in e.get("class", "").split()]


def test_a_level_lies_higher_the_more_water_there_is():
    scale = Scale(0, 100, 10, 110, FIRST, day(9), 10, -20)
    places = [scale.y(level) for level in (10, 5, 0, -15, -20)]
    assert places == sorted(places)
    assert (places[0], places[-1]) == (10, 110)


def test_a_level_off_the_scale_lies_on_its_edge():
    scale = Scale(0, 100, 10, 110, FIRST, day(9), 10, -20)
    assert scale.y(900) == 10
    assert scale.y(-900) == 110


def test_the_days_share_the_width_alike():
    scale = Scale(0, 100, 0, 1, FIRST, day(9), 10, -20)
    assert [scale.x(day(n), 0) for n in (0, 5, 9)] == [0, 50, 90]
    assert scale.x(day(9), 1) == 100


def test_the_lines_of_the_levels_are_whole_steps_within_the_scale():
    assert list(Scale(0, 1, 0, 1, FIRST, day(1), 13, -23).levels()) == list(range(-20, 11, 5))


def test_ticks_stand_on_mondays():
    days = list(Scale(0, 1, 0, 1, FIRST, day(40), 13, -23).days(7))
    assert {tick.weekday() for tick in days} == {0}
    assert days[0] >= FIRST
    assert days[-1] <= day(40)


def test_each_reading_flood_and_dry_tube_has_its_own_shape():
    root = drawn(a_picture())
    assert [e.tag for e in of_class(root, "reading")] == [SVG + "circle"]
    assert [e.tag for e in of_class(root, "flood")] == [SVG + "path"]
    assert len(of_class(root, "dry")) == 1
    assert of_class(root, "flood")[0].get("d") != of_class(root, "dry")[0].get("d")


def test_every_mark_says_its_day_and_level_in_words():
    root = drawn(a_picture())
    said = {e.find(SVG + "title").text for e in root.iter() if e.find(SVG + "title") is not None}
    assert "14 Feb: reading, 12 cm below the soil" in said
    assert "18 Feb: dry tube" in said
    assert "18 Feb: flooded, 5 cm above the soil" in said


def test_the_drawing_names_itself_and_tells_its_gist():
    root = drawn(a_picture())
    ids = root.get("aria-labelledby").split()
    found = {e.get("id"): e.text for e in root.iter() if e.get("id") in ids}
    assert len(found) == 2
    assert "Water level of H07" in found[ids[0]]
    assert found[ids[1]] == describe(a_picture())


def test_the_gist_has_the_last_reading_the_doubt_and_the_days():
    assert describe(a_picture()) == (
        "From 5 Jan to 15 Apr: 2 readings, 1 times flooded. Last reading 18 Feb: dry tube."
        " Thought to be today 5 to 9 cm below the soil."
        " Likely to need water between 4 Mar and 9 Mar. Dry limit: 15 cm below the soil."
    )


def test_the_forecast_band_ends_at_the_limit_between_its_days():
    root = drawn(a_picture())
    points = [p.split(",") for p in of_class(root, "band")[0].get("points").split()]
    today = min(float(x) for x, _ in points)
    limit = float(of_class(root, "threshold")[0].get("y1"))
    at_limit = sorted(float(x) for x, y in points if abs(float(y) - limit) < 0.2)
    assert today < at_limit[0] < at_limit[-1]
    assert max(float(x) for x, _ in points) == at_limit[-1]
    assert all(float(y) <= limit + 0.1 for _, y in points)


@pytest.mark.parametrize(
    "changes",
    [
        pytest.param({"level": None, "crossing": DateBand()}, id="no reading yet"),
        pytest.param({"crossing": DateBand()}, id="no day is meaningful"),
        pytest.param(
            {"crossing": DateBand(TODAY, TODAY, TODAY)}, id="the limit is reached already"
        ),
    ],
)
def test_without_days_to_come_no_band_is_drawn(changes):
    assert not of_class(drawn(a_picture(**changes)), "band")


def test_the_dry_limit_is_not_drawn_through_a_flowering_window_to_come():
    root = drawn(a_picture())
    lines = of_class(root, "threshold")
    window = of_class(root, "window")[0]
    assert max(float(line.get("x2")) for line in lines) <= float(window.get("x")) + 0.1


def test_in_the_flowering_window_the_limit_is_the_one_of_that_day():
    picture = a_picture(today=day(80), due_cm=0.0)
    lines = of_class(drawn(picture), "threshold")
    assert len({line.get("y1") for line in lines}) == 2


def test_a_line_runs_through_each_dry_down_and_never_up_to_a_flooding():
    marks = (
        Mark("reading", day(10), -4.0),
        Mark("reading", day(14), -12.0),
        Mark("flooded", day(15), 5.0),
        Mark("reading", day(20), -3.0),
        Mark("flooded", day(22), None),
        Mark("reading", day(30), -9.0),
    )
    lines = [
        line.get("points").split() for line in of_class(drawn(a_picture(marks=marks)), "trace")
    ]
    assert [len(points) for points in lines] == [2, 2]
    for points in lines:
        depths = [float(point.split(",")[1]) for point in points]
        assert depths == sorted(depths)


def test_a_flooding_of_unknown_depth_is_told_from_one_that_is_known():
    marks = (Mark("flooded", day(15), 5.0), Mark("flooded", day(22), None))
    known, unknown = of_class(drawn(a_picture(marks=marks)), "flood")
    assert known.get("class") != unknown.get("class")
    assert "cm" not in unknown.find(SVG + "title").text


def test_stage_words_stand_only_where_they_fit():
    short = Span("panicle", day(71), day(72))
    rest = Span("flowering", day(73), day(100))
    root = drawn(a_picture(spans=(Span("tillering", FIRST, day(70)), short, rest)))
    words = [e.text for e in of_class(root, "stage-word")]
    assert words == ["tillering", "flowering window"]
    titles = [e.find(SVG + "title").text for e in of_class(root, "stage")]
    assert titles[1] == "panicle forming, 17 Mar to 18 Mar"


def test_a_deep_reading_widens_the_scale_so_that_it_stays_on_the_paper():
    root = drawn(a_picture(marks=(Mark("reading", day(40), -48.0),)))
    circle = of_class(root, "reading")[0]
    assert float(circle.get("cy")) < 380 - 40


def test_the_narrow_drawing_keeps_the_last_weeks_only():
    picture = recent(a_picture())
    assert picture.first >= TODAY - timedelta(days=24)
    assert picture.last <= TODAY + timedelta(days=11)
    assert [mark.kind for mark in picture.marks] == ["reading", "reading", "flooded", "spray"]
    assert picture.spans[0].first == picture.first


def test_the_narrow_drawing_of_a_season_gone_by_is_the_whole_one():
    old = a_picture(today=day(400))
    assert recent(old) == old


def test_two_drawings_on_one_page_share_no_id():
    wide, narrow = drawn(a_picture()), drawn(a_picture(), 340)
    ids = [{e.get("id") for e in root.iter() if e.get("id")} for root in (wide, narrow)]
    assert ids[0].isdisjoint(ids[1])


def test_the_tube_shows_water_up_to_its_level():
    root = ElementTree.fromstring(str(draw_tube(a_picture())))
    deeper = ElementTree.fromstring(str(draw_tube(a_picture(level=Band(-16, -14, -12)))))
    column, lower = of_class(root, "water")[1], of_class(deeper, "water")[1]
    assert float(column.get("y")) < float(lower.get("y"))
    assert float(column.get("height")) > float(lower.get("height"))


def test_a_tube_without_a_known_level_shows_no_water():
    root = ElementTree.fromstring(str(draw_tube(a_picture(level=None))))
    assert not of_class(root, "water")
    assert describe_tube(a_picture(level=None)).startswith("Water not known.")


def test_the_tube_says_level_limit_rim_and_bottom():
    assert describe_tube(a_picture(rim_cm=None)) == (
        "Water 7 cm below the soil. Dry limit 15 cm below the soil."
        " Rim not measured, bottom 20 cm below the soil."
    )


def test_the_labels_of_the_tube_never_lie_on_each_other():
    root = ElementTree.fromstring(
        str(draw_tube(a_picture(level=Band(-15, -15, -15), bottom_cm=-16.0)))
    )
    places = sorted(float(e.get("y")) for e in of_class(root, "label"))
    assert min(b - a for a, b in pairwise(places)) >= 15


def test_values_in_a_drawing_are_escaped():
    assert tag("text", "<script>", title='"><b>') == (
        '<text title="&#34;&gt;&lt;b&gt;">&lt;script&gt;</text>'
    )


def test_the_tube_shows_what_was_read_today_and_not_what_is_reckoned():
    picture = a_picture(level=Band(-1.0, 2.0, 5.0), seen_cm=1.2)
    root = ElementTree.fromstring(str(draw_tube(picture)))
    labels = [e.text for e in of_class(root, "strong")]
    read = ElementTree.fromstring(str(draw_tube(a_picture(level=Band(1.2, 1.2, 1.2)))))
    assert labels == ["water +1.2 cm"]
    assert describe_tube(picture).startswith("Water 1.2 cm above the soil.")
    assert of_class(root, "water")[1].get("y") == of_class(read, "water")[1].get("y")
    assert of_class(root, "bracket") == []


def test_a_tube_that_was_not_read_shows_the_doubt_of_the_forecast():
    root = ElementTree.fromstring(str(draw_tube(a_picture())))
    assert [e.text for e in of_class(root, "strong")] == ["water −7 cm"]
    assert len(of_class(root, "bracket")) == 1
