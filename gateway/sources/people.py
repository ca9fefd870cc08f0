"""Who reads a plot: the cells of a line that hold a phone, and for whom."""

import re
from typing import Literal, cast, get_args

from gateway.advisory.errors import NotANumber
from gateway.advisory.number import Number, read_number
from gateway.advisory.records import ReaderRole
from gateway.advisory.sheets import Known, ReaderEntry
from gateway.messages.letters import CHOICES, Letters
from gateway.sources.cells import Cells

WRITTEN = re.compile(r"[(]?[+]?\d[\d\s()./-]*")
ABROAD = ("+", "(+", "00")
# What a program makes of a long number that it took for an amount.
ROUNDED = re.compile(r"\d+[.,]?\d*[eE][+-]?\d+|\d+[.,]0+")


def read_reader(cells: Cells, grower: str | None, known: Known) -> ReaderEntry | None:
    """The phone of a line and its ``grower``; None where something is missing or wrong."""
    number = number_of(cells, known.region)
    language = cells.choice("language", known.languages)
    reads = cast(Literal["soil", "rim"] | None, cells.choice("reads", ("soil", "rim")))
    letters = cast(Letters | None, cells.choice("letters", CHOICES))
    role = cast(ReaderRole | None, cells.choice("role", get_args(ReaderRole)))
    if not cells.has("phone"):
        for column in ("language", "letters", "reads", "role"):
            if cells.has(column):
                cells.fail(column, "belongs to a phone, and phone is empty")
        return None
    cells.need("grower")
    if number is None or grower is None:
        return None
    return ReaderEntry(cells.line, number, grower, language, reads, role, letters)


def number_of(cells: Cells, region: str | None) -> Number | None:
    """The number as E.164; no mistake ever repeats it."""
    cell = cells.cells.get("phone")
    if cell is None:
        return None
    if ROUNDED.fullmatch(cell):
        cells.fail("phone", "the program that wrote the sheet took it for an amount; make it text")
    elif not WRITTEN.fullmatch(cell) or (region is None and not cell.startswith(ABROAD)):
        cells.fail("phone", "need digits, with + and the country code in front")
    else:
        try:
            return read_number(cell, region)
        except NotANumber as error:
            cells.fail("phone", f"{error.cause}; need + and the country code in front")
    return None
