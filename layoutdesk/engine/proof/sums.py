"""Sums of columns by what their entries belong to."""

from __future__ import annotations

import numpy as np

from layoutdesk.engine.columns import Floats, Indices


def summed(into: Indices, parts: Floats, count: int) -> Floats:
    """Return (count,) sums: every part goes to the sum that its entry of ``into`` names."""
    sums: Floats = np.bincount(into, parts, count).astype(np.float64, copy=False)
    return sums
