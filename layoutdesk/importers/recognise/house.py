"""The house: its walls as runs of faces that the piers can see, corners exact."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from layoutdesk.geometry.vector import Vector, crossing
from layoutdesk.importers.recognise.ground import Bools, Floats, Ints
from layoutdesk.importers.recognise.lines import Lines, Pieces
from layoutdesk.importers.recognise.wall_lines import bodies, chained

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

_CLOSE_MM: Final = 600.0
"""Gaps up to twice this are closed to see what is house and what is yard."""
_ON_MM: Final = 5.0
_CAP_MM: Final = 450.0
"""A face shorter than this at the end of a run is the end of a wall, not a face."""
_THIN_MM: Final = 700.0
"""A body not thicker than this is a wall by itself; a house is thicker."""
_LEAST_MM: Final = 2000.0
_OTHER_MM: Final = 1200.0
"""A building farther from the piers than the nearest by more than this is another one."""
_JOG_MM: Final = 2500.0
"""A side up to this long between two that the piers see is taken along."""
_MOST_PIERS: Final = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class WallRun:
    """A run of wall faces: its corners, the shapes that draw it, what speaks for it."""

    run: tuple[Vector, ...]
    shapes: tuple[int, ...]
    layer: int
    why: str
    sure: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WallLines:
    """Faces of walls as far as one line can tell, the pieces that they count, and whether their layer says so."""

    lines: Lines
    pieces: Pieces
    named: bool

    def run(self, places: Sequence[Vector], some: Sequence[int | None], why: str) -> WallRun:
        """Return a run of faces that some of the lines draw."""
        drawn = [line for line in dict.fromkeys(some) if line is not None]
        members = [self.lines.pieces(line) for line in drawn]
        return WallRun(
            run=_bent(places),
            shapes=tuple(np.unique(self.pieces.shape[np.concatenate(members)]).tolist()),
            layer=int(self.lines.layer[drawn[0]]),
            why=f"{why}, by the name of the layer" if self.named else why,
            sure=0.9 if self.named else 0.7,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """What is known of the house: the faces towards the piers, and where indoors is."""

    runs: tuple[WallRun, ...]
    indoors: Callable[[Floats], Bools] | None


def house_of(walls: WallLines, piers: Floats, texts: Floats) -> House:
    """Return the house that wall lines make.

    Args:
        walls: faces of walls.
        piers: where the piers are, shape (n, 2).
        texts: where texts stand, shape (n, 2): a body full of them is a title block.
    """
    import shapely

    lines, named = walls.lines, walls.named
    parts = [_body(lines, which) for which in bodies(lines) if named or _sound(lines, which)]
    parts = [part for part in parts if float(lines.length[part[0]].sum()) >= (300.0 if named else _LEAST_MM)]
    parts = _near(lines, parts, piers) if named else _likely(lines, parts, piers, texts)
    if not parts:
        return House(runs=(), indoors=None)
    thick = [ring for _, ring in parts if ring is not None and _thickness(ring) > _THIN_MM]
    if len(piers) and thick:
        holds = [int(shapely.contains_xy(ring, piers).sum()) for ring in thick]
        thick = [ring for ring, held in zip(thick, holds, strict=True) if held <= 0.5 * len(piers)]
    area = shapely.union_all(thick) if thick else None
    runs: list[WallRun] = []
    for which, ring in parts:
        if ring is not None and any(ring is body for body in thick):
            runs.extend(_faces(walls, which, ring, area or ring, piers))
        elif ring is None or _thickness(ring) <= _THIN_MM:
            runs.extend(_alone(walls, which, ring, area, piers))
    return House(runs=tuple(runs), indoors=_indoors(area))


def _bent(places: Sequence[Vector]) -> tuple[Vector, ...]:
    """Return a run without the places that lie straight between their neighbours."""
    kept = list(places[:1])
    for at, after in zip(places[1:], [*places[2:], None], strict=True):
        if after is not None:
            (ax, ay), (bx, by) = kept[-1], after
            size = max(float(np.hypot(bx - ax, by - ay)), 1e-9)
            forward = (at[0] - ax) * (bx - at[0]) + (at[1] - ay) * (by - at[1]) >= 0
            if forward and abs((bx - ax) * (at[1] - ay) - (by - ay) * (at[0] - ax)) / size < 1e-3:
                continue
        kept.append(at)
    return tuple(kept)


def _indoors(area: BaseGeometry | None) -> Callable[[Floats], Bools] | None:
    """Return what tells which places lie well inside the house."""
    import shapely

    if area is None:
        return None
    core = area.buffer(-60.0)

    def indoors(places: Floats) -> Bools:
        inside: Bools = shapely.contains_xy(core, places)
        return inside

    return indoors


def _sound(lines: Lines, which: Ints) -> bool:
    return float(lines.length[which].sum()) >= _LEAST_MM


def _body(lines: Lines, which: Ints) -> tuple[Ints, BaseGeometry | None]:
    """Return lines with the largest area that they close when gaps are bridged, None when they close none."""
    import shapely

    about = np.median(lines.a[which], axis=0)
    drawn = shapely.linestrings(np.stack((lines.a[which] - about, lines.b[which] - about), axis=1))
    wide = shapely.union_all(shapely.buffer(drawn, _CLOSE_MM, cap_style="square", join_style="mitre"))
    outer = shapely.union_all([shapely.Polygon(shapely.get_exterior_ring(p)) for p in shapely.get_parts(wide)])
    back = outer.buffer(-_CLOSE_MM, join_style="mitre", mitre_limit=10.0)
    solid = [p for p in shapely.get_parts(back) if p.geom_type == "Polygon" and p.area > 1.0]
    if not solid:
        return which, None
    largest = max(solid, key=lambda p: float(p.area))
    return which, shapely.transform(shapely.Polygon(largest.exterior), lambda xy: xy + about)


def _thickness(ring: BaseGeometry) -> float:
    return float(2.0 * ring.area / max(ring.length / 2, 1.0)) if ring.length else 0.0


def _near(
    lines: Lines, parts: list[tuple[Ints, BaseGeometry | None]], piers: Floats
) -> list[tuple[Ints, BaseGeometry | None]]:
    """Return the bodies that lie about as near to the piers as the nearest: no other building."""
    import shapely

    if not len(piers) or len(parts) < 2:
        return parts
    places = shapely.multipoints(piers)
    drawn = [shapely.multilinestrings(np.stack((lines.a[w], lines.b[w]), axis=1)) for w, _ in parts]
    far = [float(shapely.distance(body, places)) for body in drawn]
    return [part for part, away in zip(parts, far, strict=True) if away <= min(far) + _OTHER_MM]


def _likely(
    lines: Lines, parts: list[tuple[Ints, BaseGeometry | None]], piers: Floats, texts: Floats
) -> list[tuple[Ints, BaseGeometry | None]]:
    """Return the body that is most likely the house where no layer says so."""
    import shapely

    best: list[tuple[float, int]] = []
    for n, (which, ring) in enumerate(parts):
        total = float(lines.length[which].sum())
        points = min(total, 80_000.0) / 10_000.0
        if ring is not None and _thickness(ring) > _THIN_MM:
            words = int(shapely.contains_xy(ring, texts).sum()) if len(texts) else 0
            points += min(float(ring.area) / 2e7, 3.0) - 4.0 * float(
                words / max(float(ring.area) / 1e6, 1.0) > 0.15
            )
            if len(piers):
                points -= 8.0 * float(shapely.contains_xy(ring, piers).mean())
        if len(piers):
            body = (
                ring
                if ring is not None
                else shapely.union_all(shapely.linestrings(np.stack((lines.a[which], lines.b[which]), axis=1)))
            )
            far = shapely.distance(body, shapely.points(piers))
            points -= float(np.median(far)) / 3000.0 + min(float(far.min()) / 1000.0, 8.0)
        best.append((points, n))
    best.sort(key=lambda entry: (-entry[0], entry[1]))
    return [parts[n] for points, n in best[:1] if points > -6.0]


def _faces(walls: WallLines, which: Ints, ring: BaseGeometry, area: BaseGeometry, piers: Floats) -> list[WallRun]:
    """Return the faces of a house that the piers can see, as runs; all round it without piers."""
    import shapely

    lines = walls.lines
    corners = shapely.get_coordinates(shapely.normalize(ring.simplify(0.5)))[:-1]
    if len(corners) < 3:
        return []
    after = np.roll(corners, -1, axis=0)
    of = [_line_on(lines, which, a, b) for a, b in zip(corners, after, strict=True)]
    exact = [_corner(lines, of[k - 1], of[k], corners[k], which) for k in range(len(corners))]
    seen = np.array([m is not None for m in of]) & _seen(corners, after, area, piers)
    size = np.hypot(*(after - corners).T)
    runs = []
    for run in _stretches(_bridged(seen, np.array([m is not None for m in of]), size)):
        while run and len(piers) and size[run[0]] < _CAP_MM:
            run.pop(0)
        while run and len(piers) and size[run[-1]] < _CAP_MM:
            run.pop()
        if not run:
            continue
        places = [exact[k] for k in run] + [exact[(run[-1] + 1) % len(corners)]]
        runs.append(walls.run(places, [of[k] for k in run], "a face of the house towards the piers"))
    return runs


def _line_on(lines: Lines, which: Ints, a: Floats, b: Floats) -> int | None:
    """Return the line that a side of the outline lies on."""
    way, size = lines.way[which], lines.length[which]
    offs, forths = [], []
    for p in (a, b):
        off = p - lines.a[which]
        offs.append(np.abs(way[:, 0] * off[:, 1] - way[:, 1] * off[:, 0]))
        forths.append(off[:, 0] * way[:, 0] + off[:, 1] * way[:, 1])
    f0, f1 = np.minimum(*forths), np.maximum(*forths)
    shared = np.minimum(f1, size) - np.maximum(f0, 0.0)
    fits = (np.maximum(*offs) <= _ON_MM) & (shared > 0.5 * (f1 - f0))
    if not fits.any():
        return None
    place = np.flatnonzero(fits)
    return int(which[place[np.argmin(np.maximum(*offs)[place] - 1e-6 * shared[place])]])


def _corner(lines: Lines, before: int | None, after: int | None, rough: Floats, which: Ints) -> Vector:
    """Return a corner exactly: where its two lines cross, or where one of them ends, as it is drawn."""
    x, y = rough.tolist()
    ends = np.concatenate((lines.a[which], lines.b[which]))
    at = None
    if before is not None and after is not None:
        at = crossing(*_ends(lines, before), *_ends(lines, after))
    if at is None or abs(at[0] - x) + abs(at[1] - y) > 4 * _ON_MM:
        at = (x, y)
    far = np.hypot(*(ends - at).T)
    nearest = int(np.argmin(far))
    if far[nearest] <= 1.0 if before is not None and after is not None else far[nearest] <= 2 * _ON_MM:
        x, y = ends[nearest].tolist()
        return x, y
    return at


def _ends(lines: Lines, line: int) -> tuple[Vector, Vector]:
    (a, b), (c, d) = lines.a[line].tolist(), lines.b[line].tolist()
    return (a, b), (c, d)


def few_of(piers: Floats) -> Floats:
    """Return some of the piers: the outermost ones in eight directions, and some between."""
    if len(piers) <= _MOST_PIERS:
        return piers
    turns = np.arange(8) * np.pi / 4
    outer = np.argmax(piers @ np.stack((np.cos(turns), np.sin(turns))), axis=0)
    between = np.linspace(0, len(piers) - 1, _MOST_PIERS // 2).astype(np.intp)
    few: Floats = piers[np.unique(np.concatenate((outer, between)))]
    return few


def _seen(a: Floats, b: Floats, area: BaseGeometry, piers: Floats) -> Bools:
    """Return which sides of an outline (walked clockwise) a pier sees from outside."""
    import shapely

    if not len(piers):
        return np.ones(len(a), np.bool_)
    some = few_of(piers)
    way = (b - a) / np.maximum(np.hypot(*(b - a).T), 1e-9)[:, None]
    out = np.stack((-way[:, 1], way[:, 0]), axis=1)
    if float(np.sum(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])) > 0:
        out = -out
    shapely.prepare(area)
    seen = np.zeros(len(a), np.bool_)
    for share in (0.5, 0.1, 0.9):
        spot = a + (b - a) * share + out * 20.0
        side, pier = np.nonzero(((some[None] - spot[:, None]) * out[:, None]).sum(axis=2) > 100.0)
        fresh = ~seen[side]
        side, pier = side[fresh], pier[fresh]
        if len(side):
            sight = shapely.linestrings(np.stack((spot[side], some[pier]), axis=1))
            seen[side[~shapely.intersects(area, sight)]] = True
    return seen


def _bridged(seen: Bools, drawn: Bools, size: Floats) -> list[bool]:
    """Return the sides that are seen, with the short ones between two of them: the sides of a jog."""
    before, after = np.roll(seen, 1), np.roll(seen, -1)
    found: list[bool] = (seen | (before & after & drawn & (size <= _JOG_MM))).tolist()
    return found


def _stretches(seen: Sequence[bool]) -> list[list[int]]:
    """Return the runs of True round a ring, by index."""
    count = len(seen)
    if all(seen):
        return [list(range(count))]
    start = seen.index(False)
    runs: list[list[int]] = []
    open_run = False
    for k in ((start + n) % count for n in range(count)):
        if seen[k]:
            if not open_run:
                runs.append([])
            runs[-1].append(k)
        open_run = seen[k]
    return runs


def _alone(
    walls: WallLines, which: Ints, ring: BaseGeometry | None, area: BaseGeometry | None, piers: Floats
) -> list[WallRun]:
    """Return walls that close no house: of two faces the one towards the piers, else the run as it is drawn."""
    import shapely

    lines = walls.lines
    if area is not None and bool(area.buffer(_ON_MM).covers(shapely.MultiPoint(lines.a[which]))):
        return []
    if ring is not None and _thickness(ring) > 40.0:
        return _faces(walls, which, ring, ring if area is None else area, piers)
    runs = []
    for chain in chained(lines, which):
        places = _in_order(lines, chain)
        if sum(float(lines.length[k]) for k in chain) >= (300.0 if walls.named else _LEAST_MM):
            runs.append(walls.run(places, chain, "a long line by itself"))
    return runs


def _in_order(lines: Lines, chain: Sequence[int]) -> list[Vector]:
    """Return the corners of lines that follow one another."""
    first = _ends(lines, chain[0])
    if len(chain) == 1:
        return list(first)
    second = _ends(lines, chain[1])
    near = [min(abs(p[0] - q[0]) + abs(p[1] - q[1]) for q in second) for p in first]
    places = [first[0], first[1]] if near[1] <= near[0] else [first[1], first[0]]
    for line in chain[1:]:
        a, b = _ends(lines, line)
        last = places[-1]
        a_near = abs(a[0] - last[0]) + abs(a[1] - last[1]) <= abs(b[0] - last[0]) + abs(b[1] - last[1])
        places.append(b if a_near else a)
    return places
