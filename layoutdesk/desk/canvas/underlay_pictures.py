"""Sees to the pictures of what lies under the sheet, away from painting: by a thread, or by the second process."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any, Final

from PySide6.QtCore import QObject, QRect, QRectF, QRunnable, QThreadPool, QTimer, Signal, Slot

from layoutdesk.desk.canvas.underlay import Laid, State
from layoutdesk.desk.canvas.underlay_levels import LONGEST_PX, Levels, decoded, page_levels
from layoutdesk.desk.workroom import Workroom
from layoutdesk.errors import LayoutdeskError
from layoutdesk.plan.model import Underlay
from layoutdesk.session.traced import PageKey

_FIRST_PAGE_PX: Final = 1800
_SHARPEST_PAGE_PX: Final = LONGEST_PX
"""The longer side of a page at first, and at most when it is looked at closely."""
_SETTLED_MS: Final = 180
"""A sharper picture is asked for when zooming has come to rest for so long."""


@dataclass(eq=False)
class _Entry:
    """What is known of one file or page: its state, the whole of it, and a sharp part."""

    state: State = "coming"
    whole: Levels | None = None
    part: Levels | None = None
    asked: bool = False
    asked_px: int = 0
    waits: bool = False
    """Whether a part is on its way, or cannot be had."""


class _Decoded(QObject):
    """Carries what a thread decoded to the desk's own thread: whose it is, whether a part, levels or a sentence."""

    done = Signal(object, bool, object)


class _Decoding(QRunnable):
    """Makes the levels of one picture in a thread of the pool."""

    def __init__(self, key: PageKey, make: Callable[[], Levels], tells: _Decoded, *, part: bool = False) -> None:
        super().__init__()
        self._key, self._make, self._tells, self._part = key, make, tells, part

    def run(self) -> None:
        """Make them and tell."""
        found: Levels | str
        try:
            found = self._make()
        except LayoutdeskError as error:
            found = str(error)
        self._tells.done.emit(self._key, self._part, found)


class UnderlayPictures(QObject):
    """The pictures of everything under the sheet, at most so large as they are looked at.

    Signals:
        changed: another picture came, or one is missing: the sheet is to be painted anew.
        refused: a sentence why a file could not be shown, once for each file.
    """

    changed = Signal()
    refused = Signal(str)

    def __init__(self, workroom: Workroom, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._workroom = workroom
        self._entries: dict[PageKey, _Entry] = {}
        self._orders: dict[int, tuple[PageKey, float]] = {}
        self._tells = _Decoded(self)
        self._tells.done.connect(self._on_decoded)
        self._sharper: dict[PageKey, tuple[Underlay, float, QRectF]] = {}
        self._settled = QTimer(self)
        self._settled.setSingleShot(True)
        self._settled.setInterval(_SETTLED_MS)
        self._settled.timeout.connect(self._on_settled)
        self._came = 0
        workroom.done.connect(self._on_done)
        workroom.failed.connect(self._on_failed)

    @property
    def came(self) -> int:
        """Return how many have come so far."""
        return self._came

    def state(self, underlay: Underlay) -> State:
        """Return whether its file is there."""
        return self._entry(underlay).state

    def look_again(self, underlay: Underlay) -> None:
        """Forget what is known of a file: it may be another one now."""
        self._entries.pop(_key(underlay), None)
        self._tell()

    def keep_only(self, underlays: tuple[Underlay, ...]) -> None:
        """Drop the pictures of everything else."""
        keys = {_key(u) for u in underlays}
        for key in [k for k in self._entries if k not in keys]:
            del self._entries[key]

    def laid(
        self, underlay: Underlay, per_unit: float, seen: QRectF, *, dark: bool, ask: bool = True
    ) -> Laid | None:
        """Return the picture that is sharp enough, or the sharpest there is yet, and see to a better one."""
        entry = self._entry(underlay)
        whole = entry.whole
        if whole is None:
            return None
        part = entry.part
        if whole.per_unit < 0.8 * per_unit:
            if part is not None and _holds(part, seen):
                return _as_laid(part, per_unit, dark=dark)
            if ask and _may_be_sharper(underlay, entry, seen):
                self._sharper[_key(underlay)] = (underlay, per_unit, seen)
                self._settled.start()
        return _as_laid(whole, per_unit, dark=dark)

    def _entry(self, underlay: Underlay) -> _Entry:
        key = _key(underlay)
        entry = self._entries.get(key)
        if entry is None:
            entry = self._entries[key] = _Entry()
        if not entry.asked:
            entry.asked = True
            if not Path(underlay.file).is_file():
                entry.state = "missing"
            elif underlay.page:
                self._order(underlay, entry, _FIRST_PAGE_PX)
            else:
                self._in_thread(key, partial(decoded, Path(underlay.file), underlay.size))
        return entry

    def _order(self, underlay: Underlay, entry: _Entry, longer: float) -> None:
        """Order a page so that its longer side has so many pixels."""
        wide, high = underlay.size
        entry.asked_px = math.ceil(longer)
        number = self._workroom.order(
            "page picture",
            path=underlay.file,
            page=underlay.page,
            width=max(1, round(longer * wide / max(wide, high))),
        )
        self._orders[number] = (_key(underlay), wide)

    @Slot()
    def _on_settled(self) -> None:
        """Ask for what is looked at closely."""
        wanted, self._sharper = self._sharper, {}
        for key, (underlay, per_unit, seen) in wanted.items():
            entry = self._entries.get(key)
            if entry is None or entry.state != "here":
                continue
            longer = max(underlay.size) * per_unit
            if underlay.page:
                self._order(underlay, entry, min(_SHARPEST_PAGE_PX, max(1.3 * longer, 2 * entry.asked_px)))
            else:
                entry.waits = True
                part = _part_about(seen, underlay.size)
                self._in_thread(key, partial(decoded, Path(underlay.file), underlay.size, part), part=True)

    def _in_thread(self, key: PageKey, make: Callable[[], Levels], *, part: bool = False) -> None:
        QThreadPool.globalInstance().start(_Decoding(key, make, self._tells, part=part))

    @Slot(object, bool, object)
    def _on_decoded(self, key: PageKey, part: bool, found: Levels | str) -> None:  # noqa: FBT001 - a signal's slot
        entry = self._entries.get(key)
        if entry is None:
            return
        if isinstance(found, str):
            # A part that cannot be had is not asked for again: what waits goes on waiting.
            if not part:
                self._refuse(entry, found)
            return
        entry.waits = False
        entry.state = "here"
        if part:
            entry.part = found
        else:
            entry.whole = found
        self._tell()

    @Slot(int, object, object)
    def _on_done(self, number: int, about: dict[str, Any], work: bytes) -> None:
        if (ordered := self._orders.pop(number, None)) is not None:
            key, wide = ordered
            self._in_thread(key, partial(page_levels, work, about["width"], about["height"], about["stride"], wide))

    @Slot(int, str)
    def _on_failed(self, number: int, sentence: str) -> None:
        ordered = self._orders.pop(number, None)
        entry = self._entries.get(ordered[0]) if ordered is not None else None
        if entry is not None and entry.whole is None:
            self._refuse(entry, sentence)

    def _refuse(self, entry: _Entry, sentence: str) -> None:
        entry.state = "missing"
        self.refused.emit(sentence)
        self._tell()

    def _tell(self) -> None:
        self._came += 1
        self.changed.emit()


class PicturesAtOnce:
    """Pictures for a painting that is made without a window: decoded when they are asked for."""

    came = 0

    def __init__(self) -> None:
        self._known: dict[PageKey, Levels | None] = {}

    def state(self, underlay: Underlay) -> State:
        """Return whether its file can be shown."""
        return "missing" if self._levels(underlay, 1.0) is None else "here"

    def laid(
        self,
        underlay: Underlay,
        per_unit: float,
        seen: QRectF,  # noqa: ARG002 - it is always the whole picture
        *,
        dark: bool,
        ask: bool = True,  # noqa: ARG002 - there is no better one to come
    ) -> Laid | None:
        """Return the whole picture."""
        levels = self._levels(underlay, per_unit)
        return None if levels is None else _as_laid(levels, per_unit, dark=dark)

    def _levels(self, underlay: Underlay, per_unit: float) -> Levels | None:
        key = _key(underlay)
        if key not in self._known:
            try:
                self._known[key] = self._made(underlay, per_unit)
            except LayoutdeskError:
                self._known[key] = None
        return self._known[key]

    @staticmethod
    def _made(underlay: Underlay, per_unit: float) -> Levels:
        path = Path(underlay.file)
        if not underlay.page:
            from layoutdesk.importers.pictures import picture_facts

            picture_facts(path)
            return decoded(path, underlay.size)
        from layoutdesk.importers.pdf import page_picture

        longer = min(LONGEST_PX, max(600.0, per_unit * max(underlay.size)))
        width = max(1, round(longer * underlay.size[0] / max(underlay.size)))
        wide, high, stride, pixels = page_picture(path, underlay.page, width)
        return page_levels(pixels, wide, high, stride, underlay.size[0])


def _key(underlay: Underlay) -> PageKey:
    return underlay.file, underlay.page


def _may_be_sharper(underlay: Underlay, entry: _Entry, seen: QRectF) -> bool:
    """Return whether asking brings a sharper picture of what is seen."""
    if underlay.page:
        return entry.asked_px < _SHARPEST_PAGE_PX
    whole = entry.whole
    fits = max(seen.width(), seen.height()) <= LONGEST_PX
    return whole is not None and whole.per_unit < 0.99 and fits and not entry.waits


def _as_laid(levels: Levels, per_unit: float, *, dark: bool) -> Laid:
    image, sharp = levels.fitting(per_unit, dark=dark)
    return Laid(image, sharp, levels.corner, levels.drawing)


def _holds(part: Levels, seen: QRectF) -> bool:
    image, per_unit = part.fitting(part.per_unit, dark=False)
    box = QRectF(*part.corner, image.width() / per_unit, image.height() / per_unit)
    return box.adjusted(-1, -1, 1, 1).contains(seen)


def _part_about(seen: QRectF, size: tuple[float, float]) -> QRect:
    """Return the pixels to decode for a part that is looked at: with some room about it, and not too many."""
    middle = seen.center()
    wide = min(float(LONGEST_PX), max(1.5 * seen.width(), 600.0))
    high = min(float(LONGEST_PX), max(1.5 * seen.height(), 600.0))
    box = QRectF(middle.x() - wide / 2, middle.y() - high / 2, wide, high)
    return box.intersected(QRectF(0, 0, *size)).toAlignedRect()
