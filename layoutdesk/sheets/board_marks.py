"""A board drawn with the marks that go on it: the string's nail, and the edges of holes and columns beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from layoutdesk.engine.layout import StringRun
from layoutdesk.engine.levels.entries import NailMark
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.flow import Flow
from layoutdesk.sheets.lettering import measure_width, text_width
from layoutdesk.sheets.marks import Line, Mark, Measure, Text
from layoutdesk.sheets.numbers import parts
from layoutdesk.sheets.paper import Box
from layoutdesk.units import LengthParts

_ABOVE: Final = 9.0
_BOARD: Final = 7.0
"""How high a board is drawn, in millimetres."""
_ROW: Final = 4.8
_FIGURE: Final = 10.0
_WORD: Final = 7.5
_ENDS: Final = 22.0
_BEYOND: Final = 8.0
_CLEAR: Final = 1.5
_SAME: Final = 3
"""Marks that agree to so many decimals of a millimetre are alike."""


def board_marks(flow: Flow, plan: Plan, runs: Sequence[StringRun]) -> None:
    """Lay a drawing of every different set of marks, with the strings that it is for."""
    kinds: dict[tuple[NailMark, ...], list[str]] = {}
    for run in runs:
        alike = tuple(NailMark(mark.of, round(mark.across, _SAME)) for mark in run.boards[1].marks)
        kinds.setdefault(alike, []).append(run.label)
    for marks, names in kinds.items():
        drawn = _Drawn.of(plan, marks, flow.width)
        flow.heading(f"Marks on the boards of {', '.join(names)}", keep=drawn.height)
        flow.block(drawn.height, drawn.marks_in, after=3.0)


@dataclass(frozen=True, slots=True)
class _Drawn:
    """A board's marks to scale, seen along the string from its zero; ``rows`` are the figures under each other."""

    marks: tuple[NailMark, ...]
    scale: float
    reach: float
    rows: tuple[tuple[tuple[float, LengthParts], ...], ...]

    @classmethod
    def of(cls, plan: Plan, marks: tuple[NailMark, ...], width: float) -> _Drawn:
        """Return the drawing for a width: each figure in the first row in which it keeps off the others."""
        reach = max((abs(mark.across) for mark in marks), default=0.0) or 1.0
        scale = (width / 2 - _ENDS) / reach
        rows: list[list[tuple[float, LengthParts]]] = []
        ends: list[float] = []
        # Edges of holes stand in the first row: they are what is dug by.
        for mark in sorted(marks, key=lambda m: (m.of != "pier edge", -m.across)):
            if mark.of == "line":
                continue
            figure, x = parts(plan, abs(mark.across)), -mark.across * scale
            half = measure_width(figure, _FIGURE) / 2
            row = next((i for i, end in enumerate(ends) if x - half > end + _CLEAR), len(rows))
            if row == len(rows):
                rows.append([])
                ends.append(0.0)
            rows[row].append((x, figure))
            ends[row] = x + half
        return cls(marks, scale, reach, tuple(tuple(row) for row in rows))

    @property
    def height(self) -> float:
        """Return how much paper it needs."""
        return _ABOVE + _BOARD + len(self.rows) * _ROW + 1.5

    def marks_in(self, box: Box) -> list[Mark]:
        """Return it drawn in a box."""
        middle, top = box.centre[0], box.top - _ABOVE
        low = top - _BOARD
        half = self.reach * self.scale + _BEYOND
        drawn: list[Mark] = [Line((middle - half, y), (middle + half, y), 0.5) for y in (low, top)]
        words: dict[str, float] = {}
        for mark in sorted(self.marks, key=lambda m: -m.across):
            x = middle - mark.across * self.scale
            edge = mark.of == "pier edge"
            drawn.append(Line((x, low), (x, top + (3.0 if mark.of == "line" else 1.2)), 0.5 if edge else 0.3))
            if mark.of == "line":
                drawn.append(Text((x, top + 4.6), "string", 8.5, "bold", anchor="middle"))
                continue
            word = "hole" if edge else "column"
            wide = text_width(word, _WORD) / 2
            if x - wide > max(words.values(), default=x - wide - 2 * _CLEAR) + _CLEAR:
                drawn.append(Text((x, top + 1.8), word, _WORD, anchor="middle", ink="soft"))
                words[word] = x + wide
        for i, row in enumerate(self.rows):
            y = low - _ROW * (i + 0.85)
            drawn += [Measure((middle + x, y), figure, _FIGURE, "bold", "ink", "middle") for x, figure in row]
        return drawn
