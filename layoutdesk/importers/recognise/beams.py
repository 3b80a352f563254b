"""Beam lines: lines through piers, or the middle of two lines on both sides of them; rows where none is drawn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from layoutdesk.geometry.vector import Vector, crossing
from layoutdesk.importers.recognise.ground import Bools, Floats, Ground, Ints
from layoutdesk.importers.recognise.hints import beam_hint, is_grid
from layoutdesk.importers.recognise.house import WallRun
from layoutdesk.importers.recognise.lines import Lines, Pieces, beside, hatched, joined, near_places

_LEAST_MM: Final = 500.0
_WIDE_MM: Final = 420.0
"""The two edges of a beam lie no farther apart; from memory."""
_WALL_MM: Final = 450.0
"""How far a beam may end from the face of a wall, or reach into it, and still be borne by it."""
_ROW_MM: Final = 8.0
_MOST: Final = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Beam:
    """A beam line: its ends (the first at the wall, if one is), its shapes, the piers on it by index."""

    start: Vector
    end: Vector
    shapes: tuple[int, ...]
    piers: tuple[int, ...]
    layer: int
    attached: Vector | None
    why: str
    sure: float


def beams_of(
    ground: Ground,
    pieces: Pieces,
    *,
    taken: set[int],
    at: Floats,
    size: Floats,
    bubbles: Sequence[tuple[Vector, float]],
    walls: Sequence[WallRun],
) -> list[Beam]:
    """Return the beam lines of a drawing.

    Args:
        ground: the drawing.
        pieces: its straight pieces.
        taken: shapes that are something else.
        at: the middles of the piers, shape (n, 2).
        size: their sizes.
        bubbles: the middles and sizes of bubbles at the ends of grid lines.
        walls: the faces of the house.
    """
    if not len(at):
        return []
    hint = np.array([-1 if is_grid(name) else beam_hint(name) for name in ground.layers], np.intp)
    free = ~np.isin(pieces.shape, np.fromiter(taken, np.intp, len(taken))) & (hint[ground.layer[pieces.shape]] >= 0)
    free &= ~_of_grid(pieces, bubbles)
    lines = joined(pieces.only(free), ground, gap=max(700.0, 1.3 * float(size.max())))
    shape_of = pieces.shape[free]
    long = np.flatnonzero((lines.length >= _LEAST_MM) & (lines.drawn >= 0.25 * lines.length))
    _, near = near_places(lines.only(long), at, _WIDE_MM / 2 + 10.0)
    long = long[np.unique(near)]
    long = long[np.argsort(-lines.length[long], kind="stable")[:_MOST]]
    chosen = np.zeros(len(lines.a), np.bool_)
    chosen[long] = True
    long = long[~hatched(lines, chosen)[long]]
    forth, left = beside(at, lines.a[long], lines.way[long])
    reach = 0.6 * size[None] + 30.0
    along = (forth >= -reach) & (forth <= lines.length[long][:, None] + reach)
    middle = along & (np.abs(left) <= 3.0 + 0.02 * size[None])
    edge = along & (np.abs(left) > 3.0) & (np.abs(left) <= _WIDE_MM / 2 + 5.0)
    found: list[Beam] = []
    ends = _Ends(walls)
    used: set[int] = set()
    for n in np.flatnonzero(middle.any(axis=1)).tolist():
        line = int(long[n])
        on = np.flatnonzero(middle[n]).tolist()
        beam = _beam(
            lines.a[line], lines.b[line], on=on, at=at, size=size, ends=ends, hint=int(hint[lines.layer[line]])
        )
        if beam is not None:
            used.add(n)
            shapes = tuple(np.unique(shape_of[lines.pieces(line)]).tolist())
            found.append(_made(beam, shapes, on, int(lines.layer[line]), "a line through {}"))
    found += _between(
        lines,
        long=long,
        left=left,
        edge=edge,
        shape_of=shape_of,
        at=at,
        size=size,
        ends=ends,
        hint=hint,
        used=used,
    )
    return _in_order(found + _rows(found, at, walls))


def _in_order(beams: list[Beam]) -> list[Beam]:
    """Return beam lines from left to right, and those that lie along from the top down."""

    def place(beam: Beam) -> tuple[bool, float, float]:
        (ax, ay), (bx, by) = beam.start, beam.end
        flat = abs(bx - ax) > abs(by - ay)
        return flat, -round((ay + by) / 2, 3) if flat else round((ax + bx) / 2, 3), ax

    return sorted(beams, key=place)


def _made(
    beam: tuple[Vector, Vector, Vector | None], shapes: tuple[int, ...], on: Sequence[int], layer: int, why: str
) -> Beam:
    start, end, attached = beam
    count = f"{len(on)} piers" if len(on) != 1 else "a pier"
    return Beam(
        start=start,
        end=end,
        shapes=shapes,
        piers=tuple(on),
        layer=layer,
        attached=attached,
        why=why.format(count) + (" from the wall" if attached else ""),
        sure=0.9 if len(on) > 1 else 0.7,
    )


def _of_grid(pieces: Pieces, bubbles: Sequence[tuple[Vector, float]]) -> Bools:
    """Return which pieces end at the edge of a bubble: those of grid lines."""
    from scipy.spatial import KDTree

    grid = np.zeros(len(pieces.shape), np.bool_)
    if not bubbles or not len(pieces.shape):
        return grid
    tree = KDTree(np.array([at for at, _ in bubbles]))
    half = np.array([size / 2 for _, size in bubbles])
    for end, other in ((pieces.a, pieces.b), (pieces.b, pieces.a)):
        far, bubble = tree.query(end)
        long = np.hypot(*(other - end).T) > 3 * half[bubble]
        grid |= long & (np.abs(far - half[bubble]) <= 0.06 * half[bubble] + 2.0)
    return grid


class _Ends:
    """Where lines meet the faces of the house."""

    def __init__(self, walls: Sequence[WallRun]) -> None:
        self._sides = [(a, b) for wall in walls for a, b in zip(wall.run, wall.run[1:], strict=False)]

    def met(self, end: Vector, other: Vector) -> Vector | None:
        """Return the place of a face that a line from ``other`` meets close by its end."""
        best: tuple[float, Vector] | None = None
        for a, b in self._sides:
            at = crossing(a, b, end, other)
            if at is None:
                continue
            way, off = (b[0] - a[0], b[1] - a[1]), (at[0] - a[0], at[1] - a[1])
            share = (off[0] * way[0] + off[1] * way[1]) / (way[0] ** 2 + way[1] ** 2)
            slack = 5.0 / np.hypot(*way)
            far = float(np.hypot(at[0] - end[0], at[1] - end[1]))
            if -slack <= share <= 1 + slack and far <= _WALL_MM and (best is None or far < best[0]):
                best = (far, at)
        return best[1] if best else None


def _beam(
    a: Floats, b: Floats, *, on: Sequence[int], at: Floats, size: Floats, ends: _Ends, hint: int
) -> tuple[Vector, Vector, Vector | None] | None:
    """Return the ends of a beam and where it meets the wall; None when a line is no beam."""
    start, end = (_to_middle(p, other, on, at, size) for p, other in ((a, b), (b, a)))
    first, last = ends.met(start, end), ends.met(end, start)
    if first is None and last is not None:
        start, end, first = end, start, last
    if first is None and _backwards(start, end):
        start, end = end, start
    if len(on) >= 2 or (hint > 0 and len(on) == 1):
        return start, end, first
    if first is None:
        return None
    # From the wall over one pier: it must end at the pier or a little beyond it.
    far = float(np.hypot(at[on[0], 0] - end[0], at[on[0], 1] - end[1]))
    return (start, end, first) if far <= max(1600.0, size[on[0]]) else None


def _backwards(start: Vector, end: Vector) -> bool:
    """Return whether a line runs to the left, or up where it is steep."""
    x, y = end[0] - start[0], end[1] - start[1]
    return x < 0 if abs(x) > abs(y) else y > 0


def _to_middle(p: Floats, other: Floats, on: Sequence[int], at: Floats, size: Floats) -> Vector:
    """Return the end of a beam: the middle of a pier where it stops at the pier's edge."""
    x, y = p.tolist()
    for pier in on:
        off = at[pier] - p
        far = float(np.hypot(*off))
        if 0.45 * size[pier] <= far <= 0.75 * size[pier] and float(off @ (p - other)) > 0:
            mx, my = at[pier].tolist()
            return mx, my
    return x, y


def _between(
    lines: Lines,
    *,
    long: Ints,
    left: Floats,
    edge: Bools,
    shape_of: Ints,
    at: Floats,
    size: Floats,
    ends: _Ends,
    hint: Ints,
    used: set[int],
) -> list[Beam]:
    """Return the beams that are drawn as two edges with the piers in the middle."""
    found: list[Beam] = []
    way = lines.way[long]
    rows = np.flatnonzero(edge.any(axis=1)).tolist()
    for k, n in enumerate(rows):
        if n in used:
            continue
        for m in rows[k + 1 :]:
            if m in used or abs(way[n, 0] * way[m, 1] - way[n, 1] * way[m, 0]) > 2e-3:
                continue
            same = float(np.sign(way[n] @ way[m]))
            shared = edge[n] & edge[m] & (np.abs(left[n] + same * left[m]) <= 1.0 + 0.004 * size)
            on = np.flatnonzero(shared).tolist()
            one, two = int(long[n]), int(long[m])
            if not on or abs(lines.length[one] - lines.length[two]) > 0.2 * lines.length[one] + 300.0:
                continue
            a2, b2 = (lines.a[two], lines.b[two]) if same > 0 else (lines.b[two], lines.a[two])
            a, b = (lines.a[one] + a2) / 2, (lines.b[one] + b2) / 2
            beam = _beam(a, b, on=on, at=at, size=size, ends=ends, hint=int(hint[lines.layer[one]]))
            if beam is None:
                continue
            used |= {n, m}
            shapes = tuple(np.unique(shape_of[np.concatenate((lines.pieces(one), lines.pieces(two)))]).tolist())
            found.append(_made(beam, shapes, on, int(lines.layer[one]), "two lines with {} in the middle"))
            break
    return found


def _rows(found: Sequence[Beam], at: Floats, walls: Sequence[WallRun]) -> list[Beam]:
    """Return rows of piers on no line that is drawn, in the one direction in which most stand in rows."""
    covered = {pier for beam in found for pier in beam.piers}
    free = np.array([i for i in range(len(at)) if i not in covered], np.intp)
    if len(free) < 3:
        return []
    best: tuple[int, list[list[int]]] = (0, [])
    for turn in _ways(at[free], walls):
        c, s = float(np.cos(turn)), float(np.sin(turn))
        beside_ = at[free] @ np.array([-s, c])
        forth = at[free] @ np.array([c, s])
        order = np.lexsort((forth, beside_))
        rows: list[list[int]] = [[]]
        for k in order.tolist():
            if rows[-1] and beside_[k] - beside_[rows[-1][-1]] > _ROW_MM:
                rows.append([])
            rows[-1].append(k)
        rows = [sorted(row, key=lambda k: float(forth[k])) for row in rows if len(row) >= 3]
        held = sum(map(len, rows))
        if held > best[0] or (held == best[0] and rows and len(rows) < len(best[1])):
            best = (held, rows)
    beams = []
    for row in best[1]:
        on = free[row].tolist()
        a, b = at[on[0]], at[on[-1]]
        (ax, ay), (bx, by) = a.tolist(), b.tolist()
        made = _made(((ax, ay), (bx, by), None), (), on, -1, "no line drawn; {} in a row")
        beams.append(Beam(**{**{f: getattr(made, f) for f in Beam.__slots__}, "sure": 0.5}))
    return beams


def _ways(at: Floats, walls: Sequence[WallRun]) -> list[float]:
    """Return the directions in which rows are looked for: along the longest wall or between piers, and across."""
    from scipy.spatial import KDTree

    ways: list[float] = []
    sides = [(a, b) for wall in walls for a, b in zip(wall.run, wall.run[1:], strict=False)]
    if sides:
        a, b = max(sides, key=lambda side: float(np.hypot(side[1][0] - side[0][0], side[1][1] - side[0][1])))
        ways.append(float(np.arctan2(b[1] - a[1], b[0] - a[0])))
    else:
        _, near = KDTree(at).query(at, k=2)
        off = at[near[:, 1]] - at
        turns = np.sort(np.mod(np.arctan2(off[:, 1], off[:, 0]), np.pi / 2))
        ways.append(float(turns[len(turns) // 2]))
    return [ways[0], ways[0] + np.pi / 2]
