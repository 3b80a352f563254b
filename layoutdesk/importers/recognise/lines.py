"""Straight lines, joined where they are drawn in pieces."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from layoutdesk.importers.recognise.ground import Bools, Floats, Ground, Ints

_SAME_WAY: Final = 2e-4
"""Pieces whose directions differ by more, in radians, are not on one line."""
_HATCH_MM: Final = 1800.0
_ALIKE_MM: Final = 60.0
_SAME_LINE_MM: Final = 2.0
"""Pieces that lie farther beside one another are not on one line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pieces:
    """Straight pieces of shapes: their ends, and the shape of each."""

    a: Floats
    b: Floats
    shape: Ints

    def only(self, which: Bools) -> Pieces:
        """Return some of them."""
        return Pieces(a=self.a[which], b=self.b[which], shape=self.shape[which])


@dataclass(frozen=True, slots=True, kw_only=True)
class Lines:
    """Long straight lines: their ends, which are ends of pieces, how long, how much of it is drawn, on which layer.

    The pieces of line i are ``members[first[i] : first[i + 1]]``, which count in the pieces they were made of.
    """

    a: Floats
    b: Floats
    drawn: Floats
    dashed: Bools
    layer: Ints
    members: Ints
    first: Ints

    @property
    def length(self) -> Floats:
        """Return how long each is, in mm."""
        size: Floats = np.hypot(*(self.b - self.a).T)
        return size

    @property
    def way(self) -> Floats:
        """Return the direction of each, one millimetre long."""
        with np.errstate(all="ignore"):
            way: Floats = (self.b - self.a) / self.length[:, None]
        return way

    def only(self, which: Ints) -> Lines:
        """Return some of them."""
        members = [self.pieces(i) for i in which.tolist()]
        return Lines(
            a=self.a[which],
            b=self.b[which],
            drawn=self.drawn[which],
            dashed=self.dashed[which],
            layer=self.layer[which],
            members=np.concatenate(members) if members else np.empty(0, np.intp),
            first=np.concatenate(([0], np.cumsum([len(m) for m in members]))).astype(np.intp),
        )

    def pieces(self, line: int) -> Ints:
        """Return the pieces of a line."""
        some: Ints = self.members[self.first[line] : self.first[line + 1]]
        return some


def pieces_of(ground: Ground) -> Pieces:
    """Return the straight pieces of all shapes that may be proposed; those of arcs are none."""
    sizes = np.diff(ground.first)
    wanted = ground.live & ~ground.arc & (sizes >= 2)
    count = len(ground.points)
    if count < 2 or not wanted.any():
        return Pieces(a=np.empty((0, 2)), b=np.empty((0, 2)), shape=np.empty(0, np.intp))
    owner = np.repeat(np.arange(len(sizes)), sizes)
    inner = np.flatnonzero((owner[:-1] == owner[1:]) & wanted[owner[:-1]])
    back = np.flatnonzero(ground.closed & wanted)
    a = np.concatenate((ground.points[inner], ground.points[ground.first[back + 1] - 1]))
    b = np.concatenate((ground.points[inner + 1], ground.points[ground.first[back]]))
    return Pieces(a=a, b=b, shape=np.concatenate((owner[inner], back)))


def joined(pieces: Pieces, ground: Ground, *, gap: float, least: float = 20.0) -> Lines:
    """Return the lines that pieces make, bridging gaps up to ``gap``; pieces shorter than ``least`` make none.

    Only pieces on one layer make a line, and only dashed ones or only others.
    """
    size = np.hypot(*(pieces.b - pieces.a).T)
    used = np.flatnonzero(size >= least)
    if not len(used):
        none = np.empty((0, 2))
        whole = np.empty(0, np.intp)
        return Lines(
            a=none,
            b=none,
            drawn=np.empty(0),
            dashed=np.empty(0, np.bool_),
            layer=whole,
            members=whole,
            first=np.zeros(1, np.intp),
        )
    a, b, size = pieces.a[used], pieces.b[used], size[used]
    layer = ground.layer[pieces.shape[used]]
    dashed = ground.dashed[pieces.shape[used]]
    about = np.median(a, axis=0)
    way = (b - a) / size[:, None]
    angle = np.mod(np.arctan2(way[:, 1], way[:, 0]) + 1e-3, np.pi)
    kind = _runs(angle, 2 * layer + dashed, _SAME_WAY)
    total = np.bincount(kind, size)
    mean = np.bincount(kind, angle * size)[kind] / total[kind] - 1e-3
    u = np.stack((np.cos(mean), np.sin(mean)), axis=1)
    middle = (a + b) / 2 - about
    beside = u[:, 0] * middle[:, 1] - u[:, 1] * middle[:, 0]
    kind = _runs(beside, kind, _SAME_LINE_MM)
    t0, t1 = np.einsum("ij,ij->i", a - about, u), np.einsum("ij,ij->i", b - about, u)
    turned = t0 > t1
    low, high = np.where(turned, t1, t0), np.where(turned, t0, t1)
    order = np.lexsort((low, kind))
    low_o, high_o, kind_o = low[order], high[order], kind[order]
    lift = kind_o * (4.0 * max(1.0, float(np.abs((low, high)).max()) + gap))
    reach = np.maximum.accumulate(high_o + lift)
    begins = np.ones(len(order), np.bool_)
    begins[1:] = (kind_o[1:] != kind_o[:-1]) | (low_o[1:] + lift[1:] > reach[:-1] + gap)
    first = np.append(np.flatnonzero(begins), len(order))
    of = np.cumsum(begins) - 1
    # The piece that reaches farthest in each line: the last of its pieces by where they end.
    last = np.lexsort((high_o, of))[first[1:] - 1]
    start_piece, end_piece = order[first[:-1]], order[last]
    reach_before = np.concatenate(([-np.inf], reach[:-1])) - lift
    fresh = high_o - np.where(begins, low_o, np.clip(reach_before, low_o, None))
    return Lines(
        a=np.where(turned[start_piece, None], b[start_piece], a[start_piece]),
        b=np.where(turned[end_piece, None], a[end_piece], b[end_piece]),
        drawn=np.bincount(of, np.maximum(fresh, 0.0)).astype(np.float64),
        dashed=dashed[order][first[:-1]],
        layer=layer[order][first[:-1]],
        members=used[order],
        first=first.astype(np.intp),
    )


def _runs(values: Floats, kind: Ints, apart: float) -> Ints:
    """Return finer kinds: values of a kind stay together while the next is not more than ``apart`` off."""
    order = np.lexsort((values, kind))
    begins = np.ones(len(order), np.bool_)
    begins[1:] = (np.diff(kind[order]) != 0) | (np.diff(values[order]) > apart)
    finer = np.empty(len(order), np.intp)
    finer[order] = np.cumsum(begins) - 1
    return finer


def beside(places: Floats, a: Floats, way: Floats) -> tuple[Floats, Floats]:
    """Return how far along and how far to the left of each line each place lies: two tables, lines by places."""
    off = places[None, :, :] - a[:, None, :]
    forth = off[..., 0] * way[:, None, 0] + off[..., 1] * way[:, None, 1]
    left = way[:, None, 0] * off[..., 1] - way[:, None, 1] * off[..., 0]
    return forth, left


def hatched(lines: Lines, which: Bools) -> Bools:
    """Return which of some lines are of a stair, boards or joists: four more beside as long, evenly spaced."""
    some = np.flatnonzero(which)
    found = np.zeros(len(lines.a), np.bool_)
    if len(lines.a) < 5 or not len(some):
        return found
    way, size = lines.way[some], lines.length[some][:, None]
    parallel = np.abs(way[:, None, 0] * lines.way[None, :, 1] - way[:, None, 1] * lines.way[None, :, 0]) < 2e-3
    f0, left = beside(lines.a, lines.a[some], way)
    f1, _ = beside(lines.b, lines.a[some], way)
    alike = (np.abs(np.minimum(f0, f1)) <= _ALIKE_MM) & (np.abs(np.maximum(f0, f1) - size) <= _ALIKE_MM)
    near = parallel & alike & (np.abs(left) > 3.0) & (np.abs(left) <= _HATCH_MM)
    near &= lines.layer[some][:, None] == lines.layer[None]
    ends: list[tuple[int, int]] = []
    for row in np.flatnonzero(near.sum(axis=1) >= 4).tolist():
        beside_it = np.flatnonzero(near[row])
        offsets, at = np.unique(np.round(np.append(left[row][beside_it], 0.0), 1), return_index=True)
        gaps = np.diff(offsets)
        usual = float(np.median(gaps))
        even = np.abs(gaps - usual) < 0.05 * usual + 1.0
        own = int(np.searchsorted(offsets, 0.0))
        mine = range(max(own - 1, 0), min(own + 1, len(gaps)))
        found[some[row]] = even.sum() >= 4 and all(even[k] for k in mine)
        if even.sum() >= 3:  # perhaps the last of a row
            nexts = [k + 1 if k == own else k for k in mine if even[k]]
            ends += [(int(some[row]), int(beside_it[at[k]])) for k in nexts if at[k] < len(beside_it)]
    inner = found.copy()
    for line, other in ends:
        found[line] |= inner[other]
    return found


def near_places(lines: Lines, places: Floats, within: Floats | float) -> tuple[Ints, Ints]:
    """Return which lines pass which places within a distance: pairs of place and line."""
    import shapely

    if not len(lines.a) or not len(places):
        return np.empty(0, np.intp), np.empty(0, np.intp)
    tree = shapely.STRtree(shapely.linestrings(np.stack((lines.a, lines.b), axis=1)))
    place, line = tree.query(shapely.points(places), predicate="dwithin", distance=within)
    return place, line
