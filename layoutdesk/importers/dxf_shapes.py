"""Lines, runs, circles, arcs and other curves of a DXF as forms seen from above.

Each reader takes the library's entity (None for a plain thing), its values and the frame that it lies in, and gives
what is drawn. The values are what the file says; what it leaves out has the default of the DXF reference.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from typing import Any, Final

from layoutdesk.importers.dxf_frames import UP, Frame
from layoutdesk.importers.dxf_round import Form, circle_form, round_form, run_form, straight_form

ShapeReader = Callable[[Any, "dict[str, Any]", Frame], "Iterable[Form | None]"]

ORIGIN: Final = (0.0, 0.0, 0.0)
_CLOSED, _SPACE, _MESH, _FACES = 1, 8, 16, 64
_FRAME_VERTEX: Final = 16
_SPLINE_POINTS: Final = (16, 720)
_WHOLE: Final = 2 * math.pi


def line(_: Any, values: dict[str, Any], frame: Frame) -> Iterable[Form | None]:
    """Read a LINE."""
    start, end = values.get("start", ORIGIN), values.get("end", ORIGIN)
    a, b = frame.plan(*start), frame.plan(*end)
    return (Form((a, b)) if a != b else None,)


def circle(_: Any, values: dict[str, Any], frame: Frame) -> Iterable[Form | None]:
    """Read a CIRCLE."""
    flat = frame.tilted(values.get("extrusion"))
    radius = abs(values.get("radius", 0.0))
    return (circle_form(flat, values.get("center", ORIGIN), radius, 0.0, _WHOLE) if radius else None,)


def arc(_: Any, values: dict[str, Any], frame: Frame) -> Iterable[Form | None]:
    """Read an ARC, which runs anticlockwise in its own frame."""
    flat = frame.tilted(values.get("extrusion"))
    radius = abs(values.get("radius", 0.0))
    start = math.radians(values.get("start_angle", 0.0))
    span = _span(start, math.radians(values.get("end_angle", 360.0)))
    return (circle_form(flat, values.get("center", ORIGIN), radius, start, span) if radius else None,)


def ellipse(_: Any, values: dict[str, Any], frame: Frame) -> Iterable[Form | None]:
    """Read an ELLIPSE: its axes are given in space, its ends as parameters."""
    long = values.get("major_axis", (1.0, 0.0, 0.0))
    ratio = values.get("ratio", 1.0)
    nx, ny, nz = values.get("extrusion", UP)
    size = math.sqrt(nx * nx + ny * ny + nz * nz) / ratio
    short = (
        (ny * long[2] - nz * long[1]) / size,
        (nz * long[0] - nx * long[2]) / size,
        (nx * long[1] - ny * long[0]) / size,
    )
    start = values.get("start_param", 0.0)
    span = _span(start, values.get("end_param", _WHOLE))
    return (round_form(frame, values.get("center", ORIGIN), tuple(long), short, start=start, span=span),)


def lwpolyline(entity: Any, values: dict[str, Any], frame: Frame) -> Iterable[Form | None]:
    """Read an LWPOLYLINE."""
    flat = frame.tilted(values.get("extrusion"))
    closed = bool(values.get("flags", 0) & _CLOSED)
    if "corners" in values:
        corners, bulges = values["corners"], values["bulges"]
    else:
        rows = entity.lwpoints.values.tolist()
        corners, bulges = [(row[0], row[1]) for row in rows], [row[4] for row in rows]
    return (run_form(flat, corners, bulges, values.get("elevation", 0.0), closed=closed),)


def polyline(entity: Any, values: dict[str, Any], frame: Frame) -> Iterable[Form | None]:
    """Read a POLYLINE, flat or in space; meshes are the walker's to pass over."""
    flags = values.get("flags", 0)
    closed = bool(flags & _CLOSED)
    vertices = [
        v for v in (vars(vertex.dxf) for vertex in entity.vertices) if not v.get("flags", 0) & _FRAME_VERTEX
    ]
    places = [v.get("location", ORIGIN) for v in vertices]
    if flags & _SPACE:
        return (straight_form([frame.plan(*place) for place in places], closed=closed),)
    height = places[0][2] if places else 0.0
    flat = frame.tilted(values.get("extrusion"))
    corners = [(place[0], place[1]) for place in places]
    return (run_form(flat, corners, [v.get("bulge", 0.0) for v in vertices], height, closed=closed),)


def is_mesh(values: dict[str, Any]) -> bool:
    """Return whether a POLYLINE is a mesh or a body of faces."""
    return bool(values.get("flags", 0) & (_MESH | _FACES))


def spline(entity: Any, values: dict[str, Any], frame: Frame) -> Iterable[Form | None]:
    """Read a SPLINE as a run of short sides; one of the first degree is a run already."""
    control: Sequence[Sequence[float]] = entity.control_points
    if values.get("degree", 3) == 1 and len(control):
        places: Iterable[Any] = [tuple(map(float, place)) for place in control]
    else:
        fewest, most = _SPLINE_POINTS
        count = max(len(control), len(entity.fit_points))
        places = entity.construction_tool().approximate(min(most, max(fewest, 8 * count)))
    points = [frame.plan(*place) for place in places]
    return (straight_form(points, closed=bool(values.get("flags", 0) & _CLOSED)),)


def solid(_: Any, values: dict[str, Any], frame: Frame) -> Iterable[Form | None]:
    """Read a SOLID or TRACE: a filled corner piece, whose third and fourth corners are told crosswise."""
    flat = frame.tilted(values.get("extrusion"))
    first, second, third = (values.get(f"vtx{k}", ORIGIN) for k in range(3))
    corners = [flat.plan(*place) for place in (first, second, values.get("vtx3", third), third)]
    return (straight_form(corners, closed=True),)


def point(_: Any, values: dict[str, Any], frame: Frame) -> Iterable[Form | None]:
    """Read a POINT: a shape of one place."""
    return (Form((frame.plan(*values.get("location", ORIGIN)),)),)


def multiline(entity: Any, _: dict[str, Any], frame: Frame) -> Iterable[Form | None]:
    """Read an MLINE, side by side lines, through the lines and arcs that the library makes of it."""
    return [
        form
        for part in entity.virtual_entities()
        if part.dxftype() in {"LINE", "ARC"}
        for form in SHAPES[part.dxftype()](part, vars(part.dxf), frame)
    ]


def _span(start: float, end: float) -> float:
    """Return the anticlockwise way from one angle to another; a whole turn when they are the same."""
    span = (end - start) % _WHOLE
    return span if span > 1e-9 else _WHOLE


SHAPES: Final[dict[str, ShapeReader]] = {
    "LINE": line,
    "CIRCLE": circle,
    "ARC": arc,
    "ELLIPSE": ellipse,
    "LWPOLYLINE": lwpolyline,
    "POLYLINE": polyline,
    "SPLINE": spline,
    "HELIX": spline,
    "SOLID": solid,
    "TRACE": solid,
    "POINT": point,
    "MLINE": multiline,
}
