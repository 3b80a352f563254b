"""Which lines of a drawing are faces of walls: by the name of their layer, or by how they lie."""

from __future__ import annotations

from typing import Final

import numpy as np

from layoutdesk.importers.recognise.ground import Bools, Floats, Ground, Ints
from layoutdesk.importers.recognise.hints import wall_hint
from layoutdesk.importers.recognise.lines import Lines, Pieces, beside, hatched, joined
from layoutdesk.importers.recognise.outlines import meeting

OPENING_MM: Final = 3200.0
"""A gap up to this width in a wall is a door or a window; from memory."""
_LEAST_MM: Final = 400.0
_THICK_MM: Final = (60.0, 480.0)
"""How far the two faces of a wall lie apart; from memory."""
_BESIDE_MM: Final = 120.0
_TOUCH_MM: Final = 12.0
_STUB_MM: Final = 160.0
"""A shorter piece is the end of something, not a face: that of a beam lies in the wall's own line."""
_MOST: Final = 450
"""The most lines that are looked at, the longest first."""
_ENOUGH_MM: Final = 2400.0


def wall_lines(
    ground: Ground, pieces: Pieces, *, taken: set[int], shut: set[int], piers: Floats
) -> tuple[Lines, Pieces, bool]:
    """Return the lines that may be faces of walls, the pieces that they count, and whether their layer says so.

    Args:
        ground: the drawing.
        pieces: its straight pieces.
        taken: shapes that are something else, such as piers and furniture.
        shut: shapes of outlines that are no house, unless their layer says so.
        piers: where the piers probably are.
    """
    hint = np.array([wall_hint(name) for name in ground.layers], np.intp)
    free = ~np.isin(pieces.shape, np.fromiter(taken, np.intp, len(taken)))
    named = pieces.only(free & (hint[ground.layer[pieces.shape]] > 0))
    lines = joined(named, ground, gap=OPENING_MM)
    if float(lines.drawn.sum()) >= _ENOUGH_MM:
        return _longest(lines, np.flatnonzero(lines.length >= 90.0)), named, True
    free &= ~np.isin(pieces.shape, np.fromiter(shut, np.intp, len(shut)))
    free &= (hint[ground.layer[pieces.shape]] >= 0) & ~ground.dashed[pieces.shape]
    some = pieces.only(free)
    lines = joined(some, ground, gap=OPENING_MM, least=_STUB_MM)
    lines = _longest(lines, np.flatnonzero((lines.length >= _LEAST_MM) & (lines.drawn >= 0.3 * lines.length)))
    if not len(lines.a):
        return lines, some, False
    met = _cornered(lines)
    kept = _paired(lines) | (met[0] & met[1])
    alone = (met[0] | met[1] | (_bearing(ground, pieces, lines, piers) >= 2)) & (lines.length >= 1000.0)
    apart = kept | alone
    if len(piers):
        apart &= ~_through(lines, piers, least=1)
    apart &= ~hatched(lines, apart)
    # A face by itself meets others at one end at most; only where nothing is more like a house is it looked at.
    strict = kept & apart
    if float(lines.length[strict].sum()) < 3 * _ENOUGH_MM:
        strict = (kept | alone) & apart
    return _longest(lines, np.flatnonzero(strict)), some, False


def _bearing(ground: Ground, pieces: Pieces, lines: Lines, piers: Floats) -> Ints:
    """Return how many lines through two piers end at each line: beams that a wall bears."""
    count = np.zeros(len(lines.a), np.intp)
    if len(piers) < 2:
        return count
    beams = joined(pieces, ground, gap=700.0, least=60.0)
    beams = _longest(beams, np.flatnonzero(beams.length >= 1000.0))
    if not len(beams.a):
        return count
    beams = _longest(beams, np.flatnonzero(_through(beams, piers)))
    for end in (beams.a, beams.b):
        forth, left = beside(end, lines.a, lines.way)
        across = np.abs(lines.way @ np.stack((-beams.way[:, 1], beams.way[:, 0]))) > 0.3
        count += (across & (np.abs(left) <= 30.0) & (forth >= -30.0) & (forth <= lines.length[:, None] + 30.0)).sum(
            axis=1
        )
    return count


def _longest(lines: Lines, which: Ints) -> Lines:
    """Return some lines, the longest where there are too many."""
    if len(which) > _MOST:
        which = np.sort(which[np.argsort(-lines.length[which], kind="stable")[:_MOST]])
    return lines.only(which)


def _paired(lines: Lines) -> Bools:
    """Return which lines have another beside them, as far as the two faces of a wall lie apart."""
    way, size = lines.way, lines.length
    parallel = np.abs(way[:, None, 0] * way[None, :, 1] - way[:, None, 1] * way[None, :, 0]) < 2e-3
    f0, l0 = beside(lines.a, lines.a, way)
    f1, _ = beside(lines.b, lines.a, way)
    shared = np.minimum(np.maximum(f0, f1), size[:, None]) - np.maximum(np.minimum(f0, f1), 0.0)
    apart = np.abs(l0)
    pair = parallel & (apart >= _THICK_MM[0]) & (apart <= _THICK_MM[1]) & (shared >= 0.4 * size[:, None])
    few = pair.sum(axis=1) <= 3  # more of them are a hatch, a stair or a floor of boards
    some: Bools = pair.any(axis=1) & few
    return some


def _cornered(lines: Lines) -> tuple[Bools, Bools]:
    """Return which lines meet another at their first and at their last end, as the walls of a house do."""
    way, size = lines.way, lines.length
    across = np.abs(way[:, None, 0] * way[None, :, 1] - way[:, None, 1] * way[None, :, 0]) > 0.3
    # The side of a jog may be short: what it meets is not.
    long = size[None, :] >= np.where(size < 1500.0, 1500.0, 600.0)[:, None]
    met = []
    for end in (lines.a, lines.b):
        forth, left = beside(end, lines.a, way)  # rows: the line that is met
        near = (np.abs(left) <= _TOUCH_MM) & (forth >= -_TOUCH_MM) & (forth <= size[:, None] + _TOUCH_MM)
        met.append(np.asarray((near.T & across & long).any(axis=1), np.bool_))
    return met[0], met[1]


def _through(lines: Lines, piers: Floats, *, least: int = 2) -> Bools:
    """Return which lines run through or close by some piers: those of beams."""
    forth, left = beside(piers, lines.a, lines.way)
    near = (np.abs(left) <= _BESIDE_MM) & (forth >= -300.0) & (forth <= lines.length[:, None] + 300.0)
    through: Bools = near.sum(axis=1) >= least
    return through


def bodies(lines: Lines) -> list[Ints]:
    """Return the lines that hang together: each a house, or a wall by itself."""
    import shapely
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    if not len(lines.a):
        return []
    drawn = shapely.linestrings(np.stack((lines.a, lines.b), axis=1))
    i, j = shapely.STRtree(drawn).query(drawn, predicate="dwithin", distance=_THICK_MM[1])
    part = connected_components(coo_array((np.ones(len(i)), (i, j)), shape=(len(drawn),) * 2), directed=False)[1]
    return [np.flatnonzero(part == n) for n in range(int(part.max()) + 1)]


def chained(lines: Lines, which: Ints) -> list[list[int]]:
    """Return lines that follow one another end to end, as runs: where more than two meet, runs end."""
    node = meeting(np.concatenate((lines.a[which], lines.b[which])), 1.0)
    count = len(which)
    ends = {n: (int(node[n]), int(node[n + count])) for n in range(count)}
    at: dict[int, list[int]] = {}
    for n, (a, b) in ends.items():
        at.setdefault(a, []).append(n)
        at.setdefault(b, []).append(n)
    left = set(range(count))
    runs: list[list[int]] = []

    def onward(n: int, node: int) -> list[int]:
        found: list[int] = []
        while True:
            others = [m for m in at[node] if m != n]
            if len(others) != 1 or others[0] not in left:
                return found
            n = others[0]
            left.discard(n)
            found.append(n)
            a, b = ends[n]
            node = b if a == node else a

    for n in range(count):
        if n in left:
            left.discard(n)
            before = onward(n, ends[n][0])
            after = onward(n, ends[n][1])
            runs.append([int(which[m]) for m in (*reversed(before), n, *after)])
    return runs
