"""Field sheets, drawing, table of points and picture: asked for, made in the workroom, written whole."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any, Final, Literal

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QObject, Slot
from PySide6.QtGui import QImageWriter

from layoutdesk.desk.asks import ENDING, Asks
from layoutdesk.desk.canvas.underlay import Pictures
from layoutdesk.desk.dress import Dress
from layoutdesk.desk.files import Files, write_out
from layoutdesk.desk.slip import Slip, open_outside
from layoutdesk.desk.workroom import Workroom
from layoutdesk.session.document import Document

Made = Literal["pdf", "dxf", "csv"]
_UNDER_WAY: Final[dict[Made, str]] = {
    "pdf": "Setting the field sheets …",
    "dxf": "Drawing the DXF …",
    "csv": "Writing the table of points …",
}
_PICTURE_SIZE: Final = (2400, 1500)


@dataclass(frozen=True, slots=True)
class _Awaited:
    """An output on its way: where it goes and what kind it is."""

    path: Path
    kind: Made


class Exports(QObject):
    """Writes outputs of the plan on the desk to files that the person names."""

    def __init__(
        self,
        document: Document,
        *,
        asks: Asks,
        files: Files,
        dress: Dress,
        slip: Slip,
        workroom: Workroom,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._document, self._asks, self._files, self._dress = document, asks, files, dress
        self._slip, self._workroom = slip, workroom
        self._awaited: dict[int, _Awaited] = {}
        workroom.done.connect(self._on_done)
        workroom.failed.connect(self._on_failed)

    def make(self, kind: Made) -> None:
        """Ask for a name, then make the output and write it under that name."""
        from layoutdesk.plan.file import plan_to_json

        path = self._asks.save_file(self._files.suggested(ENDING[kind]), kind)
        if path is None:
            return
        plan = self._document.plan
        number = self._workroom.order(kind, plan=plan_to_json(plan), paper=plan.paper)
        self._awaited[number] = _Awaited(path, kind)
        self._slip.work(_UNDER_WAY[kind], self.cancel)

    def write_ready(self, kind: Made, data: bytes) -> None:
        """Ask for a name and write an output that is made already: what was looked at is what is saved."""
        path = self._asks.save_file(self._files.suggested(ENDING[kind]), kind)
        if path is not None:
            self._write(path, data, "")

    def make_picture(self, pictures: Pictures) -> None:
        """Ask for a name and write the sheet as a picture, with what lies under it as far as that has come."""
        from layoutdesk.desk.canvas.picture import picture

        path = self._asks.save_file(self._files.suggested(ENDING["png"]), "png")
        if path is None:
            return
        image = picture(self._document.layout, self._dress.theme, *_PICTURE_SIZE, pictures=pictures)
        held = QBuffer()
        held.open(QIODevice.OpenModeFlag.WriteOnly)
        if QImageWriter(held, QByteArray(b"png")).write(image):
            self._write(path, bytes(held.data().data()), "")
        else:
            self._slip.warn("The picture could not be made.")

    def cancel(self) -> None:
        """End what is under way; nothing is written."""
        self._awaited.clear()
        self._workroom.cancel()
        self._slip.say("Cancelled; nothing was written.")

    @Slot(int, object, object)
    def _on_done(self, number: int, about: dict[str, Any], work: bytes) -> None:
        awaited = self._awaited.pop(number, None)
        if awaited is None:
            return
        self._slip.work_done()
        pages = len(about.get("pages", ()))
        self._write(awaited.path, work, f", {pages} pages" if pages else "")

    @Slot(int, str)
    def _on_failed(self, number: int, sentence: str) -> None:
        if self._awaited.pop(number, None) is not None:
            self._slip.work_done()
            self._slip.warn(sentence)

    def _write(self, path: Path, data: bytes, about: str) -> None:
        trouble: Callable[[str], object] = self._slip.warn
        if write_out(path, data, trouble):
            self._files.remember(path)
            self._slip.say(f"Saved {path.name}{about}.", button="Open it", press=partial(open_outside, str(path)))
