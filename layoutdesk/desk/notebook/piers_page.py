"""The Piers page: the details, their sections, and what each pier holds."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, Final

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QComboBox, QPushButton

from layoutdesk.desk.dress import Dress, Tone
from layoutdesk.desk.notebook.cards import BigNumber, Card, FlagList, Heading, sentence, side_by_side, stacked
from layoutdesk.desk.notebook.cast_in_form import CastInForm
from layoutdesk.desk.notebook.detail_form import DetailForm
from layoutdesk.desk.notebook.form import button_row
from layoutdesk.desk.notebook.hole_log_part import HoleLogPart
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.opening_part import OpeningPart
from layoutdesk.desk.notebook.page import Page
from layoutdesk.desk.notebook.section import Section
from layoutdesk.desk.notebook.section_drawing import SectionDrawing
from layoutdesk.desk.notebook.steel_form import SaysList, SteelForm
from layoutdesk.desk.notebook.table import Column, RowTable
from layoutdesk.engine.layout import Concrete, Layout, PierVolume
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState
from layoutdesk.units import format_volume, inches

_COVERS: Final = 6


def first_detail(plan: Plan) -> tuple[tuple[float, float], ...]:
    """Return the profile that a new detail starts from, in round numbers of the plan's units."""
    return (
        ((0.0, inches(12)), (inches(32), inches(12))) if plan.units == "ft-in" else ((0.0, 300.0), (800.0, 300.0))
    )


def concrete_caption(concrete: Concrete) -> str:
    """Return what the sum of concrete is of: of all piers, or only of those whose detail is known."""
    known = sum(v.detail is not None for v in concrete.piers)
    return (
        "Concrete, net"
        if known in (0, len(concrete.piers))
        else f"Concrete, {known} of {len(concrete.piers)} piers"
    )


def _volume(pier: PierVolume, plan: Plan) -> str:
    return "not known" if pier.detail is None else format_volume(pier.net_m3, plan.units)


def _covers(layout: Layout, text: LengthText) -> str:
    """Return which covers are cut for open holes."""
    few = [f"{text.held(c.size)} square, marked {c.mark}, for {_several(c.piers)}" for c in layout.covers[:_COVERS]]
    more = f"; and {len(layout.covers) - len(few)} more sizes" if len(few) < len(layout.covers) else ""
    return f"Covers to cut: {'; '.join(few)}{more}."


def _several(piers: Sequence[str]) -> str:
    few = ", ".join(piers[:_COVERS])
    return f"{few} and {len(piers) - _COVERS} more" if len(piers) > _COVERS else few


def _with_new_detail(plan: Plan) -> Plan:
    """Return the plan with one more detail; the very first is given to all piers, which have none."""
    after = edits.add_detail(plan, first_detail(plan))
    if plan.details or not plan.piers:
        return after
    return edits.assign_detail(after, [p.id for p in plan.piers], after.details[-1].id)


class PiersPage(Page):
    """Details with their sections, given to the picked piers, and the concrete that each pier takes."""

    stays: ClassVar[bool] = True

    def __init__(self, document: Document, view: ViewState, dress: Dress) -> None:
        super().__init__(document, view, dress)
        self._chosen: str | None = None
        self.heading = Heading("Piers", title=True)
        self.total, self.deepest = BigNumber("Concrete, net"), BigNumber("Deepest hole")
        self.details = RowTable("Details", dress, many=False)
        self.details.picked.connect(self._on_detail)
        self.give = QPushButton("Give to the picked piers")
        self.give.clicked.connect(self._on_give)
        self.new = QPushButton("New detail")
        self.new.clicked.connect(self._on_new)
        self.first = QPushButton("New detail")
        self.first.setProperty("kind", "main")
        self.first.clicked.connect(self._on_new)
        self.begin = Card(
            sentence("How deep and how wide are the holes? A detail says so, once for many piers."), self.first
        )
        self.copy = QPushButton("Copy")
        self.copy.setToolTip("A new detail like this one, with its steel and all")
        self.copy.clicked.connect(self._on_copy)
        self.section = SectionDrawing(document, dress)
        self.section.trouble.connect(self.trouble)
        self.says = SaysList()
        self.form = DetailForm(document)
        self.form.trouble.connect(self.trouble)
        self.form_heading = Heading("")
        self.form_card = Card(self.form)
        self.steel = SteelForm(document)
        self.steel.trouble.connect(self.trouble)
        self.steel_part = Section("Steel", Card(self.steel))
        self.cast_in = CastInForm(document)
        self.cast_in_part = Section("Cast in", Card(self.cast_in))
        self.openings = OpeningPart(document, dress)
        self.openings.picked.connect(self._pick)
        self.log = HoleLogPart(document, dress)
        self.log.trouble.connect(self.trouble)
        self.log.picked.connect(self._pick)
        self.log.table.typing_at.connect(self.show_typing)
        self.piers = RowTable("Concrete of each pier", dress)
        self.piers.picked.connect(self._pick)
        self.piers_heading = Heading("Each pier", "net of steel and posts, no waste")
        self.caution = sentence(
            "Cover or fence every open hole. Depth, frost and what the soil carries are for the local code and the "
            "licensed designer to decide."
        )
        self.flags = FlagList(dress)
        self.flags.pressed.connect(self._pick)
        self.numbers = side_by_side(self.total, self.deepest)
        self.covers = sentence()
        self.details_heading = Heading("Details")
        self.buttons = stacked(button_row(self.new, self.copy), button_row(self.give), spacing=4)
        self.add(self.heading, self.begin, self.numbers, self.flags)
        self.add(self.details_heading, self.details, self.buttons)
        self.add(self.form_heading, self.section, self.says, self.form_card, self.cast_in_part)
        self.add(self.steel_part, column=1)
        self.add(self.openings, self.log, column=1)
        self.add(self.piers_heading, self.piers, self.covers, self.caution, column=1)

    def _pick(self, ids: Sequence[str]) -> None:
        self.view.select(ids)

    def _on_detail(self, ids: Sequence[str]) -> None:
        if ids:
            self._chosen = ids[0]
            self.plan_changed()

    def _picked_piers(self) -> list[str]:
        mine = set(self.view.selected)
        return [p.id for p in self.document.plan.piers if p.id in mine] if mine else []

    def _why_not_to_give(self, plan: Plan, picked: Sequence[str]) -> str:
        """Return why the chosen detail cannot be given to the picked piers; nothing when it can."""
        if self._chosen is None:
            return "There is no detail to give yet"
        if not picked:
            return "Pick piers first, on the sheet or in the table"
        mine = set(picked)
        if any(p.detail != self._chosen for p in plan.piers if p.id in mine):
            return ""
        if len(picked) == 1:
            return f"The picked pier has {self._chosen} already"
        return f"All {len(picked)} picked piers have {self._chosen} already"

    def _on_give(self) -> None:
        piers, detail = self._picked_piers(), self._chosen
        self.apply(f"Detail {detail}", lambda p: edits.assign_detail(p, piers, detail))

    def _on_copy(self) -> None:
        """Make a detail like the chosen one, and show it."""
        before, detail = self.document.plan, self._chosen
        if detail is not None:
            self.apply(f"Copy {detail}", lambda p: edits.copy_detail(p, detail))
            self._choose_new(before)

    def _choose_new(self, before: Plan) -> None:
        known = {d.id for d in before.details}
        self._chosen = next((d.id for d in self.document.plan.details if d.id not in known), self._chosen)
        self.plan_changed()

    def _on_new(self) -> None:
        before = self.document.plan
        self.apply("New detail", _with_new_detail)
        self._choose_new(before)
        # It began with round numbers of ours: the drawing's own are to be typed next.
        if self.document.plan is not before:
            self.form.bottom_depth.setFocus(Qt.FocusReason.OtherFocusReason)
            QTimer.singleShot(0, self, self._show_depth)

    def _show_depth(self) -> None:
        """Scroll to how deep the hole is, once the form has its place."""
        self.ensureWidgetVisible(self.form.bottom_depth, 0, 120)

    def refresh(self, plan: Plan, layout: Layout) -> None:
        """Show the chosen detail: the one of the picked pier, or the first."""
        text, concrete = LengthText.of(plan), layout.concrete
        used = self.focusWidget()
        if isinstance(used, QComboBox | SectionDrawing):
            self.keep(used)  # as the boxes that are typed in: flags and sentences above come and go
        picked = self._picked_piers()
        known = {d.id for d in plan.details}
        if self._chosen not in known:
            mine = next((p.detail for p in plan.piers if p.id in picked and p.detail), None)
            self._chosen = mine or next(iter(d.id for d in plan.details), None)
        self.heading.set_text("Piers", "what to dig and pour")
        known_piers = [v for v in concrete.piers if v.detail is not None]
        self.total.caption.setText(concrete_caption(concrete))
        self.total.show_number(format_volume(concrete.net_m3, plan.units) if known_piers else "–")
        deepest = max((v.depth for v in known_piers), default=None)
        drawn = max((d.profile[-1][0] for d in plan.details if d.profile), default=0.0)
        levels = deepest is not None and deepest > drawn + plan.rounding / 2
        self.deepest.caption.setText("Deepest hole, by the levels" if levels else "Deepest hole")
        self.deepest.show_number(text(deepest))
        self.begin.setVisible(not plan.details)
        for w in (self.numbers, self.details_heading, self.details, self.buttons):
            w.setVisible(bool(plan.details))
        uses: dict[str | None, int] = {}
        for pier in plan.piers:
            uses[pier.detail] = uses.get(pier.detail, 0) + 1
        details = plan.details
        self.details.show_rows(
            [d.id for d in details],
            (
                Column("detail", lambda r: details[r].id, bold=True),
                Column("deep", lambda r: text(details[r].profile[-1][0]), right=True),
                Column("widest", lambda r: text(max(d for _, d in details[r].profile)), right=True),
                Column("piers", lambda r: str(uses.get(details[r].id, 0)), right=True, tone="soft"),
            ),
        )
        self.details.light([self._chosen] if self._chosen else [])
        why = self._why_not_to_give(plan, picked)
        self.give.setEnabled(not why)
        self.give.setToolTip(why)
        self.give.setText(
            f"Give {self._chosen} to {len(picked)} picked"
            if picked and self._chosen
            else "Give to the picked piers"
        )
        self._show_detail(plan, layout, text)
        rows = concrete.piers
        self.piers_heading.setVisible(bool(rows))
        self.piers.setVisible(bool(rows))
        self.piers.show_rows(
            [v.id for v in rows],
            (
                Column("pier", lambda r: rows[r].label, bold=True),
                Column("detail", lambda r: rows[r].detail or "none", tone="soft"),
                Column("concrete", lambda r: _volume(rows[r], plan), right=True),
            ),
        )
        self.piers.light(self.view.selected)
        self.flags.show_flags(tuple(f for f in layout.plan_flags if f.stage == "piers"))
        self.openings.fill(plan, layout)
        self.openings.light(frozenset(self.view.selected))
        self.log.fill(plan, layout)
        self.log.light(self.view.selected)
        self.covers.setText(_covers(layout, text))
        self.covers.setVisible(bool(layout.covers))

    def _show_detail(self, plan: Plan, layout: Layout, text: LengthText) -> None:
        """Show the chosen detail: its section, what it says, and its forms."""
        detail, section = plan.detail(self._chosen), layout.section_of(self._chosen) if self._chosen else None
        self.section.show_section(detail, section, text)
        for w in (self.form_heading, self.form_card, self.steel_part, self.cast_in_part):
            w.setVisible(detail is not None)
        if detail is None or section is None:
            self.says.show_sentences([])
            return
        self.steel.fill(detail, section, plan)
        told: list[tuple[str, Tone]] = [(said, "soft") for said in section.says]
        if section.trouble and not section.parts:
            told.append((section.trouble, "wrong"))
        self.says.show_sentences(told)
        self.form_heading.set_text(f"Detail {detail.id}", "section to scale")
        self.form.fill(detail, plan)
        self.cast_in.fill(detail, plan)
        steel = detail.steel
        self.steel_part.say("none" if steel is None else f"{steel.bars} × {steel.bar} in {detail.id}")
        cast_in = detail.cast_in
        self.cast_in_part.say(f"nothing in {detail.id}" if cast_in is None else f"{cast_in.kind} in {detail.id}")
