"""A plot put right by a sheet: what hung on a fact that no longer holds goes with it."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from gateway.agronomy.plot import PUMPS, Plot


def plot_told(plot: Plot, facts: Mapping[str, Any]) -> Plot:
    """The plot with the ``facts`` of a sheet, which are fields of ``Plot``.

    A new dry limit that nobody had to allow ends what was allowed before; a plot without a pump
    takes what its block's outlet gives.
    """
    gone: dict[str, Any] = {}
    if "threshold_cm" in facts and "threshold_raised" not in facts:
        gone["threshold_raised"] = None
    if facts.get("water_source", "own-pump") not in PUMPS:
        gone["outlet_lps"] = None
    return replace(plot, **gone, **facts)
