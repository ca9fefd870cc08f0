"""The tables, by what they hold: places and readers, people, the crop, the texts, the office."""

from gateway.store.tables import crop, many, mending, office, people, places, traffic

__all__ = ["crop", "many", "mending", "office", "people", "places", "traffic"]
