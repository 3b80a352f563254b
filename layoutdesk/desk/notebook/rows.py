"""Rows of a form: a caption, a box, and in red right under it what cannot be read or done."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Generic, TypeVar

from PySide6.QtWidgets import QGridLayout, QLabel, QSizePolicy, QWidget

from layoutdesk.desk.dress import label, sentence_case
from layoutdesk.desk.notebook.boxes import Box, Choice, LengthBox
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.errors import LayoutdeskError

Value = TypeVar("Value")


class FieldRow(QWidget, Generic[Value]):
    """A caption, a box or a list, and room for a red sentence under it.

    ``commit`` takes the new value and may raise a LayoutdeskError, whose sentence is then shown in place.
    """

    def __init__(self, caption: str, commit: Callable[[Value], None]) -> None:
        super().__init__()
        self._commit = commit
        self.caption: QLabel = label(caption, tone="soft", wrap=True)
        self.sentence: QLabel = label("", "caption", "wrong", wrap=True)
        self.sentence.hide()
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(2)
        grid.setColumnStretch(0, 42)
        grid.setColumnStretch(1, 58)
        grid.addWidget(self.caption, 0, 0)
        grid.addWidget(self.sentence, 1, 0, 1, 2)
        self._grid = grid

    def _place(self, editor: QWidget) -> None:
        editor.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self._grid.addWidget(editor, 0, 1)
        self.caption.setBuddy(editor)

    def _follow(self, box: Box) -> None:
        """Take the sentence away once what was refused is mended."""
        box.mended.connect(self._on_mended)

    def _on_mended(self) -> None:
        self.say("")

    def say(self, sentence: str) -> None:
        """Show a red sentence, or none."""
        self.sentence.setText(sentence_case(sentence))
        self.sentence.setVisible(bool(sentence))

    def _take(self, value: Value) -> str:
        """Commit a value; return the sentence of what went wrong, or nothing."""
        try:
            self._commit(value)
        except LayoutdeskError as error:
            self.say(str(error))
            return str(error)
        self.say("")
        return ""


class LengthRow(FieldRow[float]):
    """A caption and a box for one length."""

    def __init__(self, caption: str, commit: Callable[[float], None]) -> None:
        super().__init__(caption, commit)
        self.box = LengthBox(caption)
        self.box.entered.connect(self._on_entered)
        self.box.refused.connect(self.say)
        self._follow(self.box)
        self._place(self.box)

    def show_length(self, value: float | None, text: LengthText) -> None:
        """Show a length as the plan writes it; None shows a dash and takes nothing."""
        self.box.show_length(value, text)

    def _on_entered(self, value: float) -> None:
        if trouble := self._take(value):
            self.box.refuse(trouble)


class PlaceRow(FieldRow[tuple[float, float]]):
    """A caption and two boxes for the two lengths that make a place."""

    def __init__(self, caption: str, commit: Callable[[tuple[float, float]], None]) -> None:
        super().__init__(caption, commit)
        self.boxes = (LengthBox(""), LengthBox(""))
        self._values: tuple[float, float] = (0.0, 0.0)
        pair = QWidget()
        grid = QGridLayout(pair)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(6)
        for k, box in enumerate(self.boxes):
            box.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
            box.refused.connect(self.say)
            self._follow(box)
            grid.addWidget(box, 0, k)
        self.boxes[0].entered.connect(self._on_first)
        self.boxes[1].entered.connect(self._on_second)
        self.caption.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self._grid.setColumnStretch(0, 26)
        self._grid.setColumnStretch(1, 74)
        self._place(pair)
        self.caption.setBuddy(self.boxes[0])

    def show_place(self, values: tuple[float, float], names: tuple[str, str], text: LengthText) -> None:
        """Show the two lengths; ``names`` says what they are, as ``station`` and ``offset``."""
        self._values = values
        for box, value, name in zip(self.boxes, values, names, strict=True):
            box.show_length(value, text)
            box.setAccessibleName(f"{self.caption.text()}, {name}")
            box.setToolTip(name)

    def _on_first(self, value: float) -> None:
        if trouble := self._take((value, self._values[1])):
            self.boxes[0].refuse(trouble)

    def _on_second(self, value: float) -> None:
        if trouble := self._take((self._values[0], value)):
            self.boxes[1].refuse(trouble)


class TextRow(FieldRow[str]):
    """A caption and a box for a line of text."""

    def __init__(self, caption: str, commit: Callable[[str], None]) -> None:
        super().__init__(caption, commit)
        self.box = Box(caption)
        self.box.finished.connect(self._on_finished)
        self._follow(self.box)
        self._place(self.box)

    def show_text(self, text: str) -> None:
        """Show a text."""
        self.box.rest(text)

    def _on_finished(self, typed: str) -> None:
        if trouble := self._take(typed.strip()):
            self.box.refuse(trouble)


class ChoiceRow(FieldRow[object]):
    """A caption and a list to choose from."""

    def __init__(self, caption: str, commit: Callable[[object], None]) -> None:
        super().__init__(caption, commit)
        self.box = Choice(caption)
        self.box.chosen.connect(self._on_chosen)
        self._place(self.box)

    def show_choice(self, entries: Sequence[tuple[object, str]], current: object) -> None:
        """Offer (key, text) entries."""
        self.box.fill(entries, current)
        self.say("")

    def _on_chosen(self, key: object) -> None:
        self._take(key)
