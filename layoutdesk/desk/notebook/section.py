"""A section of a page: a heading that folds what stands under it."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from layoutdesk.desk.dress import Tone, label, set_tone


class FoldMark(QToolButton):
    """The angle before a heading: pointing down while open, to the right while folded."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.setCheckable(True)
        self.setChecked(True)
        self.setAutoRaise(True)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)

    def sizeHint(self) -> QSize:
        """Return a small square."""
        side = self.fontMetrics().height()
        return QSize(side, side)

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw the angle, and a ring while the keyboard is here."""
        p, colours = QPainter(self), self.palette()
        p.setRenderHint(QPainter.RenderHint.Antialiasing)
        role = QPalette.ColorRole
        ink = colours.color(role.Highlight if self.hasFocus() else role.PlaceholderText)
        p.setPen(QPen(ink, 2.2, c=Qt.PenCapStyle.RoundCap, j=Qt.PenJoinStyle.RoundJoin))
        m, r = QPointF(self.width() / 2, self.height() / 2), self.height() * 0.22
        if self.isChecked():
            p.drawPolyline([m + QPointF(-r, -r / 2), m + QPointF(0, r / 2), m + QPointF(r, -r / 2)])
        else:
            p.drawPolyline([m + QPointF(-r / 2, -r), m + QPointF(r / 2, 0), m + QPointF(-r / 2, r)])


class Section(QWidget):
    """A heading with a few soft words at the right, and widgets under it that a press on the heading folds away."""

    def __init__(self, title: str, *widgets: QWidget, aside: str = "", folded: bool = False) -> None:
        super().__init__()
        self.mark = FoldMark(f"Show or fold {title}")
        self.title = label(title, "heading")
        self.aside = label(aside, "body", "soft", wrap=True)
        self.aside.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        head = self.head = QWidget()
        head.setCursor(Qt.CursorShape.PointingHandCursor)
        line = QHBoxLayout(head)
        line.setContentsMargins(0, 8, 0, 0)
        line.setSpacing(5)
        line.addWidget(self.mark)
        line.addWidget(self.title)
        line.addWidget(self.aside, 1)
        self.body = QWidget()
        self._box = QVBoxLayout(self.body)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.setSpacing(7)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(5)
        whole.addWidget(head)
        whole.addWidget(self.body)
        for w in widgets:
            policy = w.sizePolicy()
            policy.setHorizontalPolicy(QSizePolicy.Policy.Ignored)
            w.setSizePolicy(policy)
            self._box.addWidget(w)
        self.mark.toggled.connect(self.body.setVisible)
        head.mousePressEvent = self._on_head  # type: ignore[method-assign]
        if folded:
            self.fold()

    def _on_head(self, event: object) -> None:
        del event
        self.mark.toggle()

    @property
    def folded(self) -> bool:
        """Return whether only the heading shows."""
        return not self.mark.isChecked()

    def fold(self) -> None:
        """Show the heading only."""
        self.mark.setChecked(False)

    def open(self) -> None:
        """Show what stands under the heading."""
        self.mark.setChecked(True)

    def say(self, aside: str, tone: Tone = "soft") -> None:
        """Show a few words at the right of the heading."""
        self.aside.setText(aside)
        set_tone(self.aside, tone)
