"""Texts of a DXF as lines of words: where they begin as drawn, how high, how wide, how far turned."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from typing import Any, Final

from layoutdesk.geometry.vector import Vector
from layoutdesk.importers.dxf_codes import plain_line, plain_lines
from layoutdesk.importers.dxf_frames import UP, Frame
from layoutdesk.importers.dxf_shapes import ORIGIN
from layoutdesk.importers.linework import Words

WordsReader = Callable[[Any, "dict[str, Any]", Frame], "Iterable[Words]"]

LETTER: Final = 0.8
"""How wide a letter is in the mean, as a share of the height of capitals; only fonts know better."""

_PITCH: Final = 5 / 3
"""From line to line of an MTEXT, as a share of the height of capitals."""

_MIDDLE, _ALIGNED, _FIT = 4, 3, 5


def text(_: Any, values: dict[str, Any], frame: Frame) -> Iterable[Words]:
    """Read a TEXT or an attribute."""
    shown = plain_line(str(values.get("text", "")))
    if not shown:
        return ()
    flat = frame.tilted(values.get("extrusion"))
    height = abs(values.get("height", 1.0))
    along, up = values.get("halign", 0), values.get("valign", 0)
    width = len(shown) * height * LETTER * abs(values.get("width", 1.0))
    turn = math.radians(values.get("rotation", 0.0))
    at = values.get("insert", ORIGIN)
    other = values.get("align_point") if along or up else None
    if other is not None:
        if along in {_ALIGNED, _FIT}:
            width = math.hypot(other[0] - at[0], other[1] - at[1]) or width
            if other[0] != at[0] or other[1] != at[1]:
                turn = math.atan2(other[1] - at[1], other[0] - at[0])
        else:
            at = other
    share = 0.5 if along in {1, _MIDDLE} else 1.0 if along == 2 else 0.0
    foot = 0.5 if along == _MIDDLE or up == 2 else 1.0 if up == 3 else 0.0
    return (_placed(shown, flat, at, turn, (-share * width, -foot * height), width=width, height=height),)


def mtext(entity: Any, values: dict[str, Any], frame: Frame) -> Iterable[Words]:
    """Read an MTEXT, line by line."""
    flat, turn = _lie(frame, values.get("extrusion"), values.get("text_direction"), values.get("rotation", 0.0))
    return paragraph(
        entity.text,
        flat,
        frame.plan(*values.get("insert", ORIGIN)),
        turn=turn,
        height=abs(values.get("char_height", 2.5)),
        attached=values.get("attachment_point", 1),
        pitch=_PITCH * abs(values.get("line_spacing_factor", 1.0)),
    )


def multileader(entity: Any, _: dict[str, Any], frame: Frame) -> Iterable[Words]:
    """Read the text at the end of a multileader, if it has one."""
    context: Any = getattr(entity, "context", None)
    content = None if context is None else context.mtext
    if context is None or content is None:
        return ()
    flat, turn = _lie(frame, content.extrusion, content.text_direction, 0.0)
    return paragraph(
        content.default_content,
        flat,
        frame.plan(*content.insert),
        turn=turn,
        height=abs(context.char_height) or 1.0,
        attached={1: 1, 2: 2, 3: 3}.get(content.alignment, 1),
        pitch=_PITCH,
    )


def attribute_definition(entity: Any, values: dict[str, Any], frame: Frame) -> Iterable[Words]:
    """Read an ATTDEF: only a constant one is drawn in a block."""
    return text(entity, values, frame) if values.get("flags", 0) & 2 else ()


def paragraph(
    content: str, flat: Frame, at: Vector, *, turn: float, height: float, attached: int, pitch: float
) -> Iterable[Words]:
    """Return the lines of a paragraph.

    Args:
        content: its text, with codes.
        flat: the frame that it is written in; ``at`` is in the drawing already.
        at: the point it hangs from.
        turn: in radians, in its frame.
        height: of capitals.
        attached: from 1, the top left, by columns and rows to 9, the bottom right.
        pitch: from line to line as a share of the height.
    """
    lines = plain_lines(content)
    column, row = (attached - 1) % 3, (attached - 1) // 3 % 3
    tall = height * (1 + (len(lines) - 1) * pitch)
    found = []
    for k, shown in enumerate(lines):
        if shown:
            width = len(shown) * height * LETTER
            foot = tall * row / 2 - height * (1 + k * pitch)
            words = _placed(shown, flat, ORIGIN, turn, (-width * column / 2, foot), width=width, height=height)
            zero = flat.plan(0.0, 0.0)
            place = (words.at[0] - zero[0] + at[0], words.at[1] - zero[1] + at[1])
            found.append(Words(text=shown, at=place, height=words.height, width=words.width, turn=words.turn))
    return found


def _lie(frame: Frame, extrusion: Any, direction: Any, turn: float) -> tuple[Frame, float]:
    """Return the frame of a paragraph and how it is turned there: its direction is given in space, if at all."""
    if direction is None:
        return frame.tilted(extrusion), math.radians(turn)
    x, y, z = direction
    nx, ny, nz = extrusion or UP
    long, tall = math.sqrt(x * x + y * y + z * z), math.sqrt(nx * nx + ny * ny + nz * nz)
    if not (long and tall):
        return frame, 0.0
    along, out = (x / long, y / long, z / long), (nx / tall, ny / tall, nz / tall)
    up = (
        out[1] * along[2] - out[2] * along[1],
        out[2] * along[0] - out[0] * along[2],
        out[0] * along[1] - out[1] * along[0],
    )
    return frame.holding(Frame(along, up, out)), 0.0


def _placed(shown: str, flat: Frame, at: Any, turn: float, shift: Vector, *, width: float, height: float) -> Words:
    """Return words whose foot begins ``shift`` (along them, and up) from a place; mirrored ones by their box."""
    c, s = math.cos(turn), math.sin(turn)
    along, up = flat.way(c, s), flat.way(-s, c)
    x, y = flat.plan(at[0], at[1], at[2] if len(at) > 2 else 0.0)
    foot = (x + along[0] * shift[0] + up[0] * shift[1], y + along[1] * shift[0] + up[1] * shift[1])
    wide = width * math.hypot(*along)
    if along[0] * up[1] - along[1] * up[0] < 0:
        foot = (foot[0] + along[0] * width, foot[1] + along[1] * width)
        along = (-along[0], -along[1])
    degrees = math.degrees(math.atan2(along[1], along[0]))
    return Words(text=shown, at=foot, height=height * math.hypot(*up), width=wide, turn=degrees)


WORDS: Final[dict[str, WordsReader]] = {
    "TEXT": text,
    "MTEXT": mtext,
    "MULTILEADER": multileader,
    "MLEADER": multileader,
    "ATTDEF": attribute_definition,
}
