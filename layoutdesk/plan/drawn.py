"""What came with a drawing: its dimensions and chains as written, and the pictures under the sheet.

Lengths are millimetres. ``extra`` holds the keys of a file entry that this version does not know.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, Literal

from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.extra import Extra

WrittenKind = Literal["distance", "ordinate", "diameter", "radius"]

WRITTEN_KINDS: Final[tuple[WrittenKind, ...]] = ("distance", "ordinate", "diameter", "radius")


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A dimension as the drawing writes it, with the two places that it joins there.

    ``value`` is the number written, in mm; ``text`` is how it is written. What it should equal is the distance
    from ``start`` to ``end``: the straight one, or with ``along`` (degrees, anticlockwise from x) its part in that
    direction. A diameter joins two opposite points, a radius the centre and the edge, an ordinate the point
    that counts from zero and the feature. ``start_on`` and ``end_on`` name the pier, attachment or control point
    that an end measures to; it then moves with it. ``step`` is the step to which the number is written, in mm (25.4
    for whole inches), 0 when that is not known.
    """

    id: str
    start: Vector
    end: Vector
    value: float
    kind: WrittenKind = "distance"
    along: float | None = None
    text: str = ""
    step: float = 0.0
    start_on: str | None = None
    end_on: str | None = None
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """A chain of dimensions as written: its parts in order, and the overall dimension that they must add up to.

    ``overall`` is None where none is written. ``start`` and ``end`` are where the chain lies on the sheet, if it
    lies anywhere; ``about`` names the pieces that were laid out by it; ``text`` is how it was typed. ``step`` is
    the step to which its numbers are written, in mm, 0 when that is not known.
    """

    id: str
    parts: tuple[float, ...]
    overall: float | None = None
    start: Vector | None = None
    end: Vector | None = None
    about: tuple[str, ...] = ()
    text: str = ""
    step: float = 0.0
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Underlay:
    """A picture, or a page of a PDF, that lies under the sheet to be traced.

    ``file`` is its path, from the plan file's folder where it lies there or below; ``page`` counts from 1 and is 0
    for a picture; ``size`` is its width and height in its own units: pixels of a picture, points (1/72 in) of a
    page as it is shown. ``to_plan`` is the plane projective map, row by row, from its own coordinates (x to the
    right, y down, from the top left corner) to the plan's millimetres: for (x, y) it gives (X/Z, Y/Z) with
    X = m0·x + m1·y + m2, Y = m3·x + m4·y + m5, Z = m6·x + m7·y + m8. ``strength`` runs from 0 (not to be seen)
    to 1.
    """

    id: str
    file: str
    size: Vector
    to_plan: tuple[float, float, float, float, float, float, float, float, float]
    page: int = 0
    strength: float = 0.5
    locked: bool = False
    shown: bool = True
    extra: Extra = field(default=(), hash=False)
