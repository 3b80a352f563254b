"""The paper layouts of the DXF file: border, title block, and a viewport at the sheet's scale."""

from __future__ import annotations

from typing import Final

from ezdxf.document import Drawing as Document

from layoutdesk.exporters.dxf_layers import WINDOW_LAYER
from layoutdesk.exporters.dxf_marks import add_mark
from layoutdesk.plan.model import Paper
from layoutdesk.sheets.drawing_marks import Drawing, DrawingSheet

_FIRST: Final = "Layout1"
"""The paper layout that the library makes."""

_PAPER_NAMES: Final[dict[Paper, str]] = {"letter": "ANSI_A", "a4": "ISO_A4"}
_ACTIVE: Final = 2
_ZOOM_LOCKED: Final = 0x4000 | 0x8000


def add_sheet(document: Document, drawing: Drawing, sheet: DrawingSheet) -> None:
    """Add a sheet as a paper layout, one unit to the millimetre of paper; the first takes the document's own."""
    if _FIRST in document.layouts:
        document.layouts.rename(_FIRST, sheet.name)
        paper = document.paperspace(sheet.name)
    else:
        paper = document.layouts.new(sheet.name)
    paper.page_setup(
        size=sheet.size,
        margins=(0, 0, 0, 0),
        units="mm",
        scale=(1, 1),
        name=_PAPER_NAMES[sheet.paper],
        device="none",
    )
    x, y, wide, high = sheet.window
    paper.add_viewport(
        center=(x + wide / 2, y + high / 2),
        size=(wide, high),
        # The view is given from its target, so that the middle is the same whichever way the view is turned.
        view_center_point=(0.0, 0.0),
        view_height=high * sheet.ratio,
        status=_ACTIVE,
        dxfattribs={
            "layer": WINDOW_LAYER,
            "view_target_point": (*sheet.looks_at, 0.0),
            "view_twist_angle": -drawing.turn % 360.0,
            "flags": _ZOOM_LOCKED,
        },
    )
    whole = paper.main_viewport()
    if whole:
        whole.dxf.layer = WINDOW_LAYER
    for mark in sheet.marks:
        add_mark(paper, mark)
    paper.reset_extents((0.0, 0.0, 0.0), (*sheet.size, 0.0))
