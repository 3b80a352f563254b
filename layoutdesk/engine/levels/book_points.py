"""What the points of a level book are: benchmarks, ground, tops and supports of piers, marks, turning points."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from layoutdesk.engine.levels.entries import HeightRole
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan

TOP: Final = " top"
SUPPORT: Final = " support"
"""What stands behind a pier's id where its finished top, or the supports of its column, were read."""

_AT_PIER: Final[dict[str, HeightRole]] = {TOP: "pier top", SUPPORT: "support"}


@dataclass(frozen=True, slots=True)
class BookPoint:
    """A point of the book; ``fixed`` is the elevation of a benchmark, None of any other point."""

    id: str
    label: str
    role: HeightRole
    at: Vector | None
    fixed: float | None = None


def book_points(plan: Plan) -> dict[str, BookPoint]:
    """Return every benchmark, and then every other booked point in the order in which it was first booked."""
    known = _known(plan)
    points: dict[str, BookPoint] = {}
    for mark in plan.levels.benchmarks:
        there = known.get(mark.id)
        at = mark.at if mark.at is not None or there is None else there.at
        label = mark.id if there is None else there.label
        points[mark.id] = BookPoint(mark.id, label, "benchmark", at, mark.elevation)
    for reading in plan.levels.readings:
        if reading.point not in points:
            points[reading.point] = known.get(reading.point) or _at_pier(reading.point, known)
    return points


def _known(plan: Plan) -> dict[str, BookPoint]:
    """Return the points of the plan that a rod can stand on."""
    known: dict[str, BookPoint] = {}
    for control in plan.controls:
        known[control.id] = BookPoint(control.id, control.id, "mark", control.at)
    for attachment in plan.attachments:
        known[attachment.id] = BookPoint(attachment.id, attachment.id, "mark", attachment.at)
    for spot in plan.spots:
        known[spot.id] = BookPoint(spot.id, spot.id, "ground", spot.at)
    for pier in plan.piers:
        known[pier.id] = BookPoint(pier.id, pier.label, "ground", pier.at)
    return known


def _at_pier(name: str, known: dict[str, BookPoint]) -> BookPoint:
    """Return the top or the support of a pier, or else a turning point."""
    for ending, role in _AT_PIER.items():
        pier = known.get(name.removesuffix(ending)) if name.endswith(ending) else None
        if pier is not None and pier.role == "ground":
            return BookPoint(name, f"{pier.label}{ending}", role, pier.at)
    return BookPoint(name, name, "turning point", None)
