"""The Proof page: is it right, which stake is to be moved, which tape is wrong, and where to tape next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QGuiApplication, QHideEvent, QResizeEvent
from PySide6.QtWidgets import QPushButton, QWidget

from layoutdesk.desk.dress import Dress, label, set_tone
from layoutdesk.desk.notebook.cards import BigNumber, Card, Heading, sentence, side_by_side
from layoutdesk.desk.notebook.form import button_row
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.page import Page
from layoutdesk.desk.notebook.proof_cards import Advice, NextCard
from layoutdesk.desk.notebook.proof_figures import ProofFigures, ProofWork
from layoutdesk.desk.notebook.proof_foot import ProofFoot
from layoutdesk.desk.notebook.proof_form import HouseForm, ProofForm
from layoutdesk.desk.notebook.proof_progress import ProofProgress
from layoutdesk.desk.notebook.proof_tables import BaysTable, StakesTable
from layoutdesk.desk.notebook.proof_words import answer_tone, bay_ids, pasted_words, worst
from layoutdesk.desk.notebook.tape_form import MeasureForm
from layoutdesk.desk.notebook.tape_rows import TapeRow, follows_the_sheet, read_value, tape_rows
from layoutdesk.desk.notebook.tape_table import TapeTable
from layoutdesk.engine.layout import Layout
from layoutdesk.errors import LayoutdeskError
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState

if TYPE_CHECKING:
    from layoutdesk.engine.proof.entries import Proof, Suspect, TapeNext, TapingPlan
    from layoutdesk.session.proof_tasks import ProofFound

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
        self._rows_of: tuple[Layout | None, Proof | None, TapingPlan | None] = (None, None, None)
        self._own_pick: tuple[str, ...] = ()
        self._labels: Mapping[str, str] = {}
        self._offer: tuple[int, float] | None = None
        self.work = ProofWork(self)
        self.work.came.connect(self.plan_changed)
        self.progress = ProofProgress()
        self.progress.cancel_wanted.connect(self.work.cancel)
        self.progress.again_wanted.connect(self.work.again)
        self.work.progressed.connect(self.progress.show_share)
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
        self.tapes_heading = Heading("Tapes", "as on the printed sheet")
        self.plan_says = sentence()
        self.tapes = TapeTable(dress, self._take, say=self._say)
        self.tapes.typing_at.connect(self.show_typing)
        self.tapes.typing_at.connect(self._soon)
        self.tapes.typing_ended.connect(self._soon)
        self.tapes.paste, self.tapes.strike = self.paste, self._strike
        self.tapes.picked.connect(self._on_picked)
        self.paste_button = QPushButton("Paste a table")
        self.paste_button.setToolTip(
            "Paste tapes copied from a spreadsheet: from, to, taped and, if you like, class"
        )
        self.paste_button.clicked.connect(self.paste)
        self.paste_row = button_row(self.paste_button)
        self.measure = MeasureForm(document)
        self.measure.trouble.connect(self.trouble)
        self.measure.strike_wanted.connect(self._on_strike)
        self.foot = ProofFoot(self.measure, self)
        self.foot.changed.connect(self._place_foot)
        self.foot.offer_taken.connect(self._on_offer)
        self._later = QTimer(self, singleShot=True, interval=0)
        self._later.timeout.connect(self._show_measure)
        self.stakes_heading = Heading("Stakes", "what to do")
        self.stakes = StakesTable(dress)
        self.stakes.picked.connect(self._pick)
        self.bays_heading = Heading("Bays", "worst first")
        self.bays = BaysTable(dress)
        self.bays.picked.connect(self._on_bay)
        self.house_heading = Heading("House as found")
        self.house_says = sentence()
        self.house = HouseForm(document)
        self.house.trouble.connect(self.trouble)
        self.house_card = Card(self.house)
        self.settings_heading = Heading("How it is judged")
        self.settings = ProofForm(document)
        self.settings.trouble.connect(self.trouble)
        self.add(self.heading, self.progress, self.says, self.begin, self.numbers, self.advice, self.next_card)
        self.add(self.stakes_heading, self.stakes, self.stakes.says, self.bays_heading, self.bays, self.bays.says)
        self.add(self.tapes_heading, self.plan_says, self.paste_row, self.tapes, column=1)
        self.add(self.house_heading, self.house_says, self.house_card)
        self.add(self.settings_heading, Card(self.settings), column=1)
        self._show_nothing()

    # ---- showing

    def refresh(self, plan: Plan, layout: Layout) -> None:
        """Show how the layout was proved; while that is worked out, what was known before stays."""
        text = LengthText.of(plan)
        used = self._used()
        if used is not None:
            # Cards above come and go: the row that is typed in, or the box that is ticked, stays where it is.
            self.keep(used)
        figures = self.work.ask(layout)
        self.heading.set_text("Proof", "working it out …" if figures.found is None and figures.working else "")
        self.progress.show_work(figures, len(plan.tapes), before=self.work.holds(plan))
        self.settings.fill(plan)
        self._show_house(plan, figures.found)
        proof = figures.found.proof if figures.found else None
        rows_of = (layout, proof, figures.taping)
        if any(a is not b for a, b in zip(rows_of, self._rows_of, strict=True)):
            self._rows_of = rows_of
            self._labels = dict(zip(layout.points.ids, layout.points.labels, strict=True))
            self._rows = tape_rows(*rows_of)
        self._show_tapes(plan, figures, text)
        if figures.found is not None:
            self._show_answer(plan, figures.found, text)
            self._show_stakes(figures.found, text)
            self.figured.emit(plan, proof)
        elif self.work.holds(plan):
            set_tone(self.says, "soft")  # of before
        else:
            self._show_nothing()

    def _show_nothing(self) -> None:
        """Take away what was said of another layout."""
        self.says.setText("")
        for w in (self.begin, self.numbers, self.stakes_heading, self.stakes, self.stakes.says):
            w.hide()
        for w in (self.bays_heading, self.bays, self.bays.says, self.next_card):
            w.hide()
        self.advice.show_proof(None, {}, {})

    def _show_answer(self, plan: Plan, found: ProofFound, text: LengthText) -> None:
        proof = found.proof
        ready = bool(plan.piers) and len(plan.controls) > 0
        if proof is not None:
            self.says.setText(proof.says)
            set_tone(self.says, answer_tone(proof))
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
        # While tapes of the printed sheet are still to come, the next of them is the next.
        complete = not follows_the_sheet(self._rows)
        self.advice.show_proof(proof, taken, self._labels, complete=complete)
        self._next = found.next if complete else None
        self.next_card.show_next(self._next, self._labels, text, needed=not proof or answer_tone(proof) != "holds")

    def _show_tapes(self, plan: Plan, figures: ProofFigures, text: LengthText) -> None:
        taken = len(plan.tapes)
        waiting = sum(row.index is None for row in self._rows)
        self.tapes_heading.set_text("Tapes", f"{taken} taken, {waiting} to take" if waiting else f"{taken} taken")
        to_take = figures.taping.says if figures.taping and waiting else ""
        choosing = figures.choosing and figures.working
        self.plan_says.setText("Choosing which tapes are worth taking …" if choosing else to_take)
        self.plan_says.setVisible(bool(self.plan_says.text()))
        self.tapes.setVisible(bool(self._rows))
        self.tapes.show_tapes(self._rows, self._labels, text)
        self._light()
        self._soon()

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

    def _soon(self) -> None:
        """Show the picked tape once it is known whether the next box opens."""
        self._later.start()

    def _show_measure(self) -> None:
        typing = self.tapes.editing is not None
        row = None if typing else next((r for r in self.tapes.picked_rows if r.tape is not None), None)
        if row is not None:
            self.measure.fill(self.document.plan, row)
        ends = "" if row is None else f"{self.tapes.called(row.start)} to {self.tapes.called(row.end)}"
        self.foot.show_measure(ends)

    def _show_stakes(self, found: ProofFound, text: LengthText) -> None:
        proof = found.proof
        points = [p for p in proof.points if not p.held] if proof else []
        if all(p.found is None for p in points):
            points = []
        self.stakes_heading.setVisible(bool(points))
        self.stakes.setVisible(bool(points))
        self.stakes.show_points(points, text, self.view.selected)
        bays = proof.bays if proof else ()
        self.bays_heading.setVisible(bool(bays))
        self.bays.setVisible(bool(bays))
        self.bays.show_bays(bays, self._labels, text)

    def _show_house(self, plan: Plan, found: ProofFound | None) -> None:
        shown = bool(plan.controls)
        for w in (self.house_heading, self.house_says, self.house_card):
            w.setVisible(shown)
        self.house.fill(plan)
        if found is None:
            return
        if found.house is not None:
            self.house_says.setText(found.house.says)
        elif any(c.measured for c in plan.controls):
            self.house_says.setText("The corners are found once enough tapes go to them from points that are held.")
        else:
            self.house_says.setText(
                "Tick the corners of the house that may not stand as drawn: tapes then find where they are."
            )

    def _used(self) -> QWidget | None:
        """Return what the person is at on this page: the table that is typed in, or a form that has the focus."""
        if self.tapes.editing is not None:
            return self.tapes
        return next((form for form in (self.house, self.settings) if form.isAncestorOf(self.focusWidget())), None)

    def _place_foot(self) -> None:
        """Lay the foot over the lower edge, and let the page end above it."""
        wide = self.width() - self.verticalScrollBar().width()
        high = min(self.foot.height_for(wide), self.height() * 3 // 4)
        self.setViewportMargins(0, 0, 0, high)
        self.foot.setGeometry(0, self.height() - high, wide, high)
        self.foot.raise_()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the foot anew."""
        super().resizeEvent(event)
        self._place_foot()

    # ---- doing

    def _take(self, row: TapeRow, typed: str) -> str:
        """Take down what was typed into a row; return the sentence of what went wrong, or nothing."""
        plan = self.document.plan
        self._withdraw()
        if not typed.strip():
            if row.index is not None:
                return "A tape needs a number; press Delete on its row to strike it out."
            return ""
        index = len(plan.tapes) if row.index is None else row.index
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
        self._offer_unit(row, index, value)
        return ""

    def _offer_unit(self, row: TapeRow, index: int, value: float) -> None:
        """Offer what the number would be in another unit, where that is what the drawing asks for."""
        if row.kind != "distance" or not row.planned:
            return
        from layoutdesk.engine.proof.misreading import mixed_units

        slip = mixed_units(value, row.planned)
        if slip is None or abs(value - row.planned) <= abs(slip.right - row.planned):
            return
        text = LengthText.of(self.document.plan)
        ends = f"{self.tapes.called(row.start)} to {self.tapes.called(row.end)}"
        self._offer = (index, slip.right)
        self.foot.make_offer(
            f"{ends} was taken down as {text(value)}, where the drawing has {text(row.planned)}: {slip.words}?",
            f"Write {text(slip.right)}",
        )

    def _on_offer(self) -> None:
        offer, plan = self._offer, self.document.plan
        self._withdraw()
        if offer is not None and offer[0] < len(plan.tapes):
            self._write(*offer)

    def _withdraw(self) -> None:
        self._offer = None
        self.foot.withdraw()

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
        self._say(pasted_words(len(read.tapes), read.trouble))

    def _on_strike(self) -> None:
        self._strike(self.tapes.picked_keys)

    def _strike(self, keys: Sequence[str]) -> None:
        gone = [row.index for row in self._rows if row.index is not None and row.key in set(keys)]
        if gone:
            self.apply("Strike out tapes", lambda p: edits.remove_tapes(p, gone))

    def _on_again(self, index: int) -> None:
        self.tapes.type_row(next((r.key for r in self._rows if r.index == index), None))

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
        self._soon()

    def _on_bay(self, bays: Sequence[str]) -> None:
        """Pick the corners of the picked bay."""
        found = self.work.ask(self.document.layout).found
        bay = next((b for b in found.proof.bays if b.bay in bays), None) if found and found.proof else None
        named = next((b for b in self.document.plan.bays if b.id in bays), None)
        if bay is not None:
            self.view.select(bay_ids(bay, self._labels) or (named.corners if named else ()))

    def _pick(self, ids: Sequence[str]) -> None:
        self.view.select(ids)

    def _say(self, text: str) -> None:
        self.foot.say(text)

    def hideEvent(self, event: QHideEvent) -> None:
        """Take the tape that this page showed off the sheet again."""
        super().hideEvent(event)
        self.view.show_tape(None)
