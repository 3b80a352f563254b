"""Every gesture, in the order of the buttons."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from layoutdesk.gestures.gesture import Gesture
from layoutdesk.gestures.pick import Pick
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState


@dataclass(frozen=True, slots=True)
class GestureKind:
    """One gesture: the word on its button, its letter key, what it is for, and how it is begun."""

    name: str
    key: str
    tip: str
    make: Callable[[Document, ViewState], Gesture]


CATALOGUE: tuple[GestureKind, ...] = (
    GestureKind("Pick", "K", "Select, move and reshape what is on the sheet", Pick),
)
