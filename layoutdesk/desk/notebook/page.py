"""What every page of the notebook does: refresh once per change, and only while it is seen."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import QPoint, Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QHBoxLayout,
    QLineEdit,
    QScrollArea,
    QSizePolicy,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from layoutdesk.desk.dress import Dress
from layoutdesk.engine.layout import Layout
from layoutdesk.errors import LayoutdeskError
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState

if TYPE_CHECKING:
    from layoutdesk.desk.notebook.typed_table import TypedTable

_WRAPPED_MS = 50
"""After so long words that wrap have found their height."""
TWO_COLUMNS = 690
"""From this width on a page lies in two columns (logical pixels)."""


class Page(QScrollArea):
    """One page: sections in one column, or in two where there is room; it scrolls up and down only.

    Signals:
        trouble: a sentence about something that could not be done.
    """

    trouble = Signal(str)
    stays: ClassVar[bool] = False
    """Whether the box that is typed in stays where it is when what stands above it takes more room or less."""

    def __init__(self, document: Document, view: ViewState, dress: Dress) -> None:
        super().__init__()
        self.document, self.view, self.dress = document, view, dress
        self._stale = True
        self._awake = self._refreshing = False
        self._sections: list[tuple[QWidget, int]] = []
        self._wide: bool | None = None
        self._kept: tuple[QWidget, int] | None = None
        self._keeping = QTimer(self)
        self._keeping.setSingleShot(True)
        self._keeping.setInterval(_WRAPPED_MS)
        self._keeping.timeout.connect(self._on_kept)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        leaf = self._leaf = QWidget()
        leaf.setObjectName("leaf")
        outer = self._outer = QHBoxLayout(leaf)
        outer.setContentsMargins(14, 12, 14, 14)
        outer.setSpacing(18)
        self._columns = (QVBoxLayout(), QVBoxLayout())
        for column in self._columns:
            column.setSpacing(7)
            column.addStretch(1)
            outer.addLayout(column, 1)
        self.setWidget(leaf)
        # The style sheet's panel lies under the page, not on it.
        self.viewport().setAutoFillBackground(False)
        leaf.setAutoFillBackground(False)

    def add(self, *widgets: QWidget, column: int = 0) -> None:
        """Add sections, which go to the second column where there is room for one and ``column`` is 1."""
        for w in widgets:
            policy = w.sizePolicy()
            policy.setHorizontalPolicy(QSizePolicy.Policy.Ignored)
            w.setSizePolicy(policy)
            w.setParent(self._leaf)
            self._sections.append((w, column))

    def wake(self) -> None:
        """Begin to show plans: the window stands, and what they need may be imported."""
        self._awake = True
        self._freshen()

    def plan_changed(self) -> None:
        """Refresh now if the page is seen, or else when it next is."""
        self._stale = True
        self._freshen()

    def view_changed(self) -> None:
        """Follow the selection."""
        self.plan_changed()

    def apply(self, label: str, edit: Callable[[Plan], Plan]) -> None:
        """Carry out an edit as one step to undo; what cannot be done is said in the slip."""
        try:
            self.document.apply(label, edit)
        except LayoutdeskError as error:
            self.trouble.emit(str(error))

    def refresh(self, plan: Plan, layout: Layout) -> None:
        """Show a plan and what follows from it. Every page has its own."""
        raise NotImplementedError

    # ---- what the person is at stays in sight

    def y_of(self, w: QWidget) -> int:
        """Return how far down the visible part of the page a widget begins."""
        return w.mapTo(self.viewport(), QPoint()).y()

    def keep_at(self, w: QWidget, y: int) -> None:
        """Scroll so that a widget begins where it began, when what stands above it takes more room or less."""
        self.settle()
        self.scroll_by(self.y_of(w) - y)

    def keep(self, w: QWidget) -> None:
        """Let a widget stay where it begins now, whatever comes or goes above it in the next moment.

        Cards that are new have no place before the next turn of the loop, and words that wrap find their height a
        moment later. Where more comes in the meantime, the place of before the first of it counts.
        """
        if self._kept is None or self._kept[0] is not w:
            self._kept = w, self.y_of(w)
        QTimer.singleShot(0, self, self._put_back)
        self._keeping.start()

    def _put_back(self) -> None:
        if self._kept is not None:
            self.keep_at(*self._kept)

    def _on_kept(self) -> None:
        self._put_back()
        self._kept = None

    def scroll_by(self, dy: int) -> None:
        """Scroll down by so many pixels, or up."""
        bar = self.verticalScrollBar()
        bar.setValue(bar.value() + dy)

    def settle(self) -> None:
        """Give everything on the page its place now."""
        layout = self._leaf.layout()
        assert layout is not None
        layout.activate()
        self._leaf.adjustSize()

    def show_typing(self, table: TypedTable) -> None:
        """Bring the box that is typed in into sight."""
        place = table.typed_at(self._leaf)
        if place is not None:
            self.ensureVisible(0, place.y(), 0, 70)
            if self._kept is not None:
                self._kept = self._kept[0], self.y_of(self._kept[0])

    def _freshen(self) -> None:
        if not (self._stale and self._awake and self.isVisible()) or self._refreshing:
            return
        self._refreshing = True
        typed = self._typed_in() if self.stays else None
        if typed is not None:
            self.keep(typed)
        try:
            self._stale = False
            self.refresh(self.document.plan, self.document.layout)
        finally:
            self._refreshing = False
        self._arrange()

    def _typed_in(self) -> QWidget | None:
        """Return the box that is typed in, or the whole table that it belongs to: its boxes come and go."""
        box = QApplication.focusWidget()
        if not isinstance(box, QLineEdit | QTableView) or not self._leaf.isAncestorOf(box):
            return None
        above: QWidget | None = box
        while above is not None and above is not self._leaf:
            if isinstance(above, QTableView):
                return above
            above = above.parentWidget()
        return box

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while the page lay under others."""
        super().showEvent(event)
        self._arrange()
        self._freshen()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lie in one column or two."""
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        roomy = self.viewport().width() >= TWO_COLUMNS * self.dress.scale
        wide = roomy and any(c and not w.isHidden() for w, c in self._sections)
        if wide == self._wide:
            return
        self._wide = wide
        for w, c in self._sections:
            for column in self._columns:
                # Not takeAt: the widget would go on telling its height to the item that was taken.
                column.removeWidget(w)
            column = self._columns[c if wide else 0]
            column.insertWidget(column.count() - 1, w)
        self._outer.setSpacing(18 if wide else 0)
        self._outer.setStretch(1, 1 if wide else 0)
