"""The Proof page with the sheet: what is drawn of it there, and tapes that are taken down there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction

from layoutdesk.desk.canvas.sheet_view import SheetView
from layoutdesk.desk.entry_line import EntryLine
from layoutdesk.desk.notebook.proof_page import ProofPage
from layoutdesk.gestures.tape import TapeGesture
from layoutdesk.session.viewstate import ViewState

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Flag, Layout


class ProofOnDesk(QObject):
    """Joins the page of the proof with the sheet, its gesture and the entry line."""

    def __init__(self, page: ProofPage, view: ViewState, sheet: SheetView, entry: EntryLine, tape: QAction) -> None:
        super().__init__(page)
        self._page = page
        self._view, self._sheet, self._entry, self._tape = view, sheet, entry, tape
        page.figured.connect(sheet.show_proof)
        page.tape_wanted.connect(self._on_tape_wanted)
        self._tape.triggered.connect(self._on_tape)

    def flags(self, layout: Layout) -> tuple[Flag, ...]:
        """Return the flags of a layout; of its proof those before it, while that is still being worked out."""
        return self._page.work.flags(layout)

    def _on_tape(self) -> None:
        """Open the page that shows what a tape tells."""
        self._view.turn_to("proof")

    def _on_tape_wanted(self, start: str, end: str) -> None:
        """Take up the tape between two points: its number is typed in the entry line."""
        self._tape.trigger()
        gesture = self._sheet.gesture
        if isinstance(gesture, TapeGesture):
            gesture.begin(start, end)
            self._sheet.refresh_gesture()
            self._entry.focus_field(0)
