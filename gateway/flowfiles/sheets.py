"""flows/sheets.yaml becomes the bounds of what a cell of a sheet may hold."""

from pathlib import Path

from gateway.advisory.sheets import SheetBounds
from gateway.flowfiles.reader import Entry, read_file
from gateway.flowfiles.typed import build


def load_sheet_bounds(flows: Path) -> SheetBounds:
    """The bounds in ``flows/sheets.yaml``. Raises FlowError with file, line and cure."""
    top = read_file(flows / "sheets.yaml")
    bounds = build(SheetBounds, top)
    for _part, ranges in top.items():
        for _name, span in ranges.items():
            _check(span)
    return bounds


def _check(span: Entry) -> None:
    least, most = span.need("least"), span.need("most")
    if least.number() > most.number():
        least.fail(f"must not lie above most, {most.number():g}")
