"""Keeps a recovery copy while a plan is edited, and offers what a crash left behind."""

from __future__ import annotations

import os
from collections.abc import Iterable
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QObject, QTimer, Signal

from layoutdesk.desk.asks import Asks
from layoutdesk.desk.files import Files
from layoutdesk.errors import LayoutdeskError
from layoutdesk.session.document import Document

if TYPE_CHECKING:
    from layoutdesk.session.recovery import Left, RecoveryCopy

PAUSE_MS: Final = 5000
"""A change is copied after so long, and never more often than that."""


class Keeper(QObject):
    """Writes the recovery copy beside the work, in a thread of its own.

    Signals:
        trouble: the copy cannot be written; said once.
    """

    trouble = Signal(str)

    def __init__(self, document: Document, folder: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document, self._folder = document, folder
        self._copy: RecoveryCopy | None = None
        self._key: Path | None = None
        self._writer = ThreadPoolExecutor(1, thread_name_prefix="recovery")
        self._under_way: Future[None] | None = None
        self._complained = False
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(PAUSE_MS)
        self._timer.timeout.connect(self.write)
        document.watch(self._on_change)

    def left_of(self, path: Path) -> list[Left]:
        """Return what was left behind of a file, the newest first."""
        return [left for left in self.left() if _same(left.path, path)]

    def left_of_others(self, path: Path) -> list[Left]:
        """Return what was left behind of anything but a file, the newest first."""
        return [left for left in self.left() if not _same(left.path, path)]

    def left(self) -> list[Left]:
        """Return what was left behind, the newest first."""
        from layoutdesk.session.recovery import left_behind

        return left_behind(self._folder)

    def offer(self, copies: Iterable[Left], asks: Asks, files: Files) -> None:
        """Offer copies one after the other, until one is opened or they are to wait.

        Before one is opened the person is asked about what is not saved; whatever comes of that, nothing is lost.
        """
        for left in copies:
            match asks.recover(left.plan.title, said(left.when)):
                case "open":
                    if not files.may_go():
                        return
                    files.recover(left.plan, left.path)
                    # The copy goes only once its plan is safe in a copy of ours.
                    self.write()
                    self._finish()
                    left.discard()
                    return
                case "throw away":
                    left.discard()
                case "later":
                    return

    def write(self) -> None:
        """Begin to write a copy of the plan as it stands, unless it is saved."""
        from layoutdesk.session.recovery import RecoveryCopy

        if not self._document.changed or (self._under_way and not self._under_way.done()):
            return
        path = self._document.path
        if self._copy is None:
            self._copy, self._key = RecoveryCopy(self._folder, str(path or "")), path
        self._under_way = self._writer.submit(self._copy.write, self._document.plan, path)
        self._under_way.add_done_callback(self._on_written)

    def write_now(self) -> None:
        """Write a copy before anything else happens: something went badly wrong."""
        self._finish()
        self.write()
        self._finish()

    def clear(self) -> None:
        """Take the copy away: the plan is saved, or the person let it go."""
        self._timer.stop()
        self._finish()
        if self._copy is not None:
            self._copy.clear()
            self._copy = None

    def shut(self) -> None:
        """Take the copy away and end the thread, now that the program ends."""
        self.clear()
        self._writer.shutdown()

    def _on_change(self) -> None:
        changed = self._document.changed
        if self._copy is not None and (not changed or self._key != self._document.path):
            self.clear()
        if not changed:
            self._timer.stop()
        elif not self._timer.isActive():
            self._timer.start()

    def _finish(self) -> None:
        if self._under_way is not None:
            with suppress(LayoutdeskError, OSError):
                self._under_way.result()
            self._under_way = None

    def _on_written(self, written: Future[None]) -> None:
        # Runs in the writing thread: a signal carries the sentence over to the desk's.
        error = written.exception()
        if error is not None and not self._complained:
            self._complained = True
            self.trouble.emit(str(error))


def said(when: datetime) -> str:
    """Return a time as it is said in a sentence: the day, the month and the clock here."""
    return f"{when.astimezone():%d %B, %H:%M}"


def _same(one: Path | None, other: Path) -> bool:
    return one is not None and os.path.realpath(one) == os.path.realpath(other)
