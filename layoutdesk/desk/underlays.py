"""What lies under the sheet: laying it, finding its file again, and all that is seen to beside the painting."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any, Final

from PySide6.QtCore import QObject, Signal, Slot

from layoutdesk.desk.asks import Asks
from layoutdesk.desk.canvas.sheet_view import SheetView
from layoutdesk.desk.canvas.underlay_pictures import UnderlayPictures
from layoutdesk.desk.files import Files
from layoutdesk.desk.notebook.underlay_card import UnderlayList
from layoutdesk.desk.settings import Settings
from layoutdesk.desk.slip import Slip
from layoutdesk.desk.tool_strip import GestureWords as GestureStrip
from layoutdesk.desk.workroom import Workroom
from layoutdesk.errors import LayoutdeskError
from layoutdesk.geometry.projective import Map9, similarity
from layoutdesk.geometry.vector import Vector
from layoutdesk.gestures.catalogue import CATALOGUE
from layoutdesk.gestures.underlay_points import OnUnderlay
from layoutdesk.gestures.underlay_scale import ScaleUnderlay
from layoutdesk.gestures.words import PICTURE_WORDS
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan, Underlay
from layoutdesk.session.document import Document
from layoutdesk.session.traced import PageKey
from layoutdesk.session.viewstate import ViewState

FILLS: Final = 0.8
"""What is laid fills this part of the sheet as it is looked at."""

Then = Callable[[int, Vector], None]
"""What is done when the pages of a file are counted and one is measured."""


class Underlays(QObject):
    """Lays pictures and pages under the sheet and keeps what is known of their files.

    Signals:
        changed: something else is known of a file: it came, it is missing, or its pages are counted.
    """

    changed = Signal()

    def __init__(
        self,
        document: Document,
        view: ViewState,
        sheet: SheetView,
        *,
        asks: Asks,
        settings: Settings,
        slip: Slip,
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._document, self._view, self._sheet = document, view, sheet
        self._asks, self._settings, self._slip = asks, settings, slip
        self._workroom = Workroom(self, what="The page could not be shown")
        self._tracing = Workroom(self, what="The lines of the page could not be read")
        self.pictures = UnderlayPictures(self._workroom, self)
        self._pages: dict[str, int] = {}
        self._facts: dict[int, tuple[str, Then | None]] = {}
        self._traces: dict[int, PageKey] = {}
        self._asked: set[PageKey] = set()
        self._seen: tuple[Underlay, ...] = ()
        self._words: GestureStrip | None = None
        sheet.show_pictures(self.pictures)
        self.pictures.changed.connect(sheet.update)
        self.pictures.changed.connect(self.changed)
        self.pictures.refused.connect(slip.warn)
        self._workroom.done.connect(self._on_facts)
        self._workroom.failed.connect(self._on_no_facts)
        self._tracing.done.connect(self._on_traced)
        self._tracing.failed.connect(self._on_not_traced)
        document.watch(self._on_plan)

    # ---- what others ask

    def serve(self, under: UnderlayList, files: Files, words: GestureStrip) -> None:
        """Do what the list on the Plan page asks for, say what an opened plan misses, and offer the acts."""
        under.serve(self)
        self._words = words
        files.opened.connect(self.tell_missing)
        self.changed.connect(under.refresh)

    def lay_under(self, path: Path, page: int = 0) -> None:
        """Lay a picture, or a page of a PDF (the first for 0), under the part of the sheet that is looked at."""
        self._measured(path, page, partial(self._lay, path))

    def ask_and_lay(self) -> None:
        """Ask for a file and lay it under the sheet."""
        path = self._asks.lay_file(self._settings.folder)
        if path is not None:
            self._settings.folder = path.parent
            self.lay_under(path)

    def find(self, underlay_id: str) -> None:
        """Ask where the file is now that lies under the sheet."""
        one = edits.find_underlay(self._document.plan, underlay_id)
        path = self._asks.lay_file(self._settings.folder)
        if path is None:
            return
        if (_kind(path) == "pdf") != bool(one.page):
            wanted = "a PDF" if one.page else "a picture"
            self._slip.warn(
                f"{path.name}: {underlay_id} is {wanted}; choose that file, or lay this one under it anew"
            )
            return
        self._measured(path, one.page, partial(self._found, path, underlay_id))

    def show_page(self, underlay_id: str, page: int) -> None:
        """Show another page of the same PDF."""
        one = edits.find_underlay(self._document.plan, underlay_id)
        self._measured(Path(one.file), page, partial(self._turned_to, underlay_id))

    def act(self, name: str, underlay_id: str) -> None:
        """Take up an act on one of them."""
        if self._view.page in {"sheets", "incoming"}:
            self._view.turn_to("plan")
        self._slip.put_away()
        self._sheet.take_up(next(k for k in CATALOGUE if k.name == name))
        gesture = self._sheet.gesture
        if isinstance(gesture, OnUnderlay):
            gesture.aim(underlay_id)
        self._sheet.refresh_gesture()
        self._sheet.setFocus()

    def pages_of(self, underlay: Underlay) -> int:
        """Return how many pages its file has, as far as that is known; 0 for a picture."""
        return max(underlay.page, self._pages.get(underlay.file, 0)) if underlay.page else 0

    def is_missing(self, underlay: Underlay) -> bool:
        """Return whether its file cannot be shown."""
        return self.pictures.state(underlay) == "missing"

    def tell_missing(self) -> None:
        """Say which file is not where it was, in the plan that lies on the desk now."""
        missing = [u for u in self._document.plan.underlays if not Path(u.file).is_file()]
        for one in missing:
            self.pictures.look_again(one)
        if missing:
            name = Path(missing[0].file).name
            self._slip.say(
                f"{name} lies under this sheet and is not where it was. Find it, or take it off on the Plan page.",
                button="Find the file …",
                press=partial(self.find, missing[0].id),
                stays=True,
            )

    def shut(self) -> None:
        """End the work under way, now that the program ends."""
        self._workroom.shut()
        self._tracing.shut()

    # ---- measuring

    def _measured(self, path: Path, page: int, then: Then) -> None:
        """Measure a file and go on: a picture at once by its head, a page in the second process."""
        try:
            if _kind(path) != "pdf":
                from layoutdesk.importers.pictures import picture_facts

                facts = picture_facts(path)
                then(0, (float(facts.width), float(facts.height)))
                return
        except LayoutdeskError as error:
            self._slip.warn(str(error))
            return
        number = self._workroom.order("page facts", path=str(path.absolute()), page=max(1, page))
        self._facts[number] = (str(path.absolute()), then)

    @Slot(int, object, object)
    def _on_facts(self, number: int, about: dict[str, Any], _: bytes) -> None:
        if number not in self._facts:
            return
        path, then = self._facts.pop(number)
        self._pages[path] = about["pages"]
        if then is not None:
            try:
                then(about["page"], (about["size"][0], about["size"][1]))
            except LayoutdeskError as error:
                self._slip.warn(str(error))
        self.changed.emit()

    @Slot(int, str)
    def _on_no_facts(self, number: int, sentence: str) -> None:
        if number in self._facts and self._facts.pop(number)[1] is not None:
            self._slip.warn(sentence)

    def _lay(self, path: Path, page: int, size: Vector) -> None:
        file, to_plan = str(path.absolute()), self._place_in_sight(size)
        self._document.apply(
            f"Lay {path.name} under the sheet",
            lambda plan: edits.add_underlay(plan, file, size, page=page, to_plan=to_plan),
        )
        laid = self._document.plan.underlays[-1]
        self._view.turn_to("plan")
        self._slip.say(
            f"{path.name} lies under the sheet as {laid.id}. Next give it its scale"
            + ("." if page else ", or straighten it if it is a photograph."),
            button=ScaleUnderlay.name,
            press=partial(self.act, ScaleUnderlay.name, laid.id),
            stays=True,
        )

    def _place_in_sight(self, size: Vector) -> Map9:
        """Return the placing upright in the middle of what is looked at."""
        camera, room = self._sheet.camera, self._sheet.plan_area()
        k = FILLS * min(room.width() / size[0], room.height() / size[1])
        left, top = room.center().x() - k * size[0] / 2, room.center().y() - k * size[1] / 2
        corner, other = camera.to_plan(left, top), camera.to_plan(left + k * size[0], top)
        return similarity((0.0, 0.0), (size[0], 0.0), corner, other, mirrored=True)

    def _found(self, path: Path, underlay_id: str, page: int, size: Vector) -> None:  # noqa: ARG002 - the page stays
        file = str(path.absolute())
        for one in self._document.plan.underlays:
            if one.id == underlay_id:
                self.pictures.look_again(one)
        self._document.apply(f"Find {path.name}", lambda plan: edits.refind_underlay(plan, underlay_id, file, size))

    def _turned_to(self, underlay_id: str, page: int, size: Vector) -> None:
        self._document.apply(
            f"Page {page} of {underlay_id}",
            lambda plan: edits.set_underlay(plan, underlay_id, page=page, size=size),
        )

    # ---- following the plan

    def _on_plan(self) -> None:
        plan: Plan = self._document.plan
        if plan.underlays is self._seen:
            return
        self._seen = plan.underlays
        if self._words is not None:
            self._words.leave_out(0 if plan.underlays else len(PICTURE_WORDS))
        self.pictures.keep_only(plan.underlays)
        keys = {(u.file, u.page) for u in plan.underlays}
        for key in [k for k in self._view.traced if k not in keys]:
            del self._view.traced[key]
        self._asked &= keys
        for one in plan.underlays:
            key = (one.file, one.page)
            if one.page and one.shown and key not in self._asked and Path(one.file).is_file():
                self._asked.add(key)
                self._traces[self._tracing.order("trace", path=one.file, page=one.page)] = key
                if one.file not in self._pages:
                    number = self._workroom.order("page facts", path=one.file, page=one.page)
                    self._facts[number] = (one.file, None)

    @Slot(int, object, object)
    def _on_traced(self, number: int, about: dict[str, Any], work: bytes) -> None:
        from layoutdesk.session.traced import traced_from

        key = self._traces.pop(number, None)
        if key is not None and key in self._asked:
            self._view.traced[key] = traced_from(about["lines"], about["centres"], work)

    @Slot(int, str)
    def _on_not_traced(self, number: int, _: str) -> None:
        """Go on without: the page still shows, and its lines can be traced by eye."""
        self._traces.pop(number, None)


def _kind(path: Path) -> str:
    """Return ``pdf`` or ``picture``, by how the file begins."""
    try:
        with path.open("rb") as file:
            return "pdf" if b"%PDF-" in file.read(1024) else "picture"
    except OSError:
        return "picture"
