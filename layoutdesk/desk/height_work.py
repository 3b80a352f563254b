"""Heights worked out beside the desk: at once while they are few, in a thread when they are many."""

from __future__ import annotations

import sys
from collections.abc import Callable
from contextlib import suppress
from typing import TYPE_CHECKING, ClassVar, Final

from PySide6.QtCore import QObject, QRunnable, Qt, QThreadPool, Signal, SignalInstance

from layoutdesk.errors import LayoutdeskError

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Flag, Layout
    from layoutdesk.plan.model import Plan

AT_ONCE: Final = 160
"""With more piers, spots and readings together than this the heights are worked out in a thread."""
_TOPICS: Final = (
    "level_book",
    "ground",
    "heights",
    "strings",
    "crossings",
    "side_views",
    "columns",
    "stock",
    "height_flags",
)
_FAULTS: Final = (LayoutdeskError, ArithmeticError, ValueError, MemoryError, LookupError, TypeError)


class _Work(QRunnable):
    """Asks a Layout for its heights, which it then keeps, and says when it has them."""

    def __init__(self, layout: Layout, work: Callable[[Layout], None], lost: str, done: SignalInstance) -> None:
        super().__init__()
        self._layout, self._work, self._lost, self._done = layout, work, lost, done

    def run(self) -> None:
        """Work them out; when the window was closed meanwhile nobody is told."""
        trouble = ""
        try:
            self._work(self._layout)
        except _FAULTS as error:
            trouble = f"{self._lost}: {error}"
        with suppress(RuntimeError):
            self._done.emit(self._layout, trouble)


def work_out(layout: Layout) -> None:
    """Have a Layout work out all of its heights."""
    for topic in _TOPICS:
        getattr(layout, topic)
    ground = layout.ground
    if ground.spots:
        ground.contours  # noqa: B018 - it is kept by being asked for


class HeightWork(QObject):
    """Sees to it that nobody waits for heights.

    A Layout keeps what it has worked out: whoever was told that its heights are known may ask for them freely.

    Signals:
        came: the heights of the layout that was asked for last are known, or could not be worked out.
    """

    library: ClassVar[str] = "scipy.spatial"
    """Until this is loaded even a few take a quarter of a second: the first ones are worked out in a thread."""
    lost: ClassVar[str] = "The heights could not be worked out"
    came = Signal()
    _threaded: SignalInstance = Signal(object, str)  # type: ignore[assignment]

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._threaded.connect(self._on_threaded, Qt.ConnectionType.QueuedConnection)
        self._known: Layout | None = None
        self._wanted: Layout | None = None
        self._working: Layout | None = None
        self._flags: tuple[Flag, ...] = ()
        self.trouble = ""

    def knows(self, layout: Layout) -> bool:
        """Return whether the heights of a layout are known, or take no time."""
        if layout is self._known:
            return True
        return self._working is None and few(layout.plan) and self.library in sys.modules

    def ask(self, layout: Layout) -> bool:
        """Return whether the heights of a layout are known now; else begin to work them out."""
        if layout is self._known:
            return True
        if layout is not self._wanted:
            self.trouble = ""
        if self.knows(layout):
            self._wanted = layout
            try:
                self.work_out(layout)
            except _FAULTS as error:
                self.trouble = f"{self.lost}: {error}"
                return False
            self._known = layout
            return True
        if self.trouble:
            return False
        self._wanted = layout
        if self._working is None:
            self._begin(layout)
        return False

    def work_out(self, layout: Layout) -> None:
        """Have a Layout work out what is asked for here."""
        work_out(layout)

    def flags(self, layout: Layout) -> tuple[Flag, ...]:
        """Return the flags of the heights of a layout; those before while they are still being worked out."""
        if not layout.has_heights:
            self._flags = ()
        elif self.ask(layout):
            self._flags = layout.height_flags
        return self._flags

    def _begin(self, layout: Layout) -> None:
        self._working = layout
        QThreadPool.globalInstance().start(_Work(layout, self.work_out, self.lost, self._threaded))

    def _on_threaded(self, layout: Layout, trouble: str) -> None:
        self._working = None
        if layout is self._wanted:
            self.trouble = trouble
            if not trouble:
                self._known = layout
            self.came.emit()
        elif self._wanted is not None:
            self._begin(self._wanted)


def few(plan: Plan) -> bool:
    """Return whether the heights of a plan are worked out while one blinks."""
    return len(plan.piers) + len(plan.spots) + len(plan.levels.readings) <= AT_ONCE
