"""Where daily weather may be fetched from: built from flows/, which alone names an address."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class WeatherLink:
    """One https address and what may come back from it.

    ``target`` is path and query as they are asked for; it may hold a secret and is never shown.
    ``columns``: our column by their heading; None where the headings are ours. ``wind_height_m``
    is the height of the anemometer where no column tells it.
    """

    host: str
    port: int
    target: str
    columns: Mapping[str, str] | None
    wind_height_m: float
    content_types: tuple[str, ...]
    largest_bytes: int
    within_s: float
    inner_networks: bool

    def __repr__(self) -> str:
        return f"WeatherLink({self.host})"
