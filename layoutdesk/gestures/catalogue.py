"""Every gesture, in the order of the buttons."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from layoutdesk.gestures.base import BaselineGesture, OriginGesture
from layoutdesk.gestures.bay import BayGesture
from layoutdesk.gestures.beam_line import BeamLineGesture
from layoutdesk.gestures.gesture import Gesture
from layoutdesk.gestures.marks import AttachmentGesture, ControlGesture
from layoutdesk.gestures.outline import KeepoutGesture, SlabGesture
from layoutdesk.gestures.pick import Pick
from layoutdesk.gestures.pier import PierGesture
from layoutdesk.gestures.pier_grid import GridGesture
from layoutdesk.gestures.repeat import CopyGesture, MirrorGesture
from layoutdesk.gestures.row import RowGesture
from layoutdesk.gestures.wall import WallGesture
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState


@dataclass(frozen=True, slots=True)
class GestureKind:
    """One gesture: the word on its button, its letter key, what it is for, and how it is begun."""

    name: str
    key: str
    tip: str
    make: Callable[[Document, ViewState], Gesture]


CATALOGUE: Final[tuple[GestureKind, ...]] = (
    GestureKind("Pick", "K", "Select, move and reshape what is on the sheet", Pick),
    GestureKind("Wall", "W", "Draw a face of the existing house", WallGesture),
    GestureKind("Attachment", "A", "Mark where a beam meets the house", AttachmentGesture),
    GestureKind("Beam line", "L", "Draw the straight line of a row", BeamLineGesture),
    GestureKind("Pier", "P", "Set one footing", PierGesture),
    GestureKind("Row of piers", "R", "Set a row at equal or listed spacings", RowGesture),
    GestureKind("Grid of piers", "G", "Set several rows side by side", GridGesture),
    GestureKind("Control point", "C", "Mark a point that can be found again and taped from", ControlGesture),
    GestureKind("Baseline", "B", "Draw the line that stations and offsets are read from", BaselineGesture),
    GestureKind("Slab", "S", "Outline existing concrete", SlabGesture),
    GestureKind("Keep-out", "O", "Outline what neither auger nor tape may cross", KeepoutGesture),
    GestureKind("Move baseline origin", "Z", "Choose where station 0 is", OriginGesture),
    GestureKind("Copy", "D", "Copy what is picked, once or several times", CopyGesture),
    GestureKind("Mirror", "M", "Mirror what is picked in a line", MirrorGesture),
    GestureKind("Bay", "Q", "Name four points whose diagonals are to be checked", BayGesture),
)
"""The gestures; the first is under way when no other is."""
