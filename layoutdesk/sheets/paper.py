"""Paper sizes, the part of a sheet that every office printer reaches, and rectangles on it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Paper

SIZES: Final[dict[Paper, Vector]] = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}
"""Width and height of upright sheets in millimetres: ANSI/ASME Y14.1 size A, and ISO 216 A4."""
MARGIN: Final = 13.0
"""Free edge of every sheet in millimetres: more than office printers leave unprinted."""


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle in millimetres of paper, y up."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Return how wide it is."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Return how high it is."""
        return self.top - self.bottom

    @property
    def centre(self) -> Vector:
        """Return its middle."""
        return ((self.left + self.right) / 2, (self.bottom + self.top) / 2)

    @property
    def corners(self) -> tuple[Vector, Vector, Vector, Vector]:
        """Return its corners, from the lower left one to the left round it."""
        return (
            (self.left, self.bottom),
            (self.right, self.bottom),
            (self.right, self.top),
            (self.left, self.top),
        )

    def inset(self, by: float) -> Box:
        """Return it with every side moved inwards."""
        return Box(self.left + by, self.bottom + by, self.right - by, self.top - by)

    def below(self, y: float) -> Box:
        """Return the part under a height."""
        return replace(self, top=y)

    def above(self, y: float) -> Box:
        """Return the part over a height."""
        return replace(self, bottom=y)

    def between(self, left: float, right: float) -> Box:
        """Return the part from one x to another."""
        return replace(self, left=left, right=right)

    def meets(self, other: Box) -> bool:
        """Return whether the two share more than an edge."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.bottom < other.top
            and other.bottom < self.top
        )

    def holds(self, other: Box) -> bool:
        """Return whether the other lies inside this one, to a hundred-thousandth of a millimetre."""
        slack = 1e-5
        return (
            self.left - slack <= other.left
            and other.right <= self.right + slack
            and self.bottom - slack <= other.bottom
            and other.top <= self.top + slack
        )


def sheet_size(paper: Paper, *, landscape: bool = False) -> Vector:
    """Return width and height of a sheet in millimetres."""
    w, h = SIZES[paper]
    return (h, w) if landscape else (w, h)


def printable_part(size: Vector) -> Box:
    """Return what lies inside the margins of a sheet."""
    return Box(MARGIN, MARGIN, size[0] - MARGIN, size[1] - MARGIN)
