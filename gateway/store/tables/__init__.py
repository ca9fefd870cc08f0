"""The tables, by what they hold: places and readers, people, the crop, the texts, the office."""

from gateway.store.tables import crop, mending, office, people, places, traffic

__all__ = ["crop", "mending", "office", "people", "places", "traffic"]
