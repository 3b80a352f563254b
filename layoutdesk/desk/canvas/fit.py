"""Looking at the whole plan."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from layoutdesk.desk.canvas.camera import Camera
from layoutdesk.desk.canvas.piers import columns_of
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, distance, left, minus, plus, times, unit
from layoutdesk.gestures.underlay_points import frame_of
from layoutdesk.plan.model import Piece, Plan, places_of

_LEFT, _TOP, _RIGHT, _BOTTOM = 44.0, 84.0, 54.0, 40.0
"""Pixels kept free round the plan: for marks and dimensions, and above it for a strip of the house."""


def _places(scene: Scene, plan: Plan) -> Iterator[Vector]:
    """Yield every place that must be in sight: of all pieces, the baseline, and the dimension lines."""
    yield from (pier.at for pier in plan.piers)
    yield from _places_but_piers(scene, plan)


def _places_but_piers(scene: Scene, plan: Plan) -> Iterator[Vector]:
    pieces: tuple[Piece, ...] = (
        *plan.walls, *plan.slabs, *plan.keepouts, *plan.lines, *plan.attachments, *plan.controls, *plan.spots
    )  # fmt: skip
    for piece in pieces:
        yield from places_of(piece)
    if plan.baseline is not None:
        yield plan.baseline.origin
    if not any(True for _ in plan.pieces()):
        # An empty sheet is looked at for what lies under it.
        for underlay in plan.underlays:
            if underlay.shown:
                yield from frame_of(underlay, underlay.to_plan)
    if scene.layout is None:
        return
    for dimension in scene.layout.dimensions:
        if distance(dimension.start, dimension.end) > SAME_MM:
            aside = times(left(unit(minus(dimension.end, dimension.start))), dimension.shift)
            yield plus(dimension.start, aside)
            yield plus(dimension.end, aside)


def fitted(scene: Scene, plan: Plan) -> Camera:
    """Return the camera that shows the whole plan, and a strip of the house above it."""
    area, camera = scene.area, scene.camera
    inner = area.adjusted(_LEFT, _TOP, -_RIGHT, -_BOTTOM)
    if inner.width() < 40 or inner.height() < 40:
        inner = area
    middle = (inner.center().x(), inner.center().y())
    found = replace(camera, middle=middle).fitted(_places(scene, plan), inner.width(), inner.height())
    centre = area.center()
    return replace(found, centre=found.to_plan(centre.x(), centre.y()), middle=(centre.x(), centre.y()))


def in_sight(scene: Scene, plan: Plan) -> bool:
    """Return whether the whole plan with its dimensions is inside the picture; asked after every edit."""
    room, to_screen = scene.area.adjusted(8, 8, -8, -8), scene.camera.to_screen
    if plan.piers:
        xs, ys = scene.camera.columns(columns_of(plan.piers).xy)
        if xs.min() < room.left() or xs.max() > room.right() or ys.min() < room.top() or ys.max() > room.bottom():
            return False
    return all(room.contains(to_screen(at)) for at in _places_but_piers(scene, plan))


def including(scene: Scene, places: Iterable[Vector]) -> Camera:
    """Return the camera, zoomed out no more than needed for some places to be in sight beside what was."""
    area, camera = scene.area, scene.camera
    room, places = area.adjusted(24, 24, -24, -24), tuple(places)
    if all(room.contains(camera.to_screen(at)) for at in places):
        return camera
    corners = (room.topLeft(), room.topRight(), room.bottomLeft(), room.bottomRight())
    seen = [camera.to_plan(c.x(), c.y()) for c in corners]
    return camera.fitted((*seen, *places), room.width(), room.height())
