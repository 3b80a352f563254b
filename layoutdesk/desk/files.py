"""Opening and saving: what is asked, what is refused, and nothing ever lost."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from layoutdesk.desk.asks import ENDING, Asks
from layoutdesk.desk.settings import Settings
from layoutdesk.errors import LayoutdeskError
from layoutdesk.places import SAMPLES
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document

Stamp = tuple[int, int]
"""When a file was last written (ns) and how long it is: together they tell whether somebody else wrote it."""


class Files(QObject):
    """Opens and saves the plan of a document.

    Signals:
        opened: another plan lies on the desk.
        saved: the plan was written; a sentence that says so.
        trouble: a sentence about what could not be done; the plan on the desk is as it was.
        save_refused: a sentence why the plan could not be written under this name.
        came_in: a file that is no plan was chosen: its path, its kind, and whether it is for the present plan.
    """

    opened = Signal()
    saved = Signal(str)
    trouble = Signal(str)
    save_refused = Signal(str)
    came_in = Signal(object, str, bool)

    def __init__(self, document: Document, asks: Asks, settings: Settings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document, self._asks, self._settings = document, asks, settings
        self._stamp: Stamp | None = None
        self.saved_at: datetime | None = None
        self._fresh = "new"

    def state(self) -> str:
        """Return in a few words which file the plan has and whether it is saved."""
        path = self._document.path
        return self._kept() if path is None else f"{_bare(path)} · {self._kept()}"

    def called(self) -> str:
        """Return what the plan on the desk is called: its title, or its file's name while it has none."""
        title, path = self._document.plan.title, self._document.path
        return title if path is None or title != Plan().title else _bare(path)

    def _kept(self) -> str:
        clock = f"{self.saved_at.hour}:{self.saved_at:%M}" if self.saved_at else ""
        if self._document.changed:
            return f"changed since {clock}" if clock else "not saved"
        if clock:
            return f"saved {clock}"
        return self._fresh

    def new(self) -> bool:
        """Lay an empty sheet on the desk, in the units that were last used; return whether it was done."""
        if not self.may_go():
            return False
        self.clear()
        return True

    def clear(self) -> None:
        """Lay an empty sheet on the desk; what lay there has been asked about."""
        units, paper, step = (getattr(self._document.plan, n) for n in ("units", "paper", "rounding"))
        self._lay(edits.set_units(Plan(), units).with_(paper=paper, rounding=step), None, "new")

    def ask_and_open(self) -> bool:
        """Ask for a file and open it."""
        path = self._asks.open_file(self._settings.folder)
        return path is not None and self.open(path)

    def ask_and_take_in(self) -> bool:
        """Ask for a drawing to take in onto the present plan."""
        path = self._asks.open_drawing(self._settings.folder)
        return path is not None and self.bring(path, onto_plan=True)

    def open(self, path: Path) -> bool:
        """Open a plan in place of what is on the desk, if that may go; a drawing has a page of its own first."""
        return self.bring(path, onto_plan=False)

    def bring(self, path: Path, *, onto_plan: bool) -> bool:
        """Open a file by what is in it; ``onto_plan`` says that a drawing is for the present plan."""
        from layoutdesk.importers.reading import kind_of

        kind = kind_of(path)
        if kind in {None, "plan"}:
            if onto_plan:
                self.trouble.emit(
                    f"{path.name}: this is no drawing; choose a DXF, a PDF, a picture or a table of points"
                )
                return False
            return self.may_go() and self._open(path)
        self.remember(path)
        self.came_in.emit(path, kind, onto_plan)
        return True

    def _open(self, path: Path) -> bool:
        from layoutdesk.plan.file import read_plan
        from layoutdesk.plan.underlay_files import as_found

        try:
            plan = as_found(read_plan(path), path.parent)
        except LayoutdeskError as error:
            self.trouble.emit(str(error))
            return False
        if path.resolve().parent == SAMPLES.resolve():
            # A sample is opened as a copy: whatever is tried on it, the sample stays whole.
            self._lay(plan, None, "a sample")
            return True
        self._lay(plan, path, "as in its file")
        self._settings.opened(path)
        return True

    def recover(self, plan: Plan, path: Path | None) -> None:
        """Lay a plan on the desk that was being edited when the program ended; it counts as unsaved."""
        # Nobody knows what the file holds now: asking before it is replaced does no harm.
        self._stamp = None if path is None else (0, 0)
        self.saved_at = None
        self._document.replace(plan, path, unsaved=True)
        self.opened.emit()

    def save(self) -> bool:
        """Write the plan to its file; ask for a name when it has none; return whether it is safe now."""
        path = self._document.path
        if path is None:
            return self.save_as()
        if (
            self._stamp is not None
            and _stamp(path) not in (self._stamp, None)
            and not self._asks.overwrite(path.name)
        ):
            return False
        return self._write(path)

    def save_as(self) -> bool:
        """Ask for a name and write the plan under it; a plan without a title takes the name as its title."""
        path = self._asks.save_file(self.suggested(ENDING["plan"]), "plan")
        return path is not None and self._write(path, title=readable(_bare(path)))

    def suggested(self, ending: str) -> Path:
        """Return the name to offer for a file of this plan."""
        path = self._document.path
        if path is not None:
            return path.with_name(_bare(path) + ending)
        kept = "".join(c if c.isalnum() or c in "-_ " else " " for c in self._document.plan.title)
        name = "-".join(kept.lower().split()) or "plan"
        return self._settings.folder / f"{name[:60]}{ending}"

    def remember(self, path: Path) -> None:
        """Offer the folder of an output the next time that a file is asked for."""
        self._settings.folder = path.parent

    def note(self, path: Path) -> None:
        """Offer a drawing again among the files that were lately open."""
        self._settings.opened(path)

    def _write(self, path: Path, *, title: str = "") -> bool:
        from layoutdesk.plan.file import write_plan
        from layoutdesk.plan.underlay_files import as_kept

        before = self._document.plan
        plan = _titled(before, title)
        try:
            write_plan(path, as_kept(plan, path.parent))
        except LayoutdeskError as error:
            self.save_refused.emit(str(error))
            return False
        self._stamp = _stamp(path)
        self.saved_at = datetime.now().astimezone()
        self._settings.opened(path)
        self._document.apply("Title", lambda _: plan)
        self._document.mark_saved(path)
        named = (
            "" if plan is before else f" Its title is now {plan.title}, which the sheets show; Undo takes it back."
        )
        self.saved.emit(f"Saved {path.name}.{named}")
        return True

    def may_go(self) -> bool:
        """Ask about unsaved changes; return whether the plan on the desk may be taken away."""
        if not self._document.changed:
            return True
        match self._asks.unsaved(self._document.plan.title):
            case "save":
                return self.save()
            case "discard":
                return True
            case _:
                return False

    def _lay(self, plan: Plan, path: Path | None, state: str) -> None:
        self._fresh = state
        self._stamp = None if path is None else _stamp(path)
        self.saved_at = None
        self._document.replace(plan, path)
        self.opened.emit()


def write_out(path: Path, data: bytes, trouble: Callable[[str], object]) -> bool:
    """Write an output whole or not at all; what went wrong is told in a sentence."""
    from layoutdesk.plan.file import write_whole

    try:
        write_whole(path, data)
    except LayoutdeskError as error:
        trouble(str(error))
        return False
    return True


def _bare(path: Path) -> str:
    """Return the name of a plan's file without its ending."""
    return path.name.removesuffix(ENDING["plan"]).removesuffix(".json")


def readable(name: str) -> str:
    """Return the name of a file as a title: ``heron-lane_porch`` as ``Heron lane porch``."""
    words = " ".join(name.replace("-", " ").replace("_", " ").split())
    return words[:1].upper() + words[1:]


def _titled(plan: Plan, title: str) -> Plan:
    """Return the plan with a title when it has none yet; the very plan when it has, or when that cannot be one."""
    from layoutdesk.plan import edits

    if not title or plan.title != Plan().title:
        return plan
    try:
        return edits.set_title(plan, title)
    except LayoutdeskError:
        return plan


def _stamp(path: Path) -> Stamp | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size
