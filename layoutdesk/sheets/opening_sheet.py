"""The openings: every slab that piers fall in, what is sawn out of it, where it is marked and how it is carried."""

from __future__ import annotations

from typing import Final

from layoutdesk.engine.holes.saw_places import saw_marks
from layoutdesk.engine.layout import Layout, Opening
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Slab
from layoutdesk.sheets.blocks import caution_box, caution_height
from layoutdesk.sheets.camera import fitted_camera, page_right
from layoutdesk.sheets.cells import length_cell
from layoutdesk.sheets.flow import Flow
from layoutdesk.sheets.frame import Draft, body
from layoutdesk.sheets.marks import Mark
from layoutdesk.sheets.numbers import counted, said
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.scene import Scene
from layoutdesk.sheets.table import Column, Row, Tick, fit_table
from layoutdesk.units import format_mass, format_volume

SECTION: Final = "Openings"
_SIZES: Final = (13.0, 12.0, 11.0, 10.0, 9.0, 8.0, 7.0)
_WORDS: Final = 9.5
_SHARE: Final = 0.34
"""How much of a page the picture of a slab takes."""
_AROUND: Final = 9.0
_NAMES: Final = (11.0, 10.0, 9.0, 8.0, 7.0, 6.0, 5.0)
_CAUTIONS: Final = (
    (
        "**Dust:** concrete dust holds silica and harms the lungs for good. Saw wet, or with a vacuum made for it;"
        " wear a fitted respirator, and keep others away."
    ),
    (
        "**Kickback:** both hands, never over shoulder height, no forcing, no turning in the cut; wait until the"
        " blade stands still. Eyes, ears, boots, gloves."
    ),
    (
        "**Pipes and wires** lie in and under slabs: have them located before any cut, and find out whether the"
        " slab is stressed by tendons: such a one is never sawn without its engineer."
    ),
    "**Lifting:** a piece weighs what the table says; lift with two people or a machine. **Cover** what is open.",
)
_SAW: Final[tuple[Column, ...]] = (
    Column("opening", "start", weight="black"),
    Column("for", "start", weight="regular", scale=0.8, grows=True),
    Column("to saw"),
    Column("passes"),
    Column("pieces"),
    Column("heaviest"),
    Column("rubble"),
    Column("sawn", "middle", least=11.0),
)
_READ: Final = Column("seen", "middle", least=11.0)
_SIDES: Final[tuple[Column, ...]] = (
    Column("opening", "start", weight="black"),
    Column("station from"),
    Column("to"),
    Column("offset from"),
    Column("to"),
    Column("along"),
    Column("away"),
    Column("diagonal"),
    _READ,
)
_ROUND: Final[tuple[Column, ...]] = (
    Column("opening", "start", weight="black"),
    Column("station of the middle"),
    Column("offset of the middle"),
    Column("radius"),
    _READ,
)
_CORNERS: Final[tuple[Column, ...]] = (
    Column("opening", "start", weight="black"),
    Column("mark", "start", weight="regular", scale=0.85),
    Column("station"),
    Column("offset"),
    _READ,
)


def opening_sheets(layout: Layout, size: Vector) -> list[Draft]:
    """Return the openings slab by slab; nothing where no pier falls in existing concrete."""
    openings = layout.openings
    if not openings:
        return []
    flow = Flow(SECTION, size)
    high = caution_height(_CAUTIONS, flow.width, size=_WORDS, columns=2)
    flow.block(
        high, lambda box: caution_box(_CAUTIONS, box.left, box.top, box.width, size=_WORDS, columns=2), after=4.0
    )
    by_slab = {
        slab.id: (slab, [opening for opening in openings if opening.slab == slab.id]) for slab in layout.plan.slabs
    }
    for slab, of in by_slab.values():
        if of:
            _slab(flow, layout, slab, of, page=body(size).height)
    return flow.drafts(by="marked by")


def _slab(flow: Flow, layout: Layout, slab: Slab, openings: list[Opening], *, page: float) -> None:
    """Lay one slab: its picture, its saw table, where the corners are marked, and what is to be said."""
    plan = layout.plan
    high = page * _SHARE
    flow.heading(
        f"Slab {slab.id}, {said(plan, slab.thickness)} thick: {counted(len(openings), 'opening')}", keep=high
    )
    flow.block(high, lambda box: _picture(layout, slab, openings, box), after=3.0)
    rows: list[Row] = [_saw_row(layout, opening) for opening in openings]
    flow.table(
        f"What is sawn out of slab {slab.id}",
        fit_table(_SAW, rows, flow.width, sizes=_SIZES, row_share=0.62),
        rows,
        whole=False,
    )
    for heading, columns, marked in _place_tables(layout, openings):
        table = fit_table(columns, marked, flow.width, sizes=_SIZES, row_share=0.62)
        flow.table(heading, table, marked, whole=False, least=3)
    for text in dict.fromkeys(opening.says for opening in openings if opening.says):
        flow.text(text, size=_WORDS, after=1.0)
    flow.gap(4.0)


def _picture(layout: Layout, slab: Slab, openings: list[Opening], box: Box) -> list[Mark]:
    """Return the slab with its openings and the piers in them, as large as its box allows."""
    places = [*slab.outline, *(corner for opening in openings for corner in opening.outline)]
    camera = fitted_camera(places, page_right(layout), box.inset(_AROUND))
    scene = Scene(layout, camera, box)
    scene.house()
    scene.slabs(only=slab.id)
    scene.openings(openings, names=True)
    scene.baseline()
    scene.controls()
    scene.piers(names=False)
    scene.names(_NAMES)
    return scene.marks


def _saw_row(layout: Layout, opening: Opening) -> Row:
    plan = layout.plan
    return (
        opening.id,
        ", ".join(opening.piers),
        length_cell(plan, opening.saw_length),
        str(max((cut.passes for cut in (*opening.cuts, *opening.inner)), default=0)),
        str(opening.pieces),
        format_mass(opening.heaviest, plan.units),
        format_volume(opening.rubble, plan.units),
        Tick(),
    )


def _place_tables(layout: Layout, openings: list[Opening]) -> list[tuple[str, tuple[Column, ...], list[Row]]]:
    """Return where to mark, in a table for each shape: along the baseline, round, and any other."""
    plan, frame = layout.plan, layout.frame
    if frame is None:
        return []
    straight: list[Row] = []
    rings: list[Row] = []
    corners: list[Row] = []
    for opening in openings:
        marks = saw_marks(opening, frame)
        if marks.sides is not None and marks.lengths is not None:
            numbers = (*marks.sides, *marks.lengths)
            straight.append((opening.id, *(length_cell(plan, mm) for mm in numbers), Tick()))
        elif marks.radius is not None:
            middle = marks.places[0]
            ring = (middle.station, middle.offset, marks.radius)
            rings.append((opening.id, *(length_cell(plan, mm) for mm in ring), Tick()))
        else:
            for n, place in enumerate(marks.places):
                at = (length_cell(plan, place.station), length_cell(plan, place.offset))
                corners.append(("" if n else opening.id, place.name, *at, Tick()))
    tables: tuple[tuple[str, tuple[Column, ...], list[Row]], ...] = (
        ("Where to mark, from the baseline", _SIDES, straight),
        ("Where to mark what is round, from the baseline", _ROUND, rings),
        ("Where to mark corners, round each opening in turn", _CORNERS, corners),
    )
    return [table for table in tables if table[2]]
