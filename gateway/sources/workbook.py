"""A workbook (XLSX) as rows of plain cells: what its one filled sheet shows, row by row.

The first of rows and columns are numbered as the program that wrote it numbers them. A file made to
burst a reader (a small archive of gigabytes, one cell in the millionth row) costs no more than the
bounds below.
"""

import io
import warnings
from collections.abc import Iterator
from datetime import date, datetime, time
from typing import Any, Final
from zipfile import BadZipFile, ZipFile

from openpyxl import load_workbook
from openpyxl.utils.exceptions import InvalidFileException

MARK: Final = b"PK\x03\x04"  # every XLSX is a zip archive
MOST_BYTES: Final = 64_000_000  # of what the archive unpacks to
MOST_ROWS: Final = 200_000
MOST_COLUMNS: Final = 200
Row = tuple[int, list[str]]


class NoWorkbook(Exception):
    """The file is no workbook that can be read; its words are the cure."""


def is_workbook(raw: bytes) -> bool:
    """Whether the bytes begin as those of a workbook."""
    return raw.startswith(MARK)


def workbook_rows(raw: bytes) -> Iterator[Row]:
    """Number and cells of each row that holds something. Raises NoWorkbook."""
    try:
        _check_size(raw)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of styles and lists of choices, which are not read
            yield from _only_filled(io.BytesIO(raw))
    except (BadZipFile, InvalidFileException, KeyError, ValueError, TypeError, SyntaxError) as e:
        raise NoWorkbook(
            f"not a workbook that can be read ({type(e).__name__}); save it"
            " anew as XLSX, or as CSV UTF-8"
        ) from None


def _check_size(raw: bytes) -> None:
    """Raises NoWorkbook for an archive that unpacks to more than any sheet needs."""
    with ZipFile(io.BytesIO(raw)) as archive:
        whole = sum(part.file_size for part in archive.infolist())
    if whole > MOST_BYTES:
        raise NoWorkbook(f"unpacks to {whole} bytes, more than {MOST_BYTES}; keep one plain sheet")


def _only_filled(file: io.BytesIO) -> Iterator[Row]:
    """The rows of the one sheet that holds something; several would leave it open which counts."""
    book = load_workbook(file, read_only=True, data_only=True, keep_links=False)
    try:
        filled = ""
        for sheet in book.worksheets:
            for row in _rows(sheet):
                if filled not in ("", sheet.title):
                    raise NoWorkbook(
                        f"{filled!r} and {sheet.title!r} both hold cells; keep one sheet"
                    )
                filled = sheet.title
                yield row
    finally:
        book.close()


def _rows(sheet: Any) -> Iterator[Row]:
    bounds = {"max_row": MOST_ROWS + 1, "max_col": MOST_COLUMNS + 1}
    for number, values in enumerate(sheet.iter_rows(values_only=True, **bounds), start=1):
        cells = [_written(value) for value in values]
        while cells and not cells[-1]:
            cells.pop()
        if number > MOST_ROWS or len(cells) > MOST_COLUMNS:
            raise NoWorkbook(f"has more than {MOST_ROWS} rows or {MOST_COLUMNS} columns")
        if cells:
            yield number, cells


def _written(value: Any) -> str:
    """A cell as it would stand in a sheet of text; a whole number without a point."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return repr(int(value)) if value.is_integer() else repr(value)
    if isinstance(value, datetime | date | time):
        return value.isoformat().removesuffix("T00:00:00")
    return str(value)
