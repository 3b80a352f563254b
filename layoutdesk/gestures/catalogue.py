"""Every gesture, in the order of the buttons."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from layoutdesk.gestures.base import BaselineGesture, OriginGesture
from layoutdesk.gestures.bay import BayGesture
from layoutdesk.gestures.beam_line import BeamLineGesture
from layoutdesk.gestures.chain import ChainGesture
from layoutdesk.gestures.gesture import Gesture
from layoutdesk.gestures.marks import AttachmentGesture, ControlGesture
from layoutdesk.gestures.outline import KeepoutGesture, SlabGesture
from layoutdesk.gestures.pick import Pick
from layoutdesk.gestures.pier import PierGesture
from layoutdesk.gestures.pier_grid import GridGesture
from layoutdesk.gestures.repeat import CopyGesture, MirrorGesture
from layoutdesk.gestures.row import RowGesture
from layoutdesk.gestures.spot import SpotGesture
from layoutdesk.gestures.tape import TapeGesture
from layoutdesk.gestures.underlay_move import MoveUnderlay
from layoutdesk.gestures.underlay_scale import ScaleUnderlay
from layoutdesk.gestures.underlay_straighten import StraightenUnderlay
from layoutdesk.gestures.underlay_turn import TurnUnderlay
from layoutdesk.gestures.wall import WallGesture
from layoutdesk.gestures.words import WORDS
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState


@dataclass(frozen=True, slots=True)
class GestureKind:
    """One gesture: the word on its button, its letter key, what it is for, and how it is begun."""

    name: str
    key: str
    tip: str
    make: Callable[[Document, ViewState], Gesture]


_MAKERS: Final[tuple[Callable[[Document, ViewState], Gesture], ...]] = (
    Pick,
    WallGesture,
    AttachmentGesture,
    BeamLineGesture,
    PierGesture,
    RowGesture,
    GridGesture,
    ChainGesture,
    ControlGesture,
    BaselineGesture,
    SlabGesture,
    KeepoutGesture,
    OriginGesture,
    CopyGesture,
    MirrorGesture,
    BayGesture,
    TapeGesture,
    SpotGesture,
    MoveUnderlay,
    ScaleUnderlay,
    TurnUnderlay,
    StraightenUnderlay,
)

CATALOGUE: Final = tuple(GestureKind(*words, make) for words, make in zip(WORDS, _MAKERS, strict=True))
"""The gestures; the first is under way when no other is."""
