"""What must hold for any page: everything inside the margins, no text on another, every text readable."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from layoutdesk.geometry.vector import Vector
from layoutdesk.sheets.extents import box_round, mark_boxes, text_corners
from layoutdesk.sheets.marks import Mark, Measure, Page, Paragraph, SheetSet, Stamp, Stencil, StencilMark, Text
from layoutdesk.sheets.paper import Box, printable_part

TOUCH = 0.05
"""Texts may come this near to each other's boxes before they count as one on the other, in millimetres."""
LEAST_SIZE = 3.9


def marks_of(page: Page) -> Iterator[Mark]:
    """Yield the marks of a page, those of its stencils where they are put down."""
    for mark in page.marks:
        if isinstance(mark, Stamp):
            for part in mark.stencil.marks:
                yield moved(part, mark.at)
        else:
            yield mark


def moved(mark: StencilMark, by: Vector) -> Mark:
    """Return a mark of a stencil where it is put down."""
    if isinstance(mark, Text | Measure | Paragraph):
        return replace(mark, at=(mark.at[0] + by[0], mark.at[1] + by[1]))
    return Stamp(by, Stencil("alone", (mark,)))


def text_slices(mark: Mark) -> list[Box]:
    """Return what a text covers: a slanting one in slices."""
    if isinstance(mark, Paragraph):
        return [b for b in mark_boxes(mark) if b.width > 0]
    if not isinstance(mark, Text | Measure):
        return []
    a, b, c, d = text_corners(mark)
    if mark.turn % 90 == 0:
        box = box_round((a, b, c, d))
        return [box] if box.width > 1e-9 and box.height > 1e-9 else []
    n = 40

    def on(p: Vector, q: Vector, share: float) -> Vector:
        return (p[0] + (q[0] - p[0]) * share, p[1] + (q[1] - p[1]) * share)

    return [
        box_round((on(a, b, i / n), on(a, b, (i + 1) / n), on(d, c, i / n), on(d, c, (i + 1) / n)))
        for i in range(n)
    ]


def outside(page: Page) -> list[tuple[Mark, Box]]:
    """Return the marks that reach into the margins."""
    part = printable_part(page.size)
    return [(mark, box) for mark in marks_of(page) for box in mark_boxes(mark) if not part.holds(box)]


def overwritten(page: Page) -> list[tuple[Mark, Mark]]:
    """Return pairs of texts that are written on one another."""
    found: list[tuple[Mark, Mark]] = []
    cells: dict[tuple[int, int], list[tuple[Box, Mark]]] = {}
    for mark in marks_of(page):
        hit: set[int] = set()
        slices = [Box(b.left + TOUCH, b.bottom + TOUCH, b.right - TOUCH, b.top - TOUCH) for b in text_slices(mark)]
        for box in slices:
            for cell in _cells(box):
                for other_box, other in cells.get(cell, ()):
                    if id(other) not in hit and box.meets(other_box):
                        hit.add(id(other))
                        found.append((other, mark))
        for box in slices:
            for cell in _cells(box):
                cells.setdefault(cell, []).append((box, mark))
    return found


def _cells(box: Box) -> Iterator[tuple[int, int]]:
    for i in range(int(box.left // 10), int(box.right // 10) + 1):
        for j in range(int(box.bottom // 10), int(box.top // 10) + 1):
            yield i, j


def check_set(sheets: SheetSet) -> None:
    """Assert all that must hold of every page of a set."""
    for page in sheets.pages:
        assert outside(page) == [], page.name
        assert overwritten(page) == [], page.name
        for mark in marks_of(page):
            if isinstance(mark, Text | Measure | Paragraph):
                assert mark.size >= LEAST_SIZE, (page.name, mark)
