"""Bay: four points whose two diagonals show whether they stand square."""

from __future__ import annotations

from layoutdesk.errors import EditError
from layoutdesk.geometry.vector import Vector, distance
from layoutdesk.gestures.drawing import Drawing
from layoutdesk.gestures.gesture import Field, Ghost, Outcome, Pointer, Value
from layoutdesk.plan import edits
from layoutdesk.plan.model import Attachment, Pier, Plan
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState


class BayGesture(Drawing):
    """Names a bay by its four corners, in order round it: piers or attachments."""

    name = "Bay"

    def __init__(self, document: Document, view: ViewState) -> None:
        self._corners: list[str] = []
        super().__init__(document, view)

    @property
    def doing(self) -> str:
        """Return which corner is asked for."""
        return f"Bay, corner {len(self._corners) + 1} of 4"

    @property
    def hint(self) -> str:
        """Return what to do, and what was picked so far."""
        so_far = ", ".join(self._label(c) for c in self._corners)
        return (
            f"{so_far} · next round the bay" if so_far else "Click a pier or an attachment, then go round the bay"
        )

    @property
    def _asks_place(self) -> bool:
        return False

    def _own_fields(self) -> tuple[Field, ...]:
        under = self._under(self._pointer)
        return (self._field("corner", "text", self._label(under) if under else ""),)

    def _points(self) -> tuple[Pier | Attachment, ...]:
        return (*self._plan.attachments, *self._plan.piers)

    def _label(self, point_id: str) -> str:
        point = next((p for p in self._points() if p.id == point_id), None)
        return point.label if isinstance(point, Pier) else point_id

    def _at_of(self, point_id: str) -> Vector | None:
        return next((p.at for p in self._points() if p.id == point_id), None)

    def _under(self, pointer: Pointer | None) -> str | None:
        """Return the pier or attachment under the pointer, or None."""
        if pointer is None:
            return None
        from layoutdesk.gestures.plan_index import index_of

        index = index_of(self._plan)
        near = index.near_points(pointer.at, pointer.reach).nonzero()[0]
        spots = sorted(near.tolist(), key=lambda k: distance(tuple(index.points[k]), pointer.at))
        points = {p.id for p in self._points()}
        return next((index.spots[k].piece for k in spots if index.spots[k].piece in points), None)

    def _refuse_nonsense(self, field: Field, value: Value) -> None:
        super()._refuse_nonsense(field, value)
        self._named(str(value))

    def _named(self, text: str) -> str:
        """Return the id of the point that is called so.

        Raises:
            EditError: when nothing is, or it is a corner already.
        """
        wanted = text.strip().lower()
        found = next((p.id for p in self._points() if wanted in {p.id.lower(), self._label(p.id).lower()}), None)
        if found is None:
            raise EditError(f"No pier or attachment is called {text.strip() or 'nothing'}")
        if found in self._corners:
            raise EditError(f"{self._label(found)} is a corner of this bay already")
        return found

    def moved(self, pointer: Pointer) -> None:
        """Show which point a click would take."""
        self._pointer = pointer
        self._view.hover(self._under(pointer))

    def pressed(self, pointer: Pointer) -> Outcome | None:
        """Take the point under the pointer as the next corner."""
        self.moved(pointer)
        under = self._under(pointer)
        if under is None:
            raise EditError("A bay's corners are piers or attachments: click on one")
        return self._add(self._named(self._label(under)) if under in self._corners else under)

    def _take(self) -> Outcome | None:
        typed = self._typed.get("corner")
        if typed is None:
            raise EditError("Type what the next corner is called, such as P1, or click it")
        return self._add(self._named(str(typed)))

    def _add(self, corner: str) -> Outcome | None:
        self._corners.append(corner)
        self._typed.clear()
        if len(self._corners) < 4:
            return None
        a, b, c, d = self._corners
        self._corners.clear()
        return Outcome(
            f"Name bay {self._label(a)} {self._label(b)} {self._label(c)} {self._label(d)}",
            lambda plan: edits.add_bay(plan, (a, b, c, d)),
        )

    def _back(self) -> bool:
        if not self._corners:
            return False
        self._corners.pop()
        return True

    def plan_changed(self, plan: Plan) -> None:
        """Go on with the new plan; corners that are gone are dropped."""
        super().plan_changed(plan)
        self._corners = [c for c in self._corners if self._at_of(c) is not None]

    def _ghosts(self) -> tuple[Ghost, ...]:
        places = [self._at_of(c) for c in self._corners]
        under = self._at_of(self._under(self._pointer) or "")
        known = tuple(p for p in (*places, under) if p is not None)
        if len(known) == 4:
            return (Ghost("outline", known),)
        return (Ghost("line", known),) if len(known) > 1 else ()
