"""Sheets as programs write them: separators, quotes, marks, line ends, and files that are none."""

from pathlib import Path

import pytest

from gateway.advisory.errors import SheetRefused
from gateway.sources.shown import shown
from gateway.sources.table import read_table
from tests.sources.office import write

COLUMNS = ("plot", "area_ha", "block")


def lines(path: Path) -> list[tuple[int, dict[str, str]]]:
    table = read_table(path, COLUMNS, ("plot",))
    table.require_order()
    return [(line.number, dict(line.cells)) for line in table.lines]


def refused(path: Path) -> str:
    with pytest.raises(SheetRefused) as caught:
        lines(path)
    return str(caught.value)


@pytest.mark.parametrize(
    "text",
    [
        "plot,area_ha,block\nH07,0.4,Upper\n",
        "plot;area_ha;block\r\nH07;0.4;Upper\r\n",
        "plot\tarea_ha\tblock\nH07\t0.4\tUpper",
        "\ufeffblock,plot,area_ha\nUpper,H07,0.4\n",
        '"plot","area_ha","block"\n" H07 ","0.4","Upper"\n',
        "Plot,Area ha,BLOCK\nH07,0.4,Upper\n",
        "plot,area_ha,block,,\nH07,0.4,Upper,,\n",
        "plot,area_ha,block\rH07,0.4,Upper\r",
    ],
    ids=["comma", "semicolon", "tab", "mark", "quotes", "capitals", "empty columns", "old ends"],
)
def test_a_sheet_reads_the_same_whatever_program_wrote_it(tmp_path: Path, text: str) -> None:
    expected = {"plot": "H07", "area_ha": "0.4", "block": "Upper"}
    assert lines(write(tmp_path, text)) == [(2, expected)]


def test_lines_are_counted_as_an_editor_counts_them(tmp_path: Path) -> None:
    text = 'plot,block\nH01,"Upper\nReach"\n\n,,\nH02,Lower\n'
    assert [number for number, _ in lines(write(tmp_path, text))] == [2, 6]


def test_letters_are_composed_as_the_store_keeps_them(tmp_path: Path) -> None:
    ((_, cells),) = lines(write(tmp_path, "plot,block\nH1,Cafe\u0301\n"))
    assert cells["block"] == "Caf\u00e9"


BROKEN = {
    "empty": ("", ":1 header: the column plot is missing"),
    "unknown": ("plot,colour\n", "unknown column 'colour'; known: plot, area_ha, block"),
    "twice": ("plot,plot\n", "the column 'plot' stands twice"),
    "no header": ("+12025550107,H07\n", "unknown column '+•••••••••07'"),
    "open quote": ('plot,block\nH1,"Upper\n', ":2 sheet: not a sheet of CSV"),
    "more cells": ("plot,area_ha\nH1,0,4\n", ":2 sheet: 3 cells under 2 columns; quote a cell"),
    "nameless": ("plot,,block\nH1,x,Upper\n", ":2 header: 'x' stands under no column"),
}


@pytest.mark.parametrize(("text", "said"), list(BROKEN.values()), ids=list(BROKEN))
def test_a_sheet_that_cannot_be_used_says_where_and_why(
    tmp_path: Path, text: str, said: str
) -> None:
    path = write(tmp_path, text)
    assert said in refused(path)
    assert str(path) in refused(path)


def test_other_encodings_and_no_file_at_all_are_answered(tmp_path: Path) -> None:
    assert "save the sheet as CSV UTF-8" in refused(write(tmp_path, "plot\nH1\n", "a", "utf-16"))
    wrong = write(tmp_path, "plot\nH1\nCaf\u00e9\n", "b", "latin-1")
    assert ":3 sheet: need text in UTF-8" in refused(wrong)
    assert "cannot be read: No such file" in refused(tmp_path / "none.csv")
    assert "cannot be read" in refused(tmp_path)


@pytest.mark.parametrize(
    ("cell", "as_shown"),
    [
        ("H07", "'H07'"),
        ("10/03/2026", "'10/03/2026'"),
        ("2026-13-45", "'2026-13-45'"),
        ("+1 (202) 555-0107", "'+• (•••) •••-••07'"),
        ("202/555/0107", "'•••/•••/••07'"),
        ("2025-55-0107", "'••••-••-••07'"),
        ("٠٢٥٥٥٠١٠٧", "'•••••••٠٧'"),
        ("x" * 50, "'" + "x" * 40 + "...'"),
        ("a\nb", "'a\\nb'"),
    ],
)
def test_a_mistake_repeats_a_cell_but_never_a_phone_number(cell: str, as_shown: str) -> None:
    assert shown(cell) == as_shown
