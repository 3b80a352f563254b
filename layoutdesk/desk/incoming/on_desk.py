"""The page of the drawing that came in, on the desk: built when it is first needed, shown, left."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from layoutdesk.desk.desk_frame import DeskFrame
from layoutdesk.desk.dress import Dress
from layoutdesk.desk.files import Files
from layoutdesk.desk.incoming.pasting import Pasting
from layoutdesk.desk.incoming.revision_desk import RevisionOnDesk
from layoutdesk.desk.incoming.taking import Taking
from layoutdesk.desk.slip import Slip
from layoutdesk.session.document import Document
from layoutdesk.session.incoming import Way
from layoutdesk.session.viewstate import ViewState

if TYPE_CHECKING:
    from layoutdesk.desk.canvas.sheet_paper import SheetPaper
    from layoutdesk.desk.incoming.drawing_view import DrawingView
    from layoutdesk.desk.incoming.frame import DrawingFrame
    from layoutdesk.desk.incoming.leaf import IncomingLeaf


class IncomingOnDesk(QObject):
    """Joins the taking in with the rest of the desk.

    Signals:
        changed: what waits, or what was chosen for it, has changed.
        taken: a drawing was taken in.
    """

    changed = Signal()
    taken = Signal()

    def __init__(
        self,
        document: Document,
        view: ViewState,
        dress: Dress,
        *,
        files: Files,
        slip: Slip,
        desk_frame: DeskFrame,
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._document, self._view, self._dress, self._slip = document, view, dress, slip
        self._desk_frame = desk_frame
        self.taking = Taking(document, files, slip=slip, parent=self)
        self.waits = self.taking.incoming
        self.revision = RevisionOnDesk(
            document, view, dress, taking=self.taking, slip=slip, desk_frame=desk_frame, parent=self
        )
        self.revision.shown.connect(self.show)
        self.revision.left.connect(self.show)
        self.frame: DrawingFrame | None = None
        self.leaf: IncomingLeaf | None = None
        self._steps: tuple[object, ...] = ()
        self.taking.arrived.connect(self._on_arrived)
        self.taking.left.connect(self._on_left)
        self.taking.taken.connect(self._on_taken)
        self.waits.watch(self._on_incoming)
        files.came_in.connect(self.came_in)
        self.pasting = Pasting(self.came_in, slip.warn)

    @property
    def open(self) -> bool:
        """Return whether its page is the one that is shown."""
        return self._view.page == "incoming"

    @property
    def looked_at(self) -> SheetPaper | DrawingView | None:
        """Return what of its page can be panned and zoomed; None while another page is shown."""
        if not self.open or self.frame is None:
            return None
        return self.revision.sheet or self.frame.view

    def came_in(self, path: Path, kind: str, onto_plan: bool) -> None:  # noqa: FBT001 - a slot
        """Read a file that is no plan; a picture goes under the sheet at once."""
        if kind == "picture":
            if self.taking.lay_under is None:
                self._slip.warn(f"{path.name}: a picture holds no lines to take in; open a DXF or a PDF of it.")
            else:
                self.taking.lay_under(path, 0)
            return
        there = next(self._document.plan.pieces(), None) is not None
        way: Way = "beside" if onto_plan and there else "own sheet"
        self.taking.read(path, points=kind == "points", way=way)

    def go_to(self) -> None:
        """Turn to the page, if anything waits on it."""
        if self.waits.waiting:
            self._view.turn_to("incoming")

    def show(self) -> None:
        """Bring its page to the front, in the middle and in the notebook."""
        if self.revision.open:
            self.revision.show()
        elif self.frame is not None and self.leaf is not None:
            self._desk_frame.middle.setCurrentWidget(self.frame)
            self._desk_frame.leaves.setCurrentWidget(self.leaf)

    def remind(self) -> None:
        """Say that something still waits, after the person turned to another page."""
        if self.waits.arrival is not None and not self.open:
            self._slip.say(
                f"{self.waits.arrival.path.name} is not taken in yet; it waits.",
                button="Back to it",
                press=self.go_to,
            )

    def plan_changed(self) -> None:
        """Follow the plan on the desk."""
        if self.leaf is not None:
            self.leaf.refresh()

    def shut(self) -> None:
        """End what runs beside the desk."""
        self.taking.shut()

    def _on_arrived(self) -> None:
        if self.frame is None:
            self.frame, self.leaf = self.taking.build(self._view, self._dress)
            self._desk_frame.middle.addWidget(self.frame)
            self._desk_frame.leaves.addWidget(self.leaf)
            self.leaf.page.wake()
        self._view.turn_to("incoming")
        self.show()
        self.frame.view.setFocus()

    def _on_left(self) -> None:
        if self.open:
            self._view.turn_to("plan")

    def _on_taken(self, said: str) -> None:
        self.taken.emit()
        self._slip.say(said, stays=True)

    def _on_incoming(self) -> None:
        steps = (self.waits.waiting, self.waits.undo_label, self.waits.redo_label)
        if steps != self._steps:
            self._steps = steps
            self.changed.emit()
