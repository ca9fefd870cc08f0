"""Sheets as workbooks: the same lines as their text, and files made to burst whoever opens them."""

import datetime as dt
import io
import zipfile
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook

from gateway.advisory.errors import SheetRefused
from gateway.sources.table import read_table
from gateway.sources.weather import read_weather
from gateway.sources.workbook import MOST_BYTES, MOST_COLUMNS
from tests.sources.office import BOUNDS, TODAY, write

COLUMNS = ("plot", "area_ha", "block", "area_confirmed")


def saved(folder: Path, *rows: list[Any], name: str = "sheet.xlsx") -> Path:
    book = Workbook()
    for row in rows:
        book.active.append(row)
    book.save(folder / name)
    return folder / name


def lines(path: Path) -> list[tuple[int, dict[str, str]]]:
    table = read_table(path, COLUMNS, ("plot",))
    table.require_order()
    return [(line.number, dict(line.cells)) for line in table.lines]


def refused(path: Path) -> str:
    with pytest.raises(SheetRefused) as caught:
        lines(path)
    return str(caught.value)


def test_a_workbook_reads_as_the_text_of_its_cells(tmp_path: Path) -> None:
    path = saved(
        tmp_path,
        [],
        ["Plot", "Area ha", "block", "Area confirmed"],
        [],
        ["H07", 0.4, "Upper", True],
    )
    expected = {"plot": "H07", "area_ha": "0.4", "block": "Upper", "area_confirmed": "yes"}
    assert lines(path) == [(4, expected)]


def test_whole_numbers_have_no_point_and_days_are_days(tmp_path: Path) -> None:
    path = saved(tmp_path, ["on", "tmin", "tmax"], [dt.date(2026, 3, 9), 22.0, 31.5])
    ((line, day),) = read_weather(path, BOUNDS, TODAY).days
    assert (line, day.on, day.tmin, day.tmax) == (2, dt.date(2026, 3, 9), 22, 31.5)


def test_a_mistake_in_a_workbook_names_the_row_of_its_program(tmp_path: Path) -> None:
    rows = [
        ["on", "tmax"],
        [],
        [dt.date(2026, 3, 8), 31],
        [dt.datetime.fromisoformat("2026-03-09T06:00"), "hot"],
    ]
    with pytest.raises(SheetRefused) as caught:
        read_weather(saved(tmp_path, *rows), BOUNDS, TODAY)
    assert [(m.line, m.column) for m in caught.value.mistakes] == [(4, "on"), (4, "tmax")]


def test_a_formula_counts_by_the_value_that_its_program_saved(tmp_path: Path) -> None:
    path = saved(tmp_path, ["plot", "area_ha"], ["H07", "=0.2*2"])  # saved without a value
    assert lines(path) == [(2, {"plot": "H07"})]


def test_two_filled_sheets_leave_it_open_which_counts(tmp_path: Path) -> None:
    book = Workbook()
    book.active.append(["plot"])
    book.create_sheet("Empty")
    book.create_sheet("Old").append(["plot"])
    book.save(tmp_path / "two.xlsx")
    assert "'Sheet' and 'Old' both hold cells; keep one" in refused(tmp_path / "two.xlsx")


def test_a_cell_in_the_last_corner_costs_nothing(tmp_path: Path) -> None:
    book = Workbook()
    book.active["A1"] = "plot"
    book.active["XFD1048576"] = "x"
    book.save(tmp_path / "far.xlsx")
    assert "more than 200000 rows" in refused(tmp_path / "far.xlsx")
    assert "columns" in refused(saved(tmp_path, ["plot"] + ["x"] * MOST_COLUMNS))


def test_an_archive_that_unpacks_to_too_much_is_not_unpacked(tmp_path: Path) -> None:
    bomb = io.BytesIO()
    with zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/worksheets/sheet1.xml", b" " * (MOST_BYTES + 1))
    path = tmp_path / "bomb.xlsx"
    path.write_bytes(bomb.getvalue())
    assert "unpacks to" in refused(path)


def no_archive() -> bytes:
    return b"PK\x03\x04" + b"rubbish" * 20


def other_archive() -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("letter.txt", "plot\nH07\n")
    return packed.getvalue()


def entities() -> bytes:
    """A workbook whose strings name each other ten times over, ten times deep."""
    book, packed = io.BytesIO(), io.BytesIO()
    sheet = Workbook()
    sheet.active.append(["plot"])
    sheet.save(book)
    steps = "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10}">' for n in range(1, 11))
    bomb = f'<!DOCTYPE worksheet [<!ENTITY e0 "plot">{steps}]>'.encode()
    with zipfile.ZipFile(book) as old, zipfile.ZipFile(packed, "w") as new:
        for part in old.namelist():
            content = old.read(part)
            if part.endswith("sheet1.xml"):
                assert b"<t>plot</t>" in content
                content = bomb + content.replace(b"<t>plot</t>", b"<t>&e10;</t>")
            new.writestr(part, content)
    return packed.getvalue()


@pytest.mark.parametrize("raw", [no_archive(), other_archive(), entities()])
def test_what_is_no_workbook_is_answered_with_its_cure(tmp_path: Path, raw: bytes) -> None:
    path = tmp_path / "sheet.xlsx"
    path.write_bytes(raw)
    assert "sheet: not a workbook that can be read" in refused(path)


def test_the_old_binary_kind_of_workbook_is_answered_with_its_cure(tmp_path: Path) -> None:
    path = write(tmp_path, "")
    path.write_bytes(bytes.fromhex("d0cf11e0a1b11ae1") + bytes(600))
    assert "save the sheet as CSV UTF-8, or as XLSX" in refused(path)
