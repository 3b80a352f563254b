"""What is likely where a drawing does not say: the unit under which it holds a house and its footings.

The sides of a house are 3 to 40 m and a pier is 150 to 900 mm across: common practice, no source.
"""

from __future__ import annotations

from collections import Counter
from typing import Final

from layoutdesk.importers.dimensioned import FARTHEST
from layoutdesk.importers.linework import Linework
from layoutdesk.units import MM_PER_FOOT, MM_PER_INCH

HOUSE: Final = (3_000.0, 40_000.0)
PIER: Final = (150.0, 900.0)
SHEET: Final = (1_500.0, 150_000.0)
"""A whole drawing, with its details and borders, is within these."""
UNITS: Final = (
    (MM_PER_INCH, "inches"),
    (1.0, "millimetres"),
    (1000.0, "metres"),
    (MM_PER_FOOT, "feet"),
    (10.0, "centimetres"),
)


def likely_unit(linework: Linework) -> tuple[float, str]:
    """Return the unit in mm that makes a house and piers of what is drawn, and why, as half a sentence."""
    return _likely_of(likely_width(linework), _repeated_diameters(linework))


def likeliness(linework: Linework, unit: float) -> float:
    """Return from 0 to 2 how much a unit in mm makes a house and its piers of a drawing."""
    return _likeliness(_repeated_diameters(linework), likely_width(linework), unit)


def _likely_of(width: float, circles: Counter[float]) -> tuple[float, str]:
    if not width:
        return 1.0, "it holds nothing to judge by, and is taken to be in millimetres"
    unit, name = max(UNITS, key=lambda u: _likeliness(circles, width, u[0]))
    across = f"{width * unit / 1000:.3g} m across"
    if not _likeliness(circles, width, unit):
        return unit, f"no unit makes a house of it; as {name} it would be {across}"
    return unit, f"as {name} it would be {across}, which is the size of a house"


def unlikely(linework: Linework, unit: float) -> str:
    """Return what is unlikely about the size that a unit gives a drawing, as half a sentence; empty if nothing."""
    width = likely_width(linework)
    if not width:
        return ""
    circles = _repeated_diameters(linework)
    best, because = _likely_of(width, circles)
    size = width * unit
    across = f"{size / 1000:.3g} m" if size >= SHEET[0] else f"{size:.3g} mm"
    if _likeliness(circles, width, best) - _likeliness(circles, width, unit) >= 1:
        return f"then it would be {across} across; {because}"
    return "" if SHEET[0] <= size <= SHEET[1] else f"then it would be {across} across"


def _likeliness(circles: Counter[float], width: float, unit: float) -> float:
    """Return from 0 to 2 how much a unit makes a house and its piers of a drawing."""
    piers = sum(n for d, n in circles.items() if PIER[0] <= d * unit <= PIER[1]) / (sum(circles.values()) or 1)
    return (HOUSE[0] <= width * unit <= HOUSE[1]) + piers


def likely_width(linework: Linework) -> float:
    """Return how far most of a drawing reaches, in drawing units: without what lies far off, and hidden layers."""
    import numpy as np

    frozen = frozenset(linework.frozen)
    places = [p for s in linework.shapes if s.layer not in frozen for p in (s.points or (s.centre or (0.0, 0.0),))]
    places += [p for d in linework.drawn if d.layer not in frozen for p in (d.start, d.end)]
    if not places:
        return 0.0
    xy = np.array(places)
    xy = xy[(np.abs(xy) < FARTHEST).all(axis=1)]
    if not len(xy):
        return 0.0
    low, high = np.percentile(xy, 2, axis=0), np.percentile(xy, 98, axis=0)
    return float(np.max(high - low))


def _repeated_diameters(linework: Linework) -> Counter[float]:
    """Return how often circles of each size are drawn, those that are drawn at least 3 times."""
    exact = Counter(s.radius for s in linework.shapes if not s.points and 0 < s.radius < FARTHEST)
    sizes: Counter[float] = Counter()
    for radius, count in exact.items():
        sizes[float(f"{2 * radius:.4g}")] += count
    return Counter({size: n for size, n in sizes.items() if n >= 3})
