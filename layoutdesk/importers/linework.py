"""What a foreign drawing holds, in one plain form whatever file it came from.

Readers make it; what recognises piers and walls, checks dimensions and finds the scale reads nothing else.
Coordinates are the drawing's own, x to the right and y up: drawing units of a DXF, millimetres on paper of a PDF
page as it is shown. Blocks are resolved: their contents lie here where they are drawn.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, TypeAlias

from layoutdesk.geometry.vector import Vector

DimensionKind = Literal["distance", "ordinate", "diameter", "radius", "angle"]
Progress: TypeAlias = Callable[[float], None]
"""Is told how much is done, from 0 to 1; it may raise to end the work."""

MOST_SHAPES = 300_000
"""A drawing of more shapes is refused with a sentence: it is a map or a scan in lines, and no footing plan."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A line, a run of lines, an arc or a circle.

    ``points`` are the ends and corners in order, without repeating the first when ``closed``. A circle has its
    ``centre`` and ``radius``, and no points; an arc has all three, its points along it (none farther from the
    next than 15 degrees). ``use`` is the index in :attr:`Linework.uses` of the innermost block it was drawn by.
    """

    layer: str
    points: tuple[Vector, ...] = ()
    closed: bool = False
    centre: Vector | None = None
    radius: float = 0.0
    use: int | None = None
    dashed: bool = False

    @property
    def is_circle(self) -> bool:
        """Return whether this is a whole circle."""
        return self.centre is not None and not self.points


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """One line of text: where it begins (left end of its foot), how high its letters are, how far it is turned.

    ``width`` is how long it is drawn, as well as that is known; ``turn`` is in degrees, anticlockwise.
    ``tag`` is the name of the attribute when it is one of a block, and ``use`` that block.
    """

    text: str
    at: Vector
    height: float
    width: float = 0.0
    turn: float = 0.0
    layer: str = ""
    use: int | None = None
    tag: str = ""

    @property
    def middle(self) -> Vector:
        """Return the middle of the text."""
        from math import cos, radians, sin

        c, s = cos(radians(self.turn)), sin(radians(self.turn))
        along, up = self.width / 2, self.height / 2
        return self.at[0] + c * along - s * up, self.at[1] + s * along + c * up


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockUse:
    """One block as it is drawn: where its base point lies, how it is turned and enlarged.

    ``scale`` is signed (mirrored is negative); ``inside`` is the index of the use that it is part of. ``low`` and
    ``high`` are the corners of the box round all that it draws itself, without blocks in it; equal when it draws
    nothing.
    """

    name: str
    layer: str
    at: Vector
    turn: float = 0.0
    scale: Vector = (1.0, 1.0)
    inside: int | None = None
    low: Vector = (0.0, 0.0)
    high: Vector = (0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A dimension of the drawing: the places that it joins, what it measures there and what it says.

    ``start`` and ``end`` are as in :class:`layoutdesk.plan.model.Written`, in drawing units; ``along`` is in
    degrees, None for the straight distance. ``measured`` is the distance that they give, in drawing units (degrees
    of an angle). ``text`` is what a reader sees, control codes resolved; ``typed`` says that a person typed it
    over the measured one. A text that was not typed shows ``measured × factor``, in the units of the dimension's
    style. ``line_at`` is a point of the dimension line, ``middle`` is where the text stands.
    """

    kind: DimensionKind
    start: Vector
    end: Vector
    measured: float
    text: str
    along: float | None = None
    typed: bool = False
    factor: float = 1.0
    line_at: Vector | None = None
    middle: Vector | None = None
    layer: str = ""


@dataclass(frozen=True, slots=True)
class Passed:
    """What was passed over: how many of what, and why, as a sentence tells it."""

    what: str
    count: int
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Linework:
    """A whole drawing.

    ``kind`` is ``dxf`` or ``pdf``; ``unit`` is the millimetres of one drawing unit as the file says, None when it
    does not say (a PDF page says 1, and its scale is another question). ``frozen`` names the layers that are
    switched off or frozen: their shapes are here, and proposed for nothing. ``notes`` are sentences about the file
    itself, such as that it was broken and was recovered. ``page`` and ``pages`` are of a PDF; ``layouts`` names the
    sheets of a DXF that hold anything, the model first, and ``layout`` is the one read.
    """

    name: str
    kind: Literal["dxf", "pdf"]
    unit: float | None
    shapes: tuple[Shape, ...] = ()
    words: tuple[Words, ...] = ()
    drawn: tuple[Drawn, ...] = ()
    uses: tuple[BlockUse, ...] = ()
    layers: tuple[str, ...] = ()
    frozen: tuple[str, ...] = ()
    passed: tuple[Passed, ...] = ()
    notes: tuple[str, ...] = ()
    layouts: tuple[str, ...] = ()
    layout: str = ""
    page: int = 0
    pages: int = 0
    paper: Vector | None = None


def linework_to_bytes(linework: Linework) -> bytes:
    """Return linework in a form that goes from one process to another."""
    import msgspec

    return msgspec.msgpack.encode(linework)


def linework_from_bytes(data: bytes) -> Linework:
    """Return the linework that :func:`linework_to_bytes` was given."""
    import msgspec

    return msgspec.msgpack.decode(data, type=Linework)
