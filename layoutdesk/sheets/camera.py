"""How the plan lies on a page: turned so that the house is at the top, at a scale, clipped to its window."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from layoutdesk.engine.layout import Layout
from layoutdesk.geometry.vector import Vector, dot, left, minus, plus, times
from layoutdesk.plan.model import Piece, SpotHeight, Wall, places_of
from layoutdesk.sheets.clipping import clipped_lines
from layoutdesk.sheets.paper import Box

_NEARBY: Final = 0.12
"""A keep-out that makes a picture wider by no more than this share is shown whole."""


def page_right(layout: Layout) -> Vector:
    """Return the direction of the plan that lies to the right on a page: offsets then grow downwards."""
    return left(layout.frame.away) if layout.frame else (1.0, 0.0)


@dataclass(frozen=True, slots=True)
class Camera:
    """A view of the plan: ``right`` is the plan's direction to the right, ``ground`` comes to lie on ``paper``.

    ``ratio`` is millimetres of ground to one of paper.
    """

    right: Vector
    ratio: float
    ground: Vector
    paper: Vector

    def on_paper(self, p: Vector) -> Vector:
        """Return where a place of the plan lies on the page."""
        way = minus(p, self.ground)
        return plus(self.paper, times((dot(way, self.right), dot(way, left(self.right))), 1 / self.ratio))

    def path(self, places: Iterable[Vector]) -> tuple[Vector, ...]:
        """Return where some places of the plan lie on the page."""
        return tuple(self.on_paper(p) for p in places)


@dataclass(frozen=True, slots=True)
class Spread:
    """How far some places reach, along the page and up it, in millimetres of ground; and their middle."""

    width: float
    height: float
    centre: Vector


def spread(places: Iterable[Vector], right: Vector) -> Spread:
    """Return how far places reach on a page on which ``right`` lies to the right; nothing for no place."""
    up = left(right)
    turned = [(dot(p, right), dot(p, up)) for p in places] or [(0.0, 0.0)]
    xs, ys = [p[0] for p in turned], [p[1] for p in turned]
    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    return Spread(max(xs) - min(xs), max(ys) - min(ys), plus(times(right, x), times(up, y)))


def all_places(layout: Layout) -> list[Vector]:
    """Return every place that the plan is drawn with, its baseline and the edges of its holes included.

    Spots are not among them: they lie on pages of their own, and may be far out in the yard.
    """
    pieces = (piece for piece in layout.plan.pieces() if not isinstance(piece, SpotHeight))
    places = [*(p for piece in pieces for p in places_of(piece)), *baseline_ends(layout)]
    tops = {d.id: d.profile[0][1] / 2 for d in reversed(layout.plan.details) if d.profile}
    for pier in layout.plan.piers:
        r = tops.get(pier.detail or "", 0.0)
        places += [plus(pier.at, way) for way in ((r, r), (-r, r), (-r, -r), (r, -r))] if r else []
    return places


def work_places(layout: Layout) -> list[Vector]:
    """Return the places that people stand at: points, beam lines and baseline, or everything when there are none.

    Keep-outs among them belong to it. A wall that runs off behind the house does not make the rest small.
    """
    plan = layout.plan
    if not (plan.piers or plan.controls or plan.attachments or plan.lines):
        return all_places(layout)
    pieces: tuple[Piece, ...] = (*plan.piers, *plan.controls, *plan.attachments, *plan.lines)
    places = [*(p for piece in pieces for p in places_of(piece)), *baseline_ends(layout)]
    right = page_right(layout)
    reach = spread(places, right)
    around = max(reach.width, reach.height) * _NEARBY
    for keepout in plan.keepouts:
        both = spread((*places, *keepout.outline), right)
        if both.width <= reach.width + around and both.height <= reach.height + around:
            places += keepout.outline
    return places


def baseline_ends(layout: Layout) -> tuple[Vector, ...]:
    """Return the two places that the baseline was given by, if there is one."""
    base = layout.plan.baseline
    return (base.origin, base.toward) if base and layout.frame else ()


def fitted_camera(places: Iterable[Vector], right: Vector, room: Box, *, least_ratio: float = 10.0) -> Camera:
    """Return the view that shows some places as large as a room allows, in the middle of it."""
    reach = spread(places, right)
    ratio = max(reach.width / room.width, reach.height / room.height, least_ratio)
    return Camera(right, ratio, reach.centre, room.centre)


def walls_in(walls: Iterable[Wall], camera: Camera, window: Box) -> list[tuple[Vector, ...]]:
    """Return the wall faces that a window shows."""
    return [part for wall in walls for part in clipped_lines(camera.path(wall.points), window)]
