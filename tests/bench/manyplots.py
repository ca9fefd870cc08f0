"""A scheme of many plots, written in bulk.

Each has a book of ten readings and floodings, an advice that named the day to look, a reader, and
weather of the whole season; a fifth of the plots is due for a reading.
"""

from datetime import UTC, date, datetime, timedelta
from random import Random
from typing import Any

from sqlalchemy import Table, insert

from gateway.advisory.number import Number
from gateway.agronomy.case import WeatherDay
from gateway.store.engine import SqlStore
from gateway.store.numbers import marks_of, seal_number
from gateway.store.tables.crop import event, season
from gateway.store.tables.places import grower, phone, plot, reader
from gateway.store.tables.traffic import advice

MORNING = datetime(2026, 3, 10, 20, 45, tzinfo=UTC)
"""04:45 of the next day in the scheme's zone: the round of the morning is open."""
TODAY = date(2026, 3, 11)
SETTING: dict[str, Any] = {}


def fill(store: SqlStore, plots: int, seed: int) -> None:
    """So many plots with their books, in tillering or later, written in bulk."""
    rng = Random(seed)
    with store.begin() as unit:
        scheme = unit.schemes.add("TRY", "Trial Reach", "Trial Office", "Asia/Manila", "en").id
        blocks = [
            unit.schemes.add_block(scheme, f"Block {n}", f"U{n}", 30.0)
            for n in range(1 + plots // 50)
        ]
        sky = [
            WeatherDay(TODAY + timedelta(days=n), 4.5 if n < 0 else 4.6, 0.0, tmin=23.0, tmax=31.0)
            for n in range(-110, 8)
        ]
        unit.schemes.add_weather(scheme, sky, "invented", MORNING - timedelta(hours=9))
        unit.commit()
    for low in range(1, plots + 1, 2000):
        numbers = range(low, min(low + 2000, plots + 1))
        with store.begin_work() as work:
            for table, rows in _rows(work.keys, scheme, blocks, numbers, rng).items():
                work.run_many(insert(table), rows)
            work.conn.commit()


def _rows(
    keys: Any, scheme: int, blocks: list[int], numbers: range, rng: Random
) -> dict[Table, list[dict[str, Any]]]:
    rows: dict[Table, list[dict[str, Any]]] = {
        table: [] for table in (grower, phone, plot, reader, season, event, advice)
    }
    for n in numbers:
        number = Number(f"+1202555{n:06}")
        planted = TODAY - timedelta(days=rng.randint(20, 58))
        fixed = {"scheme_id": scheme}
        rows[grower].append(fixed | {"id": n, "name": f"Grower {n}"})
        rows[phone].append(
            fixed
            | {
                "id": n,
                "number": seal_number(number, keys),
                "mark": marks_of(scheme, number, keys)[0],
                "language": "en",
                "known": True,
                "since": MORNING,
            }
        )
        rows[plot].append(
            fixed
            | {
                "id": n,
                "block_id": blocks[n // 50],
                "grower_id": n,
                "code": f"P{n}",
                "area_ha": 0.4,
                "soil": "clay-loam",
                "latitude": 15.0,
                "rim_cm": 20.0,
                "bars": [],
            }
        )
        rows[reader].append(
            fixed
            | {"phone_id": n, "plot_id": n, "grower_id": n, "role": "reader", "since": MORNING}
        )
        rows[season].append(
            fixed
            | {
                "id": n,
                "plot_id": n,
                "method": "transplanted",
                "established_on": planted,
                "sown_on": planted - timedelta(days=20),
                "duration_days": 120,
                "variety": "",
            }
        )
        last = _book(rows[event], fixed, n, rng)
        rows[advice].append(
            fixed
            | {
                "plot_id": n,
                "season_id": n,
                "as_of": datetime.combine(last, datetime.min.time(), UTC),
                "stage": "tillering",
                "action": "wait",
                "next_reading_on": last + timedelta(days=5),
                "setting": SETTING,
                "advice": SETTING,
                "language": "en",
                "text": "",
                "rules_digest": "",
                "words_digest": "",
            }
        )
    return rows


def _book(rows: list[dict[str, Any]], fixed: dict[str, Any], n: int, rng: Random) -> date:
    """Two dry-downs of four readings each; gives the day of the last."""
    last = TODAY - timedelta(days=rng.randint(1, 5))
    for back in range(10):
        day = last - timedelta(days=2 * (9 - back))
        flooded = back % 5 == 0
        level = 5.0 - 3.5 * (back % 5) + rng.uniform(-1, 1)
        rows.append(
            fixed
            | {
                "plot_id": n,
                "kind": "flooded" if flooded else "reading",
                "on": day,
                "fields": {"to_cm": 5.0} if flooded else {"level_cm": round(level)},
                "recorded_at": MORNING - timedelta(days=(TODAY - day).days + 1),
                "by": "reader",
            }
        )
    return last
