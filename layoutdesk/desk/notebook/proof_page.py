"""The Proof page: is it right, which stake is to be moved, which tape is wrong, and where to tape next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtGui import QGuiApplication, QHideEvent
from PySide6.QtWidgets import QPushButton

from layoutdesk.desk.dress import Dress, Tone, label, set_tone
from layoutdesk.desk.notebook.cards import BigNumber, Card, FlagList, Heading, sentence, side_by_side
from layoutdesk.desk.notebook.form import button_row
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.page import Page
from layoutdesk.desk.notebook.proof_cards import Advice, NextCard
from layoutdesk.desk.notebook.proof_figures import ProofFigures, ProofWork
from layoutdesk.desk.notebook.proof_form import HouseForm, ProofForm
from layoutdesk.desk.notebook.proof_words import MOST_BAYS, bay_lines, move_along, move_away, worst
from layoutdesk.desk.notebook.table import Column, RowTable
from layoutdesk.desk.notebook.tape_form import MeasureForm
from layoutdesk.desk.notebook.tape_rows import TapeRow, read_value, tape_rows
from layoutdesk.desk.notebook.tape_table import TapeTable
from layoutdesk.engine.layout import Layout
from layoutdesk.errors import LayoutdeskError
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState

if TYPE_CHECKING:
    from layoutdesk.engine.proof.entries import Proof, ProofPoint, Suspect, TapeNext

_BEGIN = (
    "Print the field sheets and take the page “Taping” outside, or type here what the tapes "
    "read: press a box in the column “taped” and type; Enter goes to the next row."
)


class ProofPage(Page):
    """The answer, the tapes, what is suspect, the moves, and the settings.

    Signals:
        figured: the plan and its proof, or None, to be drawn on the sheet.
        tape_wanted: from what to what a tape is to be taken down on the sheet.
    """

    figured = Signal(object, object)
    tape_wanted = Signal(str, str)

    def __init__(self, document: Document, view: ViewState, dress: Dress) -> None:
        super().__init__(document, view, dress)
        self._next: TapeNext | None = None
        self._rows: tuple[TapeRow, ...] = ()
        self._own_pick: tuple[str, ...] = ()
        self._told = ""
        self.work = ProofWork(self)
        self.work.came.connect(self.plan_changed)
        self.heading = Heading("Proof", title=True)
        self.says = label("", "number", wrap=True)
        self.begin = sentence(_BEGIN)
        self.worst, self.allowed = BigNumber("Farthest out"), BigNumber("allowed")
        self.numbers = side_by_side(self.worst, self.allowed)
        self.advice = Advice(dress)
        self.advice.again_wanted.connect(self._on_again)
        self.advice.right_wanted.connect(self._on_right)
        self.next_card = NextCard()
        self.next_card.show_wanted.connect(self._on_show)
        self.next_card.take_wanted.connect(self._on_take)
        self.flags = FlagList(dress)
        self.flags.pressed.connect(self._pick)
        self.tapes_heading = Heading("Tapes", "as on the printed sheet")
        self.plan_says = sentence()
        self.trouble_line = label("", "caption", "wrong", wrap=True)
        self.tapes = TapeTable(dress, self._take, say=self._say)
        self.tapes.paste, self.tapes.strike = self.paste, self._on_strike
        self.tapes.picked.connect(self._on_picked)
        self.paste_button = QPushButton("Paste a table")
        self.paste_button.setToolTip(
            "Paste tapes copied from a spreadsheet: from, to, taped and, if you like, class"
        )
        self.paste_button.clicked.connect(self.paste)
        self.paste_row = button_row(self.paste_button)
        self.measure_heading = Heading("Tape")
        self.measure = MeasureForm(document)
        self.measure.trouble.connect(self.trouble)
        self.measure.strike_wanted.connect(self._on_strike)
        self.measure_card = Card(self.measure)
        self.stakes_heading = Heading("Stakes", "what to do")
        self.stakes = RowTable("Stakes and their moves", dress, many=False)
        self.stakes.picked.connect(self._on_stake)
        self.stake_says = sentence()
        self.bays_heading = Heading("Bays")
        self.bays = sentence(tone="plain")
        self.house_heading = Heading("House as found")
        self.house_says = sentence()
        self.house = HouseForm(document)
        self.house.trouble.connect(self.trouble)
        self.house_card = Card(self.house)
        self.settings_heading = Heading("How it is judged")
        self.settings = ProofForm(document)
        self.settings.trouble.connect(self.trouble)
        self.add(self.heading, self.says, self.begin, self.numbers, self.advice, self.next_card, self.flags)
        self.add(self.tapes_heading, self.plan_says, self.tapes, self.trouble_line, self.paste_row, column=1)
        self.add(self.measure_heading, self.measure_card, column=1)
        self.add(self.stakes_heading, self.stakes, self.stake_says, self.bays_heading, self.bays)
        self.add(self.house_heading, self.house_says, self.house_card)
        self.add(self.settings_heading, Card(self.settings), column=1)
        self._say("")

    # ---- showing

    def refresh(self, plan: Plan, layout: Layout) -> None:
        """Show how the layout was proved."""
        text = LengthText.of(plan)
        figures = self.work.ask(layout)
        if self.work.trouble and self.work.trouble != self._told:
            self.trouble.emit(self.work.trouble)
        self._told = self.work.trouble
        self.heading.set_text("Proof", "" if figures else "working it out …")
        self.settings.fill(plan)
        self._show_house(plan, figures)
        if figures is None:
            return
        labels = dict(zip(layout.points.ids, layout.points.labels, strict=True))
        self._rows = tape_rows(layout, figures.proof, figures.taping)
        self._show_answer(plan, figures, labels, text)
        self._show_tapes(plan, figures, labels, text)
        self._show_stakes(figures.proof, text)
        self.flags.show_flags(tuple(f for f in layout.flags if f.stage == "proof" and not figures.proof))
        self.figured.emit(plan, figures.proof)

    def _show_answer(self, plan: Plan, figures: ProofFigures, labels: Mapping[str, str], text: LengthText) -> None:
        proof = figures.proof
        ready = bool(plan.piers) and len(plan.controls) > 0
        if proof is not None:
            self.says.setText(proof.says)
            set_tone(self.says, _tone(proof))
        else:
            self.says.setText(
                "Nothing is taped yet."
                if ready
                else "Put in control points and piers first: tapes go from one to the other."
            )
            set_tone(self.says, "plain")
        self.begin.setVisible(proof is None and ready)
        farthest = worst(proof)
        self.numbers.setVisible(farthest is not None)
        if farthest is not None:
            self.worst.caption.setText(f"{farthest.label} is farthest out, by")
            self.worst.show_number(text.small(farthest.out))
            self.allowed.caption.setText("it may be out by")
            self.allowed.show_number(text.small(plan.proof.tolerance))
        taken = {row.index: row for row in self._rows if row.index is not None}
        self.advice.show_proof(proof, taken, labels)
        self._next = figures.next
        self.next_card.show_next(figures.next, labels, text(figures.next.planned) if figures.next else "")

    def _show_tapes(self, plan: Plan, figures: ProofFigures, labels: Mapping[str, str], text: LengthText) -> None:
        taken = len(plan.tapes)
        waiting = sum(row.index is None for row in self._rows)
        self.tapes_heading.set_text("Tapes", f"{taken} taken, {waiting} to take" if waiting else f"{taken} taken")
        to_take = figures.taping.says if figures.taping and waiting else ""
        self.plan_says.setText("Choosing which tapes are worth taking …" if figures.choosing else to_take)
        self.plan_says.setVisible(bool(self.plan_says.text()))
        self.tapes.setVisible(bool(self._rows))
        self.tapes.show_tapes(self._rows, labels, text)
        self._light()
        self._show_measure()

    def _light(self) -> None:
        """Pick the rows of what was picked elsewhere; what was picked in the table stays."""
        if self.view.selected == self._own_pick or self.tapes.editing is not None:
            return
        self._own_pick = self.view.selected
        picked = set(self.view.selected)
        if len(picked) == 2:
            self.tapes.light([r.key for r in self._rows if {r.start, r.end} == picked])
        elif len(picked) == 1:
            self.tapes.light([r.key for r in self._rows if picked <= {r.start, r.end}])

    def _show_measure(self) -> None:
        row = next((r for r in self.tapes.picked_rows if r.tape is not None), None)
        self.measure_card.setVisible(row is not None)
        self.measure_heading.setVisible(row is not None)
        if row is not None and row.index is not None:
            ends = f"{self.tapes.called(row.start)} to {self.tapes.called(row.end)}"
            self.measure_heading.set_text("Picked tape", ends)
            self.measure.fill(self.document.plan, row)

    def _show_stakes(self, proof: Proof | None, text: LengthText) -> None:
        points: Sequence[ProofPoint] = [p for p in proof.points if not p.held] if proof else ()
        for w in (self.stakes_heading, self.stakes):
            w.setVisible(bool(points))
        self.stakes.show_rows(
            [p.id for p in points],
            (
                Column("stake", lambda r: points[r].label, bold=True),
                Column("along", lambda r: move_along(points[r], text), right=True),
                Column("away", lambda r: move_away(points[r], text), right=True),
                Column("verdict", lambda r: points[r].verdict, bold=True),
            ),
        )
        self.stakes.light(self.view.selected)
        picked = next((p for p in points if p.id in self.view.selected), None)
        self.stake_says.setText(picked.says if picked else "")
        self.stake_says.setVisible(picked is not None)
        bays = proof.bays if proof else ()
        self.bays_heading.setVisible(bool(bays))
        self.bays.setVisible(bool(bays))
        self.bays.setText(bay_lines(bays))
        if len(bays) > MOST_BAYS:
            self.bays_heading.set_text("Bays", f"the first {MOST_BAYS} of {len(bays)}")
        else:
            self.bays_heading.set_text("Bays")

    def _show_house(self, plan: Plan, figures: ProofFigures | None) -> None:
        shown = bool(plan.controls)
        for w in (self.house_heading, self.house_says, self.house_card):
            w.setVisible(shown)
        self.house.fill(plan)
        if figures is None:
            return
        if figures.house is not None:
            self.house_says.setText(figures.house.says)
        elif any(c.measured for c in plan.controls):
            self.house_says.setText("The corners are found once enough tapes go to them from points that are held.")
        else:
            self.house_says.setText(
                "Tick the corners of the house that may not stand as drawn: tapes then find where they are."
            )

    # ---- doing

    def _take(self, row: TapeRow, typed: str) -> str:
        """Take down what was typed into a row; return the sentence of what went wrong, or nothing."""
        plan = self.document.plan
        if not typed.strip():
            if row.index is not None:
                return "A tape needs a number; press Delete on its row to strike it out."
            return ""
        try:
            value = read_value(typed, row, plan)
            if row.index is None:
                self.document.apply(
                    f"Tape {self.tapes.called(row.start)} to {self.tapes.called(row.end)}",
                    lambda p: edits.add_tape(p, row.start, row.end, value),
                )
            else:
                self._write(row.index, value)
        except LayoutdeskError as error:
            return str(error)
        return ""

    def _write(self, index: int, value: float) -> None:
        tape = self.document.plan.tapes[index]
        name = f"Tape {self.tapes.called(tape.start)} to {self.tapes.called(tape.end)}"
        self.document.apply(name, lambda p: edits.replace_tape(p, index, replace(p.tapes[index], distance=value)))

    def paste(self) -> None:
        """Take down the tapes of a table that was copied elsewhere."""
        text = QGuiApplication.clipboard().text()
        if not text.strip():
            self._say("There is nothing to paste: copy rows of from, to and taped in the spreadsheet first.")
            return
        read = edits.tapes_from_text(text, self.document.plan)
        if read.tapes:
            self.apply("Paste tapes", lambda p: edits.add_tapes(p, read.tapes))
        count = f"{len(read.tapes)} {'tape was' if len(read.tapes) == 1 else 'tapes were'} taken down. "
        shown = " ".join(read.trouble[:5])
        more = f" And {len(read.trouble) - 5} more rows could not be read." if len(read.trouble) > 5 else ""
        self._say(f"{count}{shown}{more}" if read.trouble else "")

    def _on_strike(self) -> None:
        gone = [row.index for row in self.tapes.picked_rows if row.index is not None]
        if gone:
            self.apply("Strike out tapes", lambda p: edits.remove_tapes(p, gone))

    def _on_again(self, index: int) -> None:
        self.tapes.type_into(next((r.key for r in self._rows if r.index == index), None))

    def _on_right(self, suspect: Suspect) -> None:
        try:
            self._write(suspect.index, suspect.right)
        except LayoutdeskError as error:
            self.trouble.emit(str(error))

    def _on_show(self) -> None:
        if self._next is not None:
            self.view.show_tape((self._next.start, self._next.end))

    def _on_take(self) -> None:
        if self._next is not None:
            self.view.show_tape((self._next.start, self._next.end))
            self.tape_wanted.emit(self._next.start, self._next.end)

    def _on_picked(self, keys: Sequence[str]) -> None:
        chosen = set(keys)
        rows = [r for r in self._rows if r.key in chosen]
        self._own_pick = tuple(dict.fromkeys(i for r in rows for i in (r.start, r.end)))
        self.view.select(self._own_pick)
        self._show_measure()

    def _on_stake(self, ids: Sequence[str]) -> None:
        self.view.select(ids)

    def _pick(self, ids: Sequence[str]) -> None:
        self.view.select(ids)

    def _say(self, text: str) -> None:
        self.trouble_line.setText(text)
        self.trouble_line.setVisible(bool(text))

    def hideEvent(self, event: QHideEvent) -> None:
        """Take the tape that this page showed off the sheet again."""
        super().hideEvent(event)
        self.view.show_tape(None)


def _tone(proof: Proof) -> Tone:
    """Return the tone of the answer: its words say it too."""
    verdicts = {p.verdict for p in proof.points if not p.held}
    if "move" in verdicts:
        return "wrong"
    if proof.suspects or proof.trouble or proof.swapped or proof.passes is False or len(verdicts - {"leave"}):
        return "look"
    return "holds" if verdicts else "plain"
