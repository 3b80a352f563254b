"""What lies under the sheet, as a list on the Plan page: how each shows, and what can be done with it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Final, Protocol

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QGridLayout, QPushButton, QSlider, QWidget

from layoutdesk.desk.dress import label
from layoutdesk.desk.notebook.cards import Card, Heading, sentence, stacked
from layoutdesk.desk.notebook.form import Form, button_row, link
from layoutdesk.desk.notebook.rows import ChoiceRow
from layoutdesk.desk.notebook.tick import Tick
from layoutdesk.errors import LayoutdeskError
from layoutdesk.geometry.projective import scale_at
from layoutdesk.gestures.underlay_move import MoveUnderlay
from layoutdesk.gestures.underlay_scale import ScaleUnderlay
from layoutdesk.gestures.underlay_straighten import StraightenUnderlay
from layoutdesk.gestures.underlay_turn import TurnUnderlay
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan, Underlay
from layoutdesk.session.document import Document

POINT_MM: Final = 25.4 / 72
_ACTS: Final = (ScaleUnderlay.name, TurnUnderlay.name, StraightenUnderlay.name, MoveUnderlay.name)
_LAY: Final = "Lay a picture under the sheet …"
_TIP: Final = (
    "A scan, a photograph or a page of a PDF can lie under the sheet to be traced: scaled by two points, turned "
    "square to the wall, straightened by four."
)
_SETTLE_MS: Final = 40


class Seen(Protocol):
    """Does what the list asks for, and knows the files."""

    def pages_of(self, underlay: Underlay) -> int:
        """Return how many pages the file has; 0 for a picture."""
        ...

    def is_missing(self, underlay: Underlay) -> bool:
        """Return whether the file cannot be shown."""
        ...

    def act(self, name: str, underlay_id: str) -> None:
        """Take up an act on the sheet."""
        ...

    def find(self, underlay_id: str) -> None:
        """Ask where the file is now."""
        ...

    def show_page(self, underlay_id: str, page: int) -> None:
        """Show another page."""
        ...

    def ask_and_lay(self) -> None:
        """Ask for a file and lay it under the sheet."""
        ...


class UnderlayForm(Form):
    """One picture or page: page, strength, shown, locked, and the acts."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self._seen: Seen | None = None
        self.heading = Heading("")
        self.scale = sentence()
        self.missing = sentence("Its file is not where it was.", "look")
        self.find_file = link("Find the file …")
        self.find_file.clicked.connect(self._on_find)
        self.lost = stacked(self.missing, self.find_file, spacing=2)
        for widget in (self.heading, self.scale, self.lost):
            self.add(widget)
        self.page = ChoiceRow("Page", self._on_page)
        self.add(self.page)
        self.strength = QSlider(Qt.Orientation.Horizontal)
        self.strength.setRange(0, 100)
        self.strength.setPageStep(10)
        self.strength.valueChanged.connect(self._on_slid)
        self.percent = label("", "number")
        self.percent.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.percent.setMinimumWidth(self.percent.fontMetrics().horizontalAdvance("100 %") + 8)
        self.shown, self.locked = Tick("Shown"), Tick("Locked")
        self.shown.clicked.connect(self._on_shown)
        self.locked.clicked.connect(self._on_locked)
        self.add(self._settings())
        self.acts = tuple(link(name) for name in _ACTS)
        does: tuple[Callable[[], None], ...] = (self._on_scale, self._on_turn, self._on_straighten, self._on_move)
        for button, do in zip(self.acts, does, strict=True):
            button.clicked.connect(do)
        self.remove = link("Remove")
        self.remove.clicked.connect(self._on_remove)
        self.add(stacked(*self.acts, self.remove, spacing=1))
        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(_SETTLE_MS)
        self._settle.timeout.connect(self._set_strength)
        self.strength.sliderReleased.connect(self._on_let_go)

    def _settings(self) -> QWidget:
        held = QWidget()
        grid = QGridLayout(held)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(6)
        grid.setColumnStretch(1, 1)
        grid.addWidget(label("Strength", tone="soft"), 0, 0)
        grid.addWidget(self.strength, 0, 1)
        grid.addWidget(self.percent, 0, 2)
        grid.addWidget(self.shown, 1, 0)
        grid.addWidget(self.locked, 1, 1, 1, 2)
        return held

    def fill(self, one: Underlay, plan: Plan, seen: Seen | None) -> None:
        """Show one of them."""
        self.piece_id, self._seen = one.id, seen
        name = Path(one.file).name
        self.heading.set_text(one.id, name)
        self.setAccessibleName(f"{one.id} {name}")
        self.scale.setText(scale_words(one, plan))
        self.lost.setVisible(seen is not None and seen.is_missing(one))
        pages = 0 if seen is None else seen.pages_of(one)
        self.page.setVisible(pages > 1)
        if pages > 1:
            self.page.show_choice([(k, f"{k} of {pages}") for k in range(1, pages + 1)], one.page)
        if not self._settle.isActive() and not self.strength.isSliderDown():
            self.strength.blockSignals(True)  # noqa: FBT003 - Qt's own signature
            self.strength.setValue(round(100 * one.strength))
            self.strength.blockSignals(False)  # noqa: FBT003 - Qt's own signature
        self.percent.setText(f"{self.strength.value()} %")
        self.shown.setChecked(one.shown)
        self.locked.setChecked(one.locked)
        for button in self.acts:
            button.setEnabled(not one.locked and one.shown)
            button.setToolTip("Unlock it first" if one.locked else "" if one.shown else "Show it first")
            button.setAccessibleName(f"{button.text()}: {one.id}")
        self.remove.setAccessibleName(f"Remove {one.id}")
        self.find_file.setAccessibleName(f"Find the file of {one.id}")
        self.strength.setAccessibleName(f"Strength of {one.id}")
        self.shown.setAccessibleName(f"{one.id} is shown")
        self.locked.setAccessibleName(f"{one.id} is locked")

    def _on_slid(self, value: int) -> None:
        self.percent.setText(f"{value} %")
        self._settle.start()

    def _set_strength(self) -> None:
        one, strength = self.piece_id, self.strength.value() / 100
        try:
            self.document.apply(
                f"Strength of {one}",
                lambda plan: edits.set_underlay(plan, one, strength=strength),
                merge=("strength", one),
            )
        except LayoutdeskError as error:
            self.trouble.emit(str(error))

    def _on_let_go(self) -> None:
        """Set the strength where the slider was let go; the next pull is a step of its own."""
        self._settle.stop()
        self._set_strength()
        self.document.end_merge()

    def _on_shown(self) -> None:
        one, shown = self.piece_id, self.shown.isChecked()
        self.try_to(f"{'Show' if shown else 'Hide'} {one}", lambda p: edits.set_underlay(p, one, shown=shown))

    def _on_locked(self) -> None:
        one, locked = self.piece_id, self.locked.isChecked()
        self.try_to(f"{'Lock' if locked else 'Unlock'} {one}", lambda p: edits.set_underlay(p, one, locked=locked))

    def _on_page(self, key: object) -> None:
        if self._seen is not None and isinstance(key, int):
            self._seen.show_page(self.piece_id, key)

    def _on_find(self) -> None:
        if self._seen is not None:
            self._seen.find(self.piece_id)

    def _on_remove(self) -> None:
        one = self.piece_id
        self.try_to(f"Remove {one}", lambda p: edits.delete(p, (one,)))

    def _act(self, name: str) -> None:
        if self._seen is not None:
            self._seen.act(name, self.piece_id)

    def _on_scale(self) -> None:
        self._act(ScaleUnderlay.name)

    def _on_turn(self) -> None:
        self._act(TurnUnderlay.name)

    def _on_straighten(self) -> None:
        self._act(StraightenUnderlay.name)

    def _on_move(self) -> None:
        self._act(MoveUnderlay.name)


class UnderlayList(QWidget):
    """Everything under the sheet, the topmost first, and a button to lay more.

    Signals:
        trouble: a sentence about something that could not be done.
    """

    trouble = Signal(str)

    def __init__(self, document: Document) -> None:
        super().__init__()
        self._document = document
        self._seen: Seen | None = None
        self.forms: list[UnderlayForm] = []
        self._cards: list[Card] = []
        self.lay = QPushButton(_LAY)
        self.lay.setToolTip(_TIP)
        self.lay.clicked.connect(self._on_lay)
        self._held = stacked(Heading("Under the sheet"), spacing=6)
        outer = QGridLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setVerticalSpacing(7)
        outer.addWidget(self._held, 0, 0)
        outer.addWidget(button_row(self.lay), 1, 0)

    def serve(self, seen: Seen) -> None:
        """Have what the list asks for done by ``seen``."""
        self._seen = seen
        self.refresh()

    def refresh(self) -> None:
        """Show everything under the sheet of the plan as it stands."""
        plan = self._document.plan
        self._held.setVisible(bool(plan.underlays))
        while len(self.forms) < len(plan.underlays):
            form = UnderlayForm(self._document)
            form.trouble.connect(self.trouble)
            card = Card(form)
            self.forms.append(form)
            self._cards.append(card)
            layout = self._held.layout()
            if layout is not None:
                layout.addWidget(card)
        for k, card in enumerate(self._cards):
            card.setVisible(k < len(plan.underlays))
        for form, one in zip(self.forms, reversed(plan.underlays), strict=False):
            form.fill(one, plan, self._seen)

    def _on_lay(self) -> None:
        if self._seen is not None:
            self._seen.ask_and_lay()


def scale_words(one: Underlay, plan: Plan) -> str:
    """Return how large a picture or page lies on the ground, in the plan's units."""
    middle = (one.size[0] / 2, one.size[1] / 2)
    try:
        mm = scale_at(one.to_plan, middle)
    except LayoutdeskError:
        return "its middle shows no ground"
    slanting = abs(one.to_plan[6]) + abs(one.to_plan[7]) > 0
    where = " in its middle" if slanting else ""
    if one.page:
        ratio = mm / POINT_MM
        return f"page {one.page} at 1 : {ratio:.4g}{where}"
    text = f"{mm / 25.4:.3g} in" if plan.units == "ft-in" else f"{mm:.3g} mm"
    return f"1 px is {text} on the ground{where}"
