"""The kinds of columns that the engine computes in."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]
Indices: TypeAlias = NDArray[np.intp]
Bools: TypeAlias = NDArray[np.bool_]

NO_BAYS: Indices = np.empty((0, 4), dtype=np.intp)
NO_BAYS.flags.writeable = False
