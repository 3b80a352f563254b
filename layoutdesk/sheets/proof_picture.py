"""The picture of a proof: where stakes are planned and where they stand, much enlarged, with ellipses and moves.

State is told by shape and words as well as by colour: a stake to be moved has a filled arrow, one to be left none.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from layoutdesk.engine.layout import Layout
from layoutdesk.geometry.vector import Vector, distance, minus, plus, times, turned, unit
from layoutdesk.sheets.camera import fitted_camera, page_right, spread, work_places
from layoutdesk.sheets.clipping import clipped_lines
from layoutdesk.sheets.extents import box_round
from layoutdesk.sheets.flag_words import SIGN
from layoutdesk.sheets.labels import Taken
from layoutdesk.sheets.lettering import paragraph_height
from layoutdesk.sheets.marks import Circle, Ink, Line, Mark, Paragraph, Polyline, Stamp, Stencil, StencilMark, Text
from layoutdesk.sheets.numbers import counted
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.scene import DASHED, Scene, pier_symbol
from layoutdesk.sheets.tape_picture import free_place, tape_lines

if TYPE_CHECKING:
    from layoutdesk.engine.proof.entries import Proof, ProofPoint

_HEAD: Final = 2.6
_AROUND: Final = 0.25
"""Enlarged places may make the picture larger than the plan by this share of it."""
_BESIDE, _ABOVE, _BELOW = 7.0, 9.0, 6.0
"""Room for names round what the picture shows, in millimetres."""
_CORNERS: Final = 48
_SIGN_SIZE: Final = 9.0
_LEGEND: Final = 8.5
_ENTRY: Final = 5.0
_SIGNS: Final = 11.0
"""Room for the signs at the left of the legend, in millimetres."""


def proof_picture(layout: Layout, proof: Proof, box: Box) -> tuple[list[Mark], tuple[str, ...]]:
    """Return the picture in a box, and notes on what it could not show."""
    factor = layout.plan.proof.exaggeration
    inner = Box(box.left + _BESIDE, box.bottom + _BELOW, box.right - _BESIDE, box.top - _ABOVE)
    scene = Scene(layout, fitted_camera(_shown(layout, proof), page_right(layout), inner), box)
    scene.house()
    scene.keepouts()
    planned = {p.id: p.planned for p in proof.points}
    sound = [(planned[t.start], planned[t.end]) for t in proof.tapes if not t.suspect and t.kind == "distance"]
    lie = tape_lines(scene, sound, ink="faint")
    scene.controls()
    scene.piers()
    off_page = sum(not _point(scene, point, factor) for point in proof.points if not point.held)
    for tape in proof.tapes:
        if tape.suspect:
            _suspect(scene, planned[tape.start], planned[tape.end], lie)
    scene.names(shy_of=lie)
    notes = []
    if off_page:
        notes.append(f"{counted(off_page, 'stake')} stands, enlarged, off this picture: see the table.")
    if scene.left_out:
        notes.append(f"{counted(scene.left_out, 'name')} had no room on this drawing.")
    return scene.marks, tuple(notes)


def picture_height(layout: Layout, proof: Proof, width: float) -> float:
    """Return how high the picture is at a width, as all that it shows asks for; both in millimetres."""
    reach = spread(_shown(layout, proof), page_right(layout))
    if reach.width <= 0:
        return math.inf
    return reach.height * (width - 2 * _BESIDE) / reach.width + _ABOVE + _BELOW


def _shown(layout: Layout, proof: Proof) -> list[Vector]:
    """Return the places of the plan that the picture has room for: the work, and what is enlarged near it."""
    places = work_places(layout)
    reach = spread(places, page_right(layout))
    most = _AROUND * max(reach.width, reach.height)
    factor = layout.plan.proof.exaggeration
    moved = [at for p in proof.points if (at := enlarged(p, factor)) and distance(at, p.planned) <= most]
    return [*places, *moved]


def enlarged(point: ProofPoint, factor: float) -> Vector | None:
    """Return where a point is shown: ``factor`` times as far from its planned place; None if it is unknown."""
    if point.found is None:
        return None
    return plus(point.planned, times(minus(point.found, point.planned), factor))


def ellipse(point: ProofPoint, factor: float) -> tuple[Vector, ...]:
    """Return the outline of a point's enlarged ellipse, in the plan."""
    middle = enlarged(point, factor)
    if middle is None:
        return ()
    oval = _oval(point.semi_major * factor, point.semi_minor * factor)
    return tuple(plus(middle, turned(p, point.turn)) for p in oval)


def _point(scene: Scene, point: ProofPoint, factor: float) -> bool:
    """Draw ellipse, place and move of one point; return whether its place is on the picture."""
    middle = enlarged(point, factor)
    if middle is None:
        return True
    camera, window = scene.camera, scene.window
    ring = camera.path(ellipse(point, factor))
    for part in clipped_lines((*ring, ring[0]), window):
        scene.marks.append(Polyline(part, width=0.25, ink="check"))
        for a, b in pairwise(part):
            scene.taken.take_stroke(a, b, soft=True)
    start, end = camera.path((middle, point.planned))
    moves = point.verdict == "move" and point.kind != "control"
    ink: Ink = "wrong" if moves else "look" if point.verdict == "within the tapes" else "holds"
    width = 0.6 if moves else 0.25
    for part in clipped_lines((start, end), window):
        scene.marks += [Line(a, b, width, ink) for a, b in pairwise(part)]
        for a, b in pairwise(part):
            scene.taken.take_stroke(a, b, width=1.0)
    inside = window.inset(1.0).holds(box_round((start,)))
    if inside:
        scene.marks += _stands(start, ink)
        scene.taken.take_round(start, 1.0)
    if moves and distance(start, end) > _HEAD:
        scene.marks.append(_head(start, end, ink))
    return inside


def _stands(at: Vector, ink: Ink) -> tuple[Line, ...]:
    """Return the sign of where a stake stands: a slanting cross."""
    x, y = at
    return (
        Line((x - 0.9, y - 0.9), (x + 0.9, y + 0.9), 0.35, ink),
        Line((x - 0.9, y + 0.9), (x + 0.9, y - 0.9), 0.35, ink),
    )


def _head(start: Vector, end: Vector, ink: Ink) -> Polyline:
    back = times(unit(minus(start, end)), _HEAD)
    wings = (plus(end, turned(back, 20.0)), plus(end, turned(back, -20.0)))
    return Polyline((end, *wings), ink=None, closed=True, fill=ink)


def _suspect(scene: Scene, start: Vector, end: Vector, lie: Taken) -> None:
    """Draw a suspect measure: heavy dashes, and the sign of what to look at on it."""
    tape_lines(scene, [(start, end)], ink="wrong", width=0.5, dash=DASHED, lie=lie)
    a, b = scene.camera.path((start, end))
    if at := free_place(a, b, 2.0, scene.taken):
        scene.taken.take_round(at, 2.0)
        scene.marks += [
            Circle(at, 2.0, width=0.4, ink="wrong", fill="paper"),
            Text((at[0], at[1] - 1.15), SIGN, _SIGN_SIZE, "black", "wrong", "middle"),
        ]


def legend(room: Box, factor: float) -> tuple[list[Mark], float]:
    """Return what the signs of the picture mean, from the top of a room downwards, and where that ends."""
    entries: tuple[tuple[tuple[StencilMark, ...], str], ...] = (
        (pier_symbol((0.0, 0.0), 1.6), "where a stake is **planned**"),
        (_stands((0.0, 0.0), "holds"), "where it **stands**"),
        (
            (Line((-4.0, 0.0), (4.0, 0.0), 0.6, "wrong"), _head((-4.0, 0.0), (4.0, 0.0), "wrong")),
            "the **move** that puts it right",
        ),
        ((Line((-4.0, 0.0), (4.0, 0.0), 0.25, "holds"),), "off, but **leave it**"),
        ((Polyline(_oval(3.4, 1.7), width=0.25, ink="check", closed=True),), "95 %: its place lies **in here**"),
        ((Line((-4.0, 0.0), (4.0, 0.0), 0.18, "faint"),), "a tape"),
        (
            (
                Line((-4.0, 0.0), (4.0, 0.0), 0.5, "wrong", DASHED),
                Circle((0.0, 0.0), 1.7, width=0.4, ink="wrong", fill="paper"),
                Text((0.0, -1.0), SIGN, 8.0, "black", "wrong", "middle"),
            ),
            "a tape that is **likely misread**",
        ),
    )
    words = f"**Moves and ellipses are drawn {factor:g} times their size.**"
    marks: list[Mark] = [Paragraph((room.left, room.top), room.width, words, _LEGEND)]
    y = room.top - paragraph_height(words, _LEGEND, room.width) - 1.0
    for signs, text in entries:
        high = max(_ENTRY, paragraph_height(text, _LEGEND, room.width - _SIGNS))
        marks.append(Stamp((room.left + 4.5, y - _ENTRY / 2), Stencil(f"proof sign: {text}", signs)))
        marks.append(Paragraph((room.left + _SIGNS, y), room.width - _SIGNS, text, _LEGEND))
        y -= high
    return marks, y


def _oval(wide: float, high: float) -> tuple[Vector, ...]:
    steps = (2 * math.pi * i / _CORNERS for i in range(_CORNERS))
    return tuple((wide * math.cos(a), high * math.sin(a)) for a in steps)
