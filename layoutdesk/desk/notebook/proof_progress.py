"""The line that tells how far the proof of many measures is: under way, cancelled, or worked out."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QPushButton, QSizePolicy, QWidget

from layoutdesk.desk.dress import label
from layoutdesk.desk.notebook.proof_figures import AT_ONCE, ProofFigures

PATIENCE_MS: Final = 200
"""Work that takes longer shows that it is under way."""
_FULL: Final = 100


class ProofProgress(QWidget):
    """A line of one height whatever it says, so that nothing below it moves while proofs come and go.

    Signals:
        cancel_wanted: the work under way is to end.
        again_wanted: it is to be done after all.
    """

    cancel_wanted = Signal()
    again_wanted = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.says = label("", "caption", "soft", wrap=True)
        self.says.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.bar = QProgressBar()
        self.bar.setRange(0, _FULL)
        self.bar.setTextVisible(False)
        self.bar.setFixedWidth(70)
        self.bar.setAccessibleName("How much of the proof is worked out")
        self.cancel = QPushButton("Cancel")
        self.cancel.setToolTip("Stop working out the proof; what was typed stays")
        self.cancel.clicked.connect(self.cancel_wanted)
        self.again = QPushButton("Work it out")
        self.again.clicked.connect(self.again_wanted)
        box = QHBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(8)
        for w in (self.says, self.bar, self.cancel, self.again):
            box.addWidget(w, 1 if w is self.says else 0)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(PATIENCE_MS)
        self._timer.timeout.connect(self._on_patience)
        self._working = ""
        self.hide()

    def show_work(self, figures: ProofFigures, measures: int, *, before: bool) -> None:
        """Tell how it stands with the proof of so many measures; ``before`` says that an older answer stands."""
        stopped = figures.cancelled or bool(figures.trouble)
        many = measures > AT_ONCE
        self.setVisible(many or stopped or (figures.working and self.bar.isVisible()))
        self._working = f"Working it out from {measures:,} measures …" if measures else "Choosing the tapes …"
        if figures.working and not stopped:
            if not self.bar.isVisibleTo(self) and not self._timer.isActive():
                self._timer.start()
            return
        self._timer.stop()
        if figures.cancelled:
            stands = "what stands below is of before" if before else "nothing is known yet"
            self.says.setText(f"It was cancelled: {stands}. All measures are kept.")
        else:
            self.says.setText(figures.trouble or f"Worked out from {measures:,} measures.")
        self._show(working=False, stopped=stopped)

    def show_share(self, share: float) -> None:
        """Show how much is done, from 0 to 1."""
        self.bar.setValue(round(share * _FULL))

    def _on_patience(self) -> None:
        self.says.setText(self._working)
        self.bar.setValue(0)
        self._show(working=True, stopped=False)
        self.show()

    def _show(self, *, working: bool, stopped: bool) -> None:
        self.bar.setVisible(working)
        self.cancel.setVisible(working)
        self.again.setVisible(stopped)
        self.setMinimumHeight(self.cancel.sizeHint().height())
