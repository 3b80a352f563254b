"""How the parts of the desk lie: rail at the left, strip on top, sheet and notebook, entry line at the foot."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from layoutdesk.desk.dress import Dress

_NARROW: Final = 356
_WIDE: Final = 880
_FOOT: Final = 57
_MUCH: Final = 2000
"""From this width on the notebook gets the share that lets its pages lie in two columns."""


class DeskFrame(QWidget):
    """The whole inside of the window, without any knowledge of what its parts do."""

    def __init__(self, *, rail: QWidget, strip: QWidget, dress: Dress) -> None:
        super().__init__()
        self.setObjectName("desk")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._dress = dress
        self._own_width = False
        self.middle, self.leaves = QStackedWidget(), QStackedWidget()
        self._paper = QFrame()
        self._paper.setObjectName("paper")
        self.middle.addWidget(self._paper)
        self.middle.setMinimumWidth(320)
        book = QFrame()
        book.setObjectName("notebook")
        inner = QVBoxLayout(book)
        inner.setContentsMargins(1, 1, 1, 1)
        inner.addWidget(self.leaves)
        book.setMinimumWidth(300)
        self._blank = QWidget()
        self.foot = QFrame()
        self.foot.setObjectName("entry")
        self._feet = QVBoxLayout(self.foot)
        self._feet.setContentsMargins(0, 0, 0, 0)
        self._feet.addWidget(self._blank)
        self.foot.setMinimumHeight(_FOOT)
        self.splitter = QSplitter(Qt.Orientation.Horizontal)
        self.splitter.setHandleWidth(10)
        self.splitter.setChildrenCollapsible(False)
        self.splitter.addWidget(self.middle)
        self.splitter.addWidget(book)
        self.splitter.setStretchFactor(0, 1)
        self.splitter.setStretchFactor(1, 0)
        self.splitter.splitterMoved.connect(self._on_splitter)
        table = QHBoxLayout()
        table.setContentsMargins(10, 8, 10, 8)
        table.addWidget(self.splitter)
        right = QVBoxLayout()
        right.setContentsMargins(0, 0, 0, 0)
        right.setSpacing(0)
        right.addWidget(strip)
        right.addLayout(table, 1)
        right.addWidget(self.foot)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(rail)
        whole.addLayout(right, 1)
        dress.changed.connect(self._share)

    def furnish(self, views: Sequence[QWidget], pages: Sequence[QWidget], entry: QWidget) -> None:
        """Put what works in the place of the bare paper, the empty notebook and the empty foot."""
        for view in views:
            self.middle.addWidget(view)
        for page in pages:
            self.leaves.addWidget(page)
        self.middle.removeWidget(self._paper)
        self._paper.deleteLater()
        self._feet.removeWidget(self._blank)
        self._blank.deleteLater()
        self._feet.addWidget(entry)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the width again."""
        super().resizeEvent(event)
        self._share()

    def _share(self) -> None:
        """Share the width between sheet and notebook, as long as the person has not done so."""
        if self._own_width:
            return
        share = 0.26 if self.width() < _MUCH else 0.325
        wide = round(min(_WIDE, max(_NARROW * self._dress.scale, self.width() * share)))
        total = sum(self.splitter.sizes()) or self.width()
        self.splitter.setSizes([max(1, total - wide), wide])

    def _on_splitter(self) -> None:
        self._own_width = True
