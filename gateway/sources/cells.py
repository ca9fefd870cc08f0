"""The cells of one line, each read as what its column holds; what is wrong is noted and skipped."""

import re
from collections.abc import Collection
from datetime import date, time, timedelta
from unicodedata import category

from gateway.advisory.sheets import Span
from gateway.sources.shown import may_be_phone, shown
from gateway.sources.table import Line, Table

NUMBER = re.compile(r"[-+−]?(\d+([.,]\d+)?|[.,]\d+)", re.ASCII)
CLOCK = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)(:00)?", re.ASCII)
YES, NO = ("yes", "y", "true", "1"), ("no", "n", "false", "0")


class Cells:
    """Reads the cells of one line. A reader gives None for an empty cell and for a wrong one."""

    def __init__(self, table: Table, line: Line) -> None:
        self.table, self.line = table, line.number
        self.cells = line.cells
        self.wrong: set[str] = set()

    def has(self, column: str) -> bool:
        """Whether something stands there, right or wrong."""
        return column in self.cells

    def fail(self, column: str, cure: str) -> None:
        """Note a mistake in a column of this line."""
        self.wrong.add(column)
        self.table.fail(self.line, column, cure)

    def need(self, *columns: str) -> None:
        """Note each of these that is empty."""
        for column in columns:
            if not self.has(column):
                self.fail(column, "must not be empty")

    def words(self, column: str, most: int = 80) -> str | None:
        """A name or the like, on one line; digits enough for a phone do not belong there."""
        cell = " ".join(self.cells.get(column, "").split())
        if not cell:
            return None
        if may_be_phone(cell):
            self.fail(column, "looks like a phone number, which belongs under phone")
            return None
        if len(cell) > most or any(category(letter) == "Cc" for letter in cell):
            self.fail(column, f"need at most {most} characters, none of them a control character")
            return None
        return cell

    def number(self, column: str, span: Span, unit: str = "") -> float | None:
        """A number with a decimal point or comma, inside the span; a cure names the unit."""
        cell = self.cells.get(column)
        if cell is None:
            return None
        if not NUMBER.fullmatch(cell):
            self.fail(column, f"need a number such as 0.4, got {shown(cell)}")
            return None
        value = float(cell.replace(",", ".").replace("−", "-")) + 0.0
        if not span.least <= value <= span.most:
            hint = self._sign_hint(value, span)
            need = f"need {span.least:g} to {span.most:g}{unit and ' '}{unit}"
            self.fail(column, f"{need}, got {shown(cell)}{hint}")
            return None
        return value

    def whole(self, column: str, span: Span) -> int | None:
        """A whole number inside the span; 120.0 is one too."""
        value = self.number(column, span)
        if value is None or value.is_integer():
            return None if value is None else int(value)
        self.fail(column, f"need a whole number, got {shown(self.cells[column])}")
        return None

    def day(self, column: str, today: date, span: Span) -> date | None:
        """A day as YYYY-MM-DD, so many days from today."""
        cell = self.cells.get(column)
        if cell is None:
            return None
        day = _day_of(cell)
        if day is None:
            self.fail(column, f"need a day such as 2026-03-10, got {shown(cell)}")
            return None
        first, last = today + timedelta(days=span.least), today + timedelta(days=span.most)
        if not first <= day <= last:
            self.fail(column, f"need a day from {first} to {last}, got {day}")
            return None
        return day

    def clock(self, column: str) -> time | None:
        """An hour of the day as HH:MM, 24 hours; also as programs write it with seconds of zero."""
        cell = self.cells.get(column)
        if cell is None:
            return None
        plain = CLOCK.fullmatch(cell)
        if plain is None:
            self.fail(column, f"need an hour such as 06:00 or 22:30, got {shown(cell)}")
            return None
        return time(int(plain[1]), int(plain[2]))

    def choice(self, column: str, allowed: Collection[str]) -> str | None:
        """One of the allowed words; spaces and capitals do not matter."""
        cell = self.cells.get(column)
        return None if cell is None else self._chosen(column, cell, allowed)

    def choices(self, column: str, allowed: Collection[str]) -> frozenset[str] | None:
        """Several of the allowed words, semicolon between; ``none`` alone for none of them."""
        cell = self.cells.get(column)
        if cell is None:
            return None
        if cell.casefold() == "none":
            return frozenset()
        parts = [part.strip() for part in re.split("[;,]", cell) if part.strip()]
        found = [self._chosen(column, part, allowed) for part in parts]
        return frozenset(word for word in found if word is not None)

    def flag(self, column: str) -> bool | None:
        """Yes or no."""
        word = self.choice(column, (*YES, *NO))
        return None if word is None else word in YES

    def _chosen(self, column: str, cell: str, allowed: Collection[str]) -> str | None:
        by_fold = {_folded(each): each for each in allowed}
        if _folded(cell) in by_fold:
            return by_fold[_folded(cell)]
        known = f"need one of {', '.join(allowed)}" if allowed else "none is on record yet"
        self.fail(column, f"{known}; got {shown(cell)}")
        return None

    @staticmethod
    def _sign_hint(value: float, span: Span) -> str:
        below = span.most < 0 and span.least <= -value <= span.most
        return "; below the soil is negative" if below else ""


def _folded(word: str) -> str:
    return "-".join(word.casefold().replace("_", " ").replace("-", " ").split())


def _day_of(cell: str) -> date | None:
    """2026-03-10, also as programs write it with a time of midnight after it."""
    plain = re.fullmatch(r"(\d{4}-\d{2}-\d{2})([T ]00:00(:00)?)?", cell, re.ASCII)
    try:
        return date.fromisoformat(plain[1]) if plain else None
    except ValueError:
        return None
