"""The Control page: what everything is measured from, and how to turn a true right angle."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, cast

from PySide6.QtWidgets import QPushButton

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.cards import BigNumber, Card, FlagList, Heading, sentence, side_by_side
from layoutdesk.desk.notebook.form import Form, button_row
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.page import Page
from layoutdesk.desk.notebook.table import Column, RowTable
from layoutdesk.engine.layout import Layout
from layoutdesk.geometry.vector import Vector, foot
from layoutdesk.plan import edits
from layoutdesk.plan.model import TAPE_CLASSES, Baseline, Plan, Side, TapeClass
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState

_CLASSES: Final[dict[TapeClass, str]] = {"I": "I, the finest", "II": "II, the usual", "III": "III, coarse"}
_OTHER: Final[dict[Side, Side]] = {"left": "right", "right": "left"}
Face = tuple[Vector, Vector, Side]
"""A side of a wall from corner to corner, and on which hand the yard lies."""


class BaselineForm(Form):
    """Chooses the baseline: a wall face, or two control points; and where its zero is."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.face = self.choice_row("Along a wall", self._set_face)
        self.first = self.choice_row("Or from", self._set_first)
        self.second = self.choice_row("to", self._set_second)
        self.zero = self.choice_row("Zero square to", self._set_zero)
        self.flip = QPushButton("Yard on the other side")
        self.flip.setToolTip("Offsets grow on the other side of the baseline")
        self.flip.clicked.connect(self._on_flip)
        self.turn = QPushButton("Measure from the other end")
        self.turn.setToolTip("Stations start at the other end of the baseline")
        self.turn.clicked.connect(self._on_turn)
        self.add(button_row(self.flip))
        self.add(button_row(self.turn))
        self._ends: tuple[str | None, str | None] = (None, None)

    def fill(self, plan: Plan) -> None:
        """Show the baseline of a plan."""
        b = plan.baseline
        faces: list[tuple[object, str]] = [
            ((w.points[k], w.points[k + 1], _OTHER[w.house_side]), f"{w.id}, side {k + 1}")
            for w in plan.walls
            for k in range(len(w.points) - 1)
        ]
        self.face.setVisible(bool(faces))
        # A baseline that was turned round still lies on its face.
        ends = {b.origin, b.toward} if b else set()
        self.face.show_choice(faces, next((key for key, _ in faces if ends == set(cast("Face", key)[:2])), None))
        points: list[tuple[object, str]] = [(c.id, c.id) for c in plan.controls]
        if b is not None:
            self._ends = (_at(plan, b.origin), _at(plan, b.toward))
        for row, end in zip((self.first, self.second), self._ends, strict=True):
            row.setVisible(len(points) > 1)
            row.show_choice(points, end)
        marks = [(c.at, c.id) for c in plan.controls] + [(a.at, a.id) for a in plan.attachments]
        self.zero.setVisible(b is not None and bool(marks))
        self.zero.show_choice(marks, b.origin if b else None)
        self.flip.setEnabled(b is not None)
        self.turn.setEnabled(b is not None)

    def _set_face(self, key: object) -> None:
        origin, toward, side = cast("Face", key)
        self.do("Baseline", lambda p: edits.set_baseline(p, origin, toward, yard_side=side))

    def _set_first(self, key: object) -> None:
        self._ends = (cast("str", key), self._ends[1])
        self._set_ends()

    def _set_second(self, key: object) -> None:
        self._ends = (self._ends[0], cast("str", key))
        self._set_ends()

    def _set_ends(self) -> None:
        at = {c.id: c.at for c in self.document.plan.controls}
        origin, toward = (at.get(e or "") for e in self._ends)
        if origin is None or toward is None:
            return
        plan = self.document.plan
        side: Side = plan.baseline.yard_side if plan.baseline else "right"
        self.do("Baseline", lambda p: edits.set_baseline(p, origin, toward, yard_side=side))

    def _set_zero(self, key: object) -> None:
        at, b = cast("Vector", key), self.document.plan.baseline
        if b is None:
            return
        origin = foot(at, b.origin, b.toward)
        toward = (b.toward[0] + origin[0] - b.origin[0], b.toward[1] + origin[1] - b.origin[1])
        self.do("Zero of the baseline", lambda p: edits.set_baseline(p, origin, toward, yard_side=b.yard_side))

    def _on_flip(self) -> None:
        b = self.document.plan.baseline
        if b is not None:
            side = _OTHER[b.yard_side]
            self.try_to("Yard side", lambda p: edits.set_baseline(p, b.origin, b.toward, yard_side=side))

    def _on_turn(self) -> None:
        self.try_to("Other end", edits.flip_baseline)


class TapeForm(Form):
    """The tape at hand."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.length = self.length_row("Length", self._set_length)
        self.kind = self.choice_row("Accuracy class", self._set_class)

    def fill(self, plan: Plan) -> None:
        """Show the tape of a plan."""
        self.length.show_length(plan.tape_at_hand.length, LengthText.of(plan))
        self.kind.show_choice([(c, _CLASSES[c]) for c in TAPE_CLASSES], plan.tape_at_hand.tape_class)

    def _set_length(self, value: float) -> None:
        self.do("Tape", lambda p: edits.set_tape_at_hand(p, value, p.tape_at_hand.tape_class))

    def _set_class(self, key: object) -> None:
        kind = cast("TapeClass", key)
        self.do("Tape class", lambda p: edits.set_tape_at_hand(p, p.tape_at_hand.length, kind))


class ControlPage(Page):
    """Baseline, control points and the distances between them, the squaring triangle, the tape at hand."""

    def __init__(self, document: Document, view: ViewState, dress: Dress) -> None:
        super().__init__(document, view, dress)
        self.heading = Heading("Control", title=True)
        self.baseline_says = sentence()
        self.baseline = BaselineForm(document)
        self.baseline.trouble.connect(self.trouble)
        self.square_heading = Heading("A right angle", title=False)
        self.legs = (BigNumber("along the baseline"), BigNumber("out into the yard"))
        self.slant = BigNumber("across, from end to end")
        self.legs_row = side_by_side(*self.legs)
        self.square_how = sentence()
        self.controls = RowTable("Control points", dress)
        self.controls.picked.connect(self._pick)
        self.controls_heading = Heading("Control points", "to tape from")
        self.ties = RowTable("Distances between control points", dress)
        self.ties_heading = Heading("Between them", "check these first")
        self.tape = TapeForm(document)
        self.flags = FlagList(dress)
        self.flags.pressed.connect(self._pick)
        self.add(self.heading, self.baseline_says, Card(self.baseline), self.flags)
        self.add(self.square_heading, self.legs_row, self.slant, self.square_how)
        self.add(self.controls_heading, self.controls, self.ties_heading, self.ties, column=1)
        self.add(Heading("Tape at hand"), Card(self.tape), column=1)

    def _pick(self, ids: Sequence[str]) -> None:
        self.view.select(ids)

    def refresh(self, plan: Plan, layout: Layout) -> None:
        """Show what everything is measured from."""
        text = LengthText.of(plan)
        self.heading.set_text("Control", "what to measure from")
        self.baseline_says.setText(_says(plan))
        self.baseline.fill(plan)
        self.tape.fill(plan)
        self._show_square(layout, text)
        points = layout.points
        self.controls_heading.setVisible(bool(plan.controls))
        self.controls.setVisible(bool(plan.controls))
        self.controls.show_rows(
            [c.id for c in plan.controls],
            (
                Column("point", lambda r: plan.controls[r].id, bold=True),
                Column("station", lambda r: text(points.station[r]), right=True),
                Column("offset", lambda r: text(points.offset[r]), right=True),
            ),
        )
        self.controls.light(self.view.selected)
        ties = layout.control_ties
        self.ties_heading.setVisible(bool(ties))
        self.ties.setVisible(bool(ties))
        self.ties.show_rows(
            [f"{t.first} {t.second}" for t in ties],
            (
                Column("from", lambda r: f"{ties[r].first} to {ties[r].second}", bold=True),
                Column("distance", lambda r: text(ties[r].distance), right=True),
                Column(
                    "the way",
                    lambda r: f"barred by {ties[r].blocked_by}" if ties[r].blocked_by else "open",
                    tone="soft",
                ),
            ),
        )
        self.flags.show_flags(tuple(f for f in layout.plan_flags if f.stage == "control"))

    def _show_square(self, layout: Layout, text: LengthText) -> None:
        t = layout.square
        for w in (self.legs_row, self.slant):
            w.setVisible(t is not None)
        if t is None:
            self.square_heading.set_text("A right angle")
            self.square_how.setText(
                "Once there is a baseline with room in the yard, the largest triangle of whole tape lengths stands "
                "here."
            )
            return
        self.square_heading.set_text("A right angle", " : ".join(map(str, t.ratio)))
        for card, value in zip((*self.legs, self.slant), (t.leg_along, t.leg_out, t.hypotenuse), strict=True):
            card.show_number(text(value))
        self.square_how.setText(
            f"From {t.corner_label} mark {text(t.leg_along)} along the baseline: a. Swing {text(t.leg_out)} out "
            f"from {t.corner_label} and {text(t.hypotenuse)} from a: where the two tapes cross is b, and the line "
            f"from {t.corner_label} to b is square to within {t.angle_within_deg:.2f}°.{_other(layout, text)}"
        )


def _other(layout: Layout, text: LengthText) -> str:
    """Return a sentence about the best triangle of the other ratio, if there is one."""
    t = layout.square_other
    if t is None:
        return ""
    ratio = "\u00a0:\u00a0".join(map(str, t.ratio))
    legs = ", ".join(text(v) for v in (t.leg_along, t.leg_out, t.hypotenuse))
    return f" Or {ratio}: {legs}, to within {t.angle_within_deg:.2f}°."


def _at(plan: Plan, place: Vector) -> str | None:
    """Return the control point at a place, or None."""
    return next((c.id for c in plan.controls if c.at == place), None)


def _says(plan: Plan) -> str:
    """Return what the baseline is, in a sentence."""
    b = plan.baseline
    if b is None:
        return (
            "There is no baseline yet: choose the wall face or the two control points that the tape will lie along."
        )
    ends = (_at(plan, b.origin), _at(plan, b.toward))
    if all(ends):
        where = f"from {ends[0]} towards {ends[1]}"
    else:
        where = _along_wall(plan, b)
        if ends[0]:
            where += f", zero at {ends[0]}"
    return f"The baseline runs {where}. Stations are read along it, offsets square from it into the yard."


def _along_wall(plan: Plan, b: Baseline) -> str:
    for wall in plan.walls:
        for k in range(len(wall.points) - 1):
            if (wall.points[k], wall.points[k + 1]) in ((b.origin, b.toward), (b.toward, b.origin)):
                return f"along {wall.id}, side {k + 1}"
    return "as drawn on the sheet"
