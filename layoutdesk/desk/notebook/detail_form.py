"""The form of a detail: its shape, its reveal, its tube, and its profile level by level down the hole."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from typing import Final, cast

from PySide6.QtWidgets import QPushButton, QWidget

from layoutdesk.desk.notebook.boxes import LengthBox
from layoutdesk.desk.notebook.cards import Heading, sentence
from layoutdesk.desk.notebook.form import button_row
from layoutdesk.desk.notebook.height_form import HeightForm
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.profile_hand import with_point, without_point
from layoutdesk.desk.notebook.rows import PlaceRow
from layoutdesk.desk.notebook.shapes import SHAPES, Shape, profile_of, shape_of
from layoutdesk.errors import EditError
from layoutdesk.plan import edits
from layoutdesk.plan.model import Detail, Plan
from layoutdesk.session.document import Document
from layoutdesk.units import inches

MOST_LEVELS: Final = 16


class DetailForm(HeightForm):
    """One detail: what it is called, and its profile in figures."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self._name = self.text_row("Name", self._rename)
        self.shape = self.choice_row("Shape", self._set_shape)
        self._reveal = self.length_row("Reveal above ground", self._set_reveal)
        self.tube = self.height_row("Form tube, down to", self._set_tube, empty="no tube", signed=False)
        self.square = self.height_row("Square from", self._set_square, empty="round", signed=False)
        self.add(Heading("Down the hole", "depth and width"))
        self._levels_form = HeightForm(document)
        self._levels: list[PlaceRow] = []
        self.add(self._levels_form)
        self.rest = sentence()
        self.add(self.rest)
        self.more = QPushButton("Another level")
        self.more.setToolTip("Go deeper by one more level; a second level at the same depth makes a step")
        self.more.clicked.connect(self._on_more)
        self.fewer = QPushButton("Take the last away")
        self.fewer.clicked.connect(self._on_fewer)
        self.add(button_row(self.more, self.fewer))

    def fill(self, detail: Detail, plan: Plan) -> None:
        """Show a detail."""
        text = LengthText.of(plan)
        self.piece_id = detail.id
        self._name.show_text(detail.id)
        now = shape_of(detail)
        self.shape.show_choice([(s, word) for s, word in SHAPES.items() if s != "own" or now == "own"], now)
        self._reveal.show_length(detail.reveal, text)
        self.tube.show_height(detail.tube, text)
        self.square.show_height(detail.square_from, text)
        shown = detail.profile[:MOST_LEVELS]
        while len(self._levels) < len(shown):
            self._add_level()
        for k, row in enumerate(self._levels):
            row.setVisible(k < len(shown))
            if k < len(shown):
                row.caption.setText(
                    "top" if k == 0 else "bottom" if k == len(detail.profile) - 1 else f"level {k + 1}"
                )
                square = detail.square_from is not None and shown[k][0] >= detail.square_from
                row.show_place(shown[k], ("depth", "side" if square else "diameter"), text)
        more = len(detail.profile) - len(shown)
        self.rest.setText(f"and {more} more levels, which the drawing holds")
        self.rest.setVisible(more > 0)
        self.more.setEnabled(len(detail.profile) < MOST_LEVELS)
        self.fewer.setEnabled(len(detail.profile) > 2)

    def _add_level(self) -> None:
        """Add a row of boxes, which Tab reaches after the row above it and before the buttons."""
        row = PlaceRow("", self._set_level(len(self._levels)))
        before = self._levels[-1].boxes[1] if self._levels else self.square.box
        self._levels.append(row)
        self._levels_form.add(row)
        for one, other in pairwise((before, *row.boxes, self.more)):
            QWidget.setTabOrder(one, other)

    @property
    def bottom_depth(self) -> LengthBox:
        """Return the box of how deep the hole is."""
        return next(row for row in reversed(self._levels) if not row.isHidden()).boxes[0]

    def _detail(self) -> Detail:
        found = self.document.plan.detail(self.piece_id)
        if found is None:
            raise EditError("this detail is gone")
        return found

    def _replace(self, label: str, changed: Detail) -> None:
        self.do(f"{label} of {changed.id}", lambda p: edits.replace_detail(p, changed))

    def _rename(self, name: str) -> None:
        detail = self.piece_id
        self.do(f"Rename {detail}", lambda p: edits.rename(p, detail, name))
        self.piece_id = name

    def _set_shape(self, key: object) -> None:
        detail = self._detail()
        profile = profile_of(cast("Shape", key), detail, self.document.plan.units)
        self._replace("Shape", replace(detail, profile=profile))

    def _set_reveal(self, value: float) -> None:
        self._replace("Reveal", replace(self._detail(), reveal=value))

    def _set_tube(self, value: float | None) -> None:
        detail = self.piece_id
        self.do(f"Tube of {detail}", lambda p: edits.set_tube(p, detail, value))

    def _set_square(self, value: float | None) -> None:
        detail = self.piece_id
        self.do(f"Square part of {detail}", lambda p: edits.set_square_from(p, detail, value))

    def _set_level(self, index: int) -> Callable[[tuple[float, float]], None]:
        def put(level: tuple[float, float]) -> None:
            detail = self._detail()
            profile = list(detail.profile)
            profile[index] = level
            self._replace("Profile", replace(detail, profile=tuple(profile)))

        return put

    def _on_more(self) -> None:
        detail = self._detail()
        step = inches(6) if self.document.plan.units == "ft-in" else 150.0
        changed = with_point(detail, len(detail.profile) - 1, step)
        self.try_to(f"Another level in {detail.id}", lambda p: edits.replace_detail(p, changed))

    def _on_fewer(self) -> None:
        detail = self._detail()
        changed = without_point(detail, len(detail.profile) - 1)
        self.try_to(f"One level less in {detail.id}", lambda p: edits.replace_detail(p, changed))
