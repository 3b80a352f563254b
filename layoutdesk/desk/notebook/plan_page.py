"""The Plan page: what the drawing says."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, cast

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.cards import Card, FlagList, Heading, sentence, stacked
from layoutdesk.desk.notebook.drawing_checks import DrawingChecks
from layoutdesk.desk.notebook.form import Form
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.page import Page
from layoutdesk.desk.notebook.piece_forms import (
    AttachmentForm,
    KeepoutForm,
    LineForm,
    ManyForm,
    PieceForm,
    PierForm,
    SlabForm,
    WallForm,
    kind_of,
)
from layoutdesk.desk.notebook.spot_form import SpotForm
from layoutdesk.desk.notebook.table import Column, RowTable
from layoutdesk.desk.notebook.underlay_card import UnderlayList
from layoutdesk.engine.layout import Layout
from layoutdesk.plan import edits
from layoutdesk.plan.model import (
    Attachment,
    BeamLine,
    Control,
    Keepout,
    Paper,
    Piece,
    Pier,
    Plan,
    Slab,
    SpotHeight,
    Wall,
)
from layoutdesk.plan.rules import MOST_ISSUE
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState
from layoutdesk.units import Units

UNIT_NAMES: Final[tuple[tuple[Units, str], ...]] = (
    ("ft-in", "feet and inches"),
    ("m", "metres"),
    ("mm", "millimetres"),
)
PAPERS: Final[tuple[tuple[Paper, str], ...]] = (("letter", "Letter"), ("a4", "A4"))
_INCH: Final = 25.4
_STEPS: Final[dict[Units, tuple[tuple[float, str], ...]]] = {
    "ft-in": tuple((_INCH / n, f"1/{n} in") for n in (4, 8, 16, 32, 64)),
    "m": ((10.0, "0.01 m"), (5.0, "0.005 m"), (1.0, "0.001 m")),
    "mm": ((10.0, "10 mm"), (5.0, "5 mm"), (1.0, "1 mm"), (0.5, "0.5 mm")),
}
_BEGIN: Final = (
    "Is there a drawing of it as a file? Drop it here or open it in the File menu: that does steps 1 to 3.\n"
    "1.  Wall: press the corners of the house face that the porch stands against, or type each length below and "
    "press Enter. It becomes the baseline; the Control page can choose another.\n"
    "2.  Control point: set two, where the end of a tape can be held.\n"
    "3.  Row of piers, Grid of piers or Pier: type the distances of the drawing.\n"
    "4.  Piers page: say how deep and how wide the holes are.\n"
    "5.  Stakes page: where every pier goes. Then print the field sheets."
)


class JobForm(Form):
    """Title, issue, date, units, rounding and paper."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.title = self.text_row("Title", self._set_title)
        self.issue = self.text_row("Issue", self._set_issue)
        self.date = self.text_row("Date", self._set_date)
        self.units = self.choice_row("Lengths in", self._set_units)
        self.rounding = self.choice_row("Shown to", self._set_rounding)
        self.paper = self.choice_row("Paper", self._set_paper)

    def fill(self, plan: Plan) -> None:
        """Show a plan."""
        self.title.show_text(plan.title)
        # A longer one that came with a file is shown whole; it may be shortened, not lost by a visit to the box.
        self.issue.box.setMaxLength(max(MOST_ISSUE, len(plan.issue)))
        self.issue.show_text(plan.issue)
        self.date.show_text(plan.date)
        self.units.show_choice(UNIT_NAMES, plan.units)
        steps = _STEPS[plan.units]
        known = next((s for s, _ in steps if abs(s - plan.rounding) < 1e-9), None)
        if known is None:
            steps = (*steps, (plan.rounding, LengthText(plan.units, plan.rounding)(plan.rounding)))
        self.rounding.show_choice(steps, plan.rounding if known is None else known)
        self.paper.show_choice(PAPERS, plan.paper)

    def _set_title(self, text: str) -> None:
        self.do("Title", lambda p: edits.set_title(p, text))

    def _set_issue(self, text: str) -> None:
        self.do("Issue", lambda p: edits.set_issue(p, text))

    def _set_date(self, text: str) -> None:
        self.do("Date", lambda p: edits.set_date(p, text))

    def _set_units(self, key: object) -> None:
        self.do("Units", lambda p: edits.set_units(p, cast("Units", key)))

    def _set_rounding(self, key: object) -> None:
        self.do("Rounding", lambda p: edits.set_rounding(p, cast("float", key)))

    def _set_paper(self, key: object) -> None:
        self.do("Paper", lambda p: edits.set_paper(p, cast("Paper", key)))


class PlanPage(Page):
    """What is picked, with its own form; the job; and lists of all that is on the sheet."""

    def __init__(self, document: Document, view: ViewState, dress: Dress) -> None:
        super().__init__(document, view, dress)
        self.heading = Heading("Plan", title=True)
        self.begin = Card(Heading("From an empty sheet to stakes"), sentence(_BEGIN))
        self.forms: dict[type[Piece], PieceForm] = {
            Pier: PierForm(document),
            Attachment: AttachmentForm(document),
            Control: PieceForm(document),
            BeamLine: LineForm(document),
            Wall: WallForm(document),
            Slab: SlabForm(document),
            Keepout: KeepoutForm(document),
            SpotHeight: SpotForm(document),
        }
        self.many = ManyForm(document)
        self.many.trouble.connect(self.trouble)
        self.picked = Card(*self.forms.values(), self.many)
        self.picked_heading = Heading("")
        self.job = JobForm(document)
        self.flags = FlagList(dress)
        self.flags.pressed.connect(self._pick)
        self.checks = DrawingChecks(dress)
        self.checks.shown.connect(self._pick)
        self.checks.taken_out.connect(self._take_out)
        self.tables = {
            name: RowTable(name, dress)
            for name in ("Walls", "Attachments", "Beam lines", "Piers", "Existing slabs", "Keep-outs")
        }
        for table in self.tables.values():
            table.picked.connect(self._pick)
        self.lists = {name: stacked(Heading(name), table, spacing=4) for name, table in self.tables.items()}
        self.add(self.heading, self.begin, self.picked_heading, self.picked, self.flags)
        self.add(self.checks)
        self.under = UnderlayList(document)
        self.under.trouble.connect(self.trouble)
        self.add(self.under, Heading("The job"), Card(self.job))
        self.add(*self.lists.values(), column=1)

    def _pick(self, ids: Sequence[str]) -> None:
        self.view.select(ids)

    def _take_out(self, ids: Sequence[str]) -> None:
        self.apply("Take out written numbers", lambda plan: edits.delete(plan, ids))

    def refresh(self, plan: Plan, layout: Layout) -> None:
        """Show the plan."""
        self.heading.set_text(
            plan.title, f"{_count(len(plan.piers), 'pier')} on {_count(len(plan.lines), 'beam line')}"
        )
        self.begin.setVisible(not plan.walls and not plan.piers)
        self._show_picked(plan, layout)
        self.job.fill(plan)
        self.under.refresh()
        self.flags.show_flags(tuple(f for f in layout.plan_flags if f.stage == "plan"))
        self.checks.fill(plan, layout)
        self._show_lists(plan, layout)
        for table in self.tables.values():
            table.light(self.view.selected)

    def _show_picked(self, plan: Plan, layout: Layout) -> None:
        chosen = set(self.view.selected)
        pieces = [p for p in plan.pieces() if p.id in chosen] if chosen else []
        one = pieces[0] if len(pieces) == 1 else None
        for kind, form in self.forms.items():
            form.setVisible(one is not None and isinstance(one, kind))
        self.many.setVisible(len(pieces) > 1)
        self.picked.setVisible(bool(pieces))
        self.picked_heading.setVisible(bool(pieces))
        if one is not None:
            name = one.label if isinstance(one, Pier) else one.id
            self.picked_heading.set_text(f"{kind_of(one)} {name}", "picked")
            self.forms[type(one)].fill(one, layout)
        elif pieces:
            order = {piece_id: k for k, piece_id in enumerate(self.view.selected)}
            pieces.sort(key=lambda p: order[p.id])
            self.picked_heading.set_text(f"{len(pieces)} pieces", "picked")
            self.many.fill(pieces, layout)

    def _show_lists(self, plan: Plan, layout: Layout) -> None:
        text, points = LengthText.of(plan), layout.points
        first = len(plan.controls)
        on_line: dict[str | None, int] = {}
        for pier in plan.piers:
            on_line[pier.line] = on_line.get(pier.line, 0) + 1
        shown: dict[str, tuple[Sequence[Piece], tuple[Column, ...]]] = {
            "Walls": (
                plan.walls,
                (
                    Column("wall", lambda r: plan.walls[r].id, bold=True),
                    Column("corners", lambda r: str(len(plan.walls[r].points)), right=True),
                    Column("house", lambda r: f"on its {plan.walls[r].house_side}", tone="soft"),
                ),
            ),
            "Attachments": (
                plan.attachments,
                (
                    Column("at", lambda r: plan.attachments[r].id, bold=True),
                    Column("kind", lambda r: plan.attachments[r].kind, tone="soft"),
                    Column("station", lambda r: text(points.station[first + r]), right=True),
                    Column("offset", lambda r: text(points.offset[first + r]), right=True),
                ),
            ),
            "Beam lines": (
                plan.lines,
                (
                    Column("line", lambda r: plan.lines[r].id, bold=True),
                    Column("attachment", lambda r: plan.lines[r].attachment or "none", tone="soft"),
                    Column("piers", lambda r: str(on_line.get(plan.lines[r].id, 0)), right=True),
                ),
            ),
            "Piers": (
                plan.piers,
                (
                    Column("pier", lambda r: plan.piers[r].label, bold=True),
                    Column("beam line", lambda r: plan.piers[r].line or "none", tone="soft"),
                    Column("detail", lambda r: plan.piers[r].detail or "none", tone="soft"),
                ),
            ),
            "Existing slabs": (
                plan.slabs,
                (
                    Column("slab", lambda r: plan.slabs[r].id, bold=True),
                    Column("thickness", lambda r: text(plan.slabs[r].thickness), right=True),
                ),
            ),
            "Keep-outs": (
                plan.keepouts,
                (
                    Column("keep-out", lambda r: plan.keepouts[r].id, bold=True),
                    Column("kind", lambda r: plan.keepouts[r].kind, tone="soft"),
                ),
            ),
        }
        for name, (pieces, columns) in shown.items():
            self.lists[name].setVisible(bool(pieces))
            if pieces:
                self.tables[name].show_rows([p.id for p in pieces], columns)


def _count(number: int, thing: str) -> str:
    """Return a number of things in words that agree."""
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"
