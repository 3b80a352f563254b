"""Spots that lie so far off all others that they are likely mistyped, misread or in the wrong unit.

Each spot is held against the plane through all others. With e what it is off the plane through all, h its leverage
and f the degrees of freedom, it lies e / (1 - h) off that of the others, whose own mean square off it is
(f s² - e² / (1 - h)) / (f - 1) (deleted residuals, any book on linear regression; from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from layoutdesk.engine.levels.ground_plane import USUAL_COUNTS, USUAL_ROUGHNESS_MM, fit_plane
from layoutdesk.engine.levels.ground_points import GroundPoint, ground_places
from layoutdesk.units import MM_PER_INCH, Units

SO_MANY: Final = 4.0
"""A spot is odd when it lies so many times as far off the plane of the others as they themselves."""
AT_LEAST_MM: Final = 2 * MM_PER_INCH
"""What is less off than this is ground, not a mistake. Common practice, no source."""
LEAST_SPOTS: Final = 5
_PLACES: Final = ((10.0, "a decimal place too few"), (0.1, "a decimal place too many"))
_SLIPS: Final[dict[Units, tuple[tuple[float, str], ...]]] = {
    "ft-in": ((-1.0, "a wrong sign"), (12.0, "feet typed as inches"), (1 / 12, "inches typed as feet")),
    "m": ((-1.0, "a wrong sign"), (0.001, "mm typed as metres"), (0.01, "cm typed as metres"), *_PLACES),
    "mm": ((-1.0, "a wrong sign"), (1000.0, "metres typed as mm"), *_PLACES),
}
"""What a typed height is multiplied by to be the true one, and the slip that would say."""


@dataclass(frozen=True, slots=True)
class Outlier:
    """A spot that is likely wrong: ``off`` is how far above the plane of all others, mm; ``mend`` what to do."""

    point: GroundPoint
    off: float
    mend: str


def outliers(points: Sequence[GroundPoint], units: Units) -> tuple[Outlier, ...]:
    """Return the spots that lie far off the plane of all others, the farthest first."""
    places = ground_places(points)
    fit = fit_plane(places)
    if fit is None or len(places) < LEAST_SPOTS or fit.free < 2:
        return ()
    away = places.xy - fit.centre
    left = 1 - 1 / fit.count - np.einsum("ni,ij,nj->n", away, fit.spread, away)
    off = places.z - fit.heights(places.xy)
    apart = np.divide(off, left, out=np.zeros_like(off), where=left > 1e-9)
    others = np.maximum(0.0, fit.free * fit.deviation**2 - off * apart)
    rough = np.sqrt((others + USUAL_COUNTS * USUAL_ROUGHNESS_MM**2) / (fit.free - 1 + USUAL_COUNTS))
    limit = np.maximum(AT_LEAST_MM, SO_MANY * rough / np.sqrt(np.maximum(left, 1e-9)))
    odd = np.flatnonzero(np.abs(apart) > limit)
    found = []
    for k in odd[np.argsort(-np.abs(apart[odd]), kind="stable")].tolist():
        point = points[int(np.flatnonzero(places.of_point == k)[0])]
        found.append(Outlier(point, float(apart[k]), _mend(point, float(apart[k]), float(limit[k]) / 2, units)))
    return tuple(found)


def _mend(point: GroundPoint, off: float, near: float, units: Units) -> str:
    if point.known_from == "typed":
        for factor, slip in _SLIPS[units]:
            if abs(point.elevation * factor - (point.elevation - off)) <= near:
                return f"{slip} would explain it: type it again"
        return "check how it was typed, or take its height again"
    return "read it again"
