"""What the Proof page shows of a layout, worked out beside the desk when it is large."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QObject, Qt, QThreadPool, Signal

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Layout
    from layoutdesk.engine.proof.entries import HouseFound, Proof, TapeNext, TapingPlan

AT_ONCE: Final = 120
"""With more stakes or measures than this the figures are worked out beside the desk."""


@dataclass(frozen=True, slots=True)
class ProofFigures:
    """What follows from a layout for the Proof page."""

    proof: Proof | None
    taping: TapingPlan | None
    next: TapeNext | None
    house: HouseFound | None


def figures_of(layout: Layout) -> ProofFigures:
    """Work out all that the page shows of a layout; with nothing measured only what is to be taped."""
    taping = layout.taping_plan if layout.plan.piers and layout.plan.controls else None
    if not layout.plan.tapes:
        return ProofFigures(None, taping, None, None)
    return ProofFigures(layout.proof, taping, layout.tape_next, layout.house_found)


class ProofWork(QObject):
    """Works the figures out, at once or in a thread, and announces those that came later.

    Signals:
        came: the figures of the layout that was asked for last are there.
    """

    came = Signal()
    _done = Signal(object, object)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._layout: Layout | None = None
        self._figures: ProofFigures | None = None
        self._wanted: Layout | None = None
        self._at_work = False
        self.trouble = ""
        self._done.connect(self._on_done, Qt.ConnectionType.QueuedConnection)

    def ask(self, layout: Layout) -> ProofFigures | None:
        """Return the figures of a layout, or None while they are being worked out."""
        if self._layout is layout:
            return self._figures
        self._wanted, self.trouble = layout, ""
        if max(len(layout.plan.piers), len(layout.plan.tapes)) <= AT_ONCE:
            self._layout, self._figures = layout, figures_of(layout)
            return self._figures
        if not self._at_work:
            self._begin()
        return None

    def _begin(self) -> None:
        layout = self._wanted
        if layout is None:
            return
        self._at_work = True

        def work() -> None:
            try:
                made: object = figures_of(layout)
            except Exception as error:  # noqa: BLE001 - nothing may end a thread without a word
                made = f"The proof could not be worked out: {error}"
            self._done.emit(layout, made)

        QThreadPool.globalInstance().start(work)

    def _on_done(self, layout: Layout, made: object) -> None:
        self._at_work = False
        if layout is not self._wanted:
            self._begin()
            return
        self._layout = layout
        self._figures = made if isinstance(made, ProofFigures) else ProofFigures(None, None, None, None)
        self.trouble = made if isinstance(made, str) else ""
        self.came.emit()
