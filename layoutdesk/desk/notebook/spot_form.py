"""The form of a picked spot: its name, its height while the book has none, its place."""

from __future__ import annotations

from typing import cast

from layoutdesk.desk.notebook.height_form import HeightRow
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.piece_forms import PieceForm
from layoutdesk.engine.layout import Layout
from layoutdesk.plan import edits
from layoutdesk.plan.model import Piece, SpotHeight


class SpotForm(PieceForm):
    """Name, typed height and place of a spot."""

    def make_rows(self) -> None:
        """Make the rows between name and place."""
        self._height = HeightRow("Height", self._set_height)
        self.add(self._height)

    def fill_rows(self, piece: Piece, layout: Layout) -> None:
        """Show the height that was typed, or that the book has one."""
        spot = cast("SpotHeight", piece)
        read = any(r.point == spot.id for r in layout.plan.levels.readings)
        self._height.box.setPlaceholderText("read in the level book" if read else "to be read")
        self._height.setEnabled(not read)
        self._height.show_height(None if read else spot.elevation, LengthText.of(layout.plan))

    def _set_height(self, value: float | None) -> None:
        spot = self.piece_id
        self.do(f"Height of {spot}", lambda p: edits.set_spot(p, spot, value))
