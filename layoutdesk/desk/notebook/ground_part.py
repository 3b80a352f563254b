"""What the ground does: the fitted plane, the spots, and the picked spot."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal

from layoutdesk.desk.dress import Dress, label
from layoutdesk.desk.notebook.benchmark_table import SpotTable
from layoutdesk.desk.notebook.cards import Card, Heading, sentence
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.section import Section
from layoutdesk.desk.notebook.spot_form import SpotForm
from layoutdesk.engine.layout import Layout
from layoutdesk.plan.model import Plan, SpotHeight
from layoutdesk.session.document import Document

if TYPE_CHECKING:
    from layoutdesk.engine.levels.entries import LevelBook
    from layoutdesk.engine.levels.ground_contract import Ground

_NONE = (
    "Press Spot over the sheet, click where the rod stands, and type the height, or leave it to the book. Four or "
    "more spots round the piers show how the ground falls."
)


class GroundPart(Section):
    """The section of the ground.

    Signals:
        trouble: a sentence about something that could not be done.
        picked: the ids of the spots whose rows were picked.
    """

    trouble = Signal(str)
    picked = Signal(object)

    def __init__(self, document: Document, dress: Dress) -> None:
        self.says = sentence()
        self.spots = SpotTable(document, dress, say=self._say)
        self.wrong = label("", "caption", "wrong", wrap=True)
        self.spot_heading = Heading("Spot")
        self.spot = SpotForm(document)
        self.spot_card = Card(self.spot)
        super().__init__("Ground", self.says, self.spots, self.wrong, self.spot_heading, self.spot_card)
        self.spots.picked.connect(self.picked)
        self.spot.trouble.connect(self.trouble)
        self._say("")

    def show_ground(self, plan: Plan, layout: Layout, ground: Ground, book: LevelBook | None) -> None:
        """Show the ground of a plan."""
        known = {spot.id: spot for spot in ground.spots}
        count = len(plan.spots)
        self.say(f"{count} {'spot' if count == 1 else 'spots'}" if count else "")
        self.says.setText(_says(plan, ground))
        self.spots.setVisible(bool(plan.spots))
        read = frozenset(p.id for p in book.points if p.elevation is not None) if book else frozenset()
        self.spots.show_spots(plan, known, read, LengthText.of(plan))
        self._layout = layout

    def light(self, picked: tuple[str, ...]) -> None:
        """Pick the rows of spots that were picked elsewhere, and show the one."""
        if self.spots.editing is None:
            self.spots.light(picked)
        chosen = set(picked)
        here = [s for s in self._layout.plan.spots if s.id in chosen]
        spot: SpotHeight | None = here[0] if len(here) == 1 else None
        self.spot_heading.setVisible(spot is not None)
        self.spot_card.setVisible(spot is not None)
        if spot is not None:
            self.spot_heading.set_text(f"Spot {spot.id}")
            self.spot.fill(spot, self._layout)

    def _say(self, text: str) -> None:
        self.wrong.setText(text)
        self.wrong.setVisible(bool(text))


def _says(plan: Plan, ground: Ground) -> str:
    if ground.plane is not None:
        return ground.plane.says
    if not plan.spots:
        return _NONE
    return "Three spots with a height, not in one line, show how the ground falls."
