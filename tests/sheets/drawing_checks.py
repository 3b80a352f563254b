"""What a plan drawing covers with text, for tests that look for texts on one another."""

from __future__ import annotations

from itertools import combinations

import shapely

from layoutdesk.geometry.vector import Vector, plus, turned
from layoutdesk.sheets.drawing_dimensions import text_ring, text_width
from layoutdesk.sheets.drawing_marks import Drawing, Label
from layoutdesk.sheets.drawing_staked import STAKED
from layoutdesk.sheets.marks import Anchor


def ring(at: Vector, text: str, height: float, anchor: Anchor, turn: float, *, centred: bool) -> list[Vector]:
    """Return the corners of a line of text."""
    wide = text_width(text, height)
    left = {"start": 0.0, "middle": -wide / 2, "end": -wide}[anchor]
    low = -height / 2 if centred else 0.0
    corners = ((left, low), (left + wide, low), (left + wide, low + height), (left, low + height))
    return [plus(at, turned(corner, turn)) for corner in corners]


def texts_in_plan(drawing: Drawing) -> dict[str, shapely.Polygon]:
    """Return the area of every text in the plan: dimensions, marks of points, and other names."""
    found = {f"dimension {i}: {m.text}": text_ring(m) for i, m in enumerate(drawing.dimensions)}
    for placed in drawing.placed:
        if placed.symbol == STAKED:
            continue  # its attributes are hidden: the name of the pier stands there
        mark = dict(placed.values)["MARK"]
        found[mark] = tuple(ring(placed.label_at, mark, placed.height, placed.anchor, placed.turn, centred=True))
    for i, label in enumerate(mark for mark in drawing.marks if isinstance(mark, Label)):
        corners = ring(label.at, label.text, label.height, label.anchor, label.turn, centred=label.centred)
        found[f"name {i}: {label.text}"] = tuple(corners)
    return {name: shapely.Polygon(corners) for name, corners in found.items()}


def texts_on_sheet(drawing: Drawing) -> dict[str, shapely.Polygon]:
    """Return the area of every text on the sheet itself."""
    labels = [mark for mark in drawing.sheet.marks if isinstance(mark, Label) and mark.text]
    return {
        f"{i}: {label.text}": shapely.Polygon(
            ring(label.at, label.text, label.height, label.anchor, label.turn, centred=label.centred)
        )
        for i, label in enumerate(labels)
    }


def on_one_another(texts: dict[str, shapely.Polygon]) -> list[tuple[str, str]]:
    """Return the pairs of texts that overlap."""
    return [(a, b) for a, b in combinations(texts, 2) if texts[a].intersection(texts[b]).area > 1e-6]
