"""Single marks of a drawing as DXF entities."""

from __future__ import annotations

from typing import Any, Final

from ezdxf.layouts import BaseLayout

from layoutdesk.exporters.dxf_layers import LAYERS, STRONG_TYPE, TYPE
from layoutdesk.exporters.dxf_text import single_line
from layoutdesk.geometry.vector import Vector
from layoutdesk.sheets.drawing_marks import Drawn, Filling, Label, Pattern, Ring, Stroke
from layoutdesk.sheets.marks import Anchor

BY_LAYER: Final = 256

_ALONG: Final[dict[Anchor, int]] = {"start": 0, "middle": 1, "end": 2}
_ON_LINE, _CENTRED = 0, 2
_OUTER, _HOLE = 1, 16
_USER_PATTERN, _CUSTOM_PATTERN = 0, 2
_DOT: Final = 0.15
_PATTERNS: Final[dict[Pattern, tuple[str, int, float, list[Any]]]] = {
    "slant": ("_USER", _USER_PATTERN, 45.0, [0.0, (0.0, 0.0), (0.0, 1.0), []]),
    "dots": ("SPECKS", _CUSTOM_PATTERN, 0.0, [0.0, (0.0, 0.0), (0.5, 1.0), [_DOT, _DOT - 1.0]]),
}
"""Name and kind of a pattern, how its lines slant, and one line: angle, start, step to the next, dashes and gaps.

Lengths are shares of the gap between lines. The first is the kind that receivers make from a gap and an angle.
"""


def add_mark(layout: BaseLayout, mark: Drawn) -> None:
    """Add one mark to model space, a paper layout or a block."""
    attributes = {"layer": LAYERS[mark.role].name}
    match mark:
        case Stroke(points=points, closed=closed):
            attributes |= _line_type(hidden=mark.hidden)
            if len(points) == 2 and not closed:
                layout.add_line(*points, dxfattribs=attributes)
            else:
                layout.add_lwpolyline(points, close=closed, dxfattribs=attributes)
        case Ring(centre=centre, radius=radius):
            layout.add_circle(centre, radius, dxfattribs=attributes | _line_type(hidden=mark.hidden))
        case Label():
            _add_label(layout, mark)
        case Filling():
            _add_filling(layout, mark)


def placement(at: Vector, anchor: Anchor, *, centred: bool) -> dict[str, Any]:
    """Return the attributes of a TEXT or ATTRIB that put its left end, middle or right end at a place."""
    along, up = _ALONG[anchor], _CENTRED if centred else _ON_LINE
    if along == up == 0:
        return {"insert": at}
    return {"insert": at, "align_point": at, "halign": along, "valign": up}


def _line_type(*, hidden: bool) -> dict[str, Any]:
    return {"linetype": "HIDDEN", "lineweight": 25} if hidden else {}


def _add_label(layout: BaseLayout, label: Label) -> None:
    """Add a line of text, if anything of it can be shown."""
    text = single_line(label.text)
    if not text:
        return
    layout.add_text(
        text,
        dxfattribs={
            **placement(label.at, label.anchor, centred=label.centred),
            "height": label.height,
            "rotation": label.turn,
            "style": STRONG_TYPE if label.strong else TYPE,
            "layer": LAYERS[label.role].name,
        },
    )


def _add_filling(layout: BaseLayout, filling: Filling) -> None:
    """Add a hatch; its pattern is written out in full, so that no receiver needs to know it."""
    hatch = layout.add_hatch(color=BY_LAYER, dxfattribs={"layer": LAYERS[filling.role].name})
    if filling.pattern != "solid":
        name, kind, turn, line = _PATTERNS[filling.pattern]
        angle = filling.turn + turn
        hatch.set_pattern_fill(
            name, color=BY_LAYER, angle=angle, scale=filling.gap, pattern_type=kind, definition=[line]
        )
    hatch.paths.add_polyline_path(filling.outline, is_closed=True, flags=_OUTER)
    for hole in filling.holes:
        hatch.paths.add_polyline_path(hole, is_closed=True, flags=_HOLE)
