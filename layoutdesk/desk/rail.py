"""The rail at the left: what is open, the stages of the job with their flags, and what comes next."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final, NamedTuple

from PySide6.QtCore import QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QFont, QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QFrame, QSizePolicy, QVBoxLayout, QWidget

from layoutdesk.desk.dress import Dress, label
from layoutdesk.desk.theme import DARK
from layoutdesk.session.viewstate import Page

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Flag, Severity
    from layoutdesk.plan.model import Plan


class Stage(NamedTuple):
    """One stage of the job: its page, its name and its second line."""

    page: Page
    name: str
    about: str


STAGES: Final = (
    Stage("plan", "Plan", "drawing and dimensions"),
    Stage("control", "Control", "baseline, squaring"),
    Stage("stakes", "Stakes", "where each pier goes"),
    Stage("levels", "Levels", "how high everything is"),
    Stage("piers", "Piers", "holes and concrete"),
    Stage("proof", "Proof", "measured against plan"),
    Stage("buy", "Buy", "bags to order"),
    Stage("sheets", "Sheets", "pages to print"),
)


class StageButton(QAbstractButton):
    """A stage: its name, its second line, and the sign and number of its flags."""

    def __init__(self, stage: Stage, dress: Dress) -> None:
        super().__init__()
        self.stage = stage
        self._dress = dress
        self._count = 0
        self._by_key = False
        self._worst: Severity = "note"
        self.setCheckable(True)
        self.setAutoExclusive(True)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.show_flags(0, "note")

    def show_flags(self, count: int, worst: Severity) -> None:
        """Show how many flags the stage has, with the sign of the worst."""
        self._count, self._worst = count, worst
        flags = {0: "no flags", 1: "1 flag"}.get(count, f"{count} flags")
        self.setAccessibleName(f"{self.stage.name}: {self.stage.about}, {flags}")
        self.setToolTip(flags if count else "")
        self.update()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the focus only to whom it came by a key."""
        keys = (
            Qt.FocusReason.TabFocusReason,
            Qt.FocusReason.BacktabFocusReason,
            Qt.FocusReason.ShortcutFocusReason,
        )
        self._by_key = event.reason() in keys
        super().focusInEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Show where the focus is once keys are used."""
        self._by_key = True
        super().keyPressEvent(event)

    def _fonts(self) -> tuple[QFont, QFont]:
        name, about = QFont(self.font()), QFont(self.font())
        name.setPointSizeF(self._dress.points(1.1))
        name.setWeight(QFont.Weight.Bold)
        about.setPointSizeF(self._dress.points(0.88))
        return name, about

    def sizeHint(self) -> QSize:
        """Return room for both lines and the flags beside them."""
        name, about = (QFontMetrics(f) for f in self._fonts())
        wide = max(name.horizontalAdvance(self.stage.name), about.horizontalAdvance(self.stage.about))
        return QSize(wide + 62, name.height() + about.height() + 20)

    def minimumSizeHint(self) -> QSize:
        """Return the same: nothing of it may be cut off."""
        return self.sizeHint()

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw the stage."""
        theme, p = self._dress.theme, QPainter(self)
        here = self.isChecked()
        name, about = self._fonts()
        if self.underMouse() and not here:
            p.fillRect(self.rect(), _mixed(theme.rail, theme.rail_ink, 0.08))
        if here:
            p.fillRect(self.rect(), QColor(theme.rail_here))
            p.fillRect(QRect(0, 0, 4, self.height()), QColor(theme.work))
        room = self.rect().adjusted(20, 9, -44, -9)
        p.setFont(name)
        p.setPen(QColor(theme.rail_here_ink if here else theme.rail_ink))
        p.drawText(room, Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft, self.stage.name)
        p.setFont(about)
        p.setPen(QColor(theme.soft if here else theme.rail_soft))
        p.drawText(
            room.adjusted(0, 0, 24, 0), Qt.AlignmentFlag.AlignBottom | Qt.AlignmentFlag.AlignLeft, self.stage.about
        )
        if self._count:
            self._draw_flags(p, here=here)
        if self.hasFocus() and self._by_key:
            p.setBrush(Qt.BrushStyle.NoBrush)
            p.setPen(QPen(QColor(theme.work), 2))
            p.drawRoundedRect(QRectF(self.rect()).adjusted(3, 3, -3, -3), 4, 4)

    def _draw_flags(self, p: QPainter, *, here: bool) -> None:
        # Here and not at the top: the first window has no flags to show.
        from layoutdesk.desk.signs import draw_sign

        theme = self._dress.theme
        sign = QRectF(self.width() - 36, 9, 20, 18)
        draw_sign(p, sign, self._worst, theme if here else DARK)
        count = QFont(self.font())
        count.setPointSizeF(self._dress.points(0.82))
        count.setWeight(QFont.Weight.Bold)
        p.setFont(count)
        p.drawText(
            QRectF(self.width() - 46, sign.bottom() + 1, 40, 18),
            Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop,
            str(self._count),
        )


def _mixed(a: str, b: str, share: float) -> QColor:
    """Return colour a with a share of colour b in it."""
    x, y = QColor(a), QColor(b)
    return QColor.fromRgbF(
        x.redF() + (y.redF() - x.redF()) * share,
        x.greenF() + (y.greenF() - x.greenF()) * share,
        x.blueF() + (y.blueF() - x.blueF()) * share,
    )


class Rail(QFrame):
    """The whole rail.

    Signals:
        turned: the page of the stage that was pressed.
    """

    turned = Signal(str)

    def __init__(self, dress: Dress) -> None:
        super().__init__()
        self.setObjectName("rail")
        self.title = label("", "title", wrap=True)
        self.state = label("", "caption", "soft", wrap=True)
        self.next = label("", "caption", "soft", wrap=True)
        self.buttons = tuple(StageButton(stage, dress) for stage in STAGES)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 18, 0, 16)
        box.setSpacing(0)
        for text in (self.title, self.state):
            box.addWidget(_indented(text))
        box.addSpacing(18)
        for button in self.buttons:
            box.addWidget(button)
            button.clicked.connect(self._on_clicked)
        box.addStretch(1)
        box.addWidget(_indented(self.next))
        self._fit()
        dress.changed.connect(self._fit)

    def show_plan(self, title: str, state: str, upcoming: str) -> None:
        """Show what is open, whether it is saved, and what comes next."""
        self.title.setText(title)
        self.state.setText(state)
        self.next.setText(upcoming)

    def show_flags(self, flags: Sequence[Flag]) -> None:
        """Count the flags of each stage."""
        for button in self.buttons:
            mine: list[Severity] = [f.severity for f in flags if f.stage == button.stage.page]
            order: tuple[Severity, ...] = ("error", "warning", "note")
            button.show_flags(len(mine), min(mine, key=order.index, default="note"))

    def show_page(self, page: Page) -> None:
        """Mark the stage whose page is open."""
        for button in self.buttons:
            button.setChecked(button.stage.page == page)

    def _on_clicked(self) -> None:
        for button in self.buttons:
            if button.isChecked():
                self.turned.emit(button.stage.page)

    def _fit(self) -> None:
        self.setFixedWidth(max(b.sizeHint().width() for b in self.buttons) + 10)
        for button in self.buttons:
            button.updateGeometry()


def _indented(text: QWidget) -> QWidget:
    holder = QWidget()
    box = QVBoxLayout(holder)
    box.setContentsMargins(20, 0, 14, 2)
    box.addWidget(text)
    return holder


def upcoming(plan: Plan, flags: Sequence[Flag]) -> str:
    """Return what the person might do next, in a sentence."""
    if not plan.walls and not plan.baseline:
        return "Next: draw the wall that everything is measured from."
    if plan.baseline is None:
        return "Next: choose a baseline on the Control page."
    if len(plan.controls) < 2:
        return "Next: set two control points to tape from."
    if not plan.piers:
        return "Next: put in the piers, or a row of them."
    if errors := sum(f.severity == "error" for f in flags):
        return f"Next: mend what is wrong ({errors}) before anything is printed."
    if any(f.severity == "warning" for f in flags):
        count = len(flags)  # as the stages count them, notes too
        return f"Next: look at the {'flag' if count == 1 else f'{count} flags'}, then print the field sheets."
    return "Next: print the field sheets. Have buried lines marked before any digging."
