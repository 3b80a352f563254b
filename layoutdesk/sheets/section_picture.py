"""The section of a pier to scale: concrete, ground, tube, what is cast in, bars and hoops, with every number.

Depths stand at the left, from the ground beside the pier; widths, cover and steel at the right.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final, TypeAlias

from layoutdesk.engine.layout import Section
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Detail, Plan
from layoutdesk.sheets.callouts import Callout, callout_marks
from layoutdesk.sheets.marks import Hatch, Line, Mark, Polyline
from layoutdesk.sheets.numbers import counted, said
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.scales import FOOT_SCALES, Scale

_Place: TypeAlias = Callable[[float, float], Vector]
"""Where on the page a place of the section lies: from across and depth."""
_FEET: Final = tuple(scale for scale in FOOT_SCALES if scale.ratio <= 48)
_METRIC: Final = tuple(Scale(f"1:{ratio}", float(ratio)) for ratio in (5, 10, 15, 20, 25, 50, 100))
"""Scales of details: those of ISO 5455, and two between that are common practice."""
_LEFT: Final = 52.0
_RIGHT: Final = 66.0
"""Room for the words at both sides, in millimetres."""
_GROUND: Final = 5.0
"""How much ground is drawn beside the widest part and under the lowest."""
_HATCH: Final = 1.6
_POST_OUT: Final = 0.12
"""How much of the picture's height a post goes on above what it is cast in."""
_LEAST_BAR: Final = 0.25
"""How thin a bar is drawn at least, in millimetres."""
_MOST_HOOPS: Final = 200


def section_scale(section: Section, plan: Plan, width: float, height: float) -> Scale:
    """Return the largest scale of details at which a section fits a block; one to fit where none of them does."""
    reach = _reach(section)
    room = _drawing(Box(0.0, 0.0, width, height))
    need = max(
        (reach.width + 1e-9) / (room.width - 2 * _GROUND), (reach.height + 1e-9) / (room.height - _GROUND), 4.0
    )
    scales = _FEET if plan.units == "ft-in" else _METRIC
    return next((scale for scale in scales if scale.ratio >= need), Scale("", need))


def section_marks(section: Section, detail: Detail, plan: Plan, box: Box, scale: Scale) -> list[Mark]:
    """Return a section drawn in a box, with its numbers at both sides."""
    reach, room = _reach(section), _drawing(box)
    middle = (room.left + room.right) / 2
    top = room.top - max(0.0, (room.height - _GROUND - scale.on_paper(reach.height)) / 2)

    def on(across: float, depth: float) -> Vector:
        return (middle + across / scale.ratio, top - (depth - reach.bottom) / scale.ratio)

    marks: list[Mark] = []
    low = on(0.0, section.bottom)[1] - _GROUND
    ground = on(0.0, 0.0)[1]
    if ground > low:
        soil = Box(room.left, low, room.right, ground)
        marks.append(Hatch(soil.corners, gap=_HATCH, ink="faint", width=0.15))
    if section.top > 0:
        wide = section.parts[0].upper / 2
        marks.append(
            Polyline(
                (on(-wide, 0.0), on(-wide, section.top), on(wide, section.top), on(wide, 0.0)),
                0.25,
                "soft",
                closed=True,
                fill="paper",
            )
        )
    outline = _outline(section)
    marks.append(
        Polyline(
            (*(on(-w, z) for z, w in outline), *(on(w, z) for z, w in reversed(outline))),
            width=0.5,
            closed=True,
            fill="shade",
        )
    )
    marks.append(Line((room.left, ground), (room.right, ground), 0.6))
    if section.tube:
        wide = section.parts[0].upper / 2
        marks += [Line(on(side * wide, section.tube[0]), on(side * wide, section.tube[1]), 1.1) for side in (-1, 1)]
    marks += _cast_in(section, on, reach.bottom)
    marks += _steel(section, on, scale)
    left, right = Box(box.left, box.bottom, room.left, box.top), Box(room.right, box.bottom, box.right, box.top)
    marks += callout_marks(
        [Callout(on(-_half(section, z), z), text, "bold") for z, text in _depths(section, plan)], left, "left"
    )
    marks += callout_marks(
        [Callout(on(x, z), text) for x, z, text in _widths_and_steel(section, detail, plan)], right, "right"
    )
    return marks


def _drawing(box: Box) -> Box:
    """Return the part of a block between the words at its sides."""
    return Box(box.left + _LEFT, box.bottom + 1.0, box.right - _RIGHT, box.top - 1.0)


def _reach(section: Section) -> Box:
    """Return what a section spans: across, and from its highest depth (``bottom``) to its lowest (``top``)."""
    wide = max((max(part.upper, part.lower) for part in section.parts), default=0.0)
    steel = [2 * max(abs(bar.across), abs(bar.across + bar.hook)) + bar.diameter for bar in section.bars]
    wide = max(wide, section.hoop_width, *steel)
    high = min(0.0, section.top, section.tube[0] if section.tube else 0.0, *(bar.top for bar in section.bars))
    low = max(section.bottom, section.tube[1] if section.tube else 0.0, *(bar.bottom for bar in section.bars))
    low = max(low, *section.hoops, section.cast_in[1] if section.cast_in else low)
    high = min(high, *section.hoops, high)
    if section.cast_in:
        wide = max(wide, section.cast_in[2])
        high = min(high, section.cast_in[0])
        if section.cast_in[3] == "post":
            high -= (low - high) * _POST_OUT
    return Box(-wide / 2, high, wide / 2, low)


def _outline(section: Section) -> list[Vector]:
    """Return half the outline of the concrete as (depth, half of the width), from the top down."""
    return [
        point for part in section.parts for point in ((part.top, part.upper / 2), (part.bottom, part.lower / 2))
    ]


def _half(section: Section, depth: float) -> float:
    """Return half the width of the concrete at a depth; nothing where there is none."""
    return max(
        (
            part.width(depth) / 2
            for part in section.parts
            if part.top <= depth <= part.bottom and part.top < part.bottom
        ),
        default=0.0,
    )


def _cast_in(section: Section, on: _Place, high: float) -> list[Mark]:
    if section.cast_in is None:
        return []
    top, bottom, width, kind = section.cast_in
    upper = min(top, high) if kind == "post" else top
    half = width / 2
    corners = (on(-half, bottom), on(half, bottom), on(half, upper), on(-half, upper))
    marks: list[Mark] = [Polyline(corners, width=0.35, closed=True, fill="paper")]
    if kind == "post":
        marks += [
            Line(on(side * half * 0.4, upper), on(side * half * 0.4, bottom), 0.13, "soft") for side in (-1, 1)
        ]
    else:
        marks += [Line(corners[0], corners[2], 0.13, "soft"), Line(corners[1], corners[3], 0.13, "soft")]
    return marks


def _steel(section: Section, on: _Place, scale: Scale) -> list[Mark]:
    half = section.hoop_width / 2
    thin = max(_LEAST_BAR, min(scale.on_paper(section.hoop_diameter), 1.0))
    hoops = section.hoops[:_MOST_HOOPS]
    marks: list[Mark] = [Line(on(-half, depth), on(half, depth), thin) for depth in hoops]
    for bar in section.bars[:_MOST_HOOPS]:
        wide = max(_LEAST_BAR, min(scale.on_paper(bar.diameter), 1.4))
        foot = (on(bar.across + bar.hook, bar.bottom),) if bar.hook else ()
        marks.append(Polyline((on(bar.across, bar.top), on(bar.across, bar.bottom), *foot), width=wide))
    return marks


def _depths(section: Section, plan: Plan) -> list[tuple[float, str]]:
    """Return what begins or ends at which depth, what lies at one depth in one line."""
    told: dict[float, list[str]] = {}

    def tell(depth: float, what: str) -> None:
        if not any(what == other for other in told.setdefault(depth, [])):
            told[depth].append(what)

    tell(section.top, "top")
    tell(0.0, "ground")
    tell(section.bottom, "bottom")
    for part in section.parts:
        if 0 < part.bottom < section.bottom:
            tell(part.bottom, "")
    if section.tube:
        tell(section.tube[1], "tube to")
    if section.cast_in:
        tell(section.cast_in[1], "foot of the post" if section.cast_in[3] == "post" else "foot of the base")
    return [(depth, _depth_text(plan, depth, [w for w in what if w])) for depth, what in sorted(told.items())]


def _depth_text(plan: Plan, depth: float, what: list[str]) -> str:
    name = ", ".join(what)
    if depth == 0:
        return name
    side = "above" if depth < 0 else "below"
    return f"{name} {said(plan, abs(depth))} {side}".strip()


def _widths_and_steel(section: Section, detail: Detail, plan: Plan) -> list[tuple[float, float, str]]:
    """Return the words at the right: (across, depth, text)."""
    found = list(_widths(section, plan))
    if section.tube:
        wide = section.parts[0].upper
        found.append((wide / 2, max(section.tube[0], section.top), f"form tube, {said(plan, wide)} inside"))
    if section.cast_in:
        top, bottom, width, kind = section.cast_in
        found.append((width / 2, (top + bottom) / 2, f"{kind} cast in, {said(plan, width)} wide"))
    steel, cover = detail.steel, section.cover
    if steel is None or not section.bars or cover is None:
        return found
    outer = max(section.bars, key=lambda bar: bar.across)
    length = outer.bottom - outer.top
    lapped = ", each lapped" if steel.lapped else ""
    found.append((outer.across, outer.top + length * 0.3, f"{counted(steel.bars, 'bar')} {steel.bar}{lapped}"))
    found.append((outer.across, outer.top + length * 0.62, f"cover beside {said(plan, cover[0])}"))
    if outer.top >= section.top:
        found.append((outer.across, outer.top, f"cover over {said(plan, cover[1])}"))
    else:
        found.append((outer.across, outer.top, f"bars stand out {said(plan, section.top - outer.top)}"))
    found.append((outer.across + max(outer.hook, 0.0), outer.bottom, f"cover under {said(plan, cover[2])}"))
    if section.hoops:
        half = section.hoop_width / 2
        hoops = counted(len(section.hoops), "hoop")
        at = section.hoops[len(section.hoops) // 2]
        found.append((half, at, f"{hoops} {steel.hoop}, {said(plan, section.hoop_width)} over all"))
        if len(section.hoops) > 1:
            apart = section.hoops[1] - section.hoops[0]
            found.append((half, section.hoops[1], f"hoops {said(plan, apart)} apart"))
    return found


def _widths(section: Section, plan: Plan) -> Iterable[tuple[float, float, str]]:
    """Yield the widths: once for what is straight, at both ends of what is not."""
    last: tuple[float, str] | None = None
    for part in section.parts:
        for depth, width in ((part.top, part.upper), (part.bottom, part.lower)):
            if last == (width, part.shape):
                continue
            last = (width, part.shape)
            straight = part.upper == part.lower
            at = (part.top + part.bottom) / 2 if straight else depth
            text = f"{said(plan, width)} square" if part.shape == "square" else f"Ø {said(plan, width)}"
            yield (part.width(at) / 2, at, text)
