"""The symbols of a plan drawing: one for each detail of a pier, one for attachments and one for control points."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from layoutdesk.plan.model import Detail, Plan
from layoutdesk.sheets.drawing_marks import Filling, Ring, Stroke, Symbol

ATTACHMENT: Final = "ATTACHMENT"
CONTROL: Final = "CONTROL"
PIER: Final = "PIER"

ATTACHMENT_MM: Final = 1.3
"""Half the side of the square that marks an attachment, on paper."""
CONTROL_MM: Final = 1.9
"""How high the triangle of a control point stands over its point, on paper."""
_NO_DETAIL_MM: Final = 2.0
"""Radius of a pier that has no detail, on paper."""

_PLACE_FIELDS: Final = (("STATION", "Station", False), ("OFFSET", "Offset", False))

_HEIGHT_FIELDS: Final = (
    ("GROUND", "Ground", False),
    ("TOP", "Top of the pier", False),
    ("BOTTOM", "Bottom of the hole", False),
    ("COLUMN", "Length of the column", False),
)


@dataclass(frozen=True, slots=True)
class PierSymbol:
    """The symbol of a pier and the radius of what it shows, in millimetres of the plan."""

    symbol: Symbol
    radius: float


def pier_symbols(plan: Plan, ratio: float, *, heights: bool = False) -> dict[str | None, PierSymbol]:
    """Return the symbol of each detail that a pier has, and of piers without one under None.

    A pier is drawn in its true size: the top of its hole, and what is wider below it hidden. With ``heights`` it
    carries those too.
    """
    used = {pier.detail for pier in plan.piers}
    found: dict[str | None, PierSymbol] = {
        detail.id: _pier_symbol(f"{PIER}-{detail.id}", detail, ratio, heights=heights)
        for detail in plan.details
        if detail.id in used
    }
    missing = used - found.keys()
    if missing:
        plain = _pier_symbol(PIER, None, ratio, heights=heights)
        found.update(dict.fromkeys(missing, plain))
    return found


def _pier_symbol(name: str, detail: Detail | None, ratio: float, *, heights: bool) -> PierSymbol:
    diameters = [diameter for _, diameter in detail.profile] if detail else []
    top = diameters[0] / 2 if diameters else _NO_DETAIL_MM * ratio
    widest = max(diameters, default=0.0) / 2
    rings = [Ring((0.0, 0.0), top, "pier", hidden=not diameters)]
    if widest > top * (1 + 1e-9):
        rings.append(Ring((0.0, 0.0), widest, "pier", hidden=True))
    arm = 0.55 * top
    cross = (
        Stroke(((-arm, 0.0), (arm, 0.0)), "column"),
        Stroke(((0.0, -arm), (0.0, arm)), "column"),
    )
    fields = (
        ("MARK", "Mark", True),
        *_PLACE_FIELDS,
        ("DETAIL", "Detail", False),
        *(_HEIGHT_FIELDS if heights else ()),
    )
    return PierSymbol(Symbol(name, "pier", (*rings, *cross), fields), max(top, widest))


def attachment_symbol(ratio: float) -> Symbol:
    """Return the square that marks where a beam meets the house."""
    h = ATTACHMENT_MM * ratio
    square = ((-h, -h), (h, -h), (h, h), (-h, h))
    fields = (("MARK", "Mark", True), ("KIND", "Kind", False), *_PLACE_FIELDS)
    return Symbol(ATTACHMENT, "attachment", (Stroke(square, "attachment", closed=True),), fields)


def control_symbol(ratio: float) -> Symbol:
    """Return the black triangle that stands with its point on a control point."""
    h = CONTROL_MM * ratio
    triangle = ((0.0, 0.0), (0.58 * h, h), (-0.58 * h, h))
    marks = (Filling(triangle, "control", "solid"), Stroke(triangle, "control", closed=True))
    return Symbol(CONTROL, "control", marks, (("MARK", "Mark", True), *_PLACE_FIELDS))
