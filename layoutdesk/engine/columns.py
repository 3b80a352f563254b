"""The kinds of columns that the engine computes in."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]
Complexes: TypeAlias = NDArray[np.complex128]
Indices: TypeAlias = NDArray[np.intp]
Bools: TypeAlias = NDArray[np.bool_]

CHUNK: Final = 1024
"""So many entries of a column are worked on at a time: they stay in the processor's cache."""

NO_BAYS: Indices = np.empty((0, 4), dtype=np.intp)
NO_BAYS.flags.writeable = False


def chunks(count: int) -> Iterator[slice]:
    """Yield the parts of a column of ``count`` entries, one after the other."""
    return (slice(k, k + CHUNK) for k in range(0, count, CHUNK))
