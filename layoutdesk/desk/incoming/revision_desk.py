"""Holding a newer issue against the plan on the desk: compared beside it, shown, taken as one step or left."""

from __future__ import annotations

from base64 import b64encode
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from layoutdesk.desk.desk_frame import DeskFrame
from layoutdesk.desk.dress import Dress
from layoutdesk.desk.incoming.taking import Taking
from layoutdesk.desk.slip import Slip
from layoutdesk.errors import LayoutdeskError
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState

if TYPE_CHECKING:
    from layoutdesk.desk.incoming.revision import RevisionLeaf
    from layoutdesk.desk.incoming.revision_sheet import RevisionSheet
    from layoutdesk.plan.model import Plan
    from layoutdesk.session.revising import Revising


class RevisionOnDesk(QObject):
    """Answers :attr:`Taking.compare_wanted`.

    Signals:
        shown: the changes lie on the desk.
        left: they were left, and the drawing still waits.
    """

    shown = Signal()
    left = Signal()

    def __init__(
        self,
        document: Document,
        view: ViewState,
        dress: Dress,
        *,
        taking: Taking,
        slip: Slip,
        desk_frame: DeskFrame,
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._document, self._view, self._dress, self._slip = document, view, dress, slip
        self._taking, self._desk_frame = taking, desk_frame
        self._awaited: int | None = None
        self._plan: Plan | None = None
        self.revising: Revising | None = None
        self.sheet: RevisionSheet | None = None
        self.leaf: RevisionLeaf | None = None
        taking.can_compare = True
        taking.compare_wanted.connect(self.begin)
        taking.left.connect(self.put_away)
        taking.room.done.connect(self._on_done)
        taking.room.failed.connect(self._on_failed)
        dress.changed.connect(self._on_dress)

    @property
    def open(self) -> bool:
        """Return whether changes lie on the desk."""
        return self.sheet is not None

    def begin(self, newer: Plan) -> None:
        """Compare a newer issue with the plan, in the second process."""
        from layoutdesk.plan.file import plan_to_json

        arrival = self._taking.incoming.arrival
        if arrival is None:
            return
        self.put_away()
        self._plan = self._document.plan
        marks = sorted(
            {c.mark.strip() for c in arrival.proposal.candidates if c.becomes == "pier" and c.mark.strip()}
        )
        texts = [b64encode(plan_to_json(plan).encode()).decode() for plan in (self._plan, newer)]
        self._awaited = self._taking.room.order(
            "compare", path=str(arrival.path.absolute()), plan=texts[0], newer=texts[1], marks=marks
        )
        self._slip.work(f"Comparing {arrival.path.name} with the plan …", self._stop)

    def show(self) -> None:
        """Bring the changes to the front, in the middle and in the notebook."""
        if self.sheet is not None and self.leaf is not None:
            self._desk_frame.middle.setCurrentWidget(self.sheet)
            self._desk_frame.leaves.setCurrentWidget(self.leaf)

    def put_away(self) -> None:
        """Take the changes off the desk."""
        self._awaited = None
        for widget in (self.sheet, self.leaf):
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        if self.sheet is not None:
            self._desk_frame.middle.removeWidget(self.sheet)
        if self.leaf is not None:
            self._desk_frame.leaves.removeWidget(self.leaf)
        self.sheet = self.leaf = self.revising = None

    def _stop(self) -> None:
        self._awaited = None
        self._taking.room.cancel()
        self._slip.say("Stopped; nothing was compared.")

    def _on_done(self, number: int, _: dict[str, object], work: bytes) -> None:
        if self._awaited is None or number != self._awaited:
            return
        self._awaited = None
        self._slip.work_done()
        arrival = self._taking.incoming.arrival
        if arrival is None or self._plan is None:
            return
        if self._document.plan is not self._plan:
            self._slip.warn("The plan has changed meanwhile; press “Take it in” again to compare.")
            return
        from layoutdesk.desk.incoming.revision import RevisionLeaf
        from layoutdesk.desk.incoming.revision_sheet import RevisionSheet
        from layoutdesk.session.revising import Revising, revision_from_bytes

        self.revising = Revising(self._plan, revision_from_bytes(work))
        self.sheet = RevisionSheet(self._document, self._view, self._dress.theme, self.revising)
        self.leaf = RevisionLeaf(arrival.path.name, self.revising)
        self._desk_frame.middle.addWidget(self.sheet)
        self._desk_frame.leaves.addWidget(self.leaf)
        self.sheet.pressed.connect(self.look_at)
        self.sheet.trouble.connect(self._slip.warn)
        self.leaf.list.pressed.connect(self.look_at)
        self.leaf.taken.connect(self.take)
        self.leaf.left.connect(self.leave)
        self.shown.emit()
        self.leaf.list.setFocus()

    def _on_failed(self, number: int, sentence: str) -> None:
        if self._awaited is not None and number == self._awaited:
            self._awaited = None
            self._slip.work_done()
            self._slip.warn(sentence)

    def look_at(self, change_id: str) -> None:
        """Show one change on the sheet and in the list."""
        if self.revising is None or self.sheet is None:
            return
        change = self.revising.change(change_id)
        if change is not None:
            self.revising.look_at(change_id)
            self.sheet.show_change(change)

    def take(self) -> None:
        """Take what is picked, as one step to undo."""
        revising, arrival = self.revising, self._taking.incoming.arrival
        if revising is None or arrival is None:
            return
        count = len(revising.picked)
        try:
            self._document.apply(f"Take {arrival.path.name} as a newer issue"[:60], revising.taken)
        except LayoutdeskError as error:
            self._slip.warn(str(error))
            return
        things = "1 change" if count == 1 else f"{count:,} changes"
        said = f"{things} taken from {arrival.path.name}; what was measured stays with its piers."
        self._taking.leave()
        self._taking.taken.emit(said)

    def leave(self) -> None:
        """Leave the changes; the drawing still waits on its page."""
        self.put_away()
        self.left.emit()

    def _on_dress(self) -> None:
        if self.sheet is not None:
            self.sheet.set_theme(self._dress.theme)
