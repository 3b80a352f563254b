"""The notebook's leaf of the page: scale, what becomes of it, dimensions, report, and the taking in."""

from __future__ import annotations

from pathlib import Path
from typing import Final, cast

from PySide6.QtCore import Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPlainTextEdit, QPushButton, QVBoxLayout, QWidget

from layoutdesk.desk.dress import Dress, label
from layoutdesk.desk.incoming.kinds_table import KindsTable
from layoutdesk.desk.incoming.scale_card import ScaleCard
from layoutdesk.desk.incoming.words import becoming, report
from layoutdesk.desk.notebook.cards import FlagList, Heading, sentence
from layoutdesk.desk.notebook.form import button_row
from layoutdesk.desk.notebook.page import Page
from layoutdesk.desk.notebook.rows import ChoiceRow
from layoutdesk.engine.layout import Flag, Layout
from layoutdesk.importers.proposal import Becomes
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.session.incoming import Arrival, Incoming, Way
from layoutdesk.session.viewstate import ViewState

WAYS: Final[dict[Way, str]] = {
    "own sheet": "On a sheet of its own",
    "beside": "Beside what is there",
    "newer issue": "As a newer issue",
}
_DOUBT: Final = "doubt"
_REPORT_LINES: Final = 7
_REPORT_LINES_WIDE: Final = 24
"""So many lines the report shows at most, in one column and where the page has two."""


class IncomingPage(Page):
    """What is read, said and chosen about the drawing that waits.

    Signals:
        other_wanted: another sheet of the file is to be read; its name (DXF) or its number (PDF).
        scale_said: another scale, in mm a drawing unit.
        measure_wanted: two points are to be pressed on the drawing.
        doubt_shown: the doubt that was pressed is to be shown on the drawing.
        underlay_wanted: the page is to be laid under the sheet.
    """

    other_wanted = Signal(object)
    scale_said = Signal(float)
    measure_wanted = Signal()
    doubt_shown = Signal(object)
    underlay_wanted = Signal()

    def __init__(self, document: Document, view: ViewState, dress: Dress, incoming: Incoming) -> None:
        super().__init__(document, view, dress)
        self.incoming = incoming
        self.can_lay_under = False
        self._shown: tuple[object, ...] = ()
        self._path: Path | None = None
        self.heading = Heading("A drawing comes in", title=True)
        self.other = ChoiceRow("Sheet of the file", self._on_other)
        self.under = QPushButton("Lay the page under the sheet")
        self.under.setToolTip("The page lies under the sheet as it is, to be traced")
        self.under.clicked.connect(self.underlay_wanted)
        self.under_row = button_row(self.under)
        self.scale = ScaleCard(incoming)
        self.scale.said.connect(self.scale_said)
        self.scale.confirmed.connect(incoming.confirm_scale)
        self.scale.measure_wanted.connect(self.measure_wanted)
        self.becomes = Heading("What becomes of it")
        self.total = label("", "body", wrap=True)
        self.table = KindsTable(incoming, dress)
        self.table.chosen.connect(self._on_chosen)
        self.how = sentence(
            "Press a row to see its things on the drawing; press at its right to choose what they become. A letter "
            "chooses too: P pier, W wall, L beam line, S slab, O keep-out, N nothing."
        )
        self.dimensions = Heading("Dimensions")
        self.doubts = FlagList(dress)
        self.doubts.pressed.connect(self._on_doubt)
        self.reported = Heading("Report")
        self.report = QPlainTextEdit()
        self.report.setReadOnly(True)
        self.report.setTabChangesFocus(True)
        self.report.setAccessibleName("Report of what was read and what was passed over")
        self.copy = QPushButton("Copy the report")
        self.copy.clicked.connect(self._on_copy)
        self.add(self.heading, self.other, self.under_row, Heading("Scale"), self.scale)
        self.add(self.dimensions, self.doubts, column=1)
        self.add(self.becomes, self.total, self.table, self.how)
        self.add(self.reported, self.report, button_row(self.copy), column=1)
        incoming.watch(self._on_incoming)
        dress.changed.connect(self._fit)

    def _on_incoming(self) -> None:
        arrival = self.incoming.arrival
        if arrival is None:
            self._shown, self._path = (), None
            return
        # Pointing changes nothing here, and comes often.
        now = (arrival, self.incoming.picked, self.incoming.scale_said)
        if now != self._shown:
            self.plan_changed()

    def show_again(self) -> None:
        """Show what holds, after something else was asked for in vain."""
        self._shown = ()
        self.plan_changed()

    def refresh(self, plan: Plan, layout: Layout) -> None:
        """Show what waits to be taken in."""
        del plan, layout
        arrival = self.incoming.arrival
        if arrival is None:
            return
        before = self._shown
        self._shown = (arrival, self.incoming.picked, self.incoming.scale_said)
        self.table.show_arrival(arrival)
        if before and before[0] is arrival and before[2] == self.incoming.scale_said:
            return
        if arrival.path != self._path:
            # What must be answered about a drawing stands first.
            self._path = arrival.path
            self.verticalScrollBar().setValue(0)
        self._show_sheets(arrival)
        self.scale.refresh()
        self.total.setText(becoming(arrival.total))
        self._show_dimensions(arrival)
        self.report.setPlainText(report(arrival))
        self._fit()

    def _arrange(self) -> None:
        super()._arrange()
        self._fit()

    def _show_sheets(self, arrival: Arrival) -> None:
        linework = arrival.linework
        kind = {"dxf": "DXF", "pdf": "PDF"}.get(linework.kind, "") if linework else "list of points"
        self.heading.set_text(arrival.path.name, kind)
        sheets: list[tuple[object, str]] = []
        now: object = None
        if linework is not None and linework.kind == "pdf":
            sheets = [(n, f"page {n} of {linework.pages}") for n in range(1, linework.pages + 1)]
            now = linework.page
        elif linework is not None:
            sheets = [(name, name) for name in linework.layouts]
            now = linework.layout
        self.other.setVisible(len(sheets) > 1)
        self.other.show_choice(sheets, now)
        self.under_row.setVisible(self.can_lay_under and linework is not None and linework.kind == "pdf")

    def _show_dimensions(self, arrival: Arrival) -> None:
        agreement = arrival.agreement
        wrong = agreement.written - agreement.agree
        chains = len(agreement.doubts) - wrong
        self.dimensions.setVisible(arrival.linework is not None)
        if not agreement.written:
            self.dimensions.set_text("Dimensions", "none with a length are written")
        elif not agreement.doubts:
            self.dimensions.set_text("Dimensions", f"{agreement.written} read, all agree", "holds")
        else:
            said = [f"{agreement.written} read"]
            if wrong > 0:
                said.append(f"{wrong} disagree" + ("s" if wrong == 1 else ""))
            if chains > 0:
                said.append(f"{chains} chain{'s do' if chains > 1 else ' does'} not close")
            self.dimensions.set_text("Dimensions", ", ".join(said), "look")
        self.doubts.show_flags(
            tuple(
                Flag(f"{_DOUBT}-{k}", d.severity, "plan", d.title, d.text, (f"{_DOUBT}{k}",))
                for k, d in enumerate(agreement.doubts)
            )
        )

    def _fit(self) -> None:
        most = _REPORT_LINES_WIDE if self._wide else _REPORT_LINES
        lines = min(
            most, max(round(self.report.document().size().height()), self.report.document().blockCount() + 2)
        )
        self.report.setFixedHeight(lines * self.report.fontMetrics().lineSpacing() + 22)

    def _on_other(self, key: object) -> None:
        self.other_wanted.emit(key)

    def _on_chosen(self, becomes: Becomes, group: str | None, layer: str | None) -> None:
        cannot = self.incoming.choose(becomes, group=group, layer=layer)
        if cannot and self.incoming.arrival is not None:
            self.trouble.emit(
                f"{cannot:,} of them have no shape that could become {becomes}; they stay as they were."
            )

    def _on_doubt(self, about: tuple[str, ...]) -> None:
        arrival = self.incoming.arrival
        if arrival is not None and about:
            self.doubt_shown.emit(arrival.agreement.doubts[int(about[0].removeprefix(_DOUBT))])

    def _on_copy(self) -> None:
        QGuiApplication.clipboard().setText(self.report.toPlainText())


class IncomingLeaf(QFrame):
    """The page, and at its foot the two things that can be done with it.

    Signals:
        taken: it is to be taken in.
        left: it is to be left.
    """

    taken = Signal()
    left = Signal()

    def __init__(self, page: IncomingPage, incoming: Incoming, *, can_compare: bool) -> None:
        super().__init__()
        self._incoming, self.page = incoming, page
        self.can_compare = can_compare
        self._document = page.document
        self.way = ChoiceRow("Take it in", self._on_way)
        self.reason = label("", "caption", "look", wrap=True)
        self.take = QPushButton("Take it in")
        self.take.setProperty("kind", "main")
        self.take.clicked.connect(self.taken)
        self.leave = QPushButton("Leave it")
        self.leave.clicked.connect(self.left)
        buttons = QWidget()
        row = QHBoxLayout(buttons)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        row.addWidget(self.take, 3)
        row.addWidget(self.leave, 2)
        foot = QFrame()
        foot.setObjectName("entry")
        feet = QVBoxLayout(foot)
        feet.setContentsMargins(14, 9, 14, 10)
        feet.setSpacing(7)
        for w in (self.reason, self.way, buttons):
            feet.addWidget(w)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addWidget(page, 1)
        box.addWidget(foot)
        incoming.watch(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show whether it can be taken in, and if not, why."""
        arrival = self._incoming.arrival
        if arrival is None:
            return
        ways: list[Way] = ["own sheet", "beside"]
        if self.can_compare and self._document.plan.piers:
            ways.append("newer issue")
        there = next(self._document.plan.pieces(), None) is not None
        self.way.setVisible(there)
        self.way.show_choice([(way, WAYS[way]) for way in ways], self._incoming.way)
        nothing = not (arrival.total.total() - arrival.total["nothing"])
        reason = ""
        if not self._incoming.scale_known:
            reason = "Say first how large it is: choose its scale above, or press “This is right”."
        elif nothing:
            reason = "Nothing becomes anything yet: choose a kind in the table, or pick on the drawing."
        self.reason.setText(reason)
        self.reason.setVisible(bool(reason))
        self.take.setEnabled(not reason)
        self.take.setToolTip(reason)

    def _on_way(self, way: object) -> None:
        self._incoming.go(cast("Way", way))
