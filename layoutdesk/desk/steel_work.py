"""The least stock of steel, looked for beside the desk: seconds, where there are many lengths."""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QObject, QRunnable, Qt, QThreadPool, Signal, SignalInstance

from layoutdesk.errors import LayoutdeskError

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Layout

SECONDS: Final = 20.0
"""So long each size is looked at; what is found by then is shown, and says whether it is proven."""
_FAULTS: Final = (LayoutdeskError, ArithmeticError, ValueError, MemoryError, LookupError, TypeError)


class _Search(QRunnable):
    """Looks for the least stock of one layout."""

    def __init__(self, layout: Layout, found: SignalInstance) -> None:
        super().__init__()
        self._layout, self._found = layout, found

    def run(self) -> None:
        """Look for it; when the window was closed meanwhile nobody is told."""
        from layoutdesk.engine.holes.steel_list import best_steel

        try:
            steel = best_steel(self._layout.plan, self._layout.steel, seconds=SECONDS)
        except _FAULTS as fault:
            with suppress(RuntimeError):
                self._found.emit(self._layout, fault)
            return
        with suppress(RuntimeError):
            self._found.emit(self._layout, steel)


class SteelWork(QObject):
    """Looks for the least stock of the layout that was asked for last.

    Signals:
        found: the layout, and its steel with the least stock that was found.
        failed: why nothing was found, in one sentence.
    """

    found = Signal(object, object)
    failed = Signal(str)
    _threaded: SignalInstance = Signal(object, object)  # type: ignore[assignment]

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._wanted: Layout | None = None
        self._working: Layout | None = None
        self._threaded.connect(self._on_threaded, Qt.ConnectionType.QueuedConnection)

    @property
    def busy(self) -> bool:
        """Return whether something is still waited for."""
        return self._wanted is not None

    def look(self, layout: Layout) -> None:
        """Begin to look, once what was begun before has ended."""
        self._wanted = layout
        if self._working is None:
            self._begin(layout)

    def _begin(self, layout: Layout) -> None:
        self._working = layout
        QThreadPool.globalInstance().start(_Search(layout, self._threaded))

    def stop(self) -> None:
        """Wait no longer; what comes later is thrown away."""
        self._wanted = None

    def _on_threaded(self, layout: Layout, found: object) -> None:
        self._working = None
        if layout is not self._wanted:
            if self._wanted is not None:
                self._begin(self._wanted)
            return
        self._wanted = None
        if isinstance(found, Exception):
            self.failed.emit(f"Less stock could not be looked for: {found}")
        else:
            self.found.emit(layout, found)
