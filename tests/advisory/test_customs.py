"""Quiet hours and the files of the office's customs."""

import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest

from gateway.flowfiles.calendar import load_duties
from gateway.flowfiles.customs import load_customs
from gateway.flowfiles.reader import FlowError
from gateway.settings import shipped

CUSTOMS = load_customs(shipped("flows"))
MANILA = "Asia/Manila"  # UTC+8, no daylight saving


@pytest.mark.parametrize(
    ("utc", "opens"),
    [
        ("2026-03-10T02:00", "2026-03-10T02:00"),  # 10:00 there
        ("2026-03-10T11:59", "2026-03-10T11:59"),  # 19:59
        ("2026-03-10T12:00", "2026-03-10T21:30"),  # 20:00: quiet until 05:30 the next day
        ("2026-03-10T21:00", "2026-03-10T21:30"),  # 05:00: quiet for half an hour more
        ("2026-03-10T21:30", "2026-03-10T21:30"),  # 05:30
    ],
)
def test_quiet_hours_are_kept_in_the_schemes_own_zone(utc: str, opens: str) -> None:
    moment = datetime.fromisoformat(utc).replace(tzinfo=UTC)
    wanted = datetime.fromisoformat(opens).replace(tzinfo=UTC)
    assert CUSTOMS.next_open(moment, MANILA) == wanted


@pytest.mark.parametrize(
    ("utc", "opens"),
    [
        # The clocks of Europe/Rome go forward on 2026-03-29 at 02:00 and back on 2026-10-25.
        ("2026-03-28T22:00", "2026-03-29T03:30"),
        ("2026-10-24T22:00", "2026-10-25T04:30"),
    ],
)
def test_quiet_hours_end_at_the_same_clock_time_when_the_clocks_change(
    utc: str, opens: str
) -> None:
    moment = datetime.fromisoformat(utc).replace(tzinfo=UTC)
    wanted = datetime.fromisoformat(opens).replace(tzinfo=UTC)
    assert CUSTOMS.next_open(moment, "Europe/Rome") == wanted


def edited(tmp_path: Path, file: str, old: str, new: str) -> Path:
    """A copy of the flows folder with one edit, as an officer would make it."""
    flows = tmp_path / "flows"
    shutil.copytree(shipped("flows"), flows)
    text = (flows / file).read_text("utf-8")
    assert old in text
    (flows / file).write_text(text.replace(old, new), "utf-8")
    return flows


@pytest.mark.parametrize(
    ("file", "old", "new", "cure"),
    [
        ("office.yaml", '"20:00"', "late", r"office.yaml:7:\d+ from: need a time such as"),
        ("office.yaml", "question_valid_hours: 24", "question_valid_hours: soon", "whole number"),
        ("office.yaml", "most_at_once: 20", "most_at_once: 0", "at least 1"),
        ("office.yaml", "unclear_most_a_day: 2", "unclear: 2", "unknown key; known here"),
        ("calendar.yaml", "anchor: flowering-opens", "anchor: full-moon",
         r"calendar.yaml:\d+:13 anchor: need one of"),
        ("calendar.yaml", "    valid_days: 1\n", "", "the key valid_days is missing here"),
        ("calendar.yaml", "rounds: [", "rounds: [] #", "need at least one time such as"),
        ("calendar.yaml", "days: [14, 21]", "days: [21, 14]", "each once, the earliest first"),
        ("calendar.yaml", "days: [14, 21]", "days: [soon]", "need a whole number of days"),
        ("calendar.yaml", "soil: [checked]", "soil: [dusty]", "soil: need one of checked"),
        ("calendar.yaml", "heads: [untold]", "moon: [full]", "moon: unknown fact; known: action"),
        ("calendar.yaml", "anchor: look\n    days: [0]", "anchor: look\n    days: [0, 1]",
         "days: need one day"),
        ("calendar.yaml", "      - when: {method: [planted], soil: [checked], bar: [none], "
         "weeds: [unanswered],\n               stage: [establishment, tillering]}\n"
         "        text: duty.start-drying\n", "      - text: duty.start-drying\n",
         "no text below is ever sent"),
        ("calendar.yaml", "    to: lead-readers", "    to: neighbours", "need one of readers"),
        ("calendar.yaml", "weekly: {texts: 5", "weekly: {texts: many", "texts: need a whole"),
    ],
)  # fmt: skip
def test_a_mistake_is_answered_with_file_line_and_cure(
    tmp_path: Path, file: str, old: str, new: str, cure: str
) -> None:
    flows = edited(tmp_path, file, old, new)
    load = load_customs if file == "office.yaml" else load_duties
    with pytest.raises(FlowError, match=cure):
        load(flows)
