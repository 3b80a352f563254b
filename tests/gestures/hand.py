"""A hand that works a gesture as the sheet and the entry line do: pointer, typed values, Enter and Esc."""

from __future__ import annotations

from layoutdesk.gestures.carry import carry_out
from layoutdesk.gestures.catalogue import CATALOGUE
from layoutdesk.gestures.gesture import Field, Gesture, Outcome, Pointer, Value
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState

FT = 304.8
IN = 25.4
KINDS = {kind.name: kind for kind in CATALOGUE}


class Hand:
    """One document, one selection and the gesture under way; ``reach`` is what 6 pixels are worth, in mm."""

    def __init__(self, plan: Plan | None = None, name: str = "Pick", *, reach: float = 60.0) -> None:
        self.document, self.view, self.reach = Document(plan), ViewState(), reach
        self.gesture: Gesture = self._make(name)
        self.document.watch(self._on_changed)

    def _make(self, name: str) -> Gesture:
        return KINDS[name].make(self.document, self.view)

    def _on_changed(self) -> None:
        self.view.keep_only(piece.id for piece in self.plan.pieces())
        self.gesture.plan_changed(self.plan)

    @property
    def plan(self) -> Plan:
        return self.document.plan

    def take_up(self, name: str) -> Hand:
        self.gesture = self._make(name)
        return self

    def _do(self, outcome: Outcome | None) -> Hand:
        carry_out(outcome, self.document, self.view)
        return self

    def pointer(self, x: float, y: float, *, add: bool = False, free: bool = False) -> Pointer:
        return Pointer((x, y), self.reach, add=add, free=free)

    def move(self, x: float, y: float, *, add: bool = False, free: bool = False) -> Hand:
        self.gesture.moved(self.pointer(x, y, add=add, free=free))
        return self

    def press(self, x: float, y: float, *, add: bool = False, free: bool = False) -> Hand:
        return self._do(self.gesture.pressed(self.pointer(x, y, add=add, free=free)))

    def release(self, x: float, y: float, *, add: bool = False, free: bool = False) -> Hand:
        return self._do(self.gesture.released(self.pointer(x, y, add=add, free=free)))

    def click(self, x: float, y: float, *, add: bool = False, free: bool = False) -> Hand:
        self.move(x, y, add=add, free=free)
        self.press(x, y, add=add, free=free)
        return self.release(x, y, add=add, free=free)

    def drag(self, start: tuple[float, float], end: tuple[float, float], *, free: bool = False) -> Hand:
        self.move(*start).press(*start)
        self.move((start[0] + end[0]) / 2, (start[1] + end[1]) / 2, free=free).move(*end, free=free)
        return self.release(*end, free=free)

    def field(self, name: str) -> Field:
        return next(f for f in self.gesture.fields if f.name == name)

    def type(self, **values: Value | None) -> Hand:
        """Type values into fields by name, one after the other."""
        for name, value in values.items():
            self.gesture.type_in([f.name for f in self.gesture.fields].index(name), value)
        return self

    def enter(self, **values: Value | None) -> Hand:
        """Type values and press Enter."""
        self.type(**values)
        return self._do(self.gesture.commit())

    @property
    def picked(self) -> tuple[str, ...]:
        return tuple(self.view.selected)

    @property
    def reason(self) -> str:
        """Return why the snap holds, or nothing."""
        snap = self.gesture.preview.snap
        return snap.reason if snap is not None else ""
