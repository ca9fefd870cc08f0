"""How moments, days and other people's texts are shown."""

from datetime import date, datetime
from typing import Final
from zoneinfo import ZoneInfo

from gateway.advisory.number import hide_numbers

# Marks that turn or nest the direction of writing could make a text look like another one.
TURNING: Final = {*range(0x202A, 0x202F), *range(0x2066, 0x206A)}
CONTROLS: Final = {code: chr(0x2400 + code) for code in range(32) if code not in (9, 10)}
VISIBLE: Final = CONTROLS | {0x7F: "␡"} | {code: f"[U+{code:04X}]" for code in TURNING}


def text_shown(text: str | None) -> str:
    """A text as the office sees it: numbers masked, controls and turning marks made visible."""
    return hide_numbers(text or "").translate(VISIBLE)


def moment_shown(moment: datetime | None, zone: str) -> str:
    """A moment in the scheme's zone: ``Tue 10 Mar 2026 06:12``."""
    return moment.astimezone(ZoneInfo(zone)).strftime("%a %-d %b %Y %H:%M") if moment else ""


def moment_after(moment: datetime, first: datetime, zone: str) -> str:
    """The hour alone where it is the same day as ``first``, else the whole moment."""
    there = ZoneInfo(zone)
    same = moment.astimezone(there).date() == first.astimezone(there).date()
    return moment.astimezone(there).strftime("%H:%M") if same else moment_shown(moment, zone)


def short_day(day: date) -> str:
    """A day near today, without its year: ``Tue 10 Mar``."""
    return day.strftime("%a %-d %b")


def day_shown(day: date | str | None) -> str:
    """A day, given as such or as YYYY-MM-DD: ``Tue 10 Mar 2026``."""
    if not day:
        return ""
    return (date.fromisoformat(day) if isinstance(day, str) else day).strftime("%a %-d %b %Y")
