"""The desk: sheet, notebook, entry line and all that works behind them, joined on the window and nothing more."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Slot
from PySide6.QtGui import QAction

from layoutdesk import __version__
from layoutdesk.desk.asks import Asks
from layoutdesk.desk.canvas.sheet_view import SheetView
from layoutdesk.desk.commands import Commands
from layoutdesk.desk.dress import Dress
from layoutdesk.desk.entry_line import EntryLine
from layoutdesk.desk.exports import Exports, Made
from layoutdesk.desk.files import Files
from layoutdesk.desk.help import HelpAtHand
from layoutdesk.desk.incoming.on_desk import IncomingOnDesk
from layoutdesk.desk.keeper import Keeper, said
from layoutdesk.desk.levels_desk import LevelsOnDesk
from layoutdesk.desk.looks import Looks
from layoutdesk.desk.menus import Menus, gesture_actions
from layoutdesk.desk.named_files import NamedFiles
from layoutdesk.desk.notebook.buy_page import BuyPage
from layoutdesk.desk.notebook.control_page import ControlPage
from layoutdesk.desk.notebook.levels_page import LevelsPage
from layoutdesk.desk.notebook.page import Page as NotebookPage
from layoutdesk.desk.notebook.piers_page import PiersPage
from layoutdesk.desk.notebook.plan_page import PlanPage
from layoutdesk.desk.notebook.proof_page import ProofPage
from layoutdesk.desk.notebook.sheets_page import SheetsPage
from layoutdesk.desk.notebook.stakes_page import StakesPage
from layoutdesk.desk.preview.page_view import PageView
from layoutdesk.desk.preview.pages import Pages
from layoutdesk.desk.proof_desk import ProofOnDesk
from layoutdesk.desk.rail import STAGES, upcoming
from layoutdesk.desk.settings import Settings
from layoutdesk.desk.slip import Slip
from layoutdesk.desk.underlays import Underlays
from layoutdesk.desk.window import DeskWindow
from layoutdesk.desk.workroom import Workroom
from layoutdesk.gestures.catalogue import CATALOGUE
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import Page, ViewState

if TYPE_CHECKING:
    from layoutdesk.desk.canvas.sheet_paper import SheetPaper
    from layoutdesk.desk.incoming.drawing_view import DrawingView


class Desk(QObject):
    """Everything that works, built on the window and joined.

    Until :meth:`begin` nothing is derived: no plan is on the desk yet, and what plans need is not imported.
    """

    def __init__(self, window: DeskWindow, *, dress: Dress, asks: Asks, settings: Settings, recovery: Path) -> None:
        super().__init__(window)
        self.window, self.dress = window, dress
        self.document, self.view = document, view = Document(), ViewState()
        self._asks, self._settings = asks, settings
        self._awake = False
        self._seen: tuple[object, ...] = ()
        self.files = Files(document, asks, settings, self)
        self.commands = Commands(document, view, asks, self)
        self.looks = Looks(dress, settings, self)
        self.help = HelpAtHand(dress, view, window)
        self.keeper = Keeper(document, recovery, self)
        self.workroom, self.preview_room = Workroom(self), Workroom(self)
        self.pages = Pages(self.preview_room, self)
        self.sheet = SheetView(document, view, dress.theme)
        self.entry = EntryLine(document, view, self.sheet, dress.theme)
        self.page_view = PageView(self.pages, dress)
        self.sheets_page = SheetsPage(document, view, dress, self.pages)
        self.plan_page = PlanPage(document, view, dress)
        self.levels_page, self.proof_page = LevelsPage(document, view, dress), ProofPage(document, view, dress)
        self.notebook: dict[Page, NotebookPage] = {
            "plan": self.plan_page,
            "control": ControlPage(document, view, dress),
            "stakes": StakesPage(document, view, dress),
            "levels": self.levels_page,
            "piers": PiersPage(document, view, dress),
            "proof": self.proof_page,
            "buy": BuyPage(document, view, dress),
            "sheets": self.sheets_page,
        }
        self.rail, self.strip, self.frame = window.rail, window.strip, window.frame
        self.frame.furnish((self.sheet, self.page_view), tuple(self.notebook.values()), self.entry)
        self.slip = Slip(self.frame.middle)
        self.underlays = Underlays(
            document, view, self.sheet, asks=asks, settings=settings, slip=self.slip, parent=self
        )
        self.exports = Exports(
            document, asks=asks, files=self.files, dress=dress, slip=self.slip, workroom=self.workroom, parent=self
        )
        self.incoming = IncomingOnDesk(
            document, view, dress, files=self.files, slip=self.slip, desk_frame=self.frame, parent=self
        )
        self.menus = Menus(window, window.titled, self._does())
        self.gestures = gesture_actions(window)
        self.strip.link(list(self.gestures.values()), self.menus.actions["undo"], self.menus.actions["redo"])
        menus = self.menus.menus
        self.named = NamedFiles(menus["recent"], menus["samples"], files=self.files, settings=settings, parent=self)
        self.levels = LevelsOnDesk(self.levels_page, self.sheet, dress, spot=self.gestures["Spot"], over=window)
        self.proof = ProofOnDesk(self.proof_page, view, self.sheet, self.entry, self.gestures["Tape"])
        self._join()
        self._on_dress()
        self._show_state()
        self._show_page()
        self._show_gesture()

    # ---- building

    def _does(self) -> dict[str, Callable[[], object]]:
        files, commands = self.files, self.commands
        return {
            "new": files.new,
            "open": files.ask_and_open,
            "take_in": files.ask_and_take_in,
            "lay_under": self.underlays.ask_and_lay,
            "save": files.save,
            "save_as": files.save_as,
            "pdf": self.print_sheets,
            "dxf": self._on_dxf,
            "csv": self._on_csv,
            "png": self._on_picture,
            "quit": self.window.close,
            "undo": self._on_undo,
            "redo": self._on_redo,
            "select_all": commands.select_all,
            "copy": self._on_copy,
            "paste": self.incoming.pasting.paste,
            "mirror": self._on_mirror,
            "turn": commands.turn,
            "delete": commands.delete,
            "same_station": commands.same_station,
            "same_offset": commands.same_offset,
            "space_equally": commands.space_equally,
            "rename": commands.rename,
            "fit": self._on_fit,
            "nearer": self._on_nearer,
            "farther": self._on_farther,
            "text_larger": self.looks.larger,
            "text_smaller": self.looks.smaller,
            "text_usual": self.looks.usual,
            "help_page": self.help.on_page,
            "help_first": self.help.first,
            "help_keys": self.help.keys,
            "about": self._on_about,
        }

    def _join(self) -> None:
        self.window.may_close = self.may_close
        self.window.dropped.connect(self.files.open)
        self.window.setAcceptDrops(True)
        self.document.watch(self._on_plan)
        for page in (self.proof_page, self.levels_page):
            page.work.came.connect(self._show_state)
        self.view.watch(self._on_view)
        self.dress.changed.connect(self._on_dress)
        self.rail.turned.connect(self._on_stage)
        self.strip.print_wanted.connect(self.print_sheets)
        self.files.opened.connect(self._on_opened)
        self.files.saved.connect(self._on_saved)
        self.incoming.changed.connect(self._show_state)
        self.incoming.taken.connect(self._on_taken)
        self.incoming.taking.lay_under = self.underlays.lay_under
        self.underlays.serve(self.plan_page.under, self.files, self.strip.words)
        self.files.save_refused.connect(self._on_save_refused)
        troubles = (self.files.trouble, self.commands.trouble, self.keeper.trouble, self.sheet.trouble)
        for trouble in (*troubles, *(page.trouble for page in self.notebook.values())):
            trouble.connect(self.slip.warn)
        self.sheet.gesture_changed.connect(self._show_gesture)
        self.sheets_page.wanted.connect(self._export)
        self.sheets_page.picture_wanted.connect(self._on_picture)
        self.sheets_page.page_wanted.connect(self.page_view.show_page)
        self.page_view.page_changed.connect(self.sheets_page.follow_page)
        self.page_view.again_wanted.connect(self._on_again)
        for action in self.gestures.values():
            self.sheet.addAction(action)
            action.triggered.connect(self._on_gesture)
        self.menus.pages.triggered.connect(self._on_page)
        self.menus.dresses.triggered.connect(self.looks.choose)

    # ---- beginning and ending

    def begin(self, path: Path | None) -> None:
        """Wake the notebook, open a file if one is named, and offer what a crash left behind."""
        self._awake = True
        for page in self.notebook.values():
            page.wake()
        self._on_plan()
        self.sheet.setFocus()
        if path is None or not self.files.open(path):
            self.keeper.offer(self.keeper.left(), self._asks, self.files)
            return
        self.keeper.offer(self.keeper.left_of(path), self._asks, self.files)
        # What was left behind of other plans is only mentioned: whoever names a file wants to see that one.
        others = self.keeper.left_of_others(path)
        if others:
            self.slip.say(
                f"{others[0].plan.title} was being edited when the program ended without saving; "
                f"there is a copy of {said(others[0].when)}.",
                button="See to it",
                press=partial(self.keeper.offer, others, self._asks, self.files),
                stays=True,
            )

    def may_close(self) -> bool:
        """Ask about unsaved changes; then end all that runs beside the desk."""
        if not self.files.may_go():
            return False
        self.keeper.shut()
        self.workroom.shut()
        self.preview_room.shut()
        self.proof_page.work.shut()
        self.incoming.shut()
        self.underlays.shut()
        self.levels.shut()
        self.help.close()
        return True

    # ---- following plan and view

    def _on_plan(self) -> None:
        plan = self.document.plan
        if self.view.selected:
            self.view.keep_only(p.id for p in plan.pieces())
        self._show_state()
        self.slip.next_action()
        for page in self.notebook.values():
            page.plan_changed()
        self.incoming.plan_changed()

    def _on_view(self) -> None:
        seen = (self.view.page, self.view.selected, self.view.bay)
        if seen == self._seen:
            return
        turned, before = not self._seen or seen[0] != self._seen[0], self._seen[:1]
        self._seen = seen
        self.slip.next_action()
        if turned:
            self._show_page()
            self._show_state()
            if before == ("incoming",):
                self.incoming.remind()
        for page in self.notebook.values():
            page.view_changed()

    def _show_page(self) -> None:
        page = self.view.page
        self.menus.actions[f"page_{page}"].setChecked(True)
        self.frame.foot.setVisible(page not in {"sheets", "incoming"})
        if page == "incoming":
            self.rail.show_page("plan")
            self.incoming.show()
            return
        self.rail.show_page(page)
        self.frame.leaves.setCurrentWidget(self.notebook[page])
        self.frame.middle.setCurrentWidget(self.page_view if page == "sheets" else self.sheet)

    def _show_state(self) -> None:
        plan, changed = self.document.plan, self.document.changed
        flags = self.levels.with_flags(self.proof.flags, self.document.layout) if self._awake else ()
        self.rail.show_plan(plan.title, f"{plan.units} · {self.files.state()}", upcoming(plan, flags))
        if self._awake:
            self.rail.show_flags(flags)
        self.window.setWindowTitle(f"{self.files.called()}[*] – Layoutdesk")
        self.window.setWindowModified(changed)
        steps = self.incoming.waits if self.incoming.open else self.document
        self.menus.actions["page_incoming"].setEnabled(self.incoming.waits.waiting)
        for name, label in (("undo", steps.undo_label), ("redo", steps.redo_label)):
            action, word = self.menus.actions[name], name.capitalize()
            action.setEnabled(label is not None)
            action.setText(f"{word}: {label}" if label else word)
            action.setToolTip(f"{word}: {label}" if label else f"Nothing to {name}")
        self.strip.follow()

    def _show_gesture(self) -> None:
        self.gestures[self.sheet.kind.name].setChecked(True)

    def _on_dress(self) -> None:
        theme = self.dress.theme
        for part in (self.sheet, self.entry):
            part.set_theme(theme)
            part.set_text_scale(self.dress.scale)
        self.menus.actions[f"dress_{self.dress.choice}"].setChecked(True)

    # ---- what is asked of the window

    def _on_gesture(self) -> None:
        kind = next(k for k in CATALOGUE if self.gestures[k.name].isChecked())
        if self.view.page in {"sheets", "incoming"}:
            self.view.turn_to("plan")
        self.sheet.take_up(kind)
        self.sheet.setFocus()

    def _on_copy(self) -> None:
        self.gestures["Copy"].trigger()

    def _on_mirror(self) -> None:
        self.gestures["Mirror"].trigger()

    def _on_undo(self) -> None:
        (self.incoming.waits if self.incoming.open else self.commands).undo()

    def _on_redo(self) -> None:
        (self.incoming.waits if self.incoming.open else self.commands).redo()

    def _on_fit(self) -> None:
        self.looked_at.zoom_to_fit()

    def _on_nearer(self) -> None:
        self.looked_at.zoom_by(1.25)

    def _on_farther(self) -> None:
        self.looked_at.zoom_by(0.8)

    @property
    def looked_at(self) -> SheetPaper | DrawingView:
        """Return what the View menu moves: the sheet, or what lies there of a drawing that came in."""
        return self.incoming.looked_at or self.sheet

    def _on_page(self, action: QAction) -> None:
        if action.data() == "incoming":
            self.incoming.go_to()
        else:
            self._on_stage(action.data())

    def _on_stage(self, page: str) -> None:
        self.view.turn_to(next(s.page for s in STAGES if s.page == page))

    def print_sheets(self) -> None:
        """Save the field sheets: the very pages of the preview when they are of this plan."""
        if not self.document.plan.piers:
            self.slip.warn("There are no piers yet. Put them in, and their sheets can be printed.")
        elif self.pages.ready_for(self.document.plan):
            self.exports.write_ready("pdf", self.pages.pdf)
        else:
            self.exports.make("pdf")

    @Slot(str)
    def _export(self, kind: Made) -> None:
        if kind == "pdf":
            self.print_sheets()
        else:
            self.exports.make(kind)

    def _on_dxf(self) -> None:
        self.exports.make("dxf")

    def _on_csv(self) -> None:
        self.exports.make("csv")

    def _on_picture(self) -> None:
        self.exports.make_picture(self.underlays.pictures)

    def _on_again(self) -> None:
        self.pages.make(self.document.plan, again=True)

    def _on_opened(self) -> None:
        self.view.select(())
        self.view.show_bay(None)
        self.sheet.take_up(CATALOGUE[0])
        self.sheet.zoom_to_fit()
        self._show_state()

    def _on_taken(self) -> None:
        self.view.select(())
        self.sheet.take_up(CATALOGUE[0])
        self.sheet.zoom_to_fit()
        self.sheet.setFocus()

    def _on_saved(self, sentence: str) -> None:
        self._show_state()
        self.slip.say(sentence)

    def _on_save_refused(self, sentence: str) -> None:
        self.slip.say(sentence, button="Save as …", press=self.files.save_as, stays=True)

    def _on_about(self) -> None:
        self._asks.tell(
            f"Layoutdesk {__version__}",
            "Takes a patio, porch, pergola or carport from the drawing to the ground. It helps to measure; local "
            "code and the licensed designer decide what is built.",
        )
