"""Irrigation arithmetic: how much water fills a plot, and for how long the outlet runs.

1 mm on 1 ha is 10 m3; t = V / (3.6 Q) with t in h, V in m3, Q in L/s (FAO Irrigation Water
Management Training Manual 6). No efficiency factor: seepage is reckoned as loss while filling.
"""

from dataclasses import dataclass

M3_PER_MM_HA = 10.0
M3_PER_LPS_HOUR = 3.6
HOURS_PER_DAY = 24.0
MM_PER_CM = 10.0


@dataclass(frozen=True, slots=True)
class Fill:
    """Water for one filling: depth in mm, volume in m3, outlet hours; None where not known.

    ``keeps_up`` False: the plot loses as fast as the outlet gives, so it would never fill.
    """

    mm: float
    m3: float | None = None
    hours: float | None = None
    keeps_up: bool = True


def depth_mm(level_cm: float, to_cm: float, storage_mm_cm: float) -> float:
    """The depth that brings the water from ``level_cm`` to ``to_cm``, in mm; never negative.

    Above the surface 10 mm a cm, below it ``storage_mm_cm`` of the soil.
    """
    return max(0.0, _stored(to_cm, storage_mm_cm) - _stored(level_cm, storage_mm_cm))


def volume_m3(mm: float, area_ha: float) -> float:
    """The volume of a depth in mm on an area in ha."""
    return M3_PER_MM_HA * mm * area_ha


def outlet_hours(m3: float, outlet_lps: float) -> float:
    """How long an outlet of ``outlet_lps`` L/s runs for a volume in m3."""
    return m3 / (M3_PER_LPS_HOUR * outlet_lps)


def fill(
    net_mm: float,
    loss_mm_d: float,
    area_ha: float | None,
    outlet_lps: float | None,
    usual_hours: float,
) -> Fill:
    """The filling with the loss while it lasts: its length is t = V / (3.6 Q), the loss part of V.

    Without area or outlet the loss is that of ``usual_hours``, and the hours are not known.
    """
    if area_ha and outlet_lps:
        supply = M3_PER_LPS_HOUR * outlet_lps * HOURS_PER_DAY / (M3_PER_MM_HA * area_ha)
        if loss_mm_d < supply:
            return _rounded(net_mm / (1 - loss_mm_d / supply), area_ha, outlet_lps)
    mm = net_mm + loss_mm_d * usual_hours / HOURS_PER_DAY if net_mm else 0.0
    short = bool(area_ha and outlet_lps)
    return _rounded(mm, area_ha, None if short else outlet_lps, keeps_up=not short)


def _rounded(
    mm: float, area_ha: float | None, outlet_lps: float | None, keeps_up: bool = True
) -> Fill:
    """Each figure follows from the one before it as shown, so that they agree to the reader."""
    mm = round(mm, 1)
    m3 = None if area_ha is None else round(volume_m3(mm, area_ha), 2)
    hours = None if m3 is None or not outlet_lps else round(outlet_hours(m3, outlet_lps), 3)
    return Fill(mm, m3, hours, keeps_up)


def _stored(level_cm: float, storage_mm_cm: float) -> float:
    return level_cm * (MM_PER_CM if level_cm >= 0 else storage_mm_cm)
