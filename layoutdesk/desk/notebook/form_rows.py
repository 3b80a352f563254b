"""Rows of the detail's forms: a length that may be left empty, a whole number, and a tick with its own rows."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt

from layoutdesk.desk.notebook.boxes import Box
from layoutdesk.desk.notebook.rows import FieldRow
from layoutdesk.errors import EditError


class CountRow(FieldRow[int]):
    """A caption and a box for a whole number."""

    def __init__(self, caption: str, commit: Callable[[int], None], *, example: str = "4") -> None:
        super().__init__(caption, commit)
        self.box = Box(caption)
        self.box.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.box.finished.connect(self._on_finished)
        self._example = example
        self._follow(self.box)
        self._place(self.box)

    def show_count(self, count: int) -> None:
        """Show a number."""
        self.box.rest(str(count))

    def _on_finished(self, typed: str) -> None:
        clean = typed.strip().replace(",", "").replace("\u2009", "")
        try:
            value = whole_number(clean, typed, self._example)
        except EditError as error:
            self.say(str(error))
            self.box.refuse(str(error))
            return
        if trouble := self._take(value):
            self.box.refuse(trouble)


def whole_number(clean: str, typed: str, example: str) -> int:
    """Return a whole number.

    Raises:
        EditError: for anything else, with an example.
    """
    if not clean.isascii() or not clean.isdigit() or len(clean) > 9:
        raise EditError(f"“{typed.strip()[:20]}” is no whole number; type one such as {example}")
    return int(clean)
