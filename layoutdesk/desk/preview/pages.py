"""The pages of the field sheets as the workroom makes them: the PDF itself, and pictures of its pages."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from typing import Any, Final, Literal

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtGui import QImage

from layoutdesk.desk.workroom import Workroom
from layoutdesk.plan.model import Plan

State = Literal["none", "making", "ready", "stopped"]
POINT: Final = 25.4 / 72
_MOST_KEPT: Final = 24


@dataclass(frozen=True, slots=True)
class PageInfo:
    """One page: what it is called, and its size in mm."""

    name: str
    width: float
    height: float


class Pages(QObject):
    """Keeps the PDF of one plan and pictures of its pages; asks for what is missing, one at a time.

    Signals:
        changed: other pages, or another state.
        drawn: the picture of a page came; its index.
    """

    changed = Signal()
    drawn = Signal(int)

    def __init__(self, workroom: Workroom, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._workroom = workroom
        self._plan: Plan | None = None
        self._making: tuple[int, Plan] | None = None
        self._wanted: OrderedDict[tuple[int, int], None] = OrderedDict()
        self._drawing: tuple[int, tuple[int, int]] | None = None
        self._images: OrderedDict[tuple[int, int], QImage] = OrderedDict()
        self._small: dict[int, QImage] = {}
        self.small_width = 0
        self.state: State = "none"
        self.trouble = ""
        self.pdf = b""
        self.pages: tuple[PageInfo, ...] = ()
        workroom.done.connect(self._on_done)
        workroom.failed.connect(self._on_failed)
        workroom.emptied.connect(self._on_emptied)

    def make(self, plan: Plan, *, again: bool = False) -> None:
        """See to the pages of a plan, unless they are there, under way, or were stopped by the person."""
        from layoutdesk.plan.file import plan_to_json

        if self._plan is plan and not again:
            return
        if self._making is not None:
            # Nobody wants the pages of a plan that is another one by now.
            self._workroom.cancel()
        self._plan = plan
        number = self._workroom.order("pdf", plan=plan_to_json(plan), paper=plan.paper)
        self._making = (number, plan)
        self._wanted.clear()
        self._drawing = None
        self._set_state("making")

    def stop(self) -> None:
        """Give up pages that are being made."""
        if self._making is not None:
            self._workroom.cancel()

    def ready_for(self, plan: Plan) -> bool:
        """Return whether the PDF that is here is that of ``plan``."""
        return self.state == "ready" and self._plan is plan

    def image(self, index: int, width: int) -> QImage | None:
        """Return the picture of a page, ``width`` pixels wide; ask for it when it is not there yet."""
        key = (index, width)
        if width == self.small_width:
            found = self._small.get(index)
        else:
            found = self._images.get(key)
            if found is not None:
                self._images.move_to_end(key)
        if found is None and self.state == "ready" and (self._drawing is None or self._drawing[1] != key):
            self._wanted[key] = None
            # What is looked at now comes before thumbnails that scrolled by.
            self._wanted.move_to_end(key, last=width == self.small_width)
            self._draw_next()
        return found

    def any_image(self, index: int) -> QImage | None:
        """Return some picture of a page until the right one comes."""
        return next((im for (k, _), im in reversed(self._images.items()) if k == index), self._small.get(index))

    def _draw_next(self) -> None:
        if self._drawing is None and self._wanted:
            key, _ = self._wanted.popitem(last=False)
            self._drawing = (self._workroom.order("page", page=key[0], width=key[1]), key)

    @Slot(int, object, object)
    def _on_done(self, number: int, about: dict[str, Any], work: bytes) -> None:
        if self._making is not None and number == self._making[0]:
            self._making = None
            self.pdf = work
            self.pages = tuple(PageInfo(p["name"], *p["size"]) for p in about["pages"])
            self._images.clear()
            self._small.clear()
            self._set_state("ready")
        elif self._drawing is not None and number == self._drawing[0]:
            key, self._drawing = self._drawing[1], None
            image = QImage(
                work, about["width"], about["height"], about["stride"], QImage.Format.Format_RGBX8888
            ).copy()
            if key[1] == self.small_width:
                self._small[key[0]] = image
            else:
                self._images[key] = image
                if len(self._images) > _MOST_KEPT:
                    self._images.popitem(last=False)
            self.drawn.emit(key[0])
            self._draw_next()

    @Slot(int, str)
    def _on_failed(self, number: int, sentence: str) -> None:
        if self._making is not None and number == self._making[0]:
            self._making = None
            self._stop(sentence)
        elif self._drawing is not None and number == self._drawing[0]:
            self._drawing = None
            self._draw_next()

    @Slot()
    def _on_emptied(self) -> None:
        if self.state != "none":
            self._making = self._drawing = None
            self._stop(self.trouble or "The pages were not finished.")

    def _stop(self, sentence: str) -> None:
        self._wanted.clear()
        self._set_state("stopped", sentence)

    def _set_state(self, state: State, trouble: str = "") -> None:
        self.state, self.trouble = state, trouble
        self.changed.emit()
