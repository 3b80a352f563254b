"""How a drawing comes in: read beside the desk, shown on its page, and taken in as one step to undo."""

from __future__ import annotations

import gc
from base64 import b64encode
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, Literal

from PySide6.QtCore import QObject, Signal, Slot

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.files import Files
from layoutdesk.desk.slip import Slip
from layoutdesk.desk.workroom import Workroom
from layoutdesk.errors import LayoutdeskError
from layoutdesk.session.document import Document
from layoutdesk.session.incoming import Agreement, Arrival, Doubt, Incoming, Way
from layoutdesk.session.viewstate import ViewState

if TYPE_CHECKING:
    from layoutdesk.desk.incoming.frame import DrawingFrame
    from layoutdesk.desk.incoming.leaf import IncomingLeaf
    from layoutdesk.importers.linework import Linework
    from layoutdesk.importers.proposal import Becomes
    from layoutdesk.plan.model import Plan

LOST: Final = "The drawing could not be read"
LARGE: Final = 20_000
"""The second process is ended after a drawing of more lines, so that its memory is free again."""
MOST_TITLE: Final = 60


@dataclass(frozen=True, slots=True)
class Asked:
    """A drawing that is being read: which sheet of which file, at which scale, and where it is to go."""

    path: Path
    way: Way
    points: bool = False
    page: int = 1
    layout: str = ""
    scale: float | None = None
    linework: Linework | None = None

    def order(self) -> dict[str, object]:
        """Return it as the second process takes it."""
        return {
            "path": str(self.path.absolute()),
            "page": self.page,
            "layout": self.layout,
            "scale": self.scale,
            "points": self.points,
        }


class Taking(QObject):
    """Reads a drawing, holds its page, and takes it in.

    Signals:
        arrived: a drawing waits; its page is to be built if it is not there, and shown.
        left: nothing waits any more.
        taken: it was taken in; the sentence that says what.
        settled: what was asked for came to nothing, and boxes are to show what holds.
        compare_wanted: the plan made of it is to be compared with the one on the desk as its newer issue.
    """

    arrived = Signal()
    left = Signal()
    taken = Signal(str)
    settled = Signal()
    compare_wanted = Signal(object)

    def __init__(self, document: Document, files: Files, *, slip: Slip, parent: QObject) -> None:
        super().__init__(parent)
        self._document, self._files, self._slip = document, files, slip
        self.room = Workroom(self, what=LOST)
        self.incoming = Incoming()
        self.lay_under: Callable[[Path, int], object] | None = None
        """Lays a page of a PDF (from 1), or a picture (0), under the sheet."""
        self.can_compare = False
        """Whether somebody answers :attr:`compare_wanted`."""
        self._frame: DrawingFrame | None = None
        self._asked: Asked | None = None
        self._shown: Asked | None = None
        self._awaited: tuple[int, Literal["read", "propose", "make"]] | None = None
        self.room.done.connect(self._on_done)
        self.room.failed.connect(self._on_failed)
        self.room.progressed.connect(self._on_progress)

    # ---- reading

    def read(self, path: Path, *, points: bool, way: Way) -> None:
        """Read a drawing or a list of points; the desk stays as it is until it is there."""
        self._begin(Asked(path, way, points=points))

    def read_other(self, sheet: object) -> None:
        """Read another sheet of the file that waits: a page by its number, a layout by its name."""
        if self._shown is not None:
            asked = replace(self._shown, way=self.incoming.way, scale=None, linework=None)
            if isinstance(sheet, int):
                self._begin(replace(asked, page=sheet))
            else:
                self._begin(replace(asked, layout=str(sheet)))

    def rescale(self, scale: float) -> None:
        """Propose the same drawing at another scale, in mm on the ground a drawing unit."""
        if self._shown is not None and self.incoming.arrival is not None:
            shown = replace(self._shown, scale=scale, linework=self.incoming.arrival.linework)
            self._begin(replace(shown, way=self.incoming.way))

    def cancel(self) -> None:
        """End what is under way; the desk is as it was."""
        asked, self._asked, self._awaited = self._asked, None, None
        self.room.cancel()
        if asked is not None:
            self._slip.say(f"Stopped reading {asked.path.name}; nothing was changed.")
        self.settled.emit()

    def shut(self) -> None:
        """End the process, now that the program ends."""
        self.room.shut()

    def _begin(self, asked: Asked) -> None:
        if self._awaited is not None:
            self.room.cancel()
        self._asked = asked
        if asked.points or asked.linework is not None:
            self._order_proposal(asked)
        else:
            self._awaited = (self.room.order("read", **asked.order()), "read")
            self._slip.work(f"Reading {asked.path.name} …", self.cancel)

    def _order_proposal(self, asked: Asked) -> None:
        order = asked.order()
        line = self._document.plan.baseline
        if asked.points and line is not None and asked.way != "own sheet":
            order["baseline"] = (line.origin, line.toward, line.yard_side)
        self._awaited = (self.room.order("propose", **order), "propose")
        words = "Looking at the points of" if asked.points else "Looking for piers, walls and dimensions in"
        self._slip.work(f"{words} {asked.path.name} …", self.cancel)

    @Slot(int, float)
    def _on_progress(self, number: int, done: float) -> None:
        if self._awaited is not None and number == self._awaited[0]:
            self._slip.show_progress(done)

    @Slot(int, object, object)
    def _on_done(self, number: int, about: dict[str, Any], work: bytes) -> None:
        if self._awaited is None or number != self._awaited[0]:
            return
        stage, self._awaited = self._awaited[1], None
        if stage == "make":
            self._slip.work_done()
            self._take(work)
        elif self._asked is not None and stage == "read":
            from layoutdesk.importers.linework import linework_from_bytes

            with at_rest():
                self._asked = replace(self._asked, linework=linework_from_bytes(work))
            self._order_proposal(self._asked)
        elif self._asked is not None:
            self._slip.work_done()
            self._show(self._asked, about, work)

    @Slot(int, str)
    def _on_failed(self, number: int, sentence: str) -> None:
        if self._awaited is not None and number == self._awaited[0]:
            self._awaited = self._asked = None
            self._slip.work_done()
            self._slip.warn(sentence)
            self.settled.emit()

    def _show(self, asked: Asked, about: dict[str, Any], work: bytes) -> None:
        from layoutdesk.importers.proposal import proposal_from_bytes
        from layoutdesk.importers.same_job import is_newer_issue

        with at_rest():
            proposal = proposal_from_bytes(work)
        arrival = Arrival(asked.path, asked.linework, proposal, Agreement.told(about))
        again = self._shown is not None and asked.scale is not None and self.incoming.arrival is not None
        if asked.linework is not None:
            asked = replace(asked, page=asked.linework.page or 1, layout=asked.linework.layout)
        self._asked, self._shown = None, asked
        self._files.note(asked.path)
        if again:
            self.incoming.propose(arrival, asked.scale)
        else:
            self.arrived.emit()
            newer = self.can_compare and is_newer_issue(self._document.plan, proposal)
            self.incoming.arrive(arrival, "newer issue" if newer else asked.way)

    # ---- taking in

    def take_in(self) -> None:
        """Make a plan of what was chosen, and take it in."""
        arrival = self.incoming.arrival
        if arrival is None or not self.incoming.scale_known or self._shown is None:
            return
        if self.incoming.way == "own sheet" and not self._may_replace():
            return
        from layoutdesk.importers.proposal import proposal_to_bytes

        proposal = arrival.proposal
        # What becomes nothing needs not go over: of a large drawing it is nearly all.
        kept = replace(proposal, candidates=tuple(c for c in proposal.candidates if c.becomes != "nothing"))
        order = self._shown.order() | {"proposal": b64encode(proposal_to_bytes(kept)).decode(), "title": ""}
        self._awaited = (self.room.order("make", **order), "make")
        self._slip.work(f"Making a plan of {arrival.path.name} …", self._stop_making)

    def leave(self) -> None:
        """Put the drawing away."""
        if self._awaited is not None:
            self.room.cancel()
        self._awaited = self._asked = self._shown = None
        self._slip.work_done()
        linework = self.incoming.arrival.linework if self.incoming.arrival else None
        if linework is not None and len(linework.shapes) > LARGE:
            self.room.cancel()  # the process still holds the drawing
        self.incoming.leave()
        gc.unfreeze()
        self.left.emit()

    def _stop_making(self) -> None:
        self._awaited = None
        self.room.cancel()
        self._slip.say("Stopped; nothing was taken in.")

    def _may_replace(self) -> bool:
        """Ask about unsaved changes, if there is anything on the sheet that would go."""
        return next(self._document.plan.pieces(), None) is None or self._files.may_go()

    def _take(self, work: bytes) -> None:
        from layoutdesk.plan import edits
        from layoutdesk.plan.file import plan_from_json

        arrival, way = self.incoming.arrival, self.incoming.way
        if arrival is None:
            return
        try:
            made = plan_from_json(work, arrival.path.name)
            if way == "newer issue":
                self.compare_wanted.emit(made)
                return
            if way == "own sheet" and next(self._document.plan.pieces(), None) is not None:
                self._files.clear()
            self._document.apply(f"Take in {_short(arrival.path.name)}", lambda plan: edits.take_in(plan, made))
        except LayoutdeskError as error:
            self._slip.warn(str(error))
            return
        said = self._told(arrival, made)
        self.leave()
        self.taken.emit(said)

    def _told(self, arrival: Arrival, made: Plan) -> str:
        from layoutdesk.desk.incoming.words import counted

        counts: dict[Becomes, int] = {
            "pier": len(made.piers),
            "wall": len(made.walls),
            "beam line": len(made.lines),
            "slab": len(made.slabs),
            "keep-out": len(made.keepouts),
            "attachment": len(made.attachments),
            "control point": len(made.controls),
            "spot": len(made.spots),
        }
        parts = [counted(count, kind) for kind, count in counts.items() if count]
        flags = len(self._document.layout.plan_flags)
        look = {0: "no flags", 1: "1 flag to look at"}.get(flags, f"{flags} flags to look at")
        return f"Taken in from {arrival.path.name}: {', '.join(parts) or 'nothing'}; {look}."

    # ---- the page

    def build(self, view: ViewState, dress: Dress) -> tuple[DrawingFrame, IncomingLeaf]:
        """Return the middle of the page and its leaf, joined; nothing of them is loaded before."""
        from layoutdesk.desk.incoming.frame import DrawingFrame
        from layoutdesk.desk.incoming.leaf import IncomingLeaf, IncomingPage

        frame = DrawingFrame(self.incoming, dress)
        page = IncomingPage(self._document, view, dress, self.incoming)
        page.can_lay_under = self.lay_under is not None
        leaf = IncomingLeaf(page, self.incoming, can_compare=self.can_compare)
        page.other_wanted.connect(self.read_other)
        page.scale_said.connect(self.rescale)
        page.measure_wanted.connect(frame.measure)
        page.underlay_wanted.connect(self._on_underlay)
        page.doubt_shown.connect(self._on_doubt)
        page.trouble.connect(self._slip.warn)
        frame.view.measured.connect(page.scale.take_measured)
        frame.view.measured.connect(frame.refresh)
        self.settled.connect(page.show_again)
        self._frame = frame
        leaf.taken.connect(self.take_in)
        leaf.left.connect(self.leave)
        return frame, leaf

    def _on_doubt(self, doubt: Doubt) -> None:
        if doubt.at is not None and self._frame is not None:
            self._frame.view.show_place(doubt.at)
        self.incoming.hover(None, doubt)

    def _on_underlay(self) -> None:
        if self.lay_under is not None and self._shown is not None:
            self.lay_under(self._shown.path, self._shown.page)


@contextmanager
def at_rest() -> Iterator[None]:
    """Keep the collector from going through a large drawing again and again, while it is made and as it stays.

    What came with a drawing holds no cycles: it goes when nothing names it any more.
    """
    gc.disable()
    try:
        yield
        gc.freeze()
    finally:
        gc.enable()


def _short(name: str) -> str:
    return name if len(name) <= MOST_TITLE else name[: MOST_TITLE - 1] + "…"
