"""Results kept for the last few things they were asked of, by identity: plans are immutable and large."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from typing import Generic, TypeVar

Key = TypeVar("Key")
Result = TypeVar("Result")


class Kept(Generic[Key, Result]):
    """A function that remembers its last few results.

    Comparing or hashing ten thousand piers takes longer than most of what is computed from them; two plans
    that are the same object need neither.
    """

    def __init__(self, make: Callable[[Key], Result], size: int = 3) -> None:
        self._make = make
        self._kept: deque[tuple[Key, Result]] = deque(maxlen=size)

    def __call__(self, key: Key) -> Result:
        """Return the result for this very object."""
        for known, result in self._kept:
            if known is key:
                return result
        result = self._make(key)
        self._kept.append((key, result))
        return result
