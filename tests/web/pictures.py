"""A season to draw: invented, with one of everything."""

from datetime import date, timedelta

from gateway.agronomy.advice import Band, DateBand
from gateway.agronomy.fan import FanDay
from gateway.web.picture import Mark, Picture, Span

FIRST = date(2026, 1, 5)
TODAY = date(2026, 3, 2)


def day(number: int) -> date:
    return FIRST + timedelta(days=number)


def a_picture(**changes: object) -> Picture:
    """Tillering then flowering, a reading and a dry tube, a reflood, a spray."""
    known: dict[str, object] = {
        "code": "H07",
        "first": FIRST,
        "last": day(100),
        "today": TODAY,
        "spans": (Span("tillering", FIRST, day(70)), Span("flowering", day(71), day(100))),
        "marks": (
            Mark("reading", day(40), -12.0),
            Mark("reading", day(44), -20.0, dry=True),
            Mark("flooded", day(44), 5.0),
            Mark("spray", day(50), None),
        ),
        "threshold_cm": -15.0,
        "due_cm": -15.0,
        "bottom_cm": -20.0,
        "rim_cm": 15.0,
        "level": Band(-9.0, -7.0, -5.0),
        "crossing": DateBand(TODAY + timedelta(2), TODAY + timedelta(4), TODAY + timedelta(7)),
        "fan": tuple(
            FanDay(TODAY + timedelta(n), Band(-9.0 - 4 * n, -7.0 - 2 * n, -5.0 - 1.5 * n))
            for n in range(1, 10)
        ),
    }
    return Picture(**(known | changes))  # type: ignore[arg-type]
