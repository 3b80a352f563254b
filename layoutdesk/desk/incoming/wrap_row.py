"""A row of widgets that goes on in the next line where the first has no more room."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

_GAP = 4


class WrapRow(QWidget):
    """Widgets from left to right, in as many lines as they need."""

    def __init__(self, *widgets: QWidget) -> None:
        super().__init__()
        self._widgets = widgets
        for w in widgets:
            w.setParent(self)
        policy = QSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def hasHeightForWidth(self) -> bool:
        """Say that the height depends on the width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return how high the lines are together."""
        return self._place(width, move=False)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place the widgets anew."""
        super().resizeEvent(event)
        self._place(self.width(), move=True)

    def arrange(self) -> None:
        """Place the widgets anew, after one of them changed its size."""
        self.updateGeometry()
        self._place(self.width(), move=True)

    def sizeHint(self) -> QSize:
        """Return the room for one line."""
        hints = [w.sizeHint() for w in self._widgets if not w.isHidden()]
        wide = sum(h.width() + _GAP for h in hints)
        return QSize(wide, self._place(max(self.width(), 300), move=False))

    def minimumSizeHint(self) -> QSize:
        """Return the height that the present width asks for."""
        return QSize(100, self._place(max(self.width(), 300), move=False))

    def _place(self, width: int, *, move: bool) -> int:
        shown = [w for w in self._widgets if not w.isHidden()]
        high = max((w.sizeHint().height() for w in shown), default=0)
        x = y = 0
        for w in shown:
            wide = min(w.sizeHint().width(), width)
            if x and x + wide > width:
                x, y = 0, y + high + _GAP
            if move:
                w.setGeometry(x, y, wide, high)
            x += wide + _GAP
        return y + high
