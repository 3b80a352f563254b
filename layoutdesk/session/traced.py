"""The lines of a page that lies under the sheet, as columns: what the pointer is drawn to while tracing it.

The second process makes them, the desk keeps them beside the view, and snapping reads them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from layoutdesk.importers.linework import Linework

    Floats = NDArray[np.float64]

PageKey: TypeAlias = tuple[str, int]
"""The path of a file and the page of it."""


@dataclass(frozen=True, eq=False)
class Traced:
    """Straight lines and centres of one page, in its own coordinates (points, y down from the top left corner).

    ``lines`` is (n, 4): x and y of one end, then of the other; ``centres`` is (m, 2).
    """

    lines: Floats
    centres: Floats


def traced_bytes(linework: Linework) -> tuple[int, int, bytes]:
    """Return how many lines and centres a page has, and both as eight-byte floats one after the other.

    Layers that are switched off are left out: nobody sees them on the page.
    """
    import numpy as np

    high = 0.0 if linework.paper is None else linework.paper[1]
    frozen = set(linework.frozen)
    lines: list[tuple[float, float, float, float]] = []
    centres: list[tuple[float, float]] = []
    for shape in linework.shapes:
        if shape.layer in frozen:
            continue
        if shape.centre is not None:
            centres.append(shape.centre)
        points = shape.points
        ends = points[1:] + points[:1] if shape.closed else points[1:]
        lines.extend((*p, *q) for p, q in zip(points, ends, strict=False))
    point = 72 / 25.4  # a page's paper is in mm with y up, what lies under the sheet in points with y down
    columns = np.array(lines, dtype=np.float64).reshape(-1, 4), np.array(centres, dtype=np.float64).reshape(-1, 2)
    for column in columns:
        column[:, 1::2] = high - column[:, 1::2]
    return len(columns[0]), len(columns[1]), b"".join((column * point).tobytes() for column in columns)


def traced_from(lines: int, centres: int, data: bytes) -> Traced:
    """Return what :func:`traced_bytes` was given."""
    import numpy as np

    values = np.frombuffer(data, dtype=np.float64)
    return Traced(values[: 4 * lines].reshape(-1, 4), values[4 * lines : 4 * lines + 2 * centres].reshape(-1, 2))
