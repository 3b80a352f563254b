"""One page of the preview on the desk: whole, at page width, or larger."""

from __future__ import annotations

from typing import Final, Literal

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import (
    QAbstractScrollArea,
    QBoxLayout,
    QFrame,
    QHBoxLayout,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from layoutdesk.desk.dress import Dress, label
from layoutdesk.desk.preview.pages import Pages
from layoutdesk.desk.tool_strip import word_button

Fit = Literal["page", "width", "free"]
_MARGIN: Final = 22
_SMALLEST: Final = 0.1
_LARGEST: Final = 6.0
_PIXELS_PER_MM: Final = 96 / 25.4


class PageCanvas(QAbstractScrollArea):
    """Shows the picture of one page and scrolls over it.

    Signals:
        turned: the person asks for the page so many further on.
        zoomed: the scale changed.
    """

    turned = Signal(int)
    zoomed = Signal()

    def __init__(self, pages: Pages, dress: Dress) -> None:
        super().__init__()
        self._pages, self._dress = pages, dress
        self.index = 0
        self.fit: Fit = "page"
        self.zoom = 1.0
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Page of the field sheets")
        self.viewport().setAutoFillBackground(False)
        pages.drawn.connect(self._on_drawn)

    def show_page(self, index: int) -> None:
        """Show another page from its top."""
        self.index = index
        self.refit()
        self.verticalScrollBar().setValue(0)

    def refit(self) -> None:
        """Take the zoom that the way of fitting asks for, and scroll over what does not fit."""
        size = self._size_mm()
        room = self.maximumViewportSize()
        across = (room.width() - 2 * _MARGIN) / (size[0] * _PIXELS_PER_MM)
        down = (room.height() - 2 * _MARGIN) / (size[1] * _PIXELS_PER_MM)
        if self.fit == "page":
            self.zoom = min(across, down)
        elif self.fit == "width":
            self.zoom = (room.width() - 2 * _MARGIN - 12) / (size[0] * _PIXELS_PER_MM)
        self.zoom = min(_LARGEST, max(_SMALLEST, self.zoom))
        wide, high = self._size_px()
        view = self.viewport().size()
        for bar, whole, part in (
            (self.horizontalScrollBar(), wide + 2 * _MARGIN, view.width()),
            (self.verticalScrollBar(), high + 2 * _MARGIN, view.height()),
        ):
            bar.setRange(0, max(0, round(whole) - part))
            bar.setPageStep(part)
            bar.setSingleStep(40)
        self.viewport().update()
        self.zoomed.emit()

    def set_zoom(self, zoom: float) -> None:
        """Show the page so many times its true size on an ordinary screen."""
        self.fit, self.zoom = "free", zoom
        self.refit()

    def _size_mm(self) -> tuple[float, float]:
        if self.index < len(self._pages.pages):
            page = self._pages.pages[self.index]
            return page.width, page.height
        return 215.9, 279.4

    def _size_px(self) -> tuple[float, float]:
        wide, high = self._size_mm()
        return wide * _PIXELS_PER_MM * self.zoom, high * _PIXELS_PER_MM * self.zoom

    def _on_drawn(self, index: int) -> None:
        if index == self.index:
            self.viewport().update()

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw the page on the desk."""
        p = QPainter(self.viewport())
        p.fillRect(self.viewport().rect(), QColor(self._dress.theme.desk))
        if self._pages.state != "ready" or self.index >= len(self._pages.pages):
            return
        wide, high = self._size_px()
        view = self.viewport().size()
        left = max((view.width() - wide) / 2, _MARGIN - self.horizontalScrollBar().value())
        top = max((view.height() - high) / 2, _MARGIN - self.verticalScrollBar().value())
        if wide + 2 * _MARGIN > view.width():
            left = _MARGIN - self.horizontalScrollBar().value()
        if high + 2 * _MARGIN > view.height():
            top = _MARGIN - self.verticalScrollBar().value()
        sheet = QRectF(left, top, wide, high)
        p.fillRect(sheet.translated(2, 3), QColor(0, 0, 0, 40))
        p.fillRect(sheet, QColor("white"))
        exact = self._pages.image(self.index, max(1, round(wide * self.devicePixelRatioF())))
        image = exact or self._pages.any_image(self.index)
        if image is not None:
            p.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, exact is None)
            p.drawImage(sheet, image)
        p.setPen(QColor(self._dress.theme.edge))
        p.drawRect(sheet)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit again."""
        super().resizeEvent(event)
        self.refit()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom with Ctrl; scroll, and turn the page at its end."""
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.set_zoom(self.zoom * 1.15 ** (event.angleDelta().y() / 120))
            return
        bar, way = self.verticalScrollBar(), event.angleDelta().y()
        if way < 0 and bar.value() == bar.maximum():
            self.turned.emit(1)
        elif way > 0 and bar.value() == bar.minimum():
            self.turned.emit(-1)
        else:
            super().wheelEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Turn pages with the page keys, zoom with plus and minus."""
        key, keys = event.key(), Qt.Key
        if key in (keys.Key_PageDown, keys.Key_Right, keys.Key_Space):
            self.turned.emit(1)
        elif key in (keys.Key_PageUp, keys.Key_Left, keys.Key_Backspace):
            self.turned.emit(-1)
        elif key in (keys.Key_Plus, keys.Key_Equal):
            self.set_zoom(self.zoom * 1.25)
        elif key == keys.Key_Minus:
            self.set_zoom(self.zoom / 1.25)
        else:
            super().keyPressEvent(event)

    def sizeHint(self) -> QSize:
        """Return a size like the sheet's."""
        return QSize(700, 700)


class PageView(QWidget):
    """The page with its number, and words to turn it and to look closer.

    Signals:
        again_wanted: the pages are to be made once more.
    """

    again_wanted = Signal()
    page_changed = Signal(int)

    def __init__(self, pages: Pages, dress: Dress) -> None:
        super().__init__()
        self._pages = pages
        self.canvas = PageCanvas(pages, dress)
        self.canvas.turned.connect(self._turn)
        self.canvas.zoomed.connect(self._name)
        self.back, self.forth = word_button("Previous page"), word_button("Next page")
        self.back.clicked.connect(self._on_back)
        self.forth.clicked.connect(self._on_forth)
        self.where = label("", "heading")
        self.where.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.smaller, self.larger = word_button("Smaller"), word_button("Larger")
        self.smaller.clicked.connect(self._on_smaller)
        self.larger.clicked.connect(self._on_larger)
        self.whole, self.width_button = word_button("Whole page"), word_button("Page width")
        self.whole.clicked.connect(self._on_whole)
        self.width_button.clicked.connect(self._on_width)
        self.again = QPushButton("Make the pages")
        self.again.clicked.connect(self.again_wanted)
        self.stop = QPushButton("Cancel")
        self.stop.clicked.connect(pages.stop)
        self.bar = QProgressBar()
        self.bar.setRange(0, 0)
        self.bar.setTextVisible(False)
        self.bar.setFixedWidth(220)
        self.bar.setAccessibleName("Pages are being made")
        self.says = label("", "body", "soft", wrap=True)
        self.says.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._bar = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._bar.setContentsMargins(6, 4, 6, 0)
        self._bar.setSpacing(2)
        turning, looking = QHBoxLayout(), QHBoxLayout()
        for w in (self.back, self.where, self.forth):
            turning.addWidget(w, 1 if w is self.where else 0)
        for w in (self.smaller, self.larger, self.whole, self.width_button):
            looking.addWidget(w)
        self._bar.addLayout(turning, 1)
        self._bar.addLayout(looking)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(4)
        box.addLayout(self._bar)
        box.addWidget(self.says)
        for under in (self.bar, self.stop, self.again):
            box.addWidget(under, 0, Qt.AlignmentFlag.AlignHCenter)
        box.addWidget(self.canvas, 1)
        pages.changed.connect(self._on_changed)
        self._on_changed()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the words in one line, or in two where one would be too long."""
        super().resizeEvent(event)
        words = (self.back, self.forth, self.smaller, self.larger, self.whole, self.width_button)
        wide = sum(w.sizeHint().width() for w in words) + self.where.fontMetrics().averageCharWidth() * 34
        ways = QBoxLayout.Direction
        self._bar.setDirection(ways.LeftToRight if wide <= self.width() else ways.TopToBottom)

    @property
    def index(self) -> int:
        """Return which page is shown."""
        return self.canvas.index

    def show_page(self, index: int) -> None:
        """Show a page by its index."""
        last = max(0, len(self._pages.pages) - 1)
        self.canvas.show_page(min(last, max(0, index)))
        self._name()
        self.page_changed.emit(self.canvas.index)

    def _turn(self, by: int) -> None:
        if 0 <= self.index + by < len(self._pages.pages):
            self.show_page(self.index + by)
            if by < 0:
                self.canvas.verticalScrollBar().setValue(self.canvas.verticalScrollBar().maximum())

    def _on_back(self) -> None:
        self._turn(-1)

    def _on_forth(self) -> None:
        self._turn(1)

    def _on_smaller(self) -> None:
        self.canvas.set_zoom(self.canvas.zoom / 1.25)

    def _on_larger(self) -> None:
        self.canvas.set_zoom(self.canvas.zoom * 1.25)

    def _on_whole(self) -> None:
        self.canvas.fit = "page"
        self.canvas.refit()

    def _on_width(self) -> None:
        self.canvas.fit = "width"
        self.canvas.refit()

    def _on_changed(self) -> None:
        state = self._pages.state
        sentences = {"none": "", "making": "Setting the pages …", "ready": "", "stopped": self._pages.trouble}
        self.says.setText(sentences[state])
        self.says.setVisible(bool(self.says.text()))
        self.again.setVisible(state == "stopped")
        self.bar.setVisible(state == "making")
        self.stop.setVisible(state == "making")
        if state == "ready":
            self.show_page(self.index)
        self._name()
        self.canvas.viewport().update()

    def _name(self) -> None:
        pages, index = self._pages.pages, self.index
        ready = self._pages.state == "ready" and index < len(pages)
        zoom = f"{self.canvas.zoom * 100:.0f} %"
        self.where.setText(f"page {index + 1} of {len(pages)} · {pages[index].name} · {zoom}" if ready else "")
        self.back.setEnabled(ready and index > 0)
        self.forth.setEnabled(ready and index + 1 < len(pages))
        for w in (self.smaller, self.larger, self.whole, self.width_button):
            w.setEnabled(ready)
