"""Query strings of lists: what is wanted, read with care, and the way to the next page."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

LONGEST = 200


@dataclass(frozen=True, slots=True)
class Pages:
    """Which page of a list is shown, of how many, and how long the list is."""

    page: int
    pages: int
    total: int


def words_of(query: Mapping[str, str], key: str) -> str | None:
    """A value of the query, trimmed and bounded; None where it says nothing."""
    return query.get(key, "").strip()[:LONGEST] or None


def day_of(query: Mapping[str, str], key: str) -> date | None:
    """A day of the query as YYYY-MM-DD; None where there is none or it is no day."""
    try:
        return date.fromisoformat(query.get(key, ""))
    except ValueError:
        return None


def page_of(query: Mapping[str, str]) -> int:
    """The page that is wanted, from 1 on."""
    digits = query.get("page", "1")
    return max(1, int(digits)) if digits.isascii() and digits.isdigit() and len(digits) < 8 else 1


def day_begins(day: date | None, zone: str) -> datetime | None:
    """The first moment of a day of that zone, in UTC."""
    return _utc(datetime.combine(day, time.min, ZoneInfo(zone))) if day else None


def day_ends(day: date | None, zone: str) -> datetime | None:
    """The first moment after a day of that zone, in UTC."""
    return day_begins(day + timedelta(days=1), zone) if day and day < date.max else None


def _utc(moment: datetime) -> datetime:
    try:
        return moment.astimezone(UTC)
    except OverflowError:
        return moment.replace(tzinfo=UTC)
