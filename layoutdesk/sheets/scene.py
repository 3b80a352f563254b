"""The picture of a plan: house, ground, lines and points, and their names where there is room."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Final

from layoutdesk.engine.layout import Layout, Opening
from layoutdesk.geometry.vector import Vector, plus, times
from layoutdesk.plan.model import Detail
from layoutdesk.sheets.camera import Camera, baseline_ends, walls_in
from layoutdesk.sheets.clipping import clipped_lines, clipped_outline
from layoutdesk.sheets.extents import box_round
from layoutdesk.sheets.labels import Name, Taken, place_inside, place_names
from layoutdesk.sheets.marks import Circle, Hatch, Line, Mark, Polyline, StencilMark
from layoutdesk.sheets.numbers import said
from layoutdesk.sheets.paper import Box

CHAIN: Final = (6.0, 1.2, 1.2, 1.2)
"""The dashes of a beam line, in millimetres."""
DOTTED: Final = (0.4, 1.0)
DASHED: Final = (2.4, 1.2)
POINT_NAMES: Final = (10.0, 9.0, 8.0, 7.0, 6.0, 5.0)
"""The sizes that names of points are tried at, in points."""
_AREA_NAME: Final = 7.5
_FEW_PIERS: Final = 2
"""So many piers of an opening stand in its name."""
_ARROW: Final = 3.4
_LARGEST_SYMBOL: Final = 2.0
_THUMB_SYMBOL: Final = 0.8
_SMALLEST_SYMBOL: Final = 0.3


class Scene:
    """Draws the parts of one plan into one window of a page, in the order in which they are asked for.

    ``true`` draws piers as large as their holes; otherwise they are symbols that leave room for their names.
    ``small`` is for pictures of a thumb's size: thinner strokes, smaller symbols. ``left_out`` counts the names
    that found no room.
    """

    def __init__(
        self, layout: Layout, camera: Camera, window: Box, *, true: bool = False, small: bool = False
    ) -> None:
        self.layout = layout
        self.camera = camera
        self.window = window
        self.marks: list[Mark] = []
        self.taken = Taken(window)
        self.left_out = 0
        self._true = true
        self._symbol = _symbol_radius(len(layout.plan.piers), window, _THUMB_SYMBOL if small else _LARGEST_SYMBOL)
        self._thick = 0.5 if small else 0.8
        self._control = 1.6 if small else 2.4
        self._names: list[Name] = []
        self._areas: list[tuple[tuple[Vector, ...], tuple[str, ...]]] = []

    def house(self) -> None:
        """Draw the house as far as the window shows it, and its wall faces."""
        for ring in self.layout.house.outlines:
            if part := clipped_outline(self.camera.path(ring), self.window):
                self.marks.append(Hatch(part, gap=1.6, ink="faint", width=0.18))
        for face in walls_in(self.layout.plan.walls, self.camera, self.window):
            self.marks.append(Polyline(face, width=self._thick))
            self._keep_off(face, width=0.9)

    def slabs(self, only: str = "") -> None:
        """Draw existing concrete, or the one slab of an id."""
        plan = self.layout.plan
        for slab in plan.slabs:
            if only not in {"", slab.id}:
                continue
            thick = f"existing slab {said(plan, slab.thickness)}"
            self._area(slab.outline, (thick, "existing slab", "slab"), dotted=True)

    def openings(self, openings: Iterable[Opening], *, names: bool = False) -> None:
        """Draw what is sawn out of existing concrete, and the cuts that part it into pieces."""
        for opening in openings:
            ring = self.camera.path(opening.outline)
            if part := clipped_outline(ring, self.window):
                self.marks.append(Polyline(part, ink=None, fill="paper", closed=True))
            for edge in clipped_lines((*ring, ring[0]), self.window):
                self.marks.append(Polyline(edge, width=0.4, dash=DASHED))
                self._keep_off(edge, soft=True)
            for cut in opening.inner:
                for edge in clipped_lines(self.camera.path(cut.points), self.window):
                    self.marks.append(Polyline(edge, width=0.2, dash=DOTTED))
            if names:
                box = box_round(ring)
                clear = max(box.width, box.height) / 2
                few = len(opening.piers) <= _FEW_PIERS
                text = f"{opening.id}: {', '.join(opening.piers)}" if few else opening.id
                self._names.append(Name(text, box.centre, clear, "black"))

    def keepouts(self) -> None:
        """Draw what neither auger nor tape may cross."""
        for keepout in self.layout.plan.keepouts:
            kind = "keep-out" if keepout.kind == "other" else keepout.kind
            names = (f"keep-out: {kind}", kind) if kind != "keep-out" else (kind,)
            self._area(keepout.outline, names, dotted=False)

    def _area(self, outline: tuple[Vector, ...], names: tuple[str, ...], *, dotted: bool) -> None:
        ring = self.camera.path(outline)
        self._areas.append((ring, names))
        if part := clipped_outline(ring, self.window):
            self.marks.append(Polyline(part, ink=None, fill="wash" if dotted else "shade", closed=True))
        for edge in clipped_lines((*ring, ring[0]), self.window):
            self.marks.append(Polyline(edge, width=0.25, dash=DOTTED if dotted else DASHED))
            self._keep_off(edge, soft=True)

    def beam_lines(self) -> None:
        """Draw the beam lines."""
        for line in self.layout.plan.lines:
            for part in clipped_lines(self.camera.path((line.start, line.end)), self.window):
                self.marks.append(Polyline(part, width=0.2, dash=CHAIN))
                self._keep_off(part, soft=True)

    def attachments(self, *, names: bool = True) -> None:
        """Draw the places where beams meet the house."""
        for attachment in self.layout.plan.attachments:
            at = self.camera.on_paper(attachment.at)
            r = min(1.0, self._symbol * 0.7)
            if not self._shows(at, r):
                continue
            square = tuple(plus(at, way) for way in ((-r, -r), (r, -r), (r, r), (-r, r)))
            self.marks.append(Polyline(square, width=0.35, closed=True, fill="paper"))
            self.taken.take_round(at, r)
            if names:
                self._names.append(Name(attachment.id, at, r, "regular"))

    def controls(self, *, names: bool = True) -> None:
        """Draw the control points: a black triangle whose tip is the place."""
        for control in self.layout.plan.controls:
            at = self.camera.on_paper(control.at)
            if not self._shows(at, self._control):
                continue
            self.marks.append(control_symbol(at, self._control))
            half, high = self._control * 0.62, self._control * 1.1
            self.taken.take(Box(at[0] - half, at[1] - high, at[0] + half, at[1] + 0.2))
            if names:
                self._names.append(Name(control.id, at, 1.6, "black"))

    def piers(self, *, names: bool = True) -> None:
        """Draw the piers: circle and cross."""
        for pier in self.layout.plan.piers:
            at = self.camera.on_paper(pier.at)
            r = self._radius(self.layout.plan.detail(pier.detail))
            if not self._shows(at, r):
                continue
            self.marks += pier_symbol(at, r)
            self.taken.take_round(at, r)
            if names:
                self._names.append(Name(pier.label, at, r))

    def _shows(self, at: Vector, reach: float) -> bool:
        """Return whether the window shows a symbol whole."""
        return self.window.inset(reach).holds(Box(*at, *at))

    def _radius(self, detail: Detail | None) -> float:
        if not self._true or detail is None or not detail.profile:
            return self._symbol
        return max(detail.profile[0][1] / 2 / self.camera.ratio, _SMALLEST_SYMBOL)

    def baseline(self) -> None:
        """Draw the baseline as a dashed arrow, the way stations grow."""
        ends = self.camera.path(baseline_ends(self.layout))
        for part in clipped_lines(ends, self.window):
            self.marks.append(Polyline(part, width=0.45, dash=DASHED))
            self._keep_off(part, width=1.4, soft=True)
        if ends and self.window.inset(_ARROW).holds(box_round(ends[1:])):
            self.marks.append(_arrow_head(*ends))

    def stroke(self, *places: Vector, width: float = 0.3, dash: Sequence[float] = ()) -> None:
        """Draw a line through some places of the plan."""
        for part in clipped_lines(self.camera.path(places), self.window):
            self.marks.append(Polyline(part, width=width, dash=tuple(dash)))
            self._keep_off(part)

    def point(self, name: str, place: Vector) -> None:
        """Draw a place that is no piece of the plan as a dot, to be named with the others."""
        at = self.camera.on_paper(place)
        self.marks.append(Circle(at, 0.9, ink=None, fill="ink"))
        self.taken.take_round(at, 0.9)
        self._names.append(Name(name, at, 0.9))

    def names(self, sizes: Sequence[float] = POINT_NAMES, *, shy_of: Taken | None = None) -> None:
        """Write the names of the points drawn so far, off ``shy_of`` where they can, and of slabs and keep-outs."""
        texts, missing = place_names(self._names, self.taken, sizes, shy_of=shy_of)
        self.marks += texts
        self.left_out += missing
        self._names = []
        for ring, wishes in self._areas:
            self._area_name(ring, wishes)
        self._areas = []

    def _area_name(self, ring: tuple[Vector, ...], names: tuple[str, ...]) -> None:
        for name in names:
            if text := place_inside(name, _AREA_NAME, ring, self.taken):
                self.marks.append(text)
                return
        xs, ys = [p[0] for p in ring], [p[1] for p in ring]
        middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
        beside = Name(names[-1], middle, max(max(xs) - min(xs), max(ys) - min(ys)) / 2, "regular")
        texts, missing = place_names([beside], self.taken, (_AREA_NAME, 6.0))
        self.marks += texts
        self.left_out += missing

    def _keep_off(self, path: Iterable[Vector], *, width: float = 0.4, soft: bool = False) -> None:
        for a, b in pairwise(path):
            self.taken.take_stroke(a, b, width=width, soft=soft)


def _arrow_head(start: Vector, end: Vector) -> Polyline:
    """Return the head of an arrow from one place of the page to another."""
    way = math.atan2(end[1] - start[1], end[0] - start[0])
    back = [(end[0] - _ARROW * math.cos(way + a), end[1] - _ARROW * math.sin(way + a)) for a in (-0.3, 0.3)]
    return Polyline((end, *back), ink=None, closed=True, fill="ink")


def _symbol_radius(count: int, window: Box, largest: float) -> float:
    """Return the radius of a pier's symbol: smaller where many share the window."""
    pitch = math.sqrt(window.width * window.height / max(1, count))
    return max(_SMALLEST_SYMBOL, min(largest, 0.14 * pitch))


def pier_symbol(at: Vector, radius: float, *, filled: bool = False) -> tuple[StencilMark, ...]:
    """Return a circle with a cross at its centre; ``filled`` black, as the one meant among many."""
    x, y = at
    if filled:
        return (Circle(at, radius, ink=None, fill="ink"),)
    arm = radius * 0.55
    width = 0.45 if radius > 1 else 0.25
    return (
        Circle(at, radius, width=width, fill="paper"),
        Line((x - arm, y), (x + arm, y), width=0.18),
        Line((x, y - arm), (x, y + arm), width=0.18),
    )


def control_symbol(at: Vector, size: float = 2.4) -> Polyline:
    """Return a black triangle whose upper tip is the control point."""
    return Polyline(
        (at, plus(at, times((-0.6, -1.0), size)), plus(at, times((0.6, -1.0), size))),
        ink=None,
        fill="ink",
        closed=True,
    )
