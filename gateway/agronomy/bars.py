"""Facts of soil or water that limit drying, told or measured, and what they forbid."""

from gateway.agronomy.case import Case
from gateway.agronomy.practice import BarEffect, Practice


def bars_of(case: Case, practice: Practice) -> frozenset[str]:
    """The plot's bars: those on record, and what the salt of its water adds to them."""
    told = case.plot.bars or frozenset()
    salt = case.plot.water_ec_ds_m
    salty = salt is not None and salt > practice.salinity.field_water_ds_m
    return told | {practice.salinity.bar} if salty else told


def effect_of(case: Case, practice: Practice) -> str:
    """``ask``, ``keep-flooded`` or ``none``: the gravest of what the bars forbid."""
    effects = {practice.bars.get(bar) for bar in bars_of(case, practice)}
    grave: tuple[BarEffect, ...] = ("ask", "keep-flooded")
    return next((effect for effect in grave if effect in effects), "none")
