"""Layers, line types, type and dimension style of the DXF file.

Layer names are built as in the US National CAD Standard: discipline, major group, minor group, status (``E``:
existing to remain, ``D``: existing to be taken out). They are the names seen in use in published drawings; the
standard's own list was not at hand, so they are from memory. ``CONN``, ``BASE``, ``KEEP``, ``STKD`` (as staked),
``STRG`` and ``BRDS`` (strings, boards), ``GRND``, ``SEAT`` and ``OPNG`` (openings) are minor groups of our own, as
the standard allows.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from ezdxf.document import Drawing as Document
from ezdxf.units import MM

from layoutdesk.places import typeface
from layoutdesk.sheets.drawing_marks import BEYOND_MM, CLEAR_MM, GAP_MM, TEXT_MM, Drawing, Role
from layoutdesk.units import MM_PER_INCH, Units, format_length

TYPE: Final = "PLAN"
STRONG_TYPE: Final = "PLAN-STRONG"
DIMENSIONS: Final = "PLAN-DIMENSIONS"
SIDE_DIMENSIONS: Final = "SIDE-DIMENSIONS"
WINDOW_LAYER: Final = "S-ANNO-NPLT"

TICK_MM: Final = 0.9
"""Half the height of the slanting tick at the end of a dimension line, on paper."""


@dataclass(frozen=True, slots=True)
class Layer:
    """A layer: its colour by index, the width of its lines in hundredths of a millimetre, and its line type."""

    name: str
    colour: int
    width: int
    line: str
    what: str


LAYERS: Final[dict[Role, Layer]] = {
    "wall": Layer("A-WALL-E", 7, 60, "Continuous", "Walls of the existing house"),
    "house": Layer("A-WALL-PATT-E", 8, 13, "Continuous", "Hatch of the existing house"),
    "slab": Layer("S-SLAB-E", 8, 25, "DASHED", "Existing concrete"),
    "slab fill": Layer("S-SLAB-PATT-E", 8, 13, "Continuous", "Hatch of existing concrete"),
    "opening": Layer("S-SLAB-OPNG-D", 30, 35, "DASHED", "Openings sawn out of existing concrete"),
    "keep-out": Layer("V-SITE-KEEP", 94, 25, "DASHED", "What neither auger nor tape may cross"),
    "beam line": Layer("S-BEAM", 30, 35, "CENTER", "Beam lines"),
    "attachment": Layer("S-BEAM-CONN", 30, 35, "Continuous", "Where beams meet the house"),
    "pier": Layer("S-FNDN", 7, 40, "Continuous", "Piers"),
    "column": Layer("S-COLS", 7, 18, "Continuous", "Centres that columns stand over"),
    "control": Layer("V-CTRL", 7, 25, "Continuous", "Control points"),
    "baseline": Layer("V-CTRL-BASE", 150, 25, "PHANTOM", "Baseline of stations and offsets"),
    "as staked": Layer("V-NODE-STKD", 1, 25, "Continuous", "Where stakes stand by their measures"),
    "spot": Layer("V-TOPO-SPOT", 34, 18, "Continuous", "Spots with their elevations"),
    "contour": Layer("V-TOPO-MINR", 34, 13, "Continuous", "Contours of the ground"),
    "string": Layer("V-CTRL-STRG", 150, 18, "Continuous", "Strings"),
    "board": Layer("V-CTRL-BRDS", 150, 50, "Continuous", "Boards that hold strings"),
    "side outline": Layer("S-ELEV-OTLN", 7, 30, "Continuous", "Side views: piers, columns and the house"),
    "side ground": Layer("S-ELEV-GRND", 34, 35, "Continuous", "Side views: ground"),
    "side seat": Layer("S-ELEV-SEAT", 30, 35, "Continuous", "Side views: underside of the beams"),
    "dimension": Layer("S-ANNO-DIMS", 7, 18, "Continuous", "Dimensions"),
    "text": Layer("S-ANNO-TEXT", 7, 18, "Continuous", "Names and notes"),
    "title block": Layer("S-ANNO-TTLB", 7, 35, "Continuous", "Border, title block and bar scale"),
}

_LINE_TYPES: Final = {
    "CENTER": ("Long and short dashes", (9.0, 6.0, -1.2, 0.6, -1.2)),
    "DASHED": ("Dashes", (3.0, 2.0, -1.0)),
    "HIDDEN": ("Short dashes", (1.8, 1.2, -0.6)),
    "PHANTOM": ("One long and two short dashes", (10.6, 6.0, -1.0, 0.8, -1.0, 0.8, -1.0)),
}
"""Length of the pattern, then dashes and gaps, in millimetres of paper."""


def add_standards(document: Document, drawing: Drawing) -> None:
    """Add the layers, line types, type and dimension style that the drawing uses."""
    for name, (what, pattern) in _LINE_TYPES.items():
        document.linetypes.add(name, pattern, description=what)
    for layer in LAYERS.values():
        entry = document.layers.add(layer.name, color=layer.colour, lineweight=layer.width, linetype=layer.line)
        entry.description = layer.what
    window = document.layers.add(WINDOW_LAYER, color=8, plot=False)
    window.description = "Edge of the window on the plan, not printed"
    document.styles.add(TYPE, font=typeface("Regular").name)
    document.styles.add(STRONG_TYPE, font=typeface("Bold").name)
    _add_dimension_style(document, drawing, DIMENSIONS, drawing.sheet.ratio)
    if drawing.side_sheets:
        _add_dimension_style(document, drawing, SIDE_DIMENSIONS, drawing.side_sheets[0].ratio)


def _add_dimension_style(document: Document, drawing: Drawing, name: str, ratio: float) -> None:
    """Add a style by which a receiver writes the same numbers as we do, should it draw the dimensions afresh.

    Sizes are millimetres of paper; DIMSCALE takes them to the plan. DIMRND stays unset: a zero there is taken by
    some for rounding to whole units.
    """
    style = document.dimstyles.new(name)
    for variable, value in {
        "dimscale": ratio,
        "dimtxt": TEXT_MM,
        "dimtsz": TICK_MM,
        "dimasz": 2 * TICK_MM,
        "dimdle": BEYOND_MM,
        "dimexe": BEYOND_MM,
        "dimexo": CLEAR_MM,
        "dimgap": GAP_MM,
        "dimtad": 1,  # text over its line
        "dimtih": 0,  # along its line, inside
        "dimtoh": 0,  # and outside
        "dimtix": 1,  # between the extension lines even where it is wide
        "dimtofl": 1,
        "dimtmove": 2,  # moved text brings no leader
        "dimtxsty": TYPE,
        "dimdsep": ord("."),
        "dimaunit": 0,
        **_number_format(drawing.units, drawing.rounding),
    }.items():
        style.set_dxf_attrib(variable, value)


def _number_format(units: Units, rounding: float) -> dict[str, float]:
    """Return the variables of a dimension style that turn millimetres into text of the plan's units."""
    if units == "ft-in":
        halvings = max(0, min(6, round(math.log2(MM_PER_INCH / rounding))))
        # Architectural, fractions not stacked, no zero feet but zero inches: 11' 0 3/8".
        return {"dimlunit": 4, "dimfrac": 2, "dimdec": halvings, "dimzin": 3, "dimlfac": 1 / MM_PER_INCH}
    factor = 0.001 if units == "m" else 1.0
    return {"dimlunit": 2, "dimdec": decimals(units, rounding), "dimzin": 0, "dimlfac": factor}


def decimals(units: Units, rounding: float) -> int:
    """Return how many decimals a length is written with."""
    return len(format_length(0.0, units, rounding, unit=False).partition(".")[2])


def written(text: str, value: float, units: Units, rounding: float) -> str:
    """Return ``text``, with ``<>`` for its number where a receiver would write the same for ``value``.

    The unit stands in each dimension, because the library does not write the style's own DIMPOST in this release.
    """
    if units == "ft-in":
        return text
    shown = value / 1000 if units == "m" else value
    return f"<> {units}" if text == f"{shown:.{decimals(units, rounding)}f} {units}" else text


def add_units(document: Document, drawing: Drawing) -> None:
    """Set the header: the file is in millimetres whatever units are written on the drawing.

    Lengths that a receiver lists stay decimal, because in its feet and inches one unit would be an inch.
    """
    header = document.header
    header["$INSUNITS"] = MM
    header["$MEASUREMENT"] = 1
    header["$LUNITS"] = 2
    header["$LUPREC"] = 4
    header["$AUNITS"] = 0
    header["$LTSCALE"] = drawing.sheet.ratio
    header["$PSLTSCALE"] = 0
    header["$DIMSTYLE"] = DIMENSIONS
    header["$TEXTSTYLE"] = TYPE
    header["$TEXTSIZE"] = TEXT_MM * drawing.sheet.ratio
    header["$LWDISPLAY"] = 1
