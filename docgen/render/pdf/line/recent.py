"""What was made of late > found again; what was not asked for long is forgotten, so that memory stays flat."""

from __future__ import annotations

from typing import Generic, TypeVar

K = TypeVar("K")
V = TypeVar("V")


class Recent(Generic[K, V]):
    """
    A memory in two halves: when the young one is full it becomes the old one, and what was old is forgotten.

    Whoever asks often looks into `young` first, which is a plain dictionary.
    """

    __slots__ = ("_most", "_old", "young")

    def __init__(self, most: int) -> None:
        self._most = most
        self.young: dict[K, V] = {}
        self._old: dict[K, V] = {}

    def get(self, key: K) -> V | None:
        """Find what is kept; what is old becomes young."""
        found = self.young.get(key)
        if found is None:
            found = self._old.get(key)
            if found is not None:
                self.keep(key, found)
        return found

    def keep(self, key: K, value: V) -> V:
        """Keep a value, and give it."""
        if len(self.young) >= self._most:
            self.young, self._old = {}, self.young
        self.young[key] = value
        return value
