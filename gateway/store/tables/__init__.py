"""The tables, by what they hold: places and people, the crop, the traffic of texts, the office."""

from gateway.store.tables import crop, office, places, traffic

__all__ = ["crop", "office", "places", "traffic"]
