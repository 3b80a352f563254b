"""What of a DXF is passed over, how many of what, and why."""

from __future__ import annotations

from collections import Counter
from typing import Final

from layoutdesk.importers.linework import Passed

_SOLID: Final = ("solid bodies", "a plan is made of flat lines")
_PICTURE: Final = ("pictures", "put the picture under the sheet instead")
_ENDLESS: Final = ("endless lines", "they are for construction and have no ends")

REASONS: Final[dict[str, tuple[str, str]]] = {
    "HATCH": ("hatches", "they fill what other lines outline"),
    "MPOLYGON": ("hatches", "they fill what other lines outline"),
    "WIPEOUT": ("blank covers", "they hide what is drawn and draw nothing"),
    "LEADER": ("leaders", "they only point from a note"),
    "TOLERANCE": ("tolerance frames", "they are for machined parts"),
    "ARC_DIMENSION": ("dimensions along an arc", "only straight ones are held against the drawing"),
    "VIEWPORT": ("windows on the model", "choose the model to read what they show"),
    "ATTDEF": ("forms of attributes", "only what is filled in is drawn"),
    "SHAPE": ("shapes of a font", "what they look like is in another file"),
    "XLINE": _ENDLESS,
    "RAY": _ENDLESS,
    "IMAGE": _PICTURE,
    "OLE2FRAME": ("embedded documents", "they are drawn by another program"),
    "OLEFRAME": ("embedded documents", "they are drawn by another program"),
    "PDFUNDERLAY": _PICTURE,
    "DWFUNDERLAY": _PICTURE,
    "DGNUNDERLAY": _PICTURE,
    "ACAD_PROXY_ENTITY": ("things of another program", "only that program knows what they look like"),
    "LIGHT": ("lights", "they are not drawn"),
    "SUN": ("lights", "they are not drawn"),
    **dict.fromkeys(("3DSOLID", "BODY", "REGION", "SURFACE", "3DFACE", "MESH", "POLYMESH"), _SOLID),
    **dict.fromkeys(
        ("EXTRUDEDSURFACE", "LOFTEDSURFACE", "REVOLVEDSURFACE", "SWEPTSURFACE", "PLANESURFACE", "NURBSURFACE"),
        _SOLID,
    ),
}

BODIES: Final = frozenset(kind for kind, reason in REASONS.items() if reason is _SOLID)

NOT_SEEN: Final = ("things made invisible", "they do not show on the drawing")
HIDDEN: Final = ("hidden attributes of blocks", "they do not show on the drawing")
NO_LENGTH: Final = ("lines of no length", "seen from above they are points")
TOO_FAR: Final = ("things with impossible places", "they lie beyond a thousand million units, or nowhere")
DAMAGED: Final = ("damaged things", "the file does not say all of them")
MISSING_BLOCK: Final = ("blocks that are missing", "the file names them and does not hold them")
IN_ITSELF: Final = ("blocks that hold themselves", "they would go on for ever")
TOO_DEEP: Final = ("blocks nested too deeply", "nobody draws so")
NO_MEASURE: Final = ("dimensions of a kind not known", "it is not said what they measure")


class PassedOver:
    """Counts what is passed over."""

    def __init__(self) -> None:
        self._counts: Counter[tuple[str, str]] = Counter()

    def add(self, reason: tuple[str, str], count: int = 1) -> None:
        """Count something, by its name in the plural and why it is passed over."""
        self._counts[reason] += count

    def kind(self, dxftype: str) -> None:
        """Count a thing by its kind in the file."""
        self._counts[REASONS.get(dxftype, (f"things of the kind {dxftype[:40]}", "it is not known here"))] += 1

    @property
    def bodies(self) -> int:
        """Return how many solid bodies were passed over."""
        return self._counts[_SOLID]

    def all(self) -> tuple[Passed, ...]:
        """Return everything, the most frequent first."""
        ordered = sorted(self._counts.items(), key=lambda item: (-item[1], item[0]))
        return tuple(Passed(what, count, why) for (what, why), count in ordered)
