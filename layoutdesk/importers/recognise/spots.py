"""Spots: small things with a middle that might be piers, each found once, and their groups."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from layoutdesk.importers.linework import BlockUse, Linework
from layoutdesk.importers.recognise.ground import Floats, Ground
from layoutdesk.importers.recognise.hints import is_opening
from layoutdesk.importers.recognise.outlines import Outline

LEAST_MM: Final = 60.0
MOST_MM: Final = 2200.0
"""What is smaller or larger than this is no footing on the ground, and no column."""
_SAME_MIDDLE: Final = 0.03
"""How far middles may lie apart to be one, as a share of the larger size."""
_HOLDS_MM: Final = 1300.0
_ALIKE: Final = 0.03


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Spot:
    """A small thing: where its middle is, how large, what it is drawn with, by which block.

    ``corners`` are those of its outline, none of a circle. ``within`` counts the things that it is made of.
    """

    at: tuple[float, float]
    size: float
    width: float
    kind: str
    layer: str
    block: str
    shapes: tuple[int, ...]
    use: int
    within: int = 1
    corners: Floats | None = None

    @property
    def key(self) -> str:
        """Return the group it belongs to, sizes not yet told apart."""
        return f"{self.kind}|{self.block}|{self.layer}"


def spots_of(linework: Linework, ground: Ground, outlines: Sequence[Outline]) -> list[Spot]:
    """Return the small things of a drawing: outlines, and blocks as large as a symbol."""
    shapes_by_use: dict[int, list[int]] = {}
    for i in np.flatnonzero((ground.use >= 0) & ground.live).tolist():
        shapes_by_use.setdefault(int(ground.use[i]), []).append(i)
    small = {u: shapes for u, shapes in shapes_by_use.items() if _symbol_like(ground, shapes)}
    by_use: dict[int, list[Outline]] = {}
    spots: list[Spot] = []
    openings = [is_opening(name) for name in ground.layers]
    for outline in outlines:
        if (
            outline.kind == "polygon"
            or openings[ground.layer[outline.shapes[0]]]
            or not LEAST_MM <= outline.size <= MOST_MM
            or outline.width < 0.45 * outline.size
        ):
            continue
        use = int(ground.use[outline.shapes[0]])
        if use in small:
            by_use.setdefault(use, []).append(outline)
        else:
            spots.append(_plain(ground, outline))
    for use, shapes in small.items():
        spots.append(_symbol(linework, ground, use, shapes, by_use.get(use, [])))
    return _once(spots)


def _symbol_like(ground: Ground, shapes: Sequence[int]) -> bool:
    low, high = ground.low[shapes].min(axis=0), ground.high[shapes].max(axis=0)
    return float((high - low).max()) <= MOST_MM


def _plain(ground: Ground, outline: Outline) -> Spot:
    return Spot(
        at=outline.centre,
        size=outline.size,
        width=outline.width,
        kind=outline.kind,
        layer=ground.layers[ground.layer[outline.shapes[0]]],
        block="",
        shapes=outline.shapes,
        use=-1,
        corners=outline.corners,
    )


def _symbol(linework: Linework, ground: Ground, use: int, shapes: Sequence[int], rings: Sequence[Outline]) -> Spot:
    """Return the spot that a block is: its largest ring with rings about the same middle, or its base point."""
    block = linework.uses[use] if use < len(linework.uses) else BlockUse(name="", layer="", at=(0.0, 0.0))
    base = ground.place(block.at)
    low, high = ground.low[list(shapes)].min(axis=0), ground.high[list(shapes)].max(axis=0)
    rings = sorted(rings, key=lambda ring: (-ring.size, ring.shapes))
    if not rings:
        middle = ((low + high) / 2).tolist()
        return Spot(
            at=base
            if max(abs(base[0] - middle[0]), abs(base[1] - middle[1])) <= MOST_MM
            else (middle[0], middle[1]),
            size=0.0,
            width=float((high - low).max()),
            kind="symbol",
            layer=ground.layers[ground.layer[shapes[0]]],
            block=block.name,
            shapes=tuple(shapes),
            use=use,
        )
    main = rings[0]
    apart = sum(_apart(ring.centre, main.centre) > _SAME_MIDDLE * main.size for ring in rings)
    # What the block draws beside its ring, a stool at a table, makes it less of a footing.
    beyond = float((high - low).max()) > 1.9 * main.size
    return Spot(
        at=main.centre,
        size=main.size,
        width=main.width,
        kind=main.kind,
        layer=ground.layers[ground.layer[main.shapes[0]]],
        block=block.name,
        shapes=tuple(shapes),
        use=use,
        within=1 + apart + int(beyond),
        corners=main.corners,
    )


def _apart(a: tuple[float, float], b: tuple[float, float]) -> float:
    return float(np.hypot(a[0] - b[0], a[1] - b[1]))


def _once(spots: list[Spot]) -> list[Spot]:
    """Return the spots with those that lie in a larger one given to it: the column on its pier, the inner ring."""
    from scipy.spatial import KDTree

    spots.sort(key=lambda s: (-s.size, s.shapes))
    if len(spots) < 2:
        return spots
    at = np.array([s.at for s in spots])
    size = np.array([s.size for s in spots])
    tree = KDTree(at)
    taken: dict[int, int] = {}
    extra: dict[int, list[int]] = {}
    near = tree.query_ball_point(at, np.maximum(size / 2, 1.0), return_sorted=True)
    for i in np.flatnonzero(np.fromiter(map(len, near), np.intp, len(near)) > 1).tolist():
        if i in taken:
            continue
        spot, half = spots[i], spots[i].size / 2
        for j in near[i]:
            if j <= i or j in taken:
                continue
            apart = _apart(spot.at, spots[j].at)
            centred = apart <= max(1.0, _SAME_MIDDLE * spot.size)
            # A large square may be paving that a footing lies in: only what is small holds things off its middle.
            if centred or (spot.size <= _HOLDS_MM and apart + size[j] / 2 <= half * 1.02):
                taken[j] = i
                extra.setdefault(i, []).append(j)
    kept: list[Spot] = []
    for i, one in enumerate(spots):
        if i in taken:
            continue
        spot = one
        inner = [spots[j] for j in extra.get(i, [])]
        if inner:
            off = sum(_apart(spot.at, s.at) > max(5.0, 0.1 * spot.size) and s.size > 0 for s in inner)
            spot = replace(
                spot,
                shapes=tuple(sorted({*spot.shapes, *(shape for s in inner for shape in s.shapes)})),
                within=spot.within + off,
                block=spot.block or next((s.block for s in inner if s.block and s.kind != "symbol"), ""),
                use=spot.use if spot.use >= 0 else next((s.use for s in inner if s.use >= 0), -1),
            )
        kept.append(spot)
    return kept


def grouped(spots: Sequence[Spot]) -> list[list[int]]:
    """Return the spots that look alike, by index: of one kind, block and layer, and one size."""
    by_key: dict[str, list[int]] = {}
    for i, spot in enumerate(spots):
        by_key.setdefault(spot.key, []).append(i)
    groups: list[list[int]] = []
    for members in by_key.values():
        members.sort(key=lambda i: (spots[i].size, i))
        begin = 0
        for n in range(1, len(members) + 1):
            if n == len(members) or spots[members[n]].size > spots[members[begin]].size * (1 + _ALIKE):
                groups.append(sorted(members[begin:n]))
                begin = n
    return groups
