"""What a sheet in a test is read against, and a way to write one."""

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

from gateway.advisory.register import PlotOnRecord
from gateway.advisory.sheets import Known, ThresholdRules
from gateway.agronomy.plot import Plot
from gateway.flowfiles.sheets import load_sheet_bounds
from gateway.settings import shipped

TODAY = date(2026, 3, 10)
BOUNDS = load_sheet_bounds(shipped("flows"))
KNOWN = Known(
    today=TODAY,
    bounds=BOUNDS,
    region=None,
    languages=("en", "id"),
    soils=("clay", "clay-loam"),
    bars=("saline", "cracking"),
    profiles=("first-season",),
    plans=("Invented plan",),
    plots={"K01": PlotOnRecord(1, "Lower", Plot("K01"), None, None, {}, {})},
    blocks={"Lower": "L1"},
    sayable=lambda code: code[:1].isalpha(),
    thresholds=ThresholdRules(-15, 5, -20, frozenset({"saline"}), frozenset({"first-season"})),
    crop_seasons=("cool",),
)


def known(**changes: Any) -> Known:
    """The usual, with changes."""
    return replace(KNOWN, **changes)


def write(folder: Path, text: str, name: str = "sheet.csv", encoding: str = "utf-8") -> Path:
    """A sheet of that text."""
    path = folder / name
    path.write_bytes(text.encode(encoding))
    return path
