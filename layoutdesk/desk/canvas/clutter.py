"""What is taken already on the picture, so that names are written where they can be read."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import product
from math import floor
from typing import Final

from PySide6.QtCore import QPointF, QRectF

CELL_PX: Final = 6.0
_SLACK_PX: Final = 2.0


class Clutter:
    """A coarse grid of the picture that remembers which cells hold a line, a symbol or a text.

    The grid is laid from ``anchor``, a pixel that moves with the sheet, so that names stay where they are
    while it is panned.
    """

    def __init__(self, area: QRectF, anchor: QPointF | None = None) -> None:
        self._anchor = anchor or QPointF(0, 0)
        self._area = area.adjusted(-CELL_PX, -CELL_PX, CELL_PX, CELL_PX).translated(-self._anchor)
        self._taken: set[tuple[int, int]] = set()

    def take(self, box: QRectF) -> None:
        """Remember a rectangle as taken."""
        self._taken.update(self._cells(box.translated(-self._anchor)))

    def take_line(self, a: QPointF, b: QPointF) -> None:
        """Remember a straight line as taken, as far as it is in the picture."""
        a, b = a - self._anchor, b - self._anchor
        inside = part_inside(self._area, a, b)
        if inside is None:
            return
        first, last = inside
        dx, dy = (b.x() - a.x()) / CELL_PX, (b.y() - a.y()) / CELL_PX
        steps = int(max(abs(dx), abs(dy)) * (last - first) * 1.25) + 1
        x, y, step = a.x() / CELL_PX + dx * first, a.y() / CELL_PX + dy * first, (last - first) / steps
        dx, dy = dx * step, dy * step
        left, top, right, bottom = floor(x), floor(y), floor(x + dx * steps), floor(y + dy * steps)
        if left == right or top == bottom:  # most lines are upright or level
            across, down = (
                range(min(left, right), max(left, right) + 1),
                range(min(top, bottom), max(top, bottom) + 1),
            )
            self._taken.update(product(across, down))
            return
        self._taken.update([(floor(x + dx * k), floor(y + dy * k)) for k in range(steps + 1)])

    def load(self, box: QRectF) -> int:
        """Return how many cells of a rectangle are taken; a rectangle outside the picture counts as full."""
        here = box.translated(-self._anchor)
        if not self._area.contains(here):
            return 1000
        inner = here.adjusted(_SLACK_PX, _SLACK_PX, -_SLACK_PX, -_SLACK_PX)
        return sum(cell in self._taken for cell in self._cells(inner))

    def freest(self, boxes: Iterable[QRectF], *, most: int = 1000) -> QRectF | None:
        """Return the first rectangle that nothing is in, else the emptiest, and take it.

        None when even that one has more than ``most`` taken cells.
        """
        best: QRectF | None = None
        least = most + 1
        for box in boxes:
            load = self.load(box)
            if load < least:
                best, least = box, load
            if load == 0:
                break
        if best is not None:
            self.take(best)
        return best

    @staticmethod
    def _cells(box: QRectF) -> list[tuple[int, int]]:
        left, right = int(box.left() // CELL_PX), int(box.right() // CELL_PX)
        top, bottom = int(box.top() // CELL_PX), int(box.bottom() // CELL_PX)
        return [(x, y) for x in range(left, right + 1) for y in range(top, bottom + 1)]


def part_inside(area: QRectF, a: QPointF, b: QPointF) -> tuple[float, float] | None:
    """Return from which to which share of its length a line is inside a rectangle, None when nowhere."""
    first, last = 0.0, 1.0
    for start, way, low, high in (
        (a.x(), b.x() - a.x(), area.left(), area.right()),
        (a.y(), b.y() - a.y(), area.top(), area.bottom()),
    ):
        if way == 0:
            if not low <= start <= high:
                return None
            continue
        ends = sorted(((low - start) / way, (high - start) / way))
        first, last = max(first, ends[0]), min(last, ends[1])
    return (first, last) if first < last else None
