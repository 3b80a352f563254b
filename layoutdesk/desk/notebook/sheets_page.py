"""The Sheets page: which pages there are, on what paper, and where they go."""

from __future__ import annotations

from typing import Any, Final, cast

from PySide6.QtCore import QAbstractListModel, QModelIndex, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPixmap
from PySide6.QtWidgets import QListView, QPushButton

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.exports import Made
from layoutdesk.desk.notebook.cards import FlagList, Heading, sentence
from layoutdesk.desk.notebook.form import Form
from layoutdesk.desk.notebook.page import Page
from layoutdesk.desk.notebook.plan_page import PAPERS
from layoutdesk.desk.notebook.table import Index
from layoutdesk.desk.preview.pages import Pages
from layoutdesk.engine.layout import Layout
from layoutdesk.plan import edits
from layoutdesk.plan.model import Paper, Plan
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState

SMALL: Final = 128
"""How wide a small picture of a page is (logical pixels)."""


class PageList(QAbstractListModel):
    """The pages by name, with small pictures that are asked for when they are seen."""

    def __init__(self, pages: Pages, view: QListView) -> None:
        super().__init__(view)
        self._pages, self._view = pages, view
        pages.changed.connect(self._on_changed)
        pages.drawn.connect(self._on_drawn)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many pages there are."""
        return 0 if parent.isValid() or self._pages.state != "ready" else len(self._pages.pages)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return the name of a page, or its small picture."""
        page = self._pages.pages[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return f"{index.row() + 1}  {page.name}"
        if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole):
            return f"page {index.row() + 1}, {page.name}"
        if role == Qt.ItemDataRole.DecorationRole:
            return self._picture(index.row())
        return None

    def _picture(self, row: int) -> QPixmap:
        page, ratio = self._pages.pages[row], self._view.devicePixelRatioF()
        shape = QSize(SMALL, round(SMALL * page.height / page.width))
        drawn = QPixmap(shape * ratio)
        drawn.fill(QColor("white"))
        image = self._pages.image(row, self._pages.small_width)
        p = QPainter(drawn)
        if image is not None:
            p.drawImage(drawn.rect(), image)
        p.setPen(QColor(150, 150, 150))
        p.drawRect(drawn.rect().adjusted(0, 0, -1, -1))
        p.end()
        drawn.setDevicePixelRatio(ratio)
        return drawn

    def _on_changed(self) -> None:
        self.beginResetModel()
        self.endResetModel()

    def _on_drawn(self, row: int) -> None:
        at = self.index(row, 0)
        self.dataChanged.emit(at, at, [Qt.ItemDataRole.DecorationRole])


class SheetsPage(Page):
    """Paper, outputs, and the pages as small pictures.

    Signals:
        wanted: an output is to be saved; its kind.
        picture_wanted: the sheet is to be saved as a picture.
        page_wanted: a page is to be shown large; its index.
    """

    wanted = Signal(str)
    picture_wanted = Signal()
    page_wanted = Signal(int)

    def __init__(self, document: Document, view: ViewState, dress: Dress, pages: Pages) -> None:
        super().__init__(document, view, dress)
        self.pages = pages
        self.heading = Heading("Sheets", title=True)
        self.form = Form(document)
        self.paper = self.form.choice_row("Paper", self._set_paper)
        self.save = QPushButton("Save field sheets (PDF)")
        self.save.setProperty("kind", "main")
        self.others = tuple(QPushButton(t) for t in ("Drawing (DXF)", "Table of points (CSV)", "Picture (PNG)"))
        self.save.clicked.connect(self._on_pdf)
        for button, slot in zip(self.others, (self._on_dxf, self._on_csv, self.picture_wanted), strict=True):
            button.clicked.connect(slot)
        self.how = sentence(
            "Print at 100 %, not fitted to the page, and lay a tape on the check bar of the plan page: it must "
            "measure what it says."
        )
        self.list = QListView()
        self.list.setAccessibleName("Pages")
        self.list.setViewMode(QListView.ViewMode.IconMode)
        self.list.setMovement(QListView.Movement.Static)
        self.list.setResizeMode(QListView.ResizeMode.Adjust)
        self.list.setUniformItemSizes(True)
        self.list.setWordWrap(True)
        self.list.setSpacing(4)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setModel(PageList(pages, self.list))
        self.list.setMinimumHeight(260)
        self.list.selectionModel().currentChanged.connect(self._on_current)
        self.flags = FlagList(dress)
        self.add(self.heading, self.form, self.save, *self.others, self.how, self.flags)
        self.add(Heading("Pages"), self.list)
        pages.changed.connect(self._on_pages)
        self._fit_list()
        dress.changed.connect(self._fit_list)

    def follow_page(self, index: int) -> None:
        """Mark the page that is shown large."""
        at = self.list.model().index(index, 0)
        if at.isValid() and at != self.list.currentIndex():
            self.list.setCurrentIndex(at)

    def refresh(self, plan: Plan, layout: Layout) -> None:
        """Show the paper, and have the pages made when they are of an older plan."""
        self.pages.small_width = round(SMALL * self.devicePixelRatioF())
        self.paper.show_choice(PAPERS, plan.paper)
        self.flags.show_flags(tuple(f for f in layout.plan_flags if f.stage == "sheets"))
        self.pages.make(plan)
        self._on_pages()

    def _on_pages(self) -> None:
        about = {
            "none": "",
            "making": "being set",
            "ready": f"{len(self.pages.pages)} pages",
            "stopped": "not finished",
        }
        self.heading.set_text("Sheets", about[self.pages.state])
        self._fit_list()

    def _fit_list(self) -> None:
        """Give every page its cell, and the list the height of its rows up to a limit."""
        high = round(SMALL * 1.42) + self.list.fontMetrics().height() + 12
        self.list.setIconSize(QSize(SMALL, round(SMALL * 1.42)))
        self.list.setGridSize(QSize(SMALL + 14, high))
        across = max(1, (self.list.viewport().width() or 300) // (SMALL + 14))
        rows = -(-len(self.pages.pages) // across) if self.pages.state == "ready" else 1
        self.list.setFixedHeight(min(max(rows, 1), 8) * high + 12)

    def _set_paper(self, key: object) -> None:
        self.form.do("Paper", lambda p: edits.set_paper(p, cast("Paper", key)))

    def _on_pdf(self) -> None:
        self._want("pdf")

    def _on_dxf(self) -> None:
        self._want("dxf")

    def _on_csv(self) -> None:
        self._want("csv")

    def _want(self, kind: Made) -> None:
        self.wanted.emit(kind)

    def _on_current(self, index: QModelIndex) -> None:
        if index.isValid():
            self.page_wanted.emit(index.row())
