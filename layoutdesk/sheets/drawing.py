"""The plan as a drawing: what is drawn, on what sheet, at what scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Final

from layoutdesk.geometry.vector import Vector, distance, minus, plus, times, turned, unit
from layoutdesk.plan.model import Paper, Plan
from layoutdesk.sheets.drawing_clear import Scene, with_clear_extensions, with_clear_texts
from layoutdesk.sheets.drawing_fit import fit, page_turn
from layoutdesk.sheets.drawing_heights import (
    SPOT,
    SPOT_MM,
    height_strokes,
    pier_values,
    plain_spots,
    spot_names,
    spot_places,
    spot_symbol,
)
from layoutdesk.sheets.drawing_labels import cleared, placed_labels
from layoutdesk.sheets.drawing_marks import Drawing, Label, Measured, Placed, Stroke
from layoutdesk.sheets.drawing_names import MANY_PIERS, Page, other_names, point_names
from layoutdesk.sheets.drawing_openings import opening_strokes
from layoutdesk.sheets.drawing_sheet import sheet_of
from layoutdesk.sheets.drawing_side_sheets import side_views_of
from layoutdesk.sheets.drawing_staked import STAKED, staked_places, staked_symbol
from layoutdesk.sheets.drawing_symbols import (
    ATTACHMENT,
    ATTACHMENT_MM,
    CONTROL,
    CONTROL_MM,
    PierSymbol,
    attachment_symbol,
    control_symbol,
    pier_symbols,
)
from layoutdesk.units import format_length

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Layout

_HATCH_GAP_MM: Final = 2.5
_DOT_GAP_MM: Final = 1.8
_ARROW_MM: Final = 2.5
_CROWDED: Final = 0.05
"""The share of names over other text from which on those of points are written small."""


def plan_drawing(layout: Layout, *, paper: Paper | None = None) -> Drawing:
    """Return the drawing of a plan: everything in plan millimetres, and a sheet of paper that shows it to scale.

    Args:
        layout: what follows from the plan.
        paper: the sheet; the plan's own when None.

    Where the house was measured it lies as it was found, and the layout as it is held.
    """
    proof, layout = layout.proof, layout.on_site
    plan = layout.plan
    turn = page_turn(layout)
    on_sheet = fit(layout, turn, paper or plan.paper)
    ratio = on_sheet.scale.ratio
    piers = pier_symbols(plan, ratio, heights=layout.has_heights)
    strokes = (*_strokes(layout, ratio), *height_strokes(layout, ratio))
    scene = Scene(
        tuple(_run(stroke) for stroke in strokes), tuple(_rounds(layout, piers, ratio, turn)), ratio, turn
    )
    dimensions = with_clear_texts(with_clear_extensions(on_sheet.dimensions, scene), scene)
    names, labels = _labels(layout, piers, dimensions, scene)
    symbols = {p.symbol.name: p.symbol for p in piers.values()}
    if plan.attachments:
        symbols[ATTACHMENT] = attachment_symbol(ratio)
    if plan.controls:
        symbols[CONTROL] = control_symbol(ratio)
    staked = tuple(staked_places(plan, proof, ratio, turn)) if proof else ()
    if staked:
        symbols[STAKED] = staked_symbol(ratio)
    spots = tuple(spot_places(layout, labels[names - len(plain_spots(layout)) : names]))
    if spots:
        symbols[SPOT] = spot_symbol(ratio)
    names -= len(spots)
    others = labels[names + len(spots) :]
    sides, side_sheets = side_views_of(layout, on_sheet, turn, paper or plan.paper)
    return Drawing(
        title=plan.title,
        units=plan.units,
        rounding=plan.rounding,
        turn=turn,
        baseline=(layout.frame.origin, layout.frame.along) if layout.frame else None,
        low=on_sheet.low,
        high=on_sheet.high,
        symbols=tuple(symbols.values()),
        marks=(
            *cleared(
                [
                    *((ring, "house", "slant", _HATCH_GAP_MM * ratio) for ring in layout.house.outlines),
                    *((slab.outline, "slab fill", "dots", _DOT_GAP_MM * ratio) for slab in plan.slabs),
                ],
                labels,
                dimensions,
                scene,
            ),
            *strokes,
            *others,
        ),
        placed=(*_placed(layout, piers, labels[:names]), *spots, *staked),
        dimensions=dimensions,
        sheet=sheet_of(
            plan,
            on_sheet.frame,
            looks_at=on_sheet.centre,
            ratio=ratio,
            scale_name=on_sheet.scale.name,
            count=1 + len(side_sheets),
        ),
        sides=sides,
        side_sheets=side_sheets,
    )


def _labels(
    layout: Layout, piers: dict[str | None, PierSymbol], dimensions: Sequence[Measured], scene: Scene
) -> tuple[int, tuple[Label, ...]]:
    """Return how many points and spots have names, and all names, theirs first: small where there are too many."""
    page = Page.turned(scene.ratio, scene.turn)
    others = other_names(layout, piers, page)
    for small in (False, True) if len(layout.plan.piers) <= MANY_PIERS else (True,):
        points = (*point_names(layout, piers, page, small=small), *spot_names(layout, page))
        labels, crowded = placed_labels([*points, *others], dimensions, scene)
        if crowded <= _CROWDED * len(labels):
            break
    return len(points), labels


def _strokes(layout: Layout, ratio: float) -> Iterator[Stroke]:
    """Yield the outlines and lines of the plan."""
    plan = layout.plan
    for slab in plan.slabs:
        yield Stroke(slab.outline, "slab", closed=True)
    yield from opening_strokes(layout.openings)
    for keepout in plan.keepouts:
        yield Stroke(keepout.outline, "keep-out", closed=True)
    for wall in plan.walls:
        if len(wall.points) >= 2:
            yield Stroke(wall.points, "wall")
    for line in plan.lines:
        if distance(line.start, line.end) > 0:
            yield Stroke((line.start, line.end), "beam line")
    if layout.frame and plan.baseline:
        yield from _baseline(plan.baseline.origin, plan.baseline.toward, _ARROW_MM * ratio)


def _baseline(origin: Vector, toward: Vector, arrow: float) -> Iterator[Stroke]:
    """Yield the baseline, a tick where stations begin, and an arrow the way they grow."""
    way = unit(minus(toward, origin))
    tip = plus(toward, times(way, 2 * arrow))
    yield Stroke((origin, tip), "baseline")
    for side in (160.0, -160.0):
        yield Stroke((tip, plus(tip, turned(times(way, arrow), side))), "baseline")
    tick = turned(times(way, 0.6 * arrow), 90.0)
    yield Stroke((plus(origin, tick), minus(origin, tick)), "baseline")


def _run(stroke: Stroke) -> tuple[Vector, ...]:
    """Return the places of a stroke, back to its first where it is closed."""
    return (*stroke.points, stroke.points[0]) if stroke.closed else stroke.points


def _rounds(
    layout: Layout, piers: dict[str | None, PierSymbol], ratio: float, turn: float
) -> Iterator[tuple[Vector, float]]:
    """Yield the circles that the symbols of piers, attachments, control points and spots fill."""
    plan = layout.plan
    for spot in plain_spots(layout):
        yield spot.at, SPOT_MM * ratio
    for pier in plan.piers:
        yield pier.at, piers[pier.detail].radius
    for attachment in plan.attachments:
        yield attachment.at, ATTACHMENT_MM * ratio
    half = CONTROL_MM * ratio / 2
    for control in plan.controls:
        yield plus(control.at, turned((0.0, half), turn)), half


def _placed(layout: Layout, piers: dict[str | None, PierSymbol], names: Sequence[Label]) -> Iterator[Placed]:
    """Yield the symbols of control points, attachments and piers with their attributes."""
    plan = layout.plan
    points = layout.points
    kinds = {a.id: a.kind for a in plan.attachments}
    details = {p.id: p.detail for p in plan.piers}
    heights = pier_values(layout)
    stations, offsets = points.station.tolist(), points.offset.tolist()
    for i, name in enumerate(names):
        values = [("MARK", name.text), ("STATION", _shown(plan, stations[i])), ("OFFSET", _shown(plan, offsets[i]))]
        point, kind, (x, y) = points.ids[i], points.kinds[i], points.xy[i].tolist()
        if kind == "control":
            symbol = CONTROL
        elif kind == "attachment":
            symbol = ATTACHMENT
            values.append(("KIND", kinds[point]))
        else:
            symbol = piers[details[point]].symbol.name
            values += [("DETAIL", details[point] or ""), *heights.get(point, ())]
        yield Placed(symbol, (x, y), tuple(values), name.at, name.height, name.anchor, name.turn)


def _shown(plan: Plan, length: float) -> str:
    """Return a station or offset as text; empty without a baseline."""
    return format_length(length, plan.units, plan.rounding) if length == length else ""  # noqa: PLR0124
