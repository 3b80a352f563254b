"""Work that takes long, done in a second process: the desk stays alive, and cancelling really ends it."""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path
from typing import Any, Final

from PySide6.QtCore import QObject, QProcess, QProcessEnvironment, Signal

_HOME: Final = str(Path(__file__).resolve().parents[2])
_MODULE: Final = "layoutdesk.desk.page_maker"
_GRACE_MS: Final = 300


class Workroom(QObject):
    """Takes orders and announces each answer once, by the order's number.

    Signals:
        done: the order's number, what is told about the work (a dict), and the work (bytes).
        failed: the order's number and a sentence.
        progressed: the order's number and how much of it is done, from 0 to 1.
        emptied: all work was cancelled or lost, and the second process remembers nothing.
    """

    done = Signal(int, object, object)
    failed = Signal(int, str)
    progressed = Signal(int, float)
    emptied = Signal()

    def __init__(self, parent: QObject, *, what: str = "The pages could not be made") -> None:
        super().__init__(parent)
        self._what = what
        self._process: QProcess | None = None
        self._held = bytearray()
        self._head: dict[str, Any] | None = None
        self._last = 0
        self._pending: list[int] = []

    @property
    def busy(self) -> bool:
        """Return whether an answer is awaited."""
        return bool(self._pending)

    def order(self, task: str, **details: object) -> int:
        """Order some work and return the number under which its answer comes."""
        self._last += 1
        self._pending.append(self._last)
        line = json.dumps({"number": self._last, "task": task, **details})
        self._running().write(line.encode() + b"\n")
        return self._last

    def cancel(self) -> None:
        """End all work under way; nothing of it is announced any more."""
        self._pending.clear()
        self._end(kill=True)
        self.emptied.emit()

    def shut(self) -> None:
        """End the second process, now that the program ends."""
        self._pending.clear()
        self._end(kill=False)

    def _running(self) -> QProcess:
        if self._process is None:
            process = QProcess(self)
            environment = QProcessEnvironment.systemEnvironment()
            # The same package as this one, wherever the program was started from.
            environment.insert(
                "PYTHONPATH", os.pathsep.join([_HOME, *filter(None, [environment.value("PYTHONPATH")])])
            )
            process.setProcessEnvironment(environment)
            process.setProcessChannelMode(QProcess.ProcessChannelMode.ForwardedErrorChannel)
            process.readyReadStandardOutput.connect(self._on_output)
            process.finished.connect(self._on_finished)
            process.errorOccurred.connect(self._on_error)
            process.start(sys.executable, ["-m", _MODULE])
            self._process = process
        return self._process

    def _end(self, *, kill: bool) -> None:
        process, self._process = self._process, None
        self._held.clear()
        self._head = None
        if process is None:
            return
        process.readyReadStandardOutput.disconnect(self._on_output)
        process.finished.disconnect(self._on_finished)
        process.errorOccurred.disconnect(self._on_error)
        process.closeWriteChannel()
        if kill or not process.waitForFinished(_GRACE_MS):
            process.kill()
            process.waitForFinished(_GRACE_MS)
        process.deleteLater()

    def _on_output(self) -> None:
        if self._process is None:
            return
        self._held += self._process.readAllStandardOutput().data()
        while True:
            if self._head is None:
                line, newline, rest = self._held.partition(b"\n")
                if not newline:
                    return
                self._head, self._held = json.loads(line), rest
            if "progress" in self._head:
                self._tell_progress(self._head)
                self._head = None
                continue
            size = self._head["bytes"]
            if len(self._held) < size:
                return
            head, work = self._head, bytes(self._held[:size])
            self._head = None
            del self._held[:size]
            self._announce(head, work)

    def _tell_progress(self, head: dict[str, Any]) -> None:
        if head["number"] in self._pending:
            self.progressed.emit(head["number"], head["progress"])

    def _announce(self, head: dict[str, Any], work: bytes) -> None:
        number = head["number"]
        if number not in self._pending:
            return
        self._pending.remove(number)
        if "trouble" in head:
            self.failed.emit(number, head["trouble"])
        else:
            self.done.emit(number, head, work)

    def _on_finished(self) -> None:
        self._give_up(f"{self._what}: the process at work on it ended. Try once more.")

    def _on_error(self, error: QProcess.ProcessError) -> None:
        if error == QProcess.ProcessError.FailedToStart:
            self._give_up(f"{self._what}: no process for it could be started.")

    def _give_up(self, sentence: str) -> None:
        lost, self._pending = self._pending, []
        if self._process is not None:
            self._process.deleteLater()
            self._process = None
        self._held.clear()
        self._head = None
        for number in lost:
            self.failed.emit(number, sentence)
        self.emptied.emit()
