"""What the Edit menu does to the picked pieces."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from layoutdesk.desk.asks import Asks
from layoutdesk.errors import LayoutdeskError
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan import edits
from layoutdesk.plan.model import Pier, Plan, places_of
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState
from layoutdesk.units import parse_angle

if TYPE_CHECKING:
    from layoutdesk.plan.model import Piece


class Commands(QObject):
    """Edits on what is picked; what cannot be done is said in a sentence.

    Signals:
        trouble: that sentence.
    """

    trouble = Signal(str)

    def __init__(self, document: Document, view: ViewState, asks: Asks, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document, self._view, self._asks = document, view, asks

    def undo(self) -> None:
        """Take the last step back."""
        self._document.undo()

    def redo(self) -> None:
        """Bring the last step again."""
        self._document.redo()

    def select_all(self) -> None:
        """Pick everything on the sheet."""
        self._view.select(p.id for p in self._document.plan.pieces())

    def delete(self) -> None:
        """Delete what is picked."""
        self._on_picked("Delete", edits.delete)

    def same_station(self) -> None:
        """Bring the picked points to the station of the first."""
        self._on_picked("Same station", lambda p, ids: edits.align(p, ids, by="station"))

    def same_offset(self) -> None:
        """Bring the picked points to the offset of the first."""
        self._on_picked("Same offset", lambda p, ids: edits.align(p, ids, by="offset"))

    def space_equally(self) -> None:
        """Space the picked points equally between the two that are farthest apart."""
        self._on_picked("Space equally", edits.space_equally)

    def turn(self) -> None:
        """Ask for an angle and turn what is picked about its first point."""
        picked = self._picked()
        if not picked:
            return
        about: Vector = places_of(picked[0])[0]
        typed = self._asks.text(f"Turn about {_name(picked[0])} to the left, in degrees", "90")
        if typed is None:
            return
        try:
            degrees = parse_angle(typed)
        except LayoutdeskError as error:
            self.trouble.emit(str(error))
            return
        self._on_picked("Turn", lambda p, ids: edits.turn(p, ids, about, degrees))

    def rename(self) -> None:
        """Ask for a name and give it to the one piece that is picked."""
        picked = self._picked()
        if len(picked) != 1:
            self.trouble.emit("Pick one piece to give it another name.")
            return
        name = self._asks.text(f"Another name for {_name(picked[0])}", _name(picked[0]))
        if name is None:
            return
        piece = picked[0]
        self._try(f"Rename {_name(piece)}", lambda p: edits.rename(p, piece.id, name))
        if not isinstance(piece, Pier) and self._document.plan.piece(name):
            self._view.select([name])

    def _picked(self) -> list[Piece]:
        found = {p.id: p for p in self._document.plan.pieces()} if self._view.selected else {}
        return [found[i] for i in self._view.selected if i in found]

    def _on_picked(self, label: str, edit: Callable[[Plan, tuple[str, ...]], Plan]) -> None:
        ids = self._view.selected
        if not ids:
            self.trouble.emit("Nothing is picked: press a piece on the sheet or a row of a table first.")
            return
        self._try(label, lambda p: edit(p, ids))

    def _try(self, label: str, edit: Callable[[Plan], Plan]) -> None:
        try:
            self._document.apply(label, edit)
        except LayoutdeskError as error:
            self.trouble.emit(str(error))


def _name(piece: Piece) -> str:
    return piece.label if isinstance(piece, Pier) else piece.id
