"""The Stakes page: where each pier is, how to get there, and how to see that it is square."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtGui import QHideEvent, QShowEvent

from layoutdesk.desk.dress import Dress, Tone, label
from layoutdesk.desk.notebook.boxes import Choice
from layoutdesk.desk.notebook.cards import (
    BigNumber,
    Card,
    FlagList,
    Heading,
    ValueRow,
    sentence,
    side_by_side,
    stacked,
)
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.page import Page
from layoutdesk.desk.notebook.table import Column, RowTable
from layoutdesk.engine.layout import BayCheck, Layout, LineRun, Stake, Strength
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState

STRENGTH_TONES: Final[dict[Strength, Tone]] = {"strong": "holds", "fair": "look", "weak": "wrong"}
METHODS: Final = {"square": "square", "two tapes": "two tapes", "none": "no way yet"}
_ALONG: Final = "its beam line"
_FOLLOW: Final[tuple[object, str]] = (None, "bay of the picked pier")
MOST_BAYS: Final = 2000
"""So many bays are offered by name; the rest are found by picking a pier of theirs."""


class StakesPage(Page):
    """The picked pier in big numbers, its bay, and the table of all stakes."""

    def __init__(self, document: Document, view: ViewState, dress: Dress) -> None:
        super().__init__(document, view, dress)
        self._own_bay: str | None = None
        self.heading = Heading("Stakes", title=True)
        self.empty = sentence()
        self.station, self.offset = BigNumber("Station"), BigNumber("Offset")
        self.numbers = side_by_side(self.station, self.offset)
        self.tapes_heading = Heading("Two tapes")
        self.ties = (ValueRow(), ValueRow())
        self.tie_cards = stacked(Card(self.ties[0]), Card(self.ties[1]), spacing=5)
        self.within = sentence()
        self.method = label("", wrap=True)
        self.others = sentence()
        self.bay_heading = Heading("Bay")
        self.bay_choice = Choice("Bay whose diagonals are shown")
        self.bay_choice.chosen.connect(self._on_bay)
        self.diagonals = (ValueRow("A"), ValueRow("B"))
        self.bay_card = Card(*self.diagonals)
        self.bay_note = sentence()
        self.all = RowTable("All stakes", dress)
        self.all.picked.connect(self._pick)
        self.all_heading = Heading("All stakes")
        self.run_heading = Heading("Along the beam line")
        self.run = RowTable("Running dimensions", dress, many=False)
        self.run.picked.connect(self._pick)
        self.gaps_heading = Heading("Row to row", "square from the first")
        self.gaps = RowTable("Distances from row to row", dress, many=False)
        self.gaps.picked.connect(self._pick)
        self.flags = FlagList(dress)
        self.flags.pressed.connect(self._pick)
        self.add(self.heading, self.empty, self.numbers, self.tapes_heading, self.tie_cards, self.within)
        self.add(self.method, self.others, self.bay_heading, self.bay_choice, self.bay_card, self.bay_note)
        self.add(self.flags)
        self.add(self.all_heading, self.all, column=1)
        self.add(self.run_heading, self.run, self.gaps_heading, self.gaps, column=1)

    def _pick(self, ids: Sequence[str]) -> None:
        self.view.select(ids)

    def _on_bay(self, key: object) -> None:
        self._own_bay = None
        self.view.show_bay(key if isinstance(key, str) else None)

    def showEvent(self, event: QShowEvent) -> None:
        """Pick the first pier when the page is opened and nothing is picked."""
        super().showEvent(event)
        piers = self.document.plan.piers
        if piers and not self.view.selected:
            self.view.select([piers[0].id])

    def hideEvent(self, event: QHideEvent) -> None:
        """Take the diagonals that this page put on the sheet off it again."""
        super().hideEvent(event)
        self._take_diagonals_away()

    def _take_diagonals_away(self) -> None:
        if self._own_bay is not None and self.view.bay == self._own_bay:
            self._own_bay = None
            self.view.show_bay(None)

    def refresh(self, plan: Plan, layout: Layout) -> None:
        """Show the picked pier."""
        text = LengthText.of(plan)
        some = bool(plan.piers)
        stake = self._stake(plan, layout)
        self.empty.setVisible(stake is None)
        self.empty.setText(
            "Pick a pier, on the sheet or in the table: here is where it goes."
            if some
            else "There are no piers yet. Put them in with Pier, Row of piers or Grid of piers."
        )
        self.numbers.setVisible(stake is not None)
        for w in (self.all_heading, self.all):
            w.setVisible(some)
        self._show_stake(stake, layout, text)
        self._show_bay(stake, layout, text)
        self._show_run(stake, layout, text)
        self._show_gaps(layout, text)
        if some:
            self._show_all(plan, layout, text)
        self.flags.show_flags(tuple(f for f in layout.plan_flags if f.stage == "stakes"))

    def _stake(self, plan: Plan, layout: Layout) -> Stake | None:
        piers = {p.id for p in plan.piers} if self.view.selected else set()
        chosen = next((i for i in self.view.selected if i in piers), None)
        return None if chosen is None else layout.stakes.of(chosen)

    def _show_stake(self, stake: Stake | None, layout: Layout, text: LengthText) -> None:
        shown = (self.tapes_heading, self.tie_cards, self.within, self.method, self.others)
        for w in shown:
            w.setVisible(stake is not None)
        if stake is None:
            self.heading.set_text("Stakes")
            return
        where = [f"beam line {stake.line}"] if stake.line else []
        where += [f"detail {stake.detail}"] if stake.detail else []
        self.heading.set_text(f"Pier {stake.label}", " · ".join(where))
        self.station.show_number(text(stake.station))
        self.offset.show_number(text(stake.offset))
        best = stake.best
        self.tie_cards.setVisible(best is not None)
        if best is not None:
            self.tapes_heading.set_text(
                "Two tapes", f"crossing {best.crossing_deg:.0f}°, {best.strength}", STRENGTH_TONES[best.strength]
            )
            for row, tie in zip(self.ties, (best.first, best.second), strict=True):
                row.set_values(f"from {tie.control}", text(tie.distance))
            tape = layout.plan.tape_at_hand.tape_class
            self.within.setText(f"a class {tape} tape puts the stake within ±\u00a0{text.up(best.within)}")
        else:
            self.tapes_heading.set_text("Two tapes", "no two open tapes cross", "wrong")
            self.within.setVisible(False)
        self.method.setText(stake.why)
        self.method.setVisible(bool(stake.why))
        used = {best.first.control, best.second.control} if best else set()
        rest = [
            f"{t.control} {text(t.distance)}" + (f" (barred by {t.blocked_by})" if t.blocked_by else "")
            for t in stake.ties
            if t.control not in used
        ]
        self.others.setText("Other tapes: " + ", ".join(rest))
        self.others.setVisible(bool(rest))

    def _bay(self, stake: Stake | None, layout: Layout) -> BayCheck | None:
        bays = layout.bays
        if not len(bays):
            return None
        if self._named_bay() is not None:
            named = next((b for b in bays if b.id == self.view.bay), None)
            if named is not None:
                return named
        if stake is None:
            return None
        point = layout.points.index(stake.id)
        mine = (bays.corner_index == point).any(axis=1).nonzero()[0]
        return bays[int(mine[0])] if len(mine) else None

    def _bays(self) -> list[tuple[object, str]]:
        bays = self.document.layout.bays
        return [_FOLLOW, *((b.id, _bay_name(b)) for b, _ in zip(bays, range(MOST_BAYS), strict=False))]

    def _named_bay(self) -> str | None:
        """Return the bay that the person chose, or None while the page follows the picked pier."""
        return None if self.view.bay == self._own_bay else self.view.bay

    def _show_bay(self, stake: Stake | None, layout: Layout, text: LengthText) -> None:
        bay = self._bay(stake, layout)
        for w in (self.bay_heading, self.bay_choice, self.bay_card, self.bay_note):
            w.setVisible(bay is not None)
        if bay is None:
            self._take_diagonals_away()
            return
        from layoutdesk.engine.explain import barred_check, difference, expected_difference

        named = self._named_bay() is not None
        self.bay_choice.offer(self._bays, (bay.id, _bay_name(bay)) if named else _FOLLOW)
        if not named:
            self._own_bay = bay.id
            self.view.show_bay(bay.id)
        a, b, c, d = bay.labels
        self.bay_heading.set_text(f"Bay {a} {b} {c} {d}", "equal diagonals" if bay.equal else "unequal by plan")
        for row, ends, length, barrier in zip(
            self.diagonals, ((a, c), (b, d)), bay.diagonals, bay.barred, strict=True
        ):
            barred = f", barred by {barrier}" if barrier else ""
            row.set_values(f"{ends[0]} to {ends[1]}{barred}", text(length), "soft" if barrier else "plain")
        means = barred_check(bay) or f"{expected_difference(layout, bay)} {difference(layout, bay)}"
        self.bay_note.setText(means)

    def _show_run(self, stake: Stake | None, layout: Layout, text: LengthText) -> None:
        run = self._run(stake, layout)
        self.run_heading.setVisible(run is not None)
        self.run.setVisible(run is not None)
        if run is None:
            return
        stops = run.stops
        self.run_heading.set_text(f"Along {run.line}", f"tape held at {run.zero_label}")
        columns = [
            Column("at", lambda r: stops[r].label, bold=True),
            Column("running", lambda r: text(stops[r].running), right=True),
            Column("spacing", lambda r: text(stops[r].spacing), right=True, tone="soft"),
        ]
        if any(abs(s.off) >= text.step for s in stops):
            columns.append(Column("off line", lambda r: text.small(abs(stops[r].off)), right=True, tone="look"))
        self.run.show_rows([s.id for s in stops], tuple(columns))
        self.run.light(self.view.selected)

    def _run(self, stake: Stake | None, layout: Layout) -> LineRun | None:
        lines = {line.id for line in layout.plan.lines} if self.view.selected else set()
        picked = next((i for i in self.view.selected if i in lines), None)
        return layout.run_of(picked or (stake.line if stake else None) or "")

    def _show_gaps(self, layout: Layout, text: LengthText) -> None:
        gaps = layout.gaps
        self.gaps_heading.setVisible(bool(gaps))
        self.gaps.setVisible(bool(gaps))
        if not gaps:
            return
        columns = [
            Column("from", lambda r: f"{gaps[r].first} to {gaps[r].second}", bold=True),
            Column("distance", lambda r: text(gaps[r].at_start), right=True),
        ]
        if any(text(g.at_start) != text(g.at_end) for g in gaps):
            columns.append(Column("far end", lambda r: text(gaps[r].at_end), right=True))
        self.gaps.show_rows([g.second for g in gaps], tuple(columns))
        self.gaps.light(self.view.selected)

    def _show_all(self, plan: Plan, layout: Layout, text: LengthText) -> None:
        points, stakes, first = layout.points, layout.stakes, layout.points.first_pier
        columns = (
            Column("pier", lambda r: plan.piers[r].label, bold=True),
            Column("station", lambda r: text(points.station[first + r]), right=True),
            Column("offset", lambda r: text(points.offset[first + r]), right=True),
            Column("best by", lambda r: _method(stakes[r]), right=True, tone="soft"),
        )
        self.all.show_rows([p.id for p in plan.piers], columns)
        self.all.light(self.view.selected)


def _method(stake: Stake) -> str:
    """Return by what a pier is best set, in a word or two."""
    return _ALONG if stake.method == "none" and stake.along is not None else METHODS[stake.method]


def _bay_name(bay: BayCheck) -> str:
    """Return what a bay is called in the list."""
    kind = {"found": "", "outline": ", whole outline", "named": f", {bay.id}"}[bay.source]
    return " ".join(bay.labels) + kind
