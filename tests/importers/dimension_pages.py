"""Pages of our own invention with dimensions in lines and words, at a scale, with clutter and planted mistakes."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Collection
from dataclasses import dataclass, field
from typing import Any

from layoutdesk.geometry.vector import Vector, turned
from layoutdesk.importers.linework import Linework, Shape, Words
from layoutdesk.units import format_length

LETTERS = 2.4
"""Height of the letters, in mm on paper."""
NOTES = (
    "12'-0\" x 10'-0\"",
    'SCALE: 1/4" = 1\'-0"',
    "A-101",
    '2x10 @ 16" O.C.',
    "PATIO",
    "10'-0\"",
    '#4 @ 12"',
    "2026",
)
"""What else is written on a page, away from its dimensions."""


def in_feet(mm: float) -> str:
    return format_length(mm, "ft-in", 25.4 / 16).replace("' ", "'-")


def in_millimetres(mm: float) -> str:
    return f"{mm:.0f}"


def in_metres(mm: float) -> str:
    return f"{mm / 1000:.2f}"


@dataclass
class Page:
    """A page under way: dimensions are drawn in three rows, each a chain, on paper turned by ``turn`` degrees."""

    ratio: float
    seed: int = 1
    ends: str = "tick"
    place: str = "over"
    write: Callable[[float], str] = in_feet
    step: float = 25.4 / 8
    digits: int = 3
    turn: float = 0.0
    shapes: list[Shape] = field(default_factory=list)
    words: list[Words] = field(default_factory=list)
    texts: list[str] = field(default_factory=list)
    lengths: list[float] = field(default_factory=list)

    def on_paper(self, at: Vector) -> Vector:
        x, y = turned(at, self.turn)
        return round(x, self.digits), round(y, self.digits)

    def line(self, *points: Vector, closed: bool = False) -> None:
        self.shapes.append(Shape(layer="lines", points=tuple(self.on_paper(p) for p in points), closed=closed))

    def say(self, text: str, at: Vector) -> None:
        width = 0.6 * LETTERS * len(text)
        self.words.append(Words(text=text, at=self.on_paper(at), height=LETTERS, width=width, turn=self.turn))

    def dimension(self, x: float, y: float, mm: float, text: str) -> float:
        """Draw a dimension of a length from (x, y) to the right; return where it ends."""
        long = mm / self.ratio
        half = 0.6 * LETTERS * len(text) / 2
        if self.place == "over":
            self.line((x, y), (x + long, y))
            self.say(text, (x + long / 2 - half, y + 0.6 * LETTERS))
        else:
            self.line((x, y), (x + long / 2 - half - 1, y))
            self.line((x + long / 2 + half + 1, y), (x + long, y))
            self.say(text, (x + long / 2 - half, y - LETTERS / 2))
        for at, inward in ((x, 1), (x + long, -1)):
            self.line((at, y - 12), (at, y + 2))
            if self.ends == "tick":
                self.line((at - 1, y - 1), (at + 1, y + 1))
            elif self.ends == "arrow":
                self.line((at, y), (at + 2.5 * inward, y + 0.4), (at + 2.5 * inward, y - 0.4), closed=True)
            elif self.ends == "dot":
                self.shapes.append(Shape(layer="lines", centre=self.on_paper((at, y)), radius=0.5))
        self.texts.append(text)
        self.lengths.append(mm)
        return x + long


def page(ratio: float, *, count: int = 12, wrong: Collection[int] = (), clutter: int = 40, **of: Any) -> Page:
    """Return a page with so many dimensions, of which some (by index) write a wrong number."""
    made = Page(ratio, **of)
    pick = random.Random(made.seed)  # noqa: S311 a scene, no secret
    for row in range(3):
        x = 30.0
        for _ in range(count // 3):
            mm = round(pick.uniform(1500, 4000) / made.step) * made.step
            off = pick.choice((-1, 1)) * pick.choice((76.2, 152.4, 304.8)) if len(made.texts) in wrong else 0.0
            x = made.dimension(x, 30 + 40.0 * row, mm, made.write(mm + off))
    for _ in range(clutter):
        at, angle, long = (
            (pick.uniform(20, 250), pick.uniform(20, 150)),
            pick.choice((0, 90, 37)),
            pick.uniform(5, 80),
        )
        made.line(at, (at[0] + long * math.cos(math.radians(angle)), at[1] + long * math.sin(math.radians(angle))))
    for text in NOTES:
        made.say(text, (pick.uniform(20, 200), pick.uniform(155, 190)))
    return made


def linework(made: Page) -> Linework:
    """Return a page as its reader gives it."""
    return Linework(
        name="page.pdf", kind="pdf", unit=1.0, shapes=tuple(made.shapes), words=tuple(made.words), page=1, pages=1
    )
