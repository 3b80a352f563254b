"""What is written on a plan drawing besides its dimensions, and where each name would like to stand."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from layoutdesk.geometry.vector import Vector, along, distance, dot, left, minus, plus, times, turned, unit
from layoutdesk.plan.model import BeamLine, Slab
from layoutdesk.sheets.drawing_labels import Wish
from layoutdesk.sheets.drawing_marks import SMALL_TEXT_MM, TEXT_MM
from layoutdesk.sheets.drawing_symbols import ATTACHMENT_MM, CONTROL_MM, PierSymbol
from layoutdesk.sheets.marks import Anchor
from layoutdesk.units import format_length

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Layout

MANY_PIERS: Final = 300
"""With more piers than this their names are written small, at the nearest places only."""

_NEAR_MM: Final = 0.8
"""From a symbol to its name, on paper."""
_OTHER_MM: Final = 2.0
"""Height of the names of slabs, keep-outs and the baseline, on paper."""
_RUNGS_MM: Final = (0.0, 2.0, 4.0, 6.0)
"""How much farther up or down than need be the name of a pier may stand, on paper."""

Places = tuple[tuple[Vector, Anchor], ...]


@dataclass(frozen=True, slots=True)
class Page:
    """How the plan lies on the page: mm of ground to one of paper, its turn, and its right and up in the plan."""

    ratio: float
    turn: float
    right: Vector
    up: Vector

    @classmethod
    def turned(cls, ratio: float, turn: float) -> Page:
        """Return the page whose right is the direction ``turn`` of the plan, in degrees."""
        return cls(ratio, turn, turned((1.0, 0.0), turn), turned((0.0, 1.0), turn))

    def beside(self, at: Vector, right: float, up: float) -> Vector:
        """Return the place so far to the right of ``at`` and up on the page, in plan millimetres."""
        (rx, ry), (ux, uy) = self.right, self.up
        return at[0] + rx * right + ux * up, at[1] + ry * right + uy * up


def point_names(
    layout: Layout, piers: dict[str | None, PierSymbol], page: Page, *, small: bool
) -> tuple[Wish, ...]:
    """Return the names of control points, attachments and piers, in the order of the Layout's points.

    Args:
        layout: what follows from the plan.
        piers: the symbol of each detail.
        page: how the plan lies on the page.
        small: whether to write them small, because they are many.
    """
    plan = layout.plan
    height = (SMALL_TEXT_MM if small else TEXT_MM) * page.ratio
    high, half = CONTROL_MM * page.ratio, ATTACHMENT_MM * page.ratio
    names = [Wish(c.id, height, _over(page, c.at, height, (0.58 * high, high / 2, high))) for c in plan.controls]
    names += [Wish(a.id, height, _over(page, a.at, height, (half, half, half))) for a in plan.attachments]
    rungs = _RUNGS_MM if len(plan.piers) <= MANY_PIERS else _RUNGS_MM[:1]
    for pier in plan.piers:
        names.append(
            Wish(
                pier.label,
                height,
                round_places(page, pier.at, height, piers[pier.detail].radius, rungs),
                strong=True,
            )
        )
    return tuple(names)


def other_names(layout: Layout, piers: dict[str | None, PierSymbol], page: Page) -> tuple[Wish, ...]:
    """Return the names of beam lines, slabs, keep-outs, house and baseline: left out where there is no room."""
    plan = layout.plan
    height = _OTHER_MM * page.ratio
    rounds: defaultdict[str | None, list[tuple[Vector, float]]] = defaultdict(list)
    for pier in plan.piers:
        rounds[pier.line].append((pier.at, piers[pier.detail].radius))
    names = [Wish(line.id, TEXT_MM * page.ratio, _at_ends(page, line, rounds[line.id])) for line in plan.lines]
    names += [Wish(_slab_text(layout, slab), height, _inside(page, slab.outline)) for slab in plan.slabs]
    names += [Wish(k.kind, height, _in_or_beside(page, k.outline)) for k in plan.keepouts]
    names += [Wish("HOUSE", TEXT_MM * 1.2 * page.ratio, _inside(page, ring)) for ring in layout.house.outlines]
    if layout.frame and plan.baseline:
        places = _beside(page, plan.baseline.origin, plan.baseline.toward)
        names.append(Wish("baseline", height, places, role="baseline"))
    return tuple(replace(name, needed=False) for name in names)


def _slab_text(layout: Layout, slab: Slab) -> str:
    thickness = format_length(slab.thickness, layout.plan.units, layout.plan.rounding)
    return f"existing slab {thickness}"


def round_places(page: Page, at: Vector, height: float, radius: float, rungs: Sequence[float]) -> Places:
    """Return places round a circle: the four quarters first, then farther out, then straight beside it."""
    near, half = _NEAR_MM * page.ratio, height / 2
    places: list[tuple[Vector, Anchor]] = []
    for rung in rungs:
        x, y = 0.72 * radius + near + rung * 0.3 * page.ratio, 0.72 * radius + half + rung * page.ratio
        for right, up in ((x, y), (-x, y), (x, -y), (-x, -y)):
            places.append((page.beside(at, right, up), "start" if right > 0 else "end"))
    x, y = radius + near, radius + near + half
    places += [(page.beside(at, x, 0.0), "start"), (page.beside(at, -x, 0.0), "end")]
    places += [(page.beside(at, 0.0, y), "middle"), (page.beside(at, 0.0, -y), "middle")]
    return tuple(places)


def _over(page: Page, at: Vector, height: float, size: tuple[float, float, float]) -> Places:
    """Return places round a small symbol: over its shoulders and over it first, as the house is there.

    ``size`` is half its width, how high its middle lies over its point, and how high its top.
    """
    half, middle, top = size
    near, text = _NEAR_MM * page.ratio, height / 2
    x, over, under = half + near, top + near + text, near + text
    spots: tuple[tuple[float, float, Anchor], ...] = (
        (x, middle + text, "start"),
        (-x, middle + text, "end"),
        (0.0, over, "middle"),
        (x, over, "start"),
        (-x, over, "end"),
        (x, -under, "start"),
        (-x, -under, "end"),
        (0.0, over + height + near, "middle"),
    )
    return tuple((page.beside(at, right, up), anchor) for right, up, anchor in spots)


def _at_ends(page: Page, line: BeamLine, piers: Sequence[tuple[Vector, float]]) -> Places:
    """Return places beyond the ends of a beam line and of its piers, the far end first, and then beside them.

    ``piers`` are the circles on the line, by centre and radius.
    """
    if distance(line.start, line.end) <= 1e-6:
        return ((line.end, "middle"),)
    way = unit(minus(line.end, line.start))
    first = min((0.0, *(dot(minus(at, line.start), way) - radius for at, radius in piers)))
    last = max((0.0, *(dot(minus(at, line.end), way) + radius for at, radius in piers)))
    ends = ((plus(line.end, times(way, last)), way), (plus(line.start, times(way, first)), times(way, -1.0)))
    far, near = ends
    spots = [(3.0, 0.0, far), (3.0, 0.0, near), (6.0, 0.0, near), (6.0, 0.0, far)]
    spots += [(out, side, end) for out in (2.0, -2.0) for side in (4.0, -4.0) for end in ends]
    return tuple(
        (plus(end, times(plus(times(on, out), times(left(on), side)), page.ratio)), "middle")
        for out, side, (end, on) in spots
    )


def _inside(page: Page, outline: Sequence[Vector]) -> Places:
    """Return places within an outline: its middle, the middle of its widest part, then a scatter over all of it."""
    import numpy as np
    import shapely

    ring = shapely.Polygon([turned(p, -page.turn) for p in outline])
    shape = shapely.make_valid(ring, method="structure", keep_collapsed=False)
    if shape.area <= 1.0:
        return ((outline[0], "middle"),)
    x_min, y_min, x_max, y_max = shape.bounds
    # A sliver has no widest part that can be told: the scatter finds a place in it, if there is one.
    with np.errstate(all="ignore"):
        circle = shapely.maximum_inscribed_circle(shape, tolerance=max(x_max - x_min, y_max - y_min) / 100)
    shapely.prepare(shape)
    tries = [at for at in (shape.centroid.coords[0], circle.coords[0]) if np.isfinite(at).all()]
    tries += [
        (x_min + (x_max - x_min) * i / 8, y_min + (y_max - y_min) * j / 8)
        for j in (4, 3, 5, 2, 6, 1, 7)
        for i in (4, 3, 5, 2, 6)
    ]
    return tuple(
        (turned((float(x), float(y)), page.turn), "middle") for x, y in tries if shapely.contains_xy(shape, x, y)
    )


def _in_or_beside(page: Page, outline: Sequence[Vector]) -> Places:
    """Return places in the middle of an outline, and then under, over and beside it."""
    on_page = [turned(p, -page.turn) for p in outline]
    xs, ys = [x for x, _ in on_page], [y for _, y in on_page]
    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    near = _NEAR_MM * page.ratio
    away = _OTHER_MM / 2 * page.ratio + near
    places: tuple[tuple[Vector, Anchor], ...] = (
        ((x, y), "middle"),
        ((x, min(ys) - away), "middle"),
        ((x, max(ys) + away), "middle"),
        ((max(xs) + near, y), "start"),
        ((min(xs) - near, y), "end"),
    )
    return tuple((turned(p, page.turn), anchor) for p, anchor in places)


def _beside(page: Page, a: Vector, b: Vector) -> Places:
    """Return places along both sides of a line that lies across the page."""
    up = (_OTHER_MM / 2 + _NEAR_MM) * page.ratio
    return tuple(
        (page.beside(along(a, b, share), 0.0, side * up), "middle")
        for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9)
        for side in (1, -1)
    )
