"""Openings sawn into existing concrete for the piers that come through it.

Each is square to the baseline (to the slab's longest side without one), or round; a margin is left around the
widest part of the hole. Openings that would leave a strip too weak to stand between them, or to the slab's edge,
are joined or go on to that edge as rectangles; then the slab's outline trims them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from layoutdesk.engine.columns import Floats, Indices
from layoutdesk.engine.concrete.density import fresh_density
from layoutdesk.engine.concrete.sections import MM3_PER_M3
from layoutdesk.engine.holes.dug import hole_parts
from layoutdesk.engine.holes.entries import Opening, SawCut
from layoutdesk.engine.holes.opening_blocks import Block, settled
from layoutdesk.engine.holes.opening_cuts import Way, in_pieces, sawn_sides
from layoutdesk.engine.obstacles import TOUCH_MM
from layoutdesk.engine.reasons import listed, shown_small
from layoutdesk.engine.reckoning import ReckoningError
from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.polygon import GRID_MM, area_within, on_grid
from layoutdesk.geometry.vector import Vector, distance, minus, unit
from layoutdesk.plan.model import Detail, OpeningRule, Plan, Slab
from layoutdesk.units import format_mass, format_volume

if TYPE_CHECKING:
    from shapely import Polygon
    from shapely.geometry.base import BaseGeometry

_CORNERS: Final = 96
"""So many corners stand for a circle where it is drawn; its area and length are those of the circle."""
_NOISE: Final = 1e-9


def openings_of(plan: Plan, frame: Frame | None) -> tuple[Opening, ...]:
    """Return the openings of all slabs in plan order, and in each by their first pier."""
    if not plan.slabs or not plan.piers:
        return ()
    sizes = {detail.id: _size(detail) for detail in reversed(plan.details)}
    of_pier = [sizes.get(pier.detail, (0.0, 0.0)) if pier.detail is not None else (0.0, 0.0) for pier in plan.piers]
    places = np.array([pier.at for pier in plan.piers], dtype=np.float64)
    found: list[Opening] = []
    for slab in plan.slabs:
        if len(slab.outline) >= 3:
            found += _Sawing(plan, slab, frame, first=len(found) + 1).openings(places, np.array(of_pier))
    return tuple(found)


def _size(detail: Detail) -> tuple[float, float]:
    """Return half the widest of the round parts of a hole, and of its square ones; nought for none."""
    try:
        parts = hole_parts(detail)
    except ReckoningError:
        return 0.0, 0.0
    half = {"round": 0.0, "square": 0.0}
    for part in parts:
        half[part.shape] = max(half[part.shape], part.upper / 2, part.lower / 2)
    return half["round"], half["square"]


def width_of(detail: Detail, rule: OpeningRule) -> float:
    """Return how wide in mm an opening is that is sawn for one pier, its margin included; nought for no hole."""
    half = float(_half(np.array([_size(detail)]), rule)[0])
    return 2 * half if half > rule.margin else 0.0


def _half(sizes: Floats, rule: OpeningRule) -> Floats:
    """Return half the width of openings for holes of sizes as by :func:`_size`, (n, 2)."""
    # A square part lies square in a square opening; a round one must hold its corners.
    corners = math.sqrt(2) if rule.shape == "round" else 1.0
    half: Floats = np.maximum(sizes[:, 0], sizes[:, 1] * corners) + rule.margin
    return half


@dataclass(frozen=True, slots=True)
class _Axes:
    """Axes along the cuts: an origin and the direction of u."""

    origin: Vector
    along: Vector

    def local(self, xy: Floats) -> Floats:
        """Return places of the plan in these axes, (n, 2)."""
        c, s = self.along
        way = xy - np.array(self.origin)
        turned: Floats = np.stack((c * way[:, 0] + s * way[:, 1], c * way[:, 1] - s * way[:, 0]), axis=1)
        return turned

    def in_plan(self, place: Vector) -> Vector:
        """Return a place of these axes in the plan."""
        (x, y), (c, s), (u, v) = self.origin, self.along, place
        return x + c * u - s * v, y + s * u + c * v


class _Sawing:
    """The openings of one slab."""

    def __init__(self, plan: Plan, slab: Slab, frame: Frame | None, *, first: int) -> None:
        self._plan, self._slab, self._rule, self._first = plan, slab, plan.holes.openings, first
        self._axes = _Axes(slab.outline[0], _direction(slab, frame))
        self._passes = max(1, math.ceil(slab.thickness / self._rule.blade - _NOISE))
        self._heavy = fresh_density() * slab.thickness / MM3_PER_M3
        """The mass of the slab in kg to the mm²."""

    def openings(self, places: Floats, sizes: Floats) -> Iterator[Opening]:
        """Yield the openings for piers at places of the plan and of sizes as by :func:`_size`, twice (n, 2)."""
        shape = self._shape()
        if shape.is_empty:
            return
        at = self._axes.local(places)
        found = _met(shape, at, sizes)
        if not len(found):
            return
        half, round_ = _half(sizes, self._rule), self._rule.shape == "round"
        blocks = []
        for k in found.tolist():
            u, v, r = (round(value, 6) for value in (*at[k].tolist(), float(half[k])))
            blocks.append(Block(u - r, v - r, u + r, v + r, (k,), round=round_))
        parts = list(self._trimmed(settled(blocks, shape, least=self._rule.least_strip), shape, at, sizes))
        parts.sort(key=lambda part: part[1])
        for n, (outline, holes, radius, touching) in enumerate(parts, start=self._first):
            yield self._opening(f"O{n}", outline, holes, radius, shape if touching else None)

    def _shape(self) -> BaseGeometry:
        """Return the slab in the axes of the cuts, made valid; what has no area is left out."""
        import shapely

        local = self._axes.local(np.array(self._slab.outline, dtype=np.float64))
        every = shapely.get_parts(area_within([[(u, v) for u, v in local.tolist()]]))
        areas = [part for part in every if part.geom_type == "Polygon" and part.area > TOUCH_MM**2]
        shape: BaseGeometry = shapely.union_all(areas, grid_size=GRID_MM) if len(areas) != 1 else areas[0]
        shapely.prepare(shape)
        return shape

    @staticmethod
    def _trimmed(
        blocks: Sequence[Block], shape: BaseGeometry, at: Floats, sizes: Floats
    ) -> Iterator[tuple[Polygon, tuple[int, ...], float, bool]]:
        """Yield what of each opening lies in the slab, its holes, its radius and whether it touches the edge."""
        import shapely

        boxes = shapely.box(*np.array([(b.u0, b.v0, b.u1, b.v1) for b in blocks]).T)
        whole = shapely.contains_properly(shape, boxes)
        for block, box, inside in zip(blocks, boxes, whole.tolist(), strict=True):
            if inside or block.round:
                yield box, block.holes, block.radius, False
                continue
            pieces = [p for p in shapely.get_parts(shapely.intersection(shape, box)) if p.area > TOUCH_MM**2]
            for piece in pieces:
                held = np.array(block.holes)
                holes = held[_met(piece, at[held], sizes[held])]
                if len(holes):
                    yield piece, tuple(holes.tolist()), 0.0, True

    def _opening(
        self, name: str, box: Polygon, holes: tuple[int, ...], radius: float, shape: BaseGeometry | None
    ) -> Opening:
        import shapely

        rule, piers = self._rule, [self._plan.piers[k] for k in holes]
        most = rule.carry / self._heavy
        if radius > 0:
            ring = _circle(box, radius)
            # The polygon is a little smaller than its circle, and so is each piece of it.
            share = math.pi * radius**2 / ring.area
            pieces = in_pieces(ring, most=most / share)
            area, largest = ring.area * share, pieces.largest * share
            outline = _corners_of(ring)
            cuts = [SawCut(self._in_plan((*outline, outline[0])), 2 * math.pi * radius, self._passes)]
        else:
            box = shapely.orient_polygons(box)
            pieces = in_pieces(box, most=most)
            area, largest, outline = box.area, pieces.largest, _corners_of(box)
            cuts = [self._cut(way) for way in sawn_sides(outline, shape)]
        inner = tuple(self._cut(way) for way in pieces.cuts)
        opening = Opening(
            id=name,
            slab=self._slab.id,
            piers=tuple(pier.label for pier in piers),
            pier_ids=tuple(pier.id for pier in piers),
            outline=self._in_plan(outline),
            area=area,
            cuts=tuple(cuts),
            inner=inner,
            saw_length=math.fsum(cut.length for cut in (*cuts, *inner)),
            pieces=pieces.count,
            heaviest=largest * self._heavy,
            rubble=area * self._slab.thickness / MM3_PER_M3,
            says="",
        )
        return replace(opening, says=self._says(opening, to_edge=shape is not None))

    def _in_plan(self, places: Sequence[Vector]) -> tuple[Vector, ...]:
        return tuple(on_grid(self._axes.in_plan(place)) for place in places)

    def _cut(self, way: Way) -> SawCut:
        return SawCut(self._in_plan(way), distance(way[0], way[-1]), self._passes)

    def _says(self, opening: Opening, *, to_edge: bool) -> str:
        """Return how an opening is sawn and what comes out of it, in one sentence."""
        plan = self._plan
        passes = "1 pass" if self._passes == 1 else f"{self._passes} passes"
        edge = ", on to the slab's edge" if to_edge else ""
        length = opening.saw_length
        sawn = f"saw {shown_small(length, plan)} in {passes}{edge}" if length > 0 else "nothing is sawn"
        mass = format_mass(opening.heaviest, plan.units)
        each = f"{opening.pieces} pieces of up to {mass}" if opening.pieces > 1 else f"one piece of {mass}"
        more = "" if opening.heaviest <= self._rule.carry * (1 + _NOISE) else ", too heavy to carry"
        waste = format_volume(opening.rubble, plan.units)
        return f"For {listed(opening.piers)} {sawn}; {each}{more}, {waste} of rubble."


def _met(shape: BaseGeometry, at: Floats, sizes: Floats) -> Indices:
    """Return which holes come into a shape by more than a touch, by index."""
    import shapely

    u0, v0, u1, v1 = shape.bounds
    half = sizes.max(axis=1)
    u, v = at.T
    near = np.flatnonzero((u + half > u0) & (u - half < u1) & (v + half > v0) & (v - half < v1) & (half > 0))
    u, v, square = u[near], v[near], np.maximum(sizes[near, 1] - TOUCH_MM, 0.0)
    away = shapely.distance(shape, shapely.points(u, v))
    meets = (away == 0) | (away < sizes[near, 0] - TOUCH_MM)
    meets |= (square > 0) & shapely.intersects(shape, shapely.box(u - square, v - square, u + square, v + square))
    found: Indices = near[meets]
    return found


def _direction(slab: Slab, frame: Frame | None) -> Vector:
    """Return the direction of the cuts: that of the baseline, or of the slab's longest side."""
    if frame is not None:
        return frame.along
    sides = zip(slab.outline, (*slab.outline[1:], slab.outline[0]), strict=True)
    start, end = max(sides, key=lambda side: distance(*side))
    return unit(minus(end, start)) if distance(start, end) > GRID_MM else (1.0, 0.0)


def _circle(box: Polygon, radius: float) -> Polygon:
    """Return a circle in an upright square as a regular polygon, anticlockwise."""
    import shapely

    u0, v0, u1, v1 = box.bounds
    turn = np.arange(_CORNERS) * (2 * math.pi / _CORNERS)
    return shapely.Polygon(
        np.stack(((u0 + u1) / 2 + radius * np.cos(turn), (v0 + v1) / 2 + radius * np.sin(turn)), 1)
    )


def _corners_of(shape: Polygon) -> tuple[Vector, ...]:
    """Return the outer corners of a shape, the first one once."""
    return tuple((float(u), float(v)) for u, v in shape.exterior.coords[:-1])
