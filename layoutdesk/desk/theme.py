"""Paper, ink and the colours of the site, in a light and a dark dress; each colour means one thing."""

from __future__ import annotations

from typing import NamedTuple

from PySide6.QtGui import QColor, QFont, QFontDatabase

from layoutdesk.places import typeface


class Theme(NamedTuple):
    """The colours of one dress, as ``#rrggbb``, by what they mean.

    ``rail`` is the ground behind the stages of the job, ``desk`` the table round the sheet, ``panel`` the
    notebook, ``field`` boxes to read and type in, ``paper`` the sheet. ``ink`` draws and writes, ``soft`` is
    second text, ``faint`` grids and edges. ``work`` is what is being worked on, ``check`` diagonals and other
    checks, ``holds`` what is right, ``look`` what wants a look, ``wrong`` what is wrong. ``house``, ``slab``
    and ``growth`` fill the house, existing concrete and keep-outs; ``glow`` lies under what is picked.
    ``note`` and ``note_ink`` are the slip that says why a snap holds.
    """

    dark: bool
    rail: str
    rail_ink: str
    rail_soft: str
    rail_here: str
    rail_here_ink: str
    desk: str
    panel: str
    field: str
    paper: str
    edge: str
    ink: str
    soft: str
    faint: str
    work: str
    work_ink: str
    check: str
    holds: str
    look: str
    look_wash: str
    wrong: str
    wrong_wash: str
    house: str
    hatch: str
    slab: str
    growth: str
    glow: str
    note: str
    note_ink: str


LIGHT = Theme(
    dark=False,
    rail="#2d3a45", rail_ink="#ffffff", rail_soft="#b9c3cb", rail_here="#fbf8f1", rail_here_ink="#1f2d3a",
    desk="#e8e1d4", panel="#f3eee3", field="#ffffff", paper="#fbf8f1", edge="#dad2c2",
    ink="#1f2d3a", soft="#66707a", faint="#e6dfd1",
    work="#e4572e", work_ink="#ffffff", check="#1f5fa8", holds="#1f7a46", look="#a86407", look_wash="#f6ead2",
    wrong="#b3261e", wrong_wash="#f8dfd9",
    house="#ded8c9", hatch="#b9b3a2", slab="#e1ddd3", growth="#dfe8dc", glow="#fbe0d6",
    note="#1f2d3a", note_ink="#ffffff",
)  # fmt: skip

DARK = Theme(
    dark=True,
    rail="#12171a", rail_ink="#f2ede1", rail_soft="#9aa4ab", rail_here="#1f272c", rail_here_ink="#f2ede1",
    desk="#191f22", panel="#1b2225", field="#12171a", paper="#20272c", edge="#343d43",
    ink="#efe9dc", soft="#9aa3a9", faint="#2c353a",
    work="#ff7847", work_ink="#1b1210", check="#6aaeea", holds="#5fc48a", look="#e6b04a", look_wash="#332a17",
    wrong="#ff6685", wrong_wash="#3d1c24",
    house="#313a40", hatch="#4b555b", slab="#2f373c", growth="#22382d", glow="#4a2b20",
    note="#efe9dc", note_ink="#1a1f22",
)  # fmt: skip

FAMILY = "Lato"
FIRST_WEIGHTS = ("Regular", "Bold")
"""The weights that the first window is written in."""
OTHER_WEIGHTS = ("Medium", "SemiBold", "Black")


def theme_for(*, dark: bool) -> Theme:
    """Return the dress for a light or a dark desktop."""
    return DARK if dark else LIGHT


def colour(name: str, alpha: float = 1.0) -> QColor:
    """Return a theme colour as Qt's, with an opacity between 0 and 1."""
    c = QColor(name)
    c.setAlphaF(alpha)
    return c


def load_type(weights: tuple[str, ...] = FIRST_WEIGHTS + OTHER_WEIGHTS) -> None:
    """Make the program's own typeface known to Qt, whatever the machine has installed."""
    for weight in weights:
        QFontDatabase.addApplicationFont(str(typeface(weight)))


def font(points: float, weight: QFont.Weight = QFont.Weight.Normal) -> QFont:
    """Return the program's type at a size in points."""
    f = QFont(FAMILY)
    f.setPointSizeF(points)
    f.setWeight(weight)
    return f
