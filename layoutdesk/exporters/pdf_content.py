"""Marks as the drawing operators of a PDF page (ISO 32000-1:2008, 8.5 and 9.4).

A book of a thousand cards is written about as fast as its text can be encoded: numbers are formatted once,
text that repeats is encoded once, and width, dash and colour are set only when they change.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Final, TypeAlias

from layoutdesk.geometry.vector import Vector, turned
from layoutdesk.sheets.lettering import (
    first_baseline,
    line_height,
    measure_text,
    paragraph_lines,
    set_line,
)
from layoutdesk.sheets.marks import (
    Anchor,
    Circle,
    Dash,
    Hatch,
    Ink,
    Line,
    Measure,
    Paragraph,
    Polyline,
    StencilMark,
    Text,
    Weight,
)
from layoutdesk.sheets.type import MM_PER_POINT
from layoutdesk.units import write_parts

Encode: TypeAlias = Callable[[Weight, str], list[tuple[str, str]]]
"""Gives the font names of the file and the text in the code of each, in hexadecimal digits."""
Lines: TypeAlias = dict[tuple[str, float, Weight], tuple[str, float]]
"""The operators and the width of every line of text, size and weight that a file has shown: most come again."""
POINTS: Final = 1 / MM_PER_POINT

_COLOURS: Final[Mapping[Ink, str]] = {
    "ink": "0 0 0",
    "soft": ".33 .33 .33",
    "faint": ".72 .72 .72",
    "work": ".72 .22 .05",
    "check": ".07 .30 .58",
    "holds": ".05 .42 .22",
    "look": ".55 .33 0",
    "wrong": ".65 .08 .06",
    "paper": "1 1 1",
    "shade": ".86 .86 .86",
    "wash": ".94 .94 .94",
}
"""What each meaning looks like on white paper: dark enough to stay dark on a black and white printer."""
_SHARE: Final[Mapping[Anchor, float]] = {"start": 0.0, "middle": 0.5, "end": 1.0}
_ROUND: Final = 0.5522847498
"""Handle length of the four Bezier curves that stand for a circle of radius 1."""


class Content:
    """The operators of one page or stencil, in points from its lower left corner."""

    def __init__(self, encode: Encode, lines: Lines, *, stencil: bool = False) -> None:
        """Take how text is encoded, and the lines of text that the file has shown already.

        A page begins in black without dashes; a stencil in whatever is set where it is put down, so that it sets
        all that it needs.
        """
        self._encode = encode
        self._lines = lines
        self._out: list[str] = []
        self._width: float | None = None
        self._dash: Dash | None = None if stencil else ()
        self._stroke: Ink | None = None if stencil else "ink"
        self._fill: Ink | None = None if stencil else "ink"

    def add(self, mark: StencilMark) -> None:
        """Append one mark."""
        _DRAW[type(mark)](self, mark)

    def taken(self) -> str:
        """Return the operators since the last call; what is set stays set."""
        operators = "\n".join(self._out)
        self._out.clear()
        return operators

    def _set_stroke(self, width_mm: float, ink: Ink | None, dash: Dash) -> None:
        if ink is None:
            return
        if width_mm != self._width:
            self._out.append(f"{width_mm * POINTS:.3f} w")
            self._width = width_mm
        if ink != self._stroke:
            self._out.append(f"{_COLOURS[ink]} RG")
            self._stroke = ink
        if dash != self._dash:
            self._out.append(f"[{' '.join(f'{d * POINTS:.3f}' for d in dash)}] 0 d")
            self._dash = dash

    def _set_fill(self, ink: Ink | None) -> None:
        if ink is not None and ink != self._fill:
            self._out.append(f"{_COLOURS[ink]} rg")
            self._fill = ink

    def line(self, mark: Line) -> None:
        """Append a stroke."""
        self._set_stroke(mark.width, mark.ink, mark.dash)
        (x1, y1), (x2, y2) = mark.start, mark.end
        self._out.append(f"{x1 * POINTS:.3f} {y1 * POINTS:.3f} m {x2 * POINTS:.3f} {y2 * POINTS:.3f} l S")

    def polyline(self, mark: Polyline) -> None:
        """Append a bent stroke or a filled outline."""
        self._set_stroke(mark.width, mark.ink, mark.dash)
        self._set_fill(mark.fill)
        self._out.append(_way(mark.points, closed=mark.closed) + _paint(mark.ink, mark.fill))

    def circle(self, mark: Circle) -> None:
        """Append a circle as four curves."""
        self._set_stroke(mark.width, mark.ink, mark.dash)
        self._set_fill(mark.fill)
        x, y, r = mark.centre[0] * POINTS, mark.centre[1] * POINTS, mark.radius * POINTS
        h = r * _ROUND
        self._out.append(
            f"{x + r:.3f} {y:.3f} m"
            f" {x + r:.3f} {y + h:.3f} {x + h:.3f} {y + r:.3f} {x:.3f} {y + r:.3f} c"
            f" {x - h:.3f} {y + r:.3f} {x - r:.3f} {y + h:.3f} {x - r:.3f} {y:.3f} c"
            f" {x - r:.3f} {y - h:.3f} {x - h:.3f} {y - r:.3f} {x:.3f} {y - r:.3f} c"
            f" {x + h:.3f} {y - r:.3f} {x + r:.3f} {y - h:.3f} {x + r:.3f} {y:.3f} c h"
            + _paint(mark.ink, mark.fill)
        )

    def text(self, mark: Text) -> None:
        """Append one line of text."""
        self._line(mark, mark.text)

    def measure(self, mark: Measure) -> None:
        """Append a written length; whoever copies it from the page gets ``11' 0 3/16"``, fraction and all."""
        text = measure_text(mark.parts, mark.before)
        if not mark.parts.over:
            self._line(mark, text)
            return
        plain = (mark.before + write_parts(mark.parts)).encode("utf-16-be").hex()
        self._out.append(f"/Span<</ActualText<feff{plain}>>>BDC")
        self._line(mark, text)
        self._out.append("EMC")

    def _line(self, mark: Text | Measure, text: str) -> None:
        self._set_fill(mark.ink)
        show, wide = self._shown(text, mark.size, mark.weight)
        x, y = mark.at[0] * POINTS, mark.at[1] * POINTS
        shift = _SHARE[mark.anchor] * wide
        if mark.turn:
            c, s = turned((1.0, 0.0), mark.turn)
            self._out.append(
                f"q {c:.6f} {s:.6f} {-s:.6f} {c:.6f} {x:.3f} {y:.3f} cm BT {-shift:.3f} 0 Td {show} ET Q"
            )
        else:
            self._out.append(f"BT {x - shift:.3f} {y:.3f} Td {show} ET")

    def _shown(self, text: str, size: float, weight: Weight) -> tuple[str, float]:
        """Return the operators that show a line from where one stands, and its width in points.

        Its pieces are one text object, so that they are read back as one.
        """
        key = (text, size, weight)
        shown = self._lines.get(key)
        if shown is None:
            pieces, wide = set_line(text, size, weight)
            codes: list[str] = []
            x = y = 0.0
            for piece in pieces:
                if (piece.right, piece.up) != (x, y):
                    codes.append(f"{(piece.right - x) * POINTS:.3f} {(piece.up - y) * POINTS:.3f} Td")
                    x, y = piece.right, piece.up
                codes += [
                    f"{font} {piece.size:.3f} Tf <{part}> Tj" for font, part in self._encode(weight, piece.text)
                ]
            shown = self._lines[key] = (" ".join(codes), wide * POINTS)
        return shown

    def paragraph(self, mark: Paragraph) -> None:
        """Append running text line by line."""
        self._set_fill(mark.ink)
        y = mark.at[1] - first_baseline(mark.size, mark.leading)
        for line in paragraph_lines(mark):
            for word in line:
                show, _wide = self._shown(word.text, mark.size, word.weight)
                x = mark.at[0] + word.right
                self._out.append(f"BT {x * POINTS:.3f} {y * POINTS:.3f} Td {show} ET")
            y -= line_height(mark.size, mark.leading)

    def hatch(self, mark: Hatch) -> None:
        """Append slanting lines, clipped to an outline; neighbouring outlines match."""
        self._set_stroke(mark.width, mark.ink, ())
        xs, ys = [p[0] for p in mark.outline], [p[1] for p in mark.outline]
        left, right, low, high = min(xs), max(xs), min(ys), max(ys)
        step = mark.gap * 2**0.5
        self._out.append("q " + _way(mark.outline, closed=True) + " W n")
        # The lines are those on which x - y is a whole number of steps, wherever the outline lies.
        for n in range(int((left - high) // step), int((right - low) // step) + 1):
            self._out.append(_way(((low + n * step, low), (high + n * step, high)), closed=False) + " S")
        self._out.append("Q")


def moved_to(at: Vector) -> str:
    """Return the operators that keep the state and move the origin; ``Q`` brings both back."""
    return f"q 1 0 0 1 {at[0] * POINTS:.3f} {at[1] * POINTS:.3f} cm"


def _way(points: Iterable[Vector], *, closed: bool) -> str:
    """Return the path through some points."""
    way = " l ".join(f"{x * POINTS:.3f} {y * POINTS:.3f}" for x, y in points).replace(" l ", " m ", 1)
    way += " l" if " m " in way else " m"
    return way + " h" if closed else way


def _paint(ink: Ink | None, fill: Ink | None) -> str:
    """Return the operator that strokes and fills a path."""
    if ink is None:
        return " n" if fill is None else " f"
    return " S" if fill is None else " B"


_DRAW: Final[Mapping[type, Callable[..., None]]] = {
    Line: Content.line,
    Polyline: Content.polyline,
    Circle: Content.circle,
    Text: Content.text,
    Measure: Content.measure,
    Paragraph: Content.paragraph,
    Hatch: Content.hatch,
}
