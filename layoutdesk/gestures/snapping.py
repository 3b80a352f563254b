"""Where the pointer is drawn to, and why.

A place is caught by points first (corners, ends, attachments, control points, piers, middles), then by where
two guides cross, then by one guide. Guides are edges, lines square from a wall, lines level with other
points, equal spacings, and the grid. This file imports numpy: gestures import it inside their functions.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, cross, distance, dot, left, minus, plus, times, unit
from layoutdesk.gestures.bearings import bearings_of
from layoutdesk.gestures.gesture import Pointer, Snap
from layoutdesk.gestures.grid import snapping_step, step_of_at_least
from layoutdesk.gestures.guides import GRID, LEVEL, ON, ROWS_SPACED, SQUARE, Guide, said_together
from layoutdesk.gestures.plan_index import index_of
from layoutdesk.gestures.spacing import spacings_ahead, spacings_on_line
from layoutdesk.gestures.underlay_lines import TracedIndex, indices, nearest_spot
from layoutdesk.gestures.underlay_places import is_traced
from layoutdesk.plan.model import Plan
from layoutdesk.session.traced import PageKey, Traced
from layoutdesk.units import format_length, round_to_step

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]


class Snapper:
    """Catches the pointer on one plan.

    ``moving`` are the pieces that move with the pointer and therefore cannot catch it; ``traced`` holds the
    lines of drawings under the sheet, as far as they are read.
    """

    def __init__(
        self,
        plan: Plan,
        *,
        moving: frozenset[str] = frozenset(),
        traced: Mapping[PageKey, Traced] | None = None,
    ) -> None:
        self._plan, self._moving = plan, moving
        self._traced = traced if plan.underlays else None
        self._index = index_of(plan)
        self._bearings = bearings_of(plan)

    def snap(self, pointer: Pointer, *, start: Vector | None = None, track: Guide | None = None) -> Snap | None:
        """Return what catches the pointer, or None.

        Args:
            pointer: where it is; one that is free is caught by nothing but its track.
            start: where the stroke under way begins: adds guides square from what it stands on, and with
                Shift the eight straight directions.
            track: a line to stay on, because a value was typed.
        """
        if track is not None:
            return self._on_track(pointer, start, track)
        if pointer.free:
            return None
        if start is not None and pointer.add:
            return self._on_track(pointer, start, self._straight(start, pointer.at))
        if (caught := self._point(pointer)) is not None:
            return caught
        return self._by_guides(pointer, start)

    def catch(
        self, pointer: Pointer, *, start: Vector | None = None, track: Guide | None = None
    ) -> tuple[Vector, Snap | None]:
        """Return where the pointer is drawn to, and the snap that holds it there.

        Where nothing catches it a place still falls on whole steps of the tape, unless the pointer is free.
        """
        snap = self.snap(pointer, start=start, track=track)
        if snap is not None:
            return snap.at, snap
        at = pointer.at if track is None else track.nearest(pointer.at)
        return (at if pointer.free else self._whole(at, pointer.reach, track)), None

    def _whole(self, at: Vector, reach: float, guide: Guide | None) -> Vector:
        """Return the nearest place with whole steps of station and offset: steps that half a reach can tell apart.

        On a guide only what it leaves open is rounded; on one that runs askew, the distance along it. What is
        traced keeps the place that was pressed, to the step of the plan.
        """
        names, step = self._bearings, self._plan.rounding
        if not is_traced(self._plan, at):
            step = max(step, step_of_at_least(self._plan.units, reach / 2))
        first, second = names.read(at)
        if guide is None:
            return names.place(round_to_step(first, step), round_to_step(second, step))
        if abs(cross(guide.way, names.ahead)) <= 1e-9:
            moved = names.place(round_to_step(first, step), second)
        elif abs(cross(guide.way, names.aside)) <= 1e-9:
            moved = names.place(first, round_to_step(second, step))
        else:
            run = round_to_step(dot(minus(at, guide.through), guide.way), step)
            moved = plus(guide.through, times(guide.way, run))
        return guide.nearest(moved)

    def _both(self, at: Vector) -> str:
        """Return station and offset (x and y) of a place in words."""
        plan, names = self._plan, self._bearings
        return ", ".join(
            f"{name} {format_length(value, plan.units, plan.rounding, pretty=True)}"
            for name, value in zip(names.names, names.read(at), strict=True)
        )

    # ---- points

    @cached_property
    def _fixed_points(self) -> Indices:
        """Return which rows of the index's points do not move."""
        return np.flatnonzero(self._index.others(self._index.spots, self._moving))

    @cached_property
    def _fixed_corners(self) -> Indices:
        return np.flatnonzero(self._index.others(self._index.corner_spots, self._moving))

    @cached_property
    def _fixed_edges(self) -> NDArray[np.bool_]:
        return self._index.others(self._index.edges, self._moving)

    def _point(self, pointer: Pointer) -> Snap | None:
        """Return the nearest point, corner or middle within reach; middles yield to the others."""
        index = self._index
        best: tuple[float, Snap] | None = None
        for places, rows, spots, lead, burden in (
            (index.points, self._fixed_points, index.spots, "at ", 0.0),
            (index.corners, self._fixed_corners, index.corner_spots, "", 0.001),
            (index.middles, np.flatnonzero(self._fixed_edges), index.edges, "middle of ", 0.3),
        ):
            if not len(rows):
                continue
            away = index.distances(places[rows], pointer.at)
            k = int(away.argmin())
            score = float(away[k]) / pointer.reach + burden
            if away[k] <= pointer.reach and (best is None or score < best[0]):
                row = int(rows[k])
                x, y = places[row]
                best = score, Snap((float(x), float(y)), lead + spots[row].words, (spots[row].piece,))
        for drawing in self._drawings():
            spot = nearest_spot(drawing.spots(pointer.at, pointer.reach), pointer.at, pointer.reach)
            if spot is not None and (best is None or spot[0] < best[0]):
                best = spot[0], Snap(spot[1].at, spot[1].words)
        return best[1] if best else None

    def _drawings(self) -> Iterator[TracedIndex]:
        """Yield the lines of what lies under the sheet."""
        if self._traced:
            yield from indices(self._plan.underlays, self._traced)

    # ---- guides

    def _by_guides(self, pointer: Pointer, start: Vector | None) -> Snap | None:
        at, reach = pointer.at, pointer.reach
        near = [g for g in self._guides(pointer, start) if g.away(at) <= reach]
        pairs: list[tuple[float, Vector, Guide, Guide]] = []
        for a, b in combinations(near, 2):
            place = a.meets(b)
            if place is not None and distance(place, at) <= 1.5 * reach:
                pairs.append((a.rank + b.rank + distance(place, at) / reach, place, a, b))
        if pairs:
            _, place, a, b = min(pairs, key=lambda p: p[0])
            return _snap(place, [a, b], near)
        if near:
            best = min(near, key=lambda g: g.rank + g.away(at) / reach)
            place = self._whole(best.nearest(at), reach, best)
            if best.rank == GRID:  # along it the place is on a whole step too, finer than those of the grid
                best = replace(best, words=self._both(place))
            return _snap(place, [best], near)
        return None

    def _on_track(self, pointer: Pointer, start: Vector | None, track: Guide) -> Snap | None:
        """Return the place on the track that another guide or point marks nearby, else just the nearest."""
        at = track.nearest(pointer.at)
        if pointer.free:
            return _snap(at, [track], []) if track.words else None
        if (point := self._point(Pointer(at, pointer.reach))) is not None:
            level = track.nearest(point.at)
            if distance(level, point.at) <= SAME_MM:
                return Snap(level, _words(track.words, point.reason), point.on)
        there = Pointer(at, pointer.reach, add=False, free=False)
        found: list[tuple[float, Vector, Guide]] = []
        for guide in self._guides(there, start):
            place = track.meets(guide)
            if place is not None and distance(place, at) <= pointer.reach:
                found.append((guide.rank + distance(place, at) / pointer.reach, place, guide))
        if found:
            _, place, guide = min(found, key=lambda f: f[0])
            return _snap(place, [track, guide], [])
        return _snap(self._whole(at, pointer.reach, track), [track], []) if track.words else None

    def _straight(self, start: Vector, at: Vector) -> Guide:
        """Return the nearest of the eight straight directions from a start."""
        if distance(start, at) <= SAME_MM:
            return Guide(start, self._bearings.ahead, "straight", SQUARE)
        degrees = round(self._bearings.angle(minus(at, start)) / 45) * 45
        words = {0: "along", 180: "along", 90: "square", -90: "square", -180: "along"}.get(degrees)
        whose = "the baseline" if self._bearings.frame else "the sheet"
        text = {"along": f"straight along {whose}", "square": f"square to {whose}"}.get(
            words or "", f"at {degrees}°"
        )
        return Guide(start, self._bearings.direction(degrees), text, SQUARE, low=0.0, source=start)

    def _guides(self, pointer: Pointer, start: Vector | None) -> Iterator[Guide]:
        """Yield all guides that may matter near the pointer."""
        edges = self._edges(pointer)
        yield from edges
        for drawing in self._drawings():
            yield from drawing.guides(pointer.at, pointer.reach)
        if start is not None:
            yield from self._from_start(start, pointer)
        for edge in edges:
            yield from spacings_on_line(self._plan, edge.on[0], self._moving)
        yield from self._level(pointer)
        yield from self._grid(pointer)

    def _edges(self, pointer: Pointer) -> list[Guide]:
        """Return the edges within reach as bounded guides, nearest first, each piece once."""
        index, found = self._index, dict[str, Guide]()
        for k in index.near_edges(pointer.at, pointer.reach):
            spot = index.edges[k]
            if not self._fixed_edges[k] or spot.piece in found:
                continue
            a, b = _pair(index.starts[k]), _pair(index.ends[k])
            if distance(a, b) > SAME_MM:
                found[spot.piece] = Guide(
                    a, unit(minus(b, a)), f"on {spot.words}", ON, (spot.piece,), low=0.0, high=distance(a, b)
                )
            if len(found) >= 4:
                break
        return list(found.values())

    def _from_start(self, start: Vector, pointer: Pointer) -> Iterator[Guide]:
        """Yield lines square from, and along, the edges that the stroke starts on, and the baseline's."""
        index = self._index
        said = False
        for k in index.near_edges(start, 1e-3)[:4]:
            if not self._fixed_edges[k]:
                continue
            a, b = _pair(index.starts[k]), _pair(index.ends[k])
            if distance(a, b) <= SAME_MM:
                continue
            way, spot = unit(minus(b, a)), index.edges[k]
            kind = spot.words.split()[0]
            name = "the wall" if kind == "wall" and len(self._plan.walls) == 1 else spot.words
            said = said or kind == "wall"
            yield Guide(start, left(way), f"square from {name}", SQUARE, (spot.piece,), source=start)
            yield Guide(start, way, f"straight on along {spot.words}", SQUARE, (spot.piece,), source=start)
        if not said and distance(start, pointer.at) > pointer.reach:
            whose = "the baseline" if self._bearings.frame else "the sheet"
            yield Guide(start, self._bearings.aside, f"square from {whose}", LEVEL, source=start)
            yield Guide(start, self._bearings.ahead, f"along {whose}", LEVEL, source=start)

    # ---- level with other points

    @cached_property
    def _read(self) -> tuple[Floats, Floats]:
        """Return station and offset (x and y) of the points that do not move."""
        names, places = self._bearings, self._index.points[self._fixed_points]
        origin = names.frame.origin if names.frame else (0.0, 0.0)
        way = places - np.asarray(origin)
        return way @ np.asarray(names.ahead), way @ np.asarray(names.aside)

    @cached_property
    def _steps(self) -> tuple[Floats, Floats]:
        """Return the different stations and the different offsets that points have, rising."""
        first, second = (np.unique(np.round(column, 3)) for column in self._read)
        return first, second

    def _level(self, pointer: Pointer) -> Iterator[Guide]:
        """Yield lines through the places that are level with another point, and equally spaced ones."""
        if not len(self._fixed_points):
            return
        names = self._bearings
        here = names.read(pointer.at)
        for axis, way in ((0, names.aside), (1, names.ahead)):
            mine, across = self._read[axis], self._read[1 - axis]
            near = np.flatnonzero(np.abs(mine - here[axis]) <= pointer.reach)
            if len(near):
                k = int(near[np.abs(across[near] - here[1 - axis]).argmin()])
                row = int(self._fixed_points[k])
                place, spot = _pair(self._index.points[row]), self._index.spots[row]
                yield Guide(
                    place, way, f"in line with {spot.words.split()[-1]}", LEVEL, (spot.piece,), source=place
                )
            for value, words in spacings_ahead(self._steps[axis], here[axis], pointer.reach):
                read = (value, here[1]) if axis == 0 else (here[0], value)
                yield Guide(names.place(*read), way, words, ROWS_SPACED)

    def _grid(self, pointer: Pointer) -> Iterator[Guide]:
        """Yield the grid lines next to the pointer; none on a picture: what it shows stands on no grid."""
        if is_traced(self._plan, pointer.at):
            return
        names, units = self._bearings, self._plan.units
        step = snapping_step(units, pointer.reach)
        here = names.read(pointer.at)
        for axis, way in ((0, names.aside), (1, names.ahead)):
            value = round(here[axis] / step) * step
            read = (value, here[1]) if axis == 0 else (here[0], value)
            text = format_length(value, units, self._plan.rounding, pretty=True)
            yield Guide(names.place(*read), way, f"{names.names[axis]} {text}", GRID)


def _pair(row: Floats) -> Vector:
    return float(row[0]), float(row[1])


def _words(*reasons: str) -> str:
    return said_together([r for r in reasons if r])


def _snap(at: Vector, held: list[Guide], near: list[Guide]) -> Snap:
    """Return a snap with the words of its guides, and of edges and squares that lie along them."""
    told = list(held)
    for guide in near:
        doubled = guide.words.startswith("straight on") and any(g.rank == ON for g in told)
        if guide.rank <= SQUARE and not doubled and guide not in told and any(guide.lies_along(h) for h in held):
            told.append(guide)
    told.sort(key=lambda g: g.rank)
    if all(g.rank == GRID for g in told) and len(told) > 1:
        reason = "on the grid"
    else:
        reason = _words(*(g.words for g in told))
    on = tuple(dict.fromkeys(i for g in told for i in g.on))
    # A crossing is a hair off the whole number that it means; a thousandth of the tolerance is lost by rounding.
    at = (round(at[0], 9) + 0.0, round(at[1], 9) + 0.0)
    shown = tuple((g.source, at) for g in told if g.source is not None and distance(g.source, at) > SAME_MM)
    return Snap(at, reason, on, shown)
