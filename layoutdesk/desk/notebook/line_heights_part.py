"""One beam line in height: its side view, its rules, its string with the boards, and what crosses it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QPushButton

from layoutdesk.desk.dress import Dress, label
from layoutdesk.desk.notebook.boxes import Choice
from layoutdesk.desk.notebook.cards import Card, Heading, sentence
from layoutdesk.desk.notebook.form import button_row
from layoutdesk.desk.notebook.height_form import LineHeightForm
from layoutdesk.desk.notebook.height_words import height
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.section import Section
from layoutdesk.desk.notebook.side_drawing import NumberRow, SideDrawing
from layoutdesk.desk.notebook.table import Column, NumbersTable
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document

if TYPE_CHECKING:
    from layoutdesk.engine.levels.entries import Board, ColumnCut, PierHeight, SideView, StringCrossing, StringRun

MOST_CROSSINGS = 6


class LinePart(Section):
    """The section of the picked beam line.

    Signals:
        trouble: a sentence about something that could not be done.
        picked: the ids of the pieces that were picked.
        large_wanted: the side view is to be shown in a window of its own.
        drawn: another side view is shown, or another one of the same line.
    """

    trouble = Signal(str)
    picked = Signal(object)
    large_wanted = Signal()
    drawn = Signal()

    def __init__(self, document: Document, dress: Dress) -> None:
        self.choice = Choice("Beam line, or row across, whose heights are shown")
        self.choice.chosen.connect(self._on_chosen)
        self.drawing = SideDrawing(dress)
        self.large = QPushButton("Show it large")
        self.large.setToolTip("Show the side view in a window of its own")
        self.large_row = button_row(self.large)
        self.form = LineHeightForm(document)
        self.form_card = Card(self.form)
        self.string_heading = Heading("String and boards")
        self.string = NumbersTable("String over every pier and at its boards", dress, many=False)
        self.nails = sentence()
        self.sag = label("", "caption", "look", wrap=True)
        self.crossings = sentence()
        super().__init__(
            "Beam line",
            self.choice,
            self.drawing,
            self.large_row,
            self.form_card,
            self.string_heading,
            self.string,
            self.nails,
            self.sag,
            self.crossings,
        )
        self.large.clicked.connect(self.large_wanted)
        self.form.trouble.connect(self.trouble)
        self.string.picked.connect(self._on_stop)
        self._own: str | None = None
        self.shown: str | None = None
        self.views: Mapping[str, SideView] = {}

    # ---- showing

    def show_lines(
        self,
        plan: Plan,
        views: Sequence[SideView],
        strings: Sequence[StringRun],
        crossings: Sequence[StringCrossing],
        *,
        heights: Mapping[str, PierHeight],
        cuts: Mapping[str, ColumnCut],
    ) -> None:
        """Show the lines of a plan; which one, :meth:`light` says."""
        self._plan, self._heights, self._cuts = plan, heights, cuts
        self.views = {view.line: view for view in views}
        self._strings = {run.id: run for run in strings}
        self._crossings = crossings

    def light(self, picked: Sequence[str]) -> None:
        """Show the line that was picked elsewhere, or that a picked pier stands on; else the one shown before."""
        plan = self._plan
        lines = {line.id for line in plan.lines}
        of_pier = {pier.id: pier.line for pier in plan.piers} if picked else {}
        found = next((i for i in picked if i in lines), None)
        found = found or next((of_pier[i] for i in picked if of_pier.get(i)), None)
        across = self.shown if self.shown in self._strings and self.shown not in lines else None
        if self._own is not None and across is not None:
            found = across
        elif found is None:
            found = self.shown if self.shown in lines else next(iter(x.id for x in plan.lines), None)
        self.shown = found
        self._picked = frozenset(picked)
        self._show()

    def rows(self) -> tuple[NumberRow, ...]:
        """Return the rows of numbers under the side view."""
        text = LengthText.of(self._plan)
        run = self._strings.get(self.shown or "")
        stops = {stop.pier: stop for stop in run.stops} if run else {}
        running = {p.pier: p.running for view in self.views.values() for p in view.piers}
        piers, cuts = self._heights, self._cuts

        def of(pier: str, name: str) -> str:
            row = piers.get(pier)
            return height(getattr(row, name) if row else None, text)

        rows = [
            NumberRow("running", lambda p: text(running.get(p))),
            NumberRow("ground", lambda p: of(p, "ground")),
            NumberRow("pier top", lambda p: of(p, "top")),
            NumberRow("bottom", lambda p: of(p, "bottom")),
            NumberRow("seat", lambda p: of(p, "seat")),
            NumberRow("column", lambda p: text(cuts[p].length) if p in cuts else "–", strong=True),
        ]
        if stops:
            rows.insert(1, NumberRow("up to string", lambda p: text(stops[p].above_ground) if p in stops else "–"))
        return tuple(rows)

    def draw(self, drawing: SideDrawing) -> None:
        """Show the side view of the line in a drawing."""
        view, factor = self.views.get(self.shown or ""), self._plan.levels.settings.exaggeration
        drawing.show_view(view, self.rows(), exaggeration=factor, picked=self._picked)

    def _show(self) -> None:
        plan, shown = self._plan, self.shown
        text = LengthText.of(plan)
        lines = [line.id for line in plan.lines]
        others = [run for run in self._strings.values() if run.id not in set(lines)]
        self.choice.fill([*((i, f"beam line {i}") for i in lines), *((r.id, r.label) for r in others)], shown)
        self.setVisible(bool(lines))
        self.draw(self.drawing)
        self.large_row.setVisible((shown or "") in self.views)
        self.drawn.emit()
        self.form_card.setVisible(shown in lines)
        if shown in lines:
            assert shown is not None
            self.form.fill(plan, shown)
        self.say("" if shown is None else f"{shown}" if shown in lines else "row across")
        self._show_string(self._strings.get(shown or ""), text)

    def _show_string(self, run: StringRun | None, text: LengthText) -> None:
        for w in (self.string_heading, self.string, self.nails):
            w.setVisible(run is not None)
        self.sag.setVisible(False)
        self.crossings.setVisible(False)
        if run is None:
            return
        self.string_heading.set_text("String and boards", "height proposed" if run.proposed else "height as typed")
        stops = [_board_row(run.boards[0], "1", text), *_stop_rows(run, text)]
        stops.append(_board_row(run.boards[1], "2", text))
        ids = ["board 1", *(stop.pier for stop in run.stops), "board 2"]
        self.string.show_rows(
            ids,
            (
                Column("at", lambda r: stops[r][0], bold=True),
                Column("running", lambda r: stops[r][1], right=True, tone="soft"),
                Column("over ground", lambda r: stops[r][2], right=True, bold=True),
                Column("over top", lambda r: stops[r][3], right=True),
            ),
        )
        self.string.light(self._picked)
        self.nails.setText(_nails(run, text))
        warned = [run.sag_says] if run.sag_says else []
        self.sag.setText("\n".join((*warned, *run.troubles)))
        self.sag.setVisible(bool(self.sag.text()))
        mine = [c.says for c in self._crossings if run.id in (c.upper, c.lower)]
        more = len(mine) - MOST_CROSSINGS
        self.crossings.setText("\n".join(mine[:MOST_CROSSINGS] + ([f"And {more} more."] if more > 0 else [])))
        self.crossings.setVisible(bool(mine))

    # ---- doing

    def _on_chosen(self, key: object) -> None:
        chosen = key if isinstance(key, str) else None
        across = chosen not in {line.id for line in self._plan.lines}
        self._own = chosen if across else None
        self.shown = chosen
        if across:
            self._show()
        elif chosen is not None:
            self.picked.emit((chosen,))

    def _on_stop(self, ids: Sequence[str]) -> None:
        piers = [i for i in ids if i in self._heights]
        if piers:
            self.picked.emit(tuple(piers))


def _board_row(board: Board, which: str, text: LengthText) -> tuple[str, str, str, str]:
    held = "house" if board.held_by == "house" else f"board {which}"
    return held, text(board.running), text(board.above_ground), ""


def _stop_rows(run: StringRun, text: LengthText) -> list[tuple[str, str, str, str]]:
    return [(s.label, text(s.running), text(s.above_ground), text(s.above_top)) for s in run.stops]


def _nails(run: StringRun, text: LengthText) -> str:
    """Return where nails go on the boards, beside the one of the string."""
    told: dict[str, list[str]] = {}
    for board, which in zip(run.boards, ("1", "2"), strict=True):
        words = _marks(board, text)
        if board.held_by == "board" and words:
            told.setdefault(words, []).append(which)
    return "\n".join(
        f"Nails on {'both boards' if len(which) > 1 else f'board {which[0]}'}, beside the string's own: {words}."
        for words, which in told.items()
    )


def _marks(board: Board, text: LengthText) -> str:
    """Return the nails of a board: those that are alike left and right in one."""
    sides: dict[tuple[str, str], list[str]] = {}
    for mark in board.marks:
        if mark.of != "line":
            sides.setdefault((mark.of, text.held(abs(mark.across))), []).append(
                "left" if mark.across > 0 else "right"
            )
    return ", ".join(
        f"{of}s {far} left and right" if len(set(hands)) > 1 else f"{of} {far} {hands[0]}"
        for (of, far), hands in sides.items()
    )
