"""What the Proof page shows of a layout, worked out beside the desk when it is large."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QObject, Qt, QThreadPool, Signal

from layoutdesk.errors import LayoutdeskError
from layoutdesk.plan.model import Plan

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Layout
    from layoutdesk.engine.proof.entries import HouseFound, Proof, TapeNext, TapingPlan

AT_ONCE: Final = 150
"""With more measures than this the proof is worked out beside the desk."""
PLANNED_AT_ONCE: Final = 12
"""With more stakes than this the tapes to take are chosen beside the desk."""


@dataclass(frozen=True, slots=True)
class ProofFigures:
    """What follows from a layout for the Proof page; ``choosing`` says that the tapes to take are still to come."""

    proof: Proof | None = None
    taping: TapingPlan | None = None
    next: TapeNext | None = None
    house: HouseFound | None = None
    choosing: bool = False


class ProofWork(QObject):
    """Works the figures out, at once or in a thread, and announces those that came later.

    The tapes to take do not hang on what was taken, so they are kept while only that changes.

    Signals:
        came: more is known of the layout that was asked for last.
    """

    came = Signal()
    _done = Signal(object, object, str)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._wanted: Layout | None = None
        self._proved: Layout | None = None
        self._taping: tuple[Plan, TapingPlan | None] | None = None
        self._at_work = False
        self.trouble = ""
        self._done.connect(self._on_done, Qt.ConnectionType.QueuedConnection)

    def ask(self, layout: Layout) -> ProofFigures | None:
        """Return the figures of a layout as far as they are known, or None while its proof is worked out."""
        plan = layout.plan
        if self._wanted is not layout:
            self._wanted, self.trouble = layout, ""
        if not self._chosen(plan) and len(plan.piers) <= PLANNED_AT_ONCE:
            self._taping = (_untaped(plan), layout.taping_plan)
        known = self.knows(layout)
        chosen = self._chosen(plan)
        if not (known and chosen) and not self._at_work and not self.trouble:
            self._begin(layout)
        if not known and not self.trouble:
            return None
        taping = self._taping[1] if chosen and self._taping else None
        figures = ProofFigures(taping=taping, choosing=not chosen and not self.trouble)
        if not plan.tapes or not known:
            return figures
        return replace(figures, proof=layout.proof, next=layout.tape_next, house=layout.house_found)

    def knows(self, layout: Layout) -> bool:
        """Return whether the proof of a layout is worked out, or has so few measures that nobody waits for it."""
        return self._proved is layout or len(layout.plan.tapes) <= AT_ONCE

    def _chosen(self, plan: Plan) -> bool:
        """Return whether the tapes to take are known, for the plan as it is without those that were taken."""
        if not plan.piers or not plan.controls:
            return True
        return self._taping is not None and self._taping[0] == _untaped(plan)

    def _begin(self, layout: Layout) -> None:
        self._at_work = True
        choose = not self._chosen(layout.plan)

        def work() -> None:
            trouble, taping = "", None
            try:
                if layout.plan.tapes:
                    _ = (layout.proof, layout.tape_next, layout.house_found)
                if choose:
                    taping = layout.taping_plan
            except (LayoutdeskError, ArithmeticError, ValueError, MemoryError, LookupError, TypeError) as error:
                trouble = f"The proof could not be worked out: {error}"
            self._done.emit(layout, (choose, taping), trouble)

        QThreadPool.globalInstance().start(work)

    def _on_done(self, layout: Layout, made: tuple[bool, TapingPlan | None], trouble: str) -> None:
        self._at_work = False
        choose, taping = made
        if choose and not trouble:
            self._taping = (_untaped(layout.plan), taping)
        if layout is self._wanted:
            self.trouble = trouble
            self._proved = layout if not trouble else None
        self.came.emit()


def _untaped(plan: Plan) -> Plan:
    """Return a plan without what was taken down, and without what is only written about it."""
    return plan.with_(tapes=(), title="", issue="", date="", underlays=())
