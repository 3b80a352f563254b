"""What is written on a plan drawing besides its dimensions, and where each name would like to stand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Final

from layoutdesk.geometry.vector import Vector, along, distance, left, minus, plus, times, turned, unit
from layoutdesk.plan.model import BeamLine, Slab
from layoutdesk.sheets.drawing_labels import Wish
from layoutdesk.sheets.drawing_marks import TEXT_MM
from layoutdesk.sheets.drawing_symbols import ATTACHMENT_MM, CONTROL_MM, PierSymbol
from layoutdesk.sheets.marks import Anchor
from layoutdesk.units import format_length

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Layout

_NEAR_MM: Final = 0.8
"""From a symbol to its name, on paper."""
_OTHER_MM: Final = 2.0
"""Height of the names of slabs, keep-outs and the baseline, on paper."""

_RUNGS_MM: Final = (0.0, 2.0, 4.0, 6.0)
"""How much farther up or down than need be the name of a pier may stand, on paper."""
_MANY_PIERS: Final = 300
"""With more piers than this names are small beside the plan, and not worth more than the nearest places."""

Places = tuple[tuple[Vector, Anchor], ...]


def point_names(
    layout: Layout, piers: dict[str | None, PierSymbol], *, ratio: float, turn: float
) -> tuple[Wish, ...]:
    """Return the names of control points, attachments and piers, in the order of the Layout's points."""
    plan = layout.plan
    height = TEXT_MM * ratio
    control = (0.58 * CONTROL_MM * ratio, CONTROL_MM * ratio / 2)
    names = [
        Wish(c.id, height, _over_first(c.at, *control, CONTROL_MM * ratio, ratio=ratio, turn=turn))
        for c in plan.controls
    ]
    half = ATTACHMENT_MM * ratio
    names += [
        Wish(a.id, height, _over_first(a.at, half, half, half, ratio=ratio, turn=turn)) for a in plan.attachments
    ]
    rungs = _RUNGS_MM if len(plan.piers) <= _MANY_PIERS else _RUNGS_MM[:1]
    names += [
        Wish(p.label, height, _round(p.at, piers[p.detail].radius, rungs, ratio=ratio, turn=turn), strong=True)
        for p in plan.piers
    ]
    return tuple(names)


def other_names(layout: Layout, *, ratio: float, turn: float) -> tuple[Wish, ...]:
    """Return the names of beam lines, slabs, keep-outs, the house and the baseline."""
    plan = layout.plan
    height = _OTHER_MM * ratio
    names = [Wish(line.id, TEXT_MM * ratio, _at_ends(line, ratio)) for line in plan.lines]
    names += [Wish(_slab_text(layout, slab), height, _inside(slab.outline, turn=turn)) for slab in plan.slabs]
    names += [Wish(k.kind, height, _in_or_beside(k.outline, ratio=ratio, turn=turn)) for k in plan.keepouts]
    names += [Wish("HOUSE", TEXT_MM * 1.2 * ratio, _inside(ring, turn=turn)) for ring in layout.house.outlines]
    if layout.frame and plan.baseline:
        a, b = plan.baseline.origin, plan.baseline.toward
        names.append(Wish("baseline", height, _beside(a, b, ratio=ratio, turn=turn), role="baseline"))
    return tuple(names)


def _slab_text(layout: Layout, slab: Slab) -> str:
    thickness = format_length(slab.thickness, layout.plan.units, layout.plan.rounding)
    return f"existing slab {thickness}"


def _from(at: Vector, right: float, up: float, turn: float) -> Vector:
    """Return the place so far to the right and up on the page."""
    return plus(at, turned((right, up), turn))


def _round(at: Vector, radius: float, rungs: Sequence[float], *, ratio: float, turn: float) -> Places:
    """Return places round a circle: the four quarters first, then farther out, then straight beside it."""
    near = _NEAR_MM * ratio
    half = TEXT_MM * ratio / 2
    places: list[tuple[Vector, Anchor]] = []
    for rung in rungs:
        x, y = 0.72 * radius + near + rung * 0.3 * ratio, 0.72 * radius + half + rung * ratio
        for right, up in ((1, 1), (-1, 1), (1, -1), (-1, -1)):
            places.append((_from(at, right * x, up * y, turn), "start" if right > 0 else "end"))
    x, y = radius + near, radius + near + half
    places += [(_from(at, x, 0.0, turn), "start"), (_from(at, -x, 0.0, turn), "end")]
    places += [(_from(at, 0.0, y, turn), "middle"), (_from(at, 0.0, -y, turn), "middle")]
    return tuple(places)


def _over_first(at: Vector, half: float, middle: float, top: float, *, ratio: float, turn: float) -> Places:
    """Return places round a small symbol: over its shoulders and over it first, as the house is there."""
    near, text = _NEAR_MM * ratio, TEXT_MM * ratio / 2
    x, over, under = half + near, top + near + text, near + text
    return (
        (_from(at, x, middle + text, turn), "start"),
        (_from(at, -x, middle + text, turn), "end"),
        (_from(at, 0.0, over, turn), "middle"),
        (_from(at, x, over, turn), "start"),
        (_from(at, -x, over, turn), "end"),
        (_from(at, x, -under, turn), "start"),
        (_from(at, -x, -under, turn), "end"),
        (_from(at, 0.0, over + 2 * text + near, turn), "middle"),
    )


def _at_ends(line: BeamLine, ratio: float) -> Places:
    """Return places beyond the ends of a beam line, the far end first, and then beside its ends."""
    if distance(line.start, line.end) <= 1e-6:
        return ((line.end, "middle"),)
    way = unit(minus(line.end, line.start))
    ends = ((line.end, way), (line.start, times(way, -1.0)))
    spots = [(out, 0.0) for out in (3.0, 6.0)] + [(out, side) for out in (2.0, -2.0) for side in (4.0, -4.0)]
    return tuple(
        (plus(end, times(plus(times(on, out), times(left(on), side)), ratio)), "middle")
        for out, side in spots
        for end, on in ends
    )


def _inside(outline: Sequence[Vector], *, turn: float) -> Places:
    """Return places within an outline: the middle of its widest part, then a scatter over all of it."""
    import shapely

    shape = shapely.make_valid(shapely.Polygon([turned(p, -turn) for p in outline]))
    if shape.area <= 1.0:
        return ((outline[0], "middle"),)
    x_min, y_min, x_max, y_max = shape.bounds
    circle = shapely.maximum_inscribed_circle(shape, tolerance=max(x_max - x_min, y_max - y_min) / 100)
    shapely.prepare(shape)
    scatter = [
        (x_min + (x_max - x_min) * i / 8, y_min + (y_max - y_min) * j / 8)
        for j in (4, 3, 5, 2, 6, 1, 7)
        for i in (4, 3, 5, 2, 6)
    ]
    places = [circle.coords[0], *(p for p in scatter if shapely.contains_xy(shape, *p))]
    return tuple((turned((float(x), float(y)), turn), "middle") for x, y in places)


def _in_or_beside(outline: Sequence[Vector], *, ratio: float, turn: float) -> Places:
    """Return places in the middle of an outline, and then under, over and beside it."""
    on_page = [turned(p, -turn) for p in outline]
    xs, ys = [x for x, _ in on_page], [y for _, y in on_page]
    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    away = (_OTHER_MM / 2 + _NEAR_MM) * ratio
    places: tuple[tuple[Vector, Anchor], ...] = (
        ((x, y), "middle"),
        ((x, min(ys) - away), "middle"),
        ((x, max(ys) + away), "middle"),
        ((max(xs) + _NEAR_MM * ratio, y), "start"),
        ((min(xs) - _NEAR_MM * ratio, y), "end"),
    )
    return tuple((turned(p, turn), anchor) for p, anchor in places)


def _beside(a: Vector, b: Vector, *, ratio: float, turn: float) -> Places:
    """Return places along both sides of a line that lies across the page."""
    return tuple(_beside_each(a, b, ratio=ratio, turn=turn))


def _beside_each(a: Vector, b: Vector, *, ratio: float, turn: float) -> Iterator[tuple[Vector, Anchor]]:
    up = (_OTHER_MM / 2 + _NEAR_MM) * ratio
    for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9):
        for side in (1, -1):
            yield _from(along(a, b, share), 0.0, side * up, turn), "middle"
