"""Closed outlines: circles, squares, rectangles and others, however they are drawn."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from layoutdesk.importers.recognise.ground import Bools, Floats, Ground, Ints

OutlineKind = Literal["round", "square", "rectangle", "polygon"]

_JOIN_MM: Final = 0.5
"""Ends nearer than this are drawn as one corner."""
_SMALL_MM: Final = 2200.0
"""Pieces up to this length are joined among themselves first, so that a long line at a corner is no bar."""
_ROUND: Final = 0.012
"""How far corners may lie off the circle, as a share of its radius."""
_EQUAL: Final = 0.02
"""How much sides of a square may differ, as a share."""
_MOST_PIECES: Final = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """A closed outline: its middle, its size (diameter, longer side) and width, its corners, its shapes."""

    kind: OutlineKind
    centre: tuple[float, float]
    size: float
    width: float
    corners: Floats
    shapes: tuple[int, ...]


def outlines_of(ground: Ground) -> list[Outline]:
    """Return every closed outline of a drawing."""
    circles = np.flatnonzero(ground.circle & ground.live & (ground.radius > 0))
    found = [
        Outline(kind="round", centre=(x, y), size=d, width=d, corners=np.empty((0, 2)), shapes=(i,))
        for i, (x, y), d in zip(
            circles.tolist(),
            ground.centre[circles].tolist(),
            (2 * ground.radius[circles]).tolist(),
            strict=True,
        )
    ]
    rings, free = _closed(ground)
    rings += _joined(ground, free)
    found.extend(_sorted_out(rings))
    return found


def _closed(ground: Ground) -> tuple[list[tuple[Floats, tuple[int, ...]]], Bools]:
    """Return the rings that are one shape, and which shapes are open runs."""
    sizes = np.diff(ground.first)
    some = ground.live & (sizes >= 2)
    begin = ground.points[np.minimum(ground.first[:-1], max(len(ground.points) - 1, 0))] if some.any() else None
    if begin is None:
        return [], some
    end = ground.points[np.maximum(ground.first[1:] - 1, 0)]
    back = some & (sizes >= 4) & (np.abs(begin - end).max(axis=1) <= _JOIN_MM)
    ring = (some & ground.closed) | back
    drop = np.where(back, 1, 0)
    return [
        (ground.points[ground.first[i] : ground.first[i + 1] - drop[i]], (i,))
        for i in np.flatnonzero(ring).tolist()
    ], (some & ~ring)


def _joined(ground: Ground, free: Bools) -> list[tuple[Floats, tuple[int, ...]]]:
    """Return the rings of open runs joined end to end: short ones among themselves first."""
    reach = np.hypot(*(ground.high - ground.low).T)
    rings: list[tuple[Floats, tuple[int, ...]]] = []
    for most in (_SMALL_MM, np.inf):
        with np.errstate(invalid="ignore"):
            pieces = np.flatnonzero(free & (reach <= most) & (reach > _JOIN_MM))
        for corners, shapes in _cycles(ground, pieces):
            rings.append((corners, shapes))
            free[list(shapes)] = False
    return rings


def _cycles(ground: Ground, pieces: Ints) -> Iterator[tuple[Floats, tuple[int, ...]]]:
    """Yield the rings among open runs: parts of the net of ends in which every end meets one other."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    if len(pieces) < 2:
        return
    begin, end = ground.points[ground.first[pieces]], ground.points[ground.first[pieces + 1] - 1]
    node = meeting(np.concatenate((begin, end)), _JOIN_MM)
    count = int(node.max()) + 1
    a, b = node[: len(pieces)], node[len(pieces) :]
    degree = np.bincount(node, minlength=count)
    _, part = connected_components(coo_array((np.ones(len(a)), (a, b)), shape=(count, count)), directed=False)
    of = part[a]
    edges, nodes = np.bincount(of), np.bincount(part)
    least, most = np.full(len(nodes), 99), np.zeros(len(nodes), np.intp)
    np.minimum.at(least, part, degree)
    np.maximum.at(most, part, degree)
    edges = np.pad(edges, (0, len(nodes) - len(edges)))
    clean = (least == 2) & (most == 2) & (edges >= 2) & (edges <= _MOST_PIECES)
    crossed = (nodes == 4) & (edges == 6) & (least == 3) & (most == 3)  # a square with its diagonals
    wanted = np.flatnonzero((clean | crossed)[of])
    order = wanted[np.argsort(of[wanted], kind="stable")]
    if not len(order):
        return
    for group in np.split(order, np.flatnonzero(np.diff(of[order])) + 1):
        sides, extra = group, group[:0]
        if crossed[of[group[0]]]:
            by_length = group[np.argsort(np.hypot(*(end[group] - begin[group]).T), kind="stable")]
            sides, extra = by_length[:4], by_length[4:]
        ring = _walk(ground, pieces[sides].tolist(), a[sides].tolist(), b[sides].tolist())
        if ring is not None and len(ring) >= 3:
            yield ring, tuple(sorted(pieces[np.concatenate((sides, extra))].tolist()))


def meeting(places: Floats, within: float) -> Ints:
    """Return a number for each place, the same for places that lie within a distance of one another."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components
    from scipy.spatial import KDTree

    _, first, at = np.unique(places, axis=0, return_index=True, return_inverse=True)
    at = at.reshape(-1)
    pairs = KDTree(places[first]).query_pairs(within, output_type="ndarray")
    net = coo_array((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(len(first), len(first)))
    numbers: Ints = connected_components(net, directed=False)[1].astype(np.intp)[at]
    return numbers


def _walk(ground: Ground, shapes: list[int], a: list[int], b: list[int]) -> Floats | None:
    """Return the corners of a ring of runs, walked from end to end; None when it falls apart."""
    left = dict(zip(shapes, zip(a, b, strict=True), strict=True))
    first = shapes[0]
    start, at = left.pop(first)
    parts = [ground.of(first)[:-1]]
    while left:
        shape = next((s for s, ends in left.items() if at in ends), None)
        if shape is None:
            return None
        ends = left.pop(shape)
        run = ground.of(shape)
        forward = ends[0] == at
        parts.append((run if forward else run[::-1])[:-1])
        at = ends[1] if forward else ends[0]
    return np.concatenate(parts) if at == start else None


def _sorted_out(rings: Sequence[tuple[Floats, tuple[int, ...]]]) -> Iterator[Outline]:
    """Yield what kind of outline each ring is, rings of as many corners together."""
    by_corners: dict[int, list[int]] = {}
    plain = [
        (without_straight(corners) if 4 < len(corners) <= 12 else corners, shapes) for corners, shapes in rings
    ]
    for i, (corners, _) in enumerate(plain):
        if len(corners) >= 3:
            by_corners.setdefault(len(corners), []).append(i)
    for count, members in sorted(by_corners.items()):
        corners = np.stack([plain[i][0] for i in members])
        shapes = [plain[i][1] for i in members]
        if count == 4:
            yield from _four(corners, shapes)
        elif count >= 8:
            yield from _round(corners, shapes)
        else:
            yield from map(_polygon, corners, shapes)


def _four(corners: Floats, shapes: Sequence[tuple[int, ...]]) -> Iterator[Outline]:
    """Yield squares, rectangles and others of four corners."""
    sides = np.hypot(*np.moveaxis(np.roll(corners, -1, axis=1) - corners, 2, 0))
    crossed = np.hypot(*np.moveaxis(corners[:, 2:] - corners[:, :2], 2, 0))
    centre = corners.mean(axis=1)
    askew = np.hypot(*(corners[:, 0] + corners[:, 2] - corners[:, 1] - corners[:, 3]).T)
    size, width = np.maximum(sides[:, 0], sides[:, 1]), np.minimum(sides[:, 0], sides[:, 1])
    right = (askew <= 0.01 * size) & (np.abs(crossed[:, 0] - crossed[:, 1]) <= 0.01 * size) & (width > 0)
    square = size - width <= _EQUAL * size
    mean = sides.mean(axis=1)
    for i, ring in enumerate(corners):
        if not right[i]:
            yield _polygon(ring, shapes[i])
            continue
        x, y = centre[i].tolist()
        yield Outline(
            kind="square" if square[i] else "rectangle",
            centre=(x, y),
            size=float(mean[i] if square[i] else size[i]),
            width=float(mean[i] if square[i] else width[i]),
            corners=ring,
            shapes=shapes[i],
        )


def _round(corners: Floats, shapes: Sequence[tuple[int, ...]]) -> Iterator[Outline]:
    """Yield circles, by least squares through the corners, and others of many corners."""
    about = corners.mean(axis=1, keepdims=True)
    x, y = np.moveaxis(corners - about, 2, 0)
    # Least squares of x² + y² = 2ax + 2by + c: exact where the corners lie on a circle.
    rows = np.stack((2 * x, 2 * y, np.ones_like(x)), axis=2)
    z = x * x + y * y
    span = np.sqrt(z.max(axis=1))
    span[span <= 0] = 1.0
    rows[:, :, :2] /= span[:, None, None]
    normal = np.swapaxes(rows, 1, 2) @ rows
    sound = np.linalg.det(normal) > 1e-9
    normal[~sound] = np.eye(3)
    a, b, c = np.linalg.solve(normal, np.einsum("ijk,ij->ik", rows, z)[:, :, None])[:, :, 0].T
    a, b = a / span, b / span
    radius = np.sqrt(np.maximum(c + a * a + b * b, 0.0))
    off = np.abs(np.hypot(x - a[:, None], y - b[:, None]) - radius[:, None]).max(axis=1)
    turn = np.unwrap(np.arctan2(y - b[:, None], x - a[:, None]), axis=1)
    step = np.abs(np.diff(turn, axis=1)).max(axis=1)
    round_ = (
        sound & (off <= _ROUND * radius) & (radius > 0) & (step < 1.0)
    )  # corners all round, none far from the next
    for i, ring in enumerate(corners):
        if not round_[i]:
            yield _polygon(ring, shapes[i])
            continue
        d = float(2 * radius[i])
        at = (float(about[i, 0, 0] + a[i]), float(about[i, 0, 1] + b[i]))
        yield Outline(kind="round", centre=at, size=d, width=d, corners=ring, shapes=shapes[i])


def _polygon(ring: Floats, shapes: tuple[int, ...]) -> Outline:
    low, high = ring.min(axis=0), ring.max(axis=0)
    x, y = ((low + high) / 2).tolist()
    wide, deep = (high - low).tolist()
    return Outline(
        kind="polygon", centre=(x, y), size=max(wide, deep), width=min(wide, deep), corners=ring, shapes=shapes
    )


def without_straight(ring: Floats) -> Floats:
    """Return the corners of a ring without those that lie on the way from the one before to the one after."""
    before, after = np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0)
    u, v = ring - before, after - ring
    turn = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
    bent: Bools = np.abs(turn) > 1e-3 * np.hypot(*u.T) * np.hypot(*v.T)
    kept: Floats = ring[bent]
    return kept


def inside(ring: Floats, places: Floats) -> Bools:
    """Return which places lie inside a ring: those whose ray to the right crosses it an odd number of times."""
    x, y = places[:, 0][:, None], places[:, 1][:, None]
    a, b = ring, np.roll(ring, -1, axis=0)
    with np.errstate(all="ignore"):
        over = (a[:, 1] > y) != (b[:, 1] > y)
        cut = a[:, 0] + (y - a[:, 1]) * (b[:, 0] - a[:, 0]) / (b[:, 1] - a[:, 1])
    odd: Bools = ((over & (x < cut)).sum(axis=1) % 2).astype(np.bool_)
    return odd


def ring_area(ring: Floats) -> float:
    """Return the signed area of a ring, positive when it is walked anticlockwise."""
    p = ring - ring[0]
    q = np.roll(p, -1, axis=0)
    return float((p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]).sum() / 2)


def all_shapes(outlines: Iterable[Outline]) -> set[int]:
    """Return the shapes of some outlines."""
    return {shape for outline in outlines for shape in outline.shapes}
