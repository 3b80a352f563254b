"""The plan at a true standard scale, with its dimensions and a bar to check the printer by."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from layoutdesk.engine.layout import Layout
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Paper, Plan
from layoutdesk.sheets.camera import Camera, all_places, page_right, spread
from layoutdesk.sheets.drawing_dimensions import placed_dimensions
from layoutdesk.sheets.drawing_fit import page_turn
from layoutdesk.sheets.drawing_marks import Measured
from layoutdesk.sheets.frame import Draft, body
from layoutdesk.sheets.lettering import text_width
from layoutdesk.sheets.marks import Line, Mark, Paragraph, Polyline, Text
from layoutdesk.sheets.numbers import counted
from layoutdesk.sheets.paper import Box, sheet_size
from layoutdesk.sheets.plan_dimensions import Dimensions
from layoutdesk.sheets.scales import Scale, scale_bar, standard_scales
from layoutdesk.sheets.scene import Scene
from layoutdesk.units import small_fraction

SECTION: Final = "Plan"
CHECK_BAR_MM: Final = {"ft-in": 101.6, "m": 100.0, "mm": 100.0}
"""How long the bar is that checks the printer: exactly 4 in, or exactly 100 mm."""
_STRIP: Final = 17.0
"""Height of the strip with the bars, at the foot of the page."""
_AROUND: Final = 7.0
"""Room round all that is drawn, for names."""
_ABOVE: Final = 5.0
"""More room over it, for the house."""
_TEXT: Final = 5.0
"""Room for the text of an outermost dimension."""
_SMALLER: Final = 2.0
"""Dimensions may make the scale no smaller than this."""
_BAR_TEXT: Final = 8.0
_LARGEST: Final = 20.0
"""A lone pier is drawn no larger than 1 to this."""


@dataclass(frozen=True, slots=True)
class Fit:
    """How the plan goes on its page; ``scale`` is None when it fits at no standard scale."""

    size: Vector
    window: Box
    camera: Camera
    scale: Scale | None
    dimensions: tuple[Measured, ...]


def plan_fit(layout: Layout, paper: Paper) -> Fit:
    """Return the largest standard scale at which the plan and its dimensions fit, standing or lying.

    Where the dimensions would make it much smaller than the plan alone, those that have no room are left out.
    """
    right = page_right(layout)
    bare = all_places(layout)
    without: Fit | None = None
    for scale in standard_scales(layout.plan.units):
        if scale.ratio < _LARGEST or _laid(bare, right, scale.ratio, paper) is None:
            continue
        if without and scale.ratio > without.camera.ratio * _SMALLER:
            break
        dimensions = _dimensions(layout, scale.ratio)
        places = [*bare, *(p for m in dimensions for p in _reach(m, scale.ratio))]
        if fit := _fit(places, right, scale, paper, dimensions):
            return fit
        without = without or _fit(bare, right, scale, paper, dimensions)
    return without or _to_fit(bare, right, paper)


def _laid(places: list[Vector], right: Vector, ratio: float, paper: Paper) -> Vector | None:
    """Return the size of the sheet that holds some places at a scale, standing rather than lying, if one does."""
    sizes = (sheet_size(paper), sheet_size(paper, landscape=True))
    return next((size for size in sizes if _fits(places, right, ratio, _window(size))), None)


def _fit(
    places: list[Vector], right: Vector, scale: Scale, paper: Paper, dimensions: tuple[Measured, ...]
) -> Fit | None:
    size = _laid(places, right, scale.ratio, paper)
    if size is None:
        return None
    window = _window(size)
    return Fit(size, window, _camera(places, right, scale.ratio, window), scale, dimensions)


def _to_fit(places: list[Vector], right: Vector, paper: Paper) -> Fit:
    """Return the plan without dimensions as large as the page allows: for what no standard scale holds."""
    reach = spread(places, right)
    size = sheet_size(paper, landscape=reach.width > reach.height)
    window = _window(size)
    room = _room(window)
    ratio = max(reach.width / room.width, reach.height / room.height)
    return Fit(size, window, _camera(places, right, ratio, window), None, ())


def _dimensions(layout: Layout, ratio: float) -> tuple[Measured, ...]:
    plan = layout.plan
    return placed_dimensions(
        layout.dimensions, ratio=ratio, page_turn=page_turn(layout), units=plan.units, rounding=plan.rounding
    )


def _reach(m: Measured, ratio: float) -> tuple[Vector, ...]:
    """Return the places that a dimension needs on the page, its text included."""
    x, y = m.text_at
    room = _TEXT * ratio
    return (m.line_start, m.line_end, (x - room, y - room), (x + room, y + room))


def _window(size: Vector) -> Box:
    room = body(size)
    return room.above(room.bottom + _STRIP)


def _room(window: Box) -> Box:
    return Box(
        window.left + _AROUND, window.bottom + _AROUND, window.right - _AROUND, window.top - _AROUND - _ABOVE
    )


def _fits(places: list[Vector], right: Vector, ratio: float, window: Box) -> bool:
    reach, room = spread(places, right), _room(window)
    return reach.width / ratio <= room.width and reach.height / ratio <= room.height


def _camera(places: list[Vector], right: Vector, ratio: float, window: Box) -> Camera:
    return Camera(right, ratio, spread(places, right).centre, _room(window).centre)


def plan_sheet(layout: Layout, paper: Paper) -> Draft:
    """Return the plan at its scale on one page, standing or lying."""
    fit = plan_fit(layout, paper)
    scene = Scene(layout, fit.camera, fit.window, true=True)
    scene.house()
    scene.slabs()
    scene.openings(layout.openings)
    scene.keepouts()
    scene.attachments()
    scene.baseline()
    scene.controls()
    scene.piers()
    dimensions = Dimensions(fit.dimensions, layout.plan, fit.camera, scene.taken)
    scene.beam_lines()
    scene.names()
    dimension_marks, missing = dimensions.written()
    marks = [*scene.marks, *dimension_marks, *_strip(layout.plan, fit)]
    if note := _left_out(scene.left_out, missing):
        strip = body(fit.size).below(fit.window.bottom)
        marks.append(Text((strip.left, strip.top - 3.0), note, 7.5))
    title = f"Plan at {pretty_scale(fit.scale)}" if fit.scale else "Plan, not to scale"
    return Draft(SECTION, SECTION, title, fit.size, tuple(marks))


def _left_out(names: int, dimensions: int) -> str:
    """Return what had no room on the drawing."""
    texts = [counted(count, what) for count, what in ((names, "name"), (dimensions, "dimension")) if count]
    return f"no room here for {' and '.join(texts)}: see the sheets that follow" if texts else ""


def pretty_scale(scale: Scale) -> str:
    """Return the name of a scale with true primes and small fractions, as in ``³⁄₁₆″ = 1′-0″``."""
    name = re.sub(r"(\d+)/(\d+)", lambda m: small_fraction(int(m[1]), int(m[2])), scale.name)
    return name.replace("'", "′").replace('"', "″")


def _strip(plan: Plan, fit: Fit) -> list[Mark]:
    """Return the bar that checks the printer, and the bar to read lengths from."""
    room = body(fit.size)
    strip = room.below(room.bottom + _STRIP)
    marks: list[Mark] = []
    if fit.scale is None:
        text = (
            "**Not to scale.** This plan fits the page at no standard scale: take no length from this drawing,"
            " only from its numbers."
        )
        return [Paragraph((strip.left, strip.top - 4.5), strip.width, text, 10.0)]
    length = CHECK_BAR_MM[plan.units]
    count = 4 if plan.units == "ft-in" else 10
    said = "4″" if plan.units == "ft-in" else "100 mm"
    low = strip.bottom + 1.5
    marks += _bar(strip.left, low, length, count)
    check = f"**Check the print:** this bar must measure exactly {said}. If not, print again at 100 %."
    marks.append(Paragraph((strip.left, low + 8.2), strip.width * 0.62, check, 8.5, "ink", 1.2))
    bar = scale_bar(fit.scale.ratio, plan.units, paper_mm=min(60.0, strip.width - length - 28.0))
    long = fit.scale.on_paper(bar.step * bar.count)
    labels = [label.replace("'", "′") for label in bar.labels]
    left = strip.right - long - text_width(labels[-1], _BAR_TEXT) / 2
    marks += _bar(left, low, long, bar.count)
    for i, label in enumerate(labels):
        at = (left + long * i / bar.count, low + 4.6)
        marks.append(Text(at, label, _BAR_TEXT, anchor="middle"))
    return marks


def _bar(left: float, bottom: float, length: float, count: int, height: float = 3.0) -> list[Mark]:
    """Return a bar of black and white steps whose outer edges are exactly ``length`` apart."""
    marks: list[Mark] = [
        Polyline(
            Box(left + length * i / count, bottom, left + length * (i + 1) / count, bottom + height).corners,
            ink=None,
            closed=True,
            fill="ink",
        )
        for i in range(0, count, 2)
    ]
    marks += [Line((left, y), (left + length, y), 0.2) for y in (bottom + 0.1, bottom + height - 0.1)]
    marks.append(Line((left + length - 0.1, bottom), (left + length - 0.1, bottom + height), 0.2))
    return marks
