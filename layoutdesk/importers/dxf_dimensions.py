"""Dimensions of a DXF: the places they join, what they measure there, and what they say.

Which definition point is what follows the published DXF reference: 13 and 14 are where the extension lines of a
length begin, 10 lies on its dimension line; 10 and 15 are the ends of a diameter, and the centre and edge of a
radius; 10 is the zero and 13 the feature of an ordinate. Those are given in space, where the text stands is given
in the dimension's own plane.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, Final

from ezdxf.document import Drawing as Document
from ezdxf.math import OCS

from layoutdesk.geometry.vector import Vector, crossing, distance, dot, minus
from layoutdesk.importers.dxf_codes import plain_lines
from layoutdesk.importers.dxf_dimension_text import formatted, style_of
from layoutdesk.importers.dxf_frames import WORLD, Frame
from layoutdesk.importers.dxf_shapes import ORIGIN
from layoutdesk.importers.dxf_words import WORDS
from layoutdesk.importers.linework import DimensionKind, Drawn, Words

DIMENSIONS: Final = frozenset({"DIMENSION", "LARGE_RADIAL_DIMENSION"})

_ROTATED, _ALIGNED, _ANGLE, _DIAMETER, _RADIUS, _ANGLE_OF_THREE, _ORDINATE = range(7)
_ALONG_X: Final = 64
_DEEPEST: Final = 4


class DimensionReader:
    """Reads the dimensions of one file."""

    def __init__(self, document: Document, *, on_paper: bool) -> None:
        self._document = document
        self._on_paper = on_paper

    def read(self, entity: Any, frame: Frame, layer: str) -> Drawn | None:
        """Return a dimension; None when its points lie so that it measures nothing."""
        values = vars(entity.dxf)
        found = _measure(entity, values)
        if found is None:
            return None
        kind, ends, along, line_at = found
        start, end = frame.plan(*ends[0]), frame.plan(*ends[1])
        if kind == "angle":
            raw = measured = _degrees(values, frame)
            degrees = None
        else:
            raw = _length(WORLD, ends, along)
            measured = _length(frame, ends, along)
            degrees = None if along is None else math.degrees(math.atan2(*reversed(frame.way(*along)))) % 360.0
        style = style_of(entity, self._document)
        factor = style.factor(on_paper=self._on_paper) if kind != "angle" else 1.0
        written = str(values.get("text", ""))
        seen = self._block_words(values.get("geometry"))
        text, typed = self._text(written, seen, formatted(style, kind, raw * factor))
        return Drawn(
            kind=kind,
            start=start,
            end=end,
            measured=measured,
            text=text,
            along=degrees,
            typed=typed,
            # In a block that is drawn larger the text stays: it shows what was measured in the block.
            factor=factor * raw / measured if measured and raw else factor,
            line_at=None if line_at is None else frame.plan(*line_at),
            middle=_text_middle(values, seen, frame),
            layer=layer,
        )

    @staticmethod
    def _text(written: str, seen: Sequence[Words], shown: str) -> tuple[str, bool]:
        """Return what a reader sees, and whether a person typed it over the measured number."""
        if written == " ":
            return "", False
        drawn = " ".join(words.text for words in seen)
        if written in {"", "<>"}:
            return drawn or shown, False
        if "<>" in written:
            return drawn or _joined(written.replace("<>", shown).replace("[]", "")), False
        return _joined(written.replace("[]", "")), True

    def _block_words(self, name: Any) -> list[Words]:
        """Return the texts in the block that shows the dimension."""
        block = self._document.blocks.get(str(name)) if name else None
        if block is None:
            return []
        found: list[Words] = []
        for entity in block:
            if entity.dxftype() in {"TEXT", "MTEXT"}:
                found.extend(WORDS[entity.dxftype()](entity, vars(entity.dxf), WORLD))
        return found[:_DEEPEST]


def words_of_arc(entity: Any, reader: DimensionReader) -> list[Words]:
    """Return the text of a dimension along an arc, as it is drawn."""
    return reader._block_words(vars(entity.dxf).get("geometry"))  # noqa: SLF001 - of this very module


_Triple = Sequence[float]
_Measure = tuple[DimensionKind, tuple[_Triple, _Triple], "_Triple | None", "_Triple | None"]


def _measure(entity: Any, values: dict[str, Any]) -> _Measure | None:
    """Return kind, ends, the direction measured along (None: straight) and a place on the dimension line."""
    first = values.get("defpoint", ORIGIN)
    if entity.dxftype() == "LARGE_RADIAL_DIMENSION":
        return "radius", (first, values.get("chord_point", ORIGIN)), None, None
    flags = values.get("dimtype", 0)
    kind = flags & 15
    second, third, fourth = (values.get(f"defpoint{k}", ORIGIN) for k in (2, 3, 4))
    if kind in {_ROTATED, _ALIGNED}:
        along = _direction(values, values.get("angle", 0.0)) if kind == _ROTATED else None
        return "distance", (second, third), along, first
    if kind in {_DIAMETER, _RADIUS}:
        return "diameter" if kind == _DIAMETER else "radius", (first, fourth), None, None
    if kind == _ORDINATE:
        turn = -values.get("horizontal_direction", 0.0) + (0.0 if flags & _ALONG_X else 90.0)
        return "ordinate", (first, second), _direction(values, turn), third
    if kind == _ANGLE:
        return "angle", (third, first), None, values.get("defpoint5")
    if kind == _ANGLE_OF_THREE:
        return "angle", (second, third), None, first
    return None


def _direction(values: dict[str, Any], degrees: float) -> _Triple:
    """Return a direction of the dimension's plane in space."""
    turn = math.radians(degrees)
    # Exact at whole quarters: what is measured along x must not pick up a trace of y.
    c, s = ((1, 0), (0, 1), (-1, 0), (0, -1))[round(degrees / 90) % 4] if degrees % 90 == 0 else (0, 0)
    flat = (float(c), float(s), 0.0) if (c or s) else (math.cos(turn), math.sin(turn), 0.0)
    extrusion = values.get("extrusion")
    if extrusion is None:
        return flat
    way = OCS(extrusion).to_wcs(flat)
    return (way.x, way.y, way.z)


def _length(frame: Frame, ends: tuple[_Triple, _Triple], along: _Triple | None) -> float:
    """Return how far the ends lie from each other as a frame shows them, straight or along a direction."""
    start, end = frame.plan(*ends[0]), frame.plan(*ends[1])
    if along is None:
        return distance(start, end)
    way = frame.way(*along)
    size = math.hypot(*way)
    return abs(dot(minus(end, start), way)) / size if size else 0.0


def _degrees(values: dict[str, Any], frame: Frame) -> float:
    """Return the angle of the sector that its arc lies in, in degrees; 0 when its lines do not meet."""
    first, second, third, fourth = (
        frame.plan(*values.get(name, ORIGIN)) for name in ("defpoint", "defpoint2", "defpoint3", "defpoint4")
    )
    if values.get("dimtype", 0) & 15 == _ANGLE_OF_THREE:
        turns = _turn(fourth, second), _turn(fourth, third)
        swept = (turns[1] - turns[0]) % 360.0
        arc = (_turn(fourth, first) - turns[0]) % 360.0
        return swept if arc <= swept else 360.0 - swept
    corner = crossing(second, third, fourth, first)
    if corner is None:
        return 0.0
    swept = (_turn(fourth, first) - _turn(second, third)) % 180.0
    arc = _turn(corner, frame.tilted(values.get("extrusion")).plan(*values.get("defpoint5", ORIGIN)))
    return swept if (arc - _turn(second, third)) % 180.0 <= swept else 180.0 - swept


def _turn(a: Vector, b: Vector) -> float:
    return math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))


def _text_middle(values: dict[str, Any], seen: Sequence[Words], frame: Frame) -> Vector | None:
    """Return where the text stands; a file of the first kind may tell it only by the text that it drew."""
    place = values.get("text_midpoint")
    if place is not None and any(place):
        return frame.tilted(values.get("extrusion")).plan(*place)
    return frame.plan(*seen[0].middle) if seen else None


def _joined(text: str) -> str:
    return " ".join(line for line in plain_lines(text) if line)
