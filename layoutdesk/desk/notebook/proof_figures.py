"""What the Proof page shows of a layout: worked out at once while it is small, else by a second process."""

from __future__ import annotations

import sys
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QObject, Qt, QThreadPool, Signal

from layoutdesk.desk.workroom import Workroom
from layoutdesk.errors import LayoutdeskError
from layoutdesk.plan.model import Plan
from layoutdesk.plan.tape_rules import reading_step

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Flag, Layout
    from layoutdesk.engine.proof.entries import TapingPlan
    from layoutdesk.session.proof_tasks import ProofFound

AT_ONCE: Final = 150
"""With more measures than this the proof is worked out by the second process."""
PLANNED_AT_ONCE: Final = 12
"""With more stakes than this the tapes to take are chosen by the second process."""
_SOLVER: Final = "layoutdesk.engine.proof.judge"
"""Until this is loaded even a small proof takes a quarter of a second: the first one is worked out in a thread."""
_THREAD: Final = 0
"""In the place of the number of an order: a thread is at it."""
_LOST: Final = "The proof could not be worked out"
_FAULTS: Final = (LayoutdeskError, ArithmeticError, ValueError, MemoryError, LookupError, TypeError)


@dataclass(frozen=True, slots=True)
class ProofFigures:
    """What is known of a layout for the Proof page.

    ``found`` is None while it is not known what the measures say; ``choosing`` says that the tapes to take are
    still to come. ``working`` says that somebody is at it, ``cancelled`` that the person ended that, and
    ``trouble`` is the sentence of what went wrong.
    """

    found: ProofFound | None
    taping: TapingPlan | None
    choosing: bool
    working: bool
    cancelled: bool
    trouble: str


class ProofWork(QObject):
    """Works the figures out and announces those that came later.

    The tapes to take do not hang on what was taken, so they are kept while only that changes.

    Signals:
        came: more is known of the layout that was asked for last, or work on it was cancelled.
        progressed: how much of the work is done, from 0 to 1.
    """

    came = Signal()
    progressed = Signal(float)
    _threaded = Signal(object, object, str)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._room = Workroom(self, what=_LOST)
        self._room.done.connect(self._on_done)
        self._room.failed.connect(self._on_failed)
        self._room.progressed.connect(self._on_progressed)
        self._threaded.connect(self._on_threaded, Qt.ConnectionType.QueuedConnection)
        self._wanted: Layout | None = None
        self._choose = False
        self._order: tuple[int, Plan, bool] | None = None
        self._known: tuple[Plan, ProofFound] | None = None
        self._taping: tuple[Plan, TapingPlan | None] | None = None
        self.cancelled = False
        self.trouble = ""

    # ---- asking

    def ask(self, layout: Layout, *, choose: bool = True) -> ProofFigures:
        """Return what is known of a layout, and begin to work out what is not.

        Args:
            layout: the layout.
            choose: whether the tapes to take are wanted too.
        """
        plan = layout.plan
        if self._wanted is None or _proved(self._wanted.plan) != _proved(plan):
            self.cancelled, self.trouble = False, ""
        if self._wanted is not layout:
            self._choose = False
        self._wanted, self._choose = layout, self._choose or choose
        self._go_on()
        knows, chosen = self.knows(plan), self._chosen(plan)
        if not plan.tapes:
            from layoutdesk.session.proof_tasks import ProofFound

            found: ProofFound | None = ProofFound()
        else:
            found = self._known[1] if knows and self._known else None
        return ProofFigures(
            found=found,
            taping=self._taping[1] if self._taping and (chosen or self._fits(plan)) else None,
            choosing=not chosen,
            working=self.working,
            cancelled=self.cancelled,
            trouble=self.trouble,
        )

    def flags(self, layout: Layout) -> tuple[Flag, ...]:
        """Return the flags of a layout; of its proof those before it, while that is still being worked out."""
        if not layout.plan.tapes:
            return layout.plan_flags
        self.ask(layout, choose=False)
        from layoutdesk.engine.flags import errors_first

        before = self._known[1].flags if self._known is not None and self.holds(layout.plan) else ()
        return errors_first((*layout.plan_flags, *before))

    def knows(self, plan: Plan) -> bool:
        """Return whether it is known what the measures of a plan say."""
        return not plan.tapes or (self._known is not None and self._known[0] == _proved(plan))

    def holds(self, plan: Plan) -> bool:
        """Return whether what was found last is of the same layout, so that it may stay until more is known."""
        return self._known is not None and _untaped(self._known[0]) == _untaped(plan)

    @property
    def working(self) -> bool:
        """Return whether work is under way."""
        return self._order is not None

    def cancel(self) -> None:
        """End the work under way; what was known before stays."""
        self._order = None
        self._room.cancel()
        self.cancelled = True
        self.came.emit()

    def again(self) -> None:
        """Work out what was cancelled or went wrong."""
        self.cancelled, self.trouble = False, ""
        self._go_on()
        self.came.emit()

    def shut(self) -> None:
        """End the second process, now that the program ends."""
        self._order, self._wanted = None, None
        self._room.shut()

    # ---- working

    @property
    def _loaded(self) -> bool:
        """Return whether small proofs take no time: a thread that is at the first one still loads what it needs."""
        return _SOLVER in sys.modules and not (self._order is not None and self._order[0] == _THREAD)

    def _chosen(self, plan: Plan) -> bool:
        """Return whether the tapes to take are known, for the plan as it is without those that were taken."""
        if not plan.piers or not plan.controls:
            return True
        return self._taping is not None and self._taping[0] == _untaped(plan)

    def _fits(self, plan: Plan) -> bool:
        """Return whether tapes chosen before go between points of a plan: they stay until others are chosen."""
        if self._taping is None or self._taping[1] is None:
            return False
        points = {c.id for c in plan.controls} | {a.id for a in plan.attachments} | {p.id for p in plan.piers}
        return all(start in points and end in points for start, end, _ in self._taping[1].pulls)

    def _go_on(self) -> None:
        """Do at once what takes no time, and have the rest done; one piece of work after the other."""
        layout = self._wanted
        if layout is None or self.cancelled or self.trouble:
            return
        plan = layout.plan
        prove, choose = not self.knows(plan), self._choose and not self._chosen(plan)
        few = len(plan.tapes) <= AT_ONCE
        few_stakes = len(plan.piers) <= PLANNED_AT_ONCE
        if self._loaded and ((prove and few) or (choose and few_stakes)):
            self._do(layout, choose=choose and few_stakes, prove=prove and few)
            prove, choose = prove and not few, choose and not few_stakes
        if not (prove or choose) or self.working or self.trouble:
            return
        if few and (few_stakes or not choose):
            self._order = (_THREAD, plan, choose)
            QThreadPool.globalInstance().start(self._in_thread(layout, choose=choose))
        else:
            from layoutdesk.plan.file import plan_to_json

            number = self._room.order("proof", plan=plan_to_json(plan), choose=choose)
            self._order = (number, plan, choose)

    def _do(self, layout: Layout, *, choose: bool, prove: bool) -> None:
        from layoutdesk.session.proof_tasks import proof_found

        try:
            if prove:
                self._known = (_proved(layout.plan), proof_found(layout, choose=False))
            if choose:
                self._taping = (_untaped(layout.plan), layout.taping_plan)
        except _FAULTS as error:
            self.trouble = f"{_LOST}: {error}"

    def _in_thread(self, layout: Layout, *, choose: bool) -> Callable[[], None]:
        def work() -> None:
            from layoutdesk.session.proof_tasks import proof_found

            found: ProofFound | None = None
            trouble = ""
            try:
                found = proof_found(layout, choose=choose)
            except _FAULTS as error:
                trouble = f"{_LOST}: {error}"
            with suppress(RuntimeError):  # the desk was closed meanwhile, and the signal with it
                self._threaded.emit(layout.plan, found, trouble)

        return work

    def _on_threaded(self, plan: Plan, found: ProofFound | None, trouble: str) -> None:
        if self._order is not None and self._order[1] is plan:
            self._take(found, trouble)

    def _on_done(self, number: int, _: object, work: bytes) -> None:
        from layoutdesk.session.proof_tasks import found_from_bytes

        if self._order is not None and self._order[0] == number:
            self._take(found_from_bytes(work), "")

    def _on_failed(self, number: int, sentence: str) -> None:
        if self._order is not None and self._order[0] == number:
            self._take(None, sentence)

    def _on_progressed(self, number: int, share: float) -> None:
        if self._order is not None and self._order[0] == number:
            self.progressed.emit(share)

    def _take(self, found: ProofFound | None, trouble: str) -> None:
        """Keep what came, and go on with what was asked for meanwhile."""
        assert self._order is not None
        (_, plan, choose), self._order = self._order, None
        if found is not None:
            self._known = (_proved(plan), found)
            if choose:
                self._taping = (_untaped(plan), found.taping)
        elif self._wanted is not None and _proved(self._wanted.plan) == _proved(plan):
            self.trouble = trouble
        self._go_on()
        self.came.emit()


def _proved(plan: Plan) -> Plan:
    """Return a plan without what is only written about it: the proof does not hang on that."""
    return plan.with_(title="", issue="", date="", underlays=())


def _untaped(plan: Plan) -> Plan:
    """Return a plan without what was taken down, too."""
    # The first measure fixes the step that tapes are read to: that asks for no other tapes.
    proof = replace(plan.proof, read_to=reading_step(plan))
    return plan.with_(tapes=(), title="", issue="", date="", underlays=(), proof=proof)
