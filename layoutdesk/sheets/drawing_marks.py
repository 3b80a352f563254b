"""What a plan drawing is made of, as data: no library, no file format.

Places of the plan are millimetres in the plan's own axes; places of the sheet are millimetres of paper from
its lower left corner. Angles are degrees to the left. A role says what a mark is; an exporter gives each role
a layer.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Paper
from layoutdesk.sheets.marks import Anchor
from layoutdesk.units import Units

Role = Literal[
    "wall", "house", "slab", "slab fill", "keep-out", "beam line", "attachment", "pier", "column", "control",
    "baseline", "as staked", "dimension", "text", "title block", "spot", "contour", "string", "board",
    "side outline", "side ground", "side seat", "opening",
]  # fmt: skip
"""What a mark is. ``house`` and ``slab fill`` are hatches, ``column`` the centre that a column stands over, ``as
staked`` where a stake stands by its measures. Three are of side views: piers, columns and the house; the ground;
and the underside of the beam. ``opening`` is what is sawn out of existing concrete."""

Pattern = Literal["slant", "dots", "solid"]

PLAN_SHEET: Final = "Pier layout plan"

TEXT_MM: Final = 2.5
"""Height of a capital in dimensions and names, on paper."""
GAP_MM: Final = 0.8
"""From a dimension line to the foot of its text, on paper."""
CLEAR_MM: Final = 1.5
"""From what is measured to its extension line, on paper."""
BEYOND_MM: Final = 1.2
"""How far dimension and extension lines go beyond where they meet, on paper."""
SMALL_TEXT_MM: Final = 1.8
"""Height of a capital in notes, on paper."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A straight or bent line, closed or not; ``hidden`` for what lies below or behind."""

    points: tuple[Vector, ...]
    role: Role
    closed: bool = False
    hidden: bool = False


@dataclass(frozen=True, slots=True)
class Ring:
    """A circle; ``hidden`` for what lies below ground."""

    centre: Vector
    radius: float
    role: Role
    hidden: bool = False


@dataclass(frozen=True, slots=True)
class Filling:
    """A hatch in an outline without its ``holes``: slanting lines, dots or all black; ``gap`` from line to line."""

    outline: tuple[Vector, ...]
    role: Role
    pattern: Pattern
    gap: float = 1.0
    turn: float = 0.0
    holes: tuple[tuple[Vector, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class Label:
    """One line of text; ``at`` is on its base line, or at half its height where ``centred``."""

    at: Vector
    text: str
    height: float
    role: Role = "text"
    anchor: Anchor = "start"
    centred: bool = False
    turn: float = 0.0
    strong: bool = False


Drawn: TypeAlias = Stroke | Ring | Filling | Label


@dataclass(frozen=True, slots=True)
class Symbol:
    """Marks that are drawn once and put down many times; places are from where it is put down.

    ``fields`` are the attributes that each one carries: tag, what to ask for, and whether it is shown.
    """

    name: str
    role: Role
    marks: tuple[Drawn, ...]
    fields: tuple[tuple[str, str, bool], ...] = ()


@dataclass(frozen=True, slots=True)
class Placed:
    """A symbol put down at a point of the plan, with its attributes by tag.

    ``label_at`` and ``anchor`` say where the text of its shown attribute stands, centred on its ``height``.
    """

    symbol: str
    at: Vector
    values: tuple[tuple[str, str], ...]
    label_at: Vector
    height: float
    anchor: Anchor = "start"
    turn: float = 0.0


@dataclass(frozen=True, slots=True)
class Measured:
    """A dimension: the two places measured, and its line beside them.

    ``line_start`` and ``line_end`` are the ends of the dimension line, square from ``start`` and ``end``; the
    extension lines to them begin at ``from_start`` and ``from_end``. ``text_at`` is the middle of the text, with
    capitals of ``height``; it stands beside its usual place where ``moved``. ``value`` is the measured distance in
    millimetres, ``text`` what is written.
    """

    start: Vector
    end: Vector
    line_start: Vector
    line_end: Vector
    from_start: Vector
    from_end: Vector
    text_at: Vector
    turn: float
    value: float
    text: str
    height: float
    moved: bool = False


@dataclass(frozen=True, slots=True)
class DrawingSheet:
    """The sheet of paper that shows the plan, in millimetres of paper.

    ``window`` is the rectangle (x, y, width, height) through which ``looks_at``, a place of the plan, is seen
    in the middle, at ``ratio`` millimetres of ground to one of paper.
    """

    paper: Paper
    size: Vector
    window: tuple[float, float, float, float]
    looks_at: Vector
    ratio: float
    scale_name: str
    marks: tuple[Drawn, ...]
    name: str = PLAN_SHEET


@dataclass(frozen=True, slots=True)
class SideDrawing:
    """A beam line from its side, beside the plan at true scale: ``low`` and ``high`` are the corners round it."""

    line: str
    marks: tuple[Drawn, ...]
    dimensions: tuple[Measured, ...]
    low: Vector
    high: Vector


@dataclass(frozen=True, slots=True)
class Drawing:
    """A whole plan drawing.

    ``turn`` is the direction in the plan that lies to the right on the sheet; ``baseline`` is where stations
    begin and the way they grow, None without one. ``low`` and ``high`` are the corners of the upright rectangle
    round all of the plan. ``sides`` are the side views of beam lines beside it, which ``side_sheets`` show.
    """

    title: str
    units: Units
    rounding: float
    turn: float
    baseline: tuple[Vector, Vector] | None
    low: Vector
    high: Vector
    symbols: tuple[Symbol, ...]
    marks: tuple[Drawn, ...]
    placed: tuple[Placed, ...]
    dimensions: tuple[Measured, ...]
    sheet: DrawingSheet
    sides: tuple[SideDrawing, ...] = ()
    side_sheets: tuple[DrawingSheet, ...] = ()
