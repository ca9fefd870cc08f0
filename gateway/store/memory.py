"""What was read of rows that never change, kept for the next who asks.

Plans are never changed and weather is only ever added to, so nothing here can grow stale: what is
told anew is asked for under another key. A unit of work that writes such rows reads with a memory
of its own, so that nothing it may still take back is remembered for others.
"""

from datetime import date
from typing import Any, Final

from gateway.agronomy.case import WeatherDay
from gateway.agronomy.recent import Recent

MOST_PLANS: Final = 1000
MOST_SKIES: Final = 64

Sky = tuple[WeatherDay, ...]
SkySign = tuple[int, date, int, int | None]
"""Scheme, first day, how many rows are known of it, the newest of them."""


class Memory:
    """The splits of plans, and the weather of schemes."""

    def __init__(self) -> None:
        self.plans: Recent[int, list[Any]] = Recent(MOST_PLANS)
        self.skies: Recent[SkySign, Sky] = Recent(MOST_SKIES)
