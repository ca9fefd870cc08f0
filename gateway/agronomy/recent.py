"""The values asked for last, by key: what is dear to reckon twice."""

from collections import OrderedDict
from threading import Lock
from typing import Generic, TypeVar

K = TypeVar("K")
V = TypeVar("V")


class Recent(Generic[K, V]):
    """At most so many values; safe to share between threads."""

    def __init__(self, most: int) -> None:
        self._most, self._lock = most, Lock()
        self._kept: OrderedDict[K, V] = OrderedDict()

    def get(self, key: K) -> V | None:
        """What is remembered under a key."""
        with self._lock:
            found = self._kept.get(key)
            if found is not None:
                self._kept.move_to_end(key)
            return found

    def put(self, key: K, value: V) -> None:
        """Remember it, and forget what was not asked for longest."""
        with self._lock:
            self._kept[key] = value
            if len(self._kept) > self._most:
                self._kept.popitem(last=False)

    def clear(self) -> None:
        """Forget everything."""
        with self._lock:
            self._kept.clear()
