"""The marks that pages and drawings are made of. Data only: no library, no file format.

On a page, places are millimetres of paper from its lower left corner, y up. Sizes of text are
points, widths of strokes millimetres of paper.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from layoutdesk.geometry.vector import Vector
from layoutdesk.units import LengthParts

Ink = Literal["ink", "soft", "faint", "work", "check", "holds", "look", "wrong", "paper", "shade", "wash"]
"""What a colour means, not what it is: ``ink`` main lines and text, ``soft`` second text, ``faint`` grids, ``work``
beam lines, ``check`` diagonals, ``holds``/``look``/``wrong`` states, ``shade`` concrete, ``wash`` fills."""

Weight = Literal["regular", "semibold", "bold", "black"]
Anchor = Literal["start", "middle", "end"]
Dash = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Line:
    """A straight stroke; ``width`` and ``dash`` in mm of paper."""

    start: Vector
    end: Vector
    width: float = 0.25
    ink: Ink = "ink"
    dash: Dash = ()


@dataclass(frozen=True, slots=True)
class Polyline:
    """A bent stroke, closed and filled if wanted."""

    points: tuple[Vector, ...]
    width: float = 0.25
    ink: Ink | None = "ink"
    closed: bool = False
    fill: Ink | None = None
    dash: Dash = ()


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle; ``ink`` None for no stroke."""

    centre: Vector
    radius: float
    width: float = 0.25
    ink: Ink | None = "ink"
    fill: Ink | None = None
    dash: Dash = ()


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text standing on ``at``; ``size`` in points, ``turn`` in degrees to the left."""

    at: Vector
    text: str
    size: float = 10.0
    weight: Weight = "regular"
    ink: Ink = "ink"
    anchor: Anchor = "start"
    turn: float = 0.0


@dataclass(frozen=True, slots=True)
class Measure:
    """A length written out, its fraction drawn large enough to tell at arm's length; otherwise like Text.

    ``before`` stands in front of it in the same type, as in ``± 1/8"``.
    """

    at: Vector
    parts: LengthParts
    size: float = 14.0
    weight: Weight = "bold"
    ink: Ink = "ink"
    anchor: Anchor = "start"
    turn: float = 0.0
    before: str = ""


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running text wrapped at ``width`` mm, its first line's top at ``at``; ``**bold**`` is the only markup."""

    at: Vector
    width: float
    text: str
    size: float = 10.0
    ink: Ink = "ink"
    leading: float = 1.35


@dataclass(frozen=True, slots=True)
class Hatch:
    """Slanting lines in an outline, as for the house; ``gap`` in mm of paper."""

    outline: tuple[Vector, ...]
    gap: float = 2.0
    ink: Ink = "soft"
    width: float = 0.13


StencilMark: TypeAlias = Line | Polyline | Circle | Text | Measure | Paragraph | Hatch


@dataclass(frozen=True, slots=True)
class Stencil:
    """Marks that are drawn in many places, such as the frame of a card: an exporter may write them once.

    Two stencils of one set with the same ``name`` are the same.
    """

    name: str
    marks: tuple[StencilMark, ...]


@dataclass(frozen=True, slots=True)
class Stamp:
    """A stencil put down so that its own (0, 0) comes to lie on ``at``."""

    at: Vector
    stencil: Stencil


Mark: TypeAlias = StencilMark | Stamp


@dataclass(frozen=True, slots=True)
class Page:
    """One printed page: its paper size in mm, its marks in drawing order, and its name in the bookmarks.

    ``under`` names the bookmark that this page's own stands below, or is empty for the top.
    """

    name: str
    size: Vector
    marks: tuple[Mark, ...]
    under: str = ""


@dataclass(frozen=True, slots=True)
class SheetSet:
    """All pages of one job, in order, with what the file says about itself."""

    title: str
    subject: str
    pages: tuple[Page, ...] = field(default=())
