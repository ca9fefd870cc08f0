"""A sheet as lines of named cells, whatever program wrote it: a workbook, or text in UTF-8 with
comma, semicolon or tab between.
"""

import csv
import io
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from gateway.advisory.errors import SheetMistake, SheetRefused
from gateway.sources.shown import shown
from gateway.sources.workbook import NoWorkbook, is_workbook, workbook_rows

SEPARATORS = ",;\t"
WHOLE_SHEET, HEADER = "sheet", "header"
LEFT_OUT = "\0"  # in place of a heading whose cells are not read


@dataclass(frozen=True, slots=True)
class Line:
    """The cells of one line that hold something, by column; ``number`` as an editor counts."""

    number: int
    cells: Mapping[str, str]


@dataclass(slots=True)
class Table:
    """The lines of a sheet, and the mistakes found in it so far."""

    name: str
    lines: list[Line] = field(default_factory=list)
    mistakes: list[SheetMistake] = field(default_factory=list)

    def fail(self, line: int, column: str, cure: str) -> None:
        """Note a mistake; the sheet is refused once all of it was read."""
        self.mistakes.append(SheetMistake(self.name, line, column, cure))

    def require_order(self) -> None:
        """Raises SheetRefused with every mistake, by line."""
        if self.mistakes:
            raise SheetRefused(tuple(sorted(self.mistakes, key=lambda mistake: mistake.line)))


def read_table(path: Path, columns: tuple[str, ...], needed: tuple[str, ...]) -> Table:
    """The lines of a sheet whose header names some of ``columns``, in any order.

    Blank lines count but hold nothing. Raises SheetRefused where there is no way to go on: a file
    that is neither a workbook nor text in UTF-8, or a header that cannot be used.
    """
    try:
        raw = path.read_bytes()
    except OSError as error:
        cure = f"cannot be read: {error.strerror}"
        raise _refused(Table(str(path)), 1, WHOLE_SHEET, cure) from None
    return table_of(str(path), raw, columns, needed)


def table_of(
    name: str,
    raw: bytes,
    columns: tuple[str, ...],
    needed: tuple[str, ...],
    theirs: Mapping[str, str] | None = None,
) -> Table:
    """The lines of a sheet that is at hand as bytes.

    ``theirs`` is for a sheet of somebody else's: which of ``columns`` their heading stands for;
    what it does not name is left out.
    """
    table = Table(name)
    rows = _filled(table, raw) if is_workbook(raw) else _rows(table, _text_of(table, raw))
    number, header = next(rows, (1, []))
    if theirs is not None:
        header = [_ours(cell, theirs) for cell in header]
    names = _header(table, number, header, columns, needed)
    for number, row in rows:
        cells = _cells(table, number, row, names)
        if cells:
            table.lines.append(Line(number, cells))
    return table


def _ours(heading: str, theirs: Mapping[str, str]) -> str:
    """Our column for a heading of theirs; a heading that is not named is left out."""
    return theirs.get(" ".join(heading.split()), LEFT_OUT)


def _filled(table: Table, raw: bytes) -> Iterator[tuple[int, list[str]]]:
    try:
        yield from workbook_rows(raw)
    except NoWorkbook as error:
        raise _refused(table, 1, WHOLE_SHEET, str(error)) from None


def _text_of(table: Table, raw: bytes) -> str:
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        cure = "need text in UTF-8; save the sheet as CSV UTF-8, or as XLSX"
        raise _refused(table, line, WHOLE_SHEET, cure) from None


def _rows(table: Table, text: str) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_separator(text), strict=True)
    begins = 1
    try:
        for row in reader:
            if any(cell.strip() for cell in row):
                yield begins, row
            begins = reader.line_num + 1
    except csv.Error as error:
        raise _refused(table, begins, WHOLE_SHEET, f"not a sheet of CSV: {error}") from None


def _separator(text: str) -> str:
    """The separator that stands most often in the first line that holds something."""
    header = next((line for line in text.splitlines() if line.strip()), "")
    return max(SEPARATORS, key=header.count)


def _header(
    table: Table, number: int, header: list[str], columns: tuple[str, ...], needed: tuple[str, ...]
) -> list[str]:
    """The column of each cell; nothing for a cell of the header that is empty."""
    names = ["_".join(cell.casefold().replace("-", " ").split()) for cell in header]
    known = ", ".join(columns)
    told = [name for name in names if name and name != LEFT_OUT]
    for name in dict.fromkeys(name for name in told if name not in columns):
        table.fail(number, HEADER, f"unknown column {shown(name)}; known: {known}")
    for name in dict.fromkeys(name for name in told if told.count(name) > 1):
        table.fail(number, HEADER, f"the column {shown(name)} stands twice, keep one")
    for name in needed:
        if name not in names:
            table.fail(number, HEADER, f"the column {name} is missing")
    table.require_order()
    return names


def _cells(table: Table, number: int, row: list[str], names: list[str]) -> dict[str, str]:
    told = [unicodedata.normalize("NFC", cell).strip() for cell in row]
    for name, cell in zip(names, told, strict=False):
        if cell and not name:
            table.fail(number, HEADER, f"{shown(cell)} stands under no column, name it")
    if any(told[len(names) :]):
        cure = f"{len(row)} cells under {len(names)} columns; quote a cell that holds the separator"
        table.fail(number, WHOLE_SHEET, cure)
        return {}
    found = zip(names, told, strict=False)
    return {name: cell for name, cell in found if cell and name not in ("", LEFT_OUT)}


def _refused(table: Table, line: int, column: str, cure: str) -> SheetRefused:
    return SheetRefused((*table.mistakes, SheetMistake(table.name, line, column, cure)))
