"""Pick: select pieces, move them, and move the ends and corners of what is selected."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Final

from layoutdesk.errors import EditError
from layoutdesk.geometry.vector import Vector, distance, dot, minus, plus, times
from layoutdesk.gestures.bearings import Bearings, bearings_of
from layoutdesk.gestures.commands import named
from layoutdesk.gestures.gesture import Field, Ghost, Outcome, Pointer, Preview, Snap, Value
from layoutdesk.gestures.hits import handle_at, is_outline, piece_at, pieces_in_box
from layoutdesk.gestures.typed import checked
from layoutdesk.plan import edits
from layoutdesk.plan.model import Attachment, BeamLine, Control, Piece, Pier, Plan, SpotHeight, places_of
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState

if TYPE_CHECKING:
    from layoutdesk.gestures.snapping import Snapper

DRAG: Final = 0.67
"""How far, in reaches, the pointer must go before a press becomes a drag."""


@dataclass(frozen=True, slots=True)
class _Press:
    """A press that is not yet let go of: where, on which piece, and on which of its ends or corners."""

    at: Vector
    piece: str | None
    handle: int | None
    add: bool
    loose: bool
    """Whether a drag draws a box although a piece lies here: the inside of an outline that is not picked."""


class Pick:
    """The gesture that is under way when no other is."""

    name: ClassVar[str] = "Pick"

    def __init__(self, document: Document, view: ViewState) -> None:
        self._view = view
        self._plan: Plan = document.plan
        self._press: _Press | None = None
        self._to: Vector | None = None
        self._snap: Snap | None = None
        self._typed: dict[int, float] = {}
        self._snapper: Snapper | None = None
        self._shown: tuple[Vector, Plan] | None = None

    # ---- what the entry line shows

    @property
    def _bearings(self) -> Bearings:
        return bearings_of(self._plan)

    @property
    def _picked(self) -> tuple[str, ...]:
        return self._view.selected

    @property
    def _subject(self) -> Piece | None:
        """Return the one picked piece, None when none or several are."""
        return self._plan.piece(self._picked[0]) if len(self._picked) == 1 else None

    @property
    def _anchor(self) -> Vector | None:
        """Return the place that the fields speak of: a point, or an end under the pointer; None for moves."""
        piece = self._subject
        if piece is None:
            return None
        if self._press is not None and self._press.handle is not None and self._press.piece == piece.id:
            return places_of(piece)[self._press.handle]
        return piece.at if isinstance(piece, Pier | Attachment | Control | SpotHeight) else None

    @property
    def doing(self) -> str:
        """Return what a typed value, or the drag under way, does."""
        if not self._picked:
            return "Pick"
        if self._anchor is None:
            return f"Move {named(self._plan, self._picked)} by"
        end = "a corner of " if self._press is not None and self._press.handle is not None else ""
        return f"Move {end}{named(self._plan, self._picked)} to"

    @property
    def hint(self) -> str:
        """Return what can be done."""
        if not self._picked:
            return "Click a piece, or drag a box round several"
        if self._typed:
            return "Tab to the next · Enter to set · Esc to leave"
        return "Drag, type or use the arrow keys to move · Shift-click for more"

    @property
    def fields(self) -> tuple[Field, ...]:
        """Return where the picked point is going, or by how much the picked pieces move."""
        if not self._picked:
            return ()
        names = self._bearings.names if self._anchor is not None else self._way_names
        values = self._values()
        return tuple(Field(n, "length", values[k], typed=k in self._typed) for k, n in enumerate(names))

    @property
    def _way_names(self) -> tuple[str, str]:
        return ("along", "away") if self._bearings.frame else ("x", "y")

    def _values(self) -> tuple[float, float]:
        by = self._by()
        anchor = self._anchor
        first, second = self._bearings.read_way(by) if anchor is None else self._bearings.read(plus(anchor, by))
        return self._typed.get(0, first), self._typed.get(1, second)

    def type_in(self, index: int, value: Value | None) -> None:
        """Fix a field, or free it."""
        field = self.fields[index] if 0 <= index < len(self.fields) else None
        if field is None:
            raise EditError("Nothing is picked: click a piece first")
        if value is None:
            self._typed.pop(index, None)
        else:
            self._typed[index] = float(checked(field, value))  # type: ignore[arg-type]

    # ---- where the picked pieces would go

    def _dragged_by(self) -> Vector:
        """Return the move of the drag under way."""
        if self._press is None or self._to is None or not self._picked:
            return (0.0, 0.0)
        return minus(self._to, self._reference(self._press))

    def _by(self) -> Vector:
        """Return the move as typed, the rest as dragged."""
        by = self._dragged_by()
        if not self._typed:
            return by
        bearings, anchor = self._bearings, self._anchor
        if anchor is None:
            first, second = bearings.read_way(by)
            return bearings.way(self._typed.get(0, first), self._typed.get(1, second))
        first, second = bearings.read(plus(anchor, by))
        return minus(bearings.place(self._typed.get(0, first), self._typed.get(1, second)), anchor)

    def _reference(self, press: _Press) -> Vector:
        """Return the place that a drag carries to what it snaps to: a point, an end, or where it was pressed."""
        piece = self._plan.piece(press.piece) if press.piece else None
        if piece is None:
            return press.at
        places = places_of(piece)
        if press.handle is not None and press.handle < len(places):
            return places[press.handle]
        return places[0] if len(places) == 1 else press.at

    def _edit(self, plan: Plan, by: Vector) -> Plan:
        press, piece = self._press, self._subject
        if press is not None and press.handle is not None and piece is not None:
            return edits.move_place(plan, piece.id, press.handle, plus(places_of(piece)[press.handle], by))
        return edits.move(plan, self._picked, by)

    @property
    def preview(self) -> Preview:
        """Return the box that is drawn, or the plan as it would be; handles where an end can be caught."""
        press = self._press
        if press is not None and self._to is not None and (press.piece is None or press.loose):
            return Preview((Ghost("box", self._box_corners(press.at, self._to)),))
        by = self._by()
        plan: Plan | None = None
        if by != (0.0, 0.0):
            if self._shown is None or self._shown[0] != by:
                try:
                    self._shown = by, self._edit(self._plan, by)
                except EditError:
                    self._shown = by, self._plan
            plan = self._shown[1]
        piece = (plan or self._plan).piece(self._picked[0]) if len(self._picked) == 1 else None
        ends = places_of(piece) if piece is not None else ()
        ghosts = (Ghost("handle", ends),) if len(ends) > 1 else ()
        return Preview(ghosts, self._snap if self._to is not None else None, plan)

    def _box_corners(self, a: Vector, b: Vector) -> tuple[Vector, ...]:
        """Return the four corners of a box that stands upright on the screen."""
        right, down = self._bearings.right, self._bearings.down
        way = minus(b, a)
        across, below = times(right, dot(way, right)), times(down, dot(way, down))
        return (a, plus(a, across), b, plus(a, below))

    # ---- pointer

    def moved(self, pointer: Pointer) -> None:
        """Show what lies under the pointer, or carry the drag on."""
        press = self._press
        if press is None:
            self._view.hover(self._handle_or_piece(pointer)[0])
            return
        if self._to is None and distance(pointer.at, press.at) < DRAG * pointer.reach:
            return
        if press.piece is None or press.loose:
            self._to = pointer.at
            return
        reference = self._reference(press)
        carried = Pointer(
            plus(reference, minus(pointer.at, press.at)), pointer.reach, add=pointer.add, free=pointer.free
        )
        self._to, self._snap = self._catcher().catch(carried, start=self._home(press, reference))

    def _catcher(self) -> Snapper:
        """Return what catches the drag: all that does not move along."""
        if self._snapper is None:
            from layoutdesk.gestures.snapping import Snapper

            lines = {i for i in self._picked if isinstance(self._plan.piece(i), BeamLine)}
            carried = {p.id for p in self._plan.piers if p.line in lines}
            moving = frozenset({*self._picked, *carried})
            self._snapper = Snapper(self._plan, moving=moving, traced=self._view.traced)
        return self._snapper

    def _home(self, press: _Press, reference: Vector) -> Vector:
        """Return what a dragged place is square from: its line's start, the end it hangs from, or where it was."""
        piece = self._plan.piece(press.piece) if press.piece else None
        if isinstance(piece, Pier):
            line = next((one for one in self._plan.lines if one.id == piece.line), None)
            return line.start if line is not None else reference
        if piece is not None and press.handle is not None:
            places = places_of(piece)
            return places[press.handle - 1] if press.handle else places[1]
        return reference

    def _handle_or_piece(self, pointer: Pointer) -> tuple[str | None, int | None]:
        piece = self._subject
        handle = handle_at(piece, pointer.at, pointer.reach)
        if piece is not None and handle is not None:
            return piece.id, handle
        return piece_at(self._plan, pointer.at, pointer.reach), None

    def pressed(self, pointer: Pointer) -> Outcome | None:
        """Pick what lies under the pointer, ready to be dragged."""
        self._leave()
        found, handle = self._handle_or_piece(pointer)
        inside = found is not None and handle is None and is_outline(self._plan.piece(found))
        loose = inside and found not in self._picked and not self._on_edge(found, pointer)
        self._press = _Press(pointer.at, found, handle, pointer.add, loose)
        if found is None or loose:
            return None
        if pointer.add and handle is None:
            self._view.toggle(found)
            if found not in self._picked:
                self._press = None
        elif found not in self._picked:
            self._view.select((found,))
        return None

    def _on_edge(self, piece_id: str | None, pointer: Pointer) -> bool:
        """Return whether the pointer is on the edge of an outline, not only inside it."""
        from layoutdesk.gestures.plan_index import index_of

        index = index_of(self._plan)
        return any(index.edges[int(k)].piece == piece_id for k in index.near_edges(pointer.at, pointer.reach))

    def released(self, pointer: Pointer) -> Outcome | None:
        """End the drag: move what was picked, pick what is in the box, or narrow the choice to one piece."""
        if self._press is not None:
            self.moved(pointer)
        press, to = self._press, self._to
        if press is None:
            return None
        if press.piece is None or press.loose:
            self._leave()
            return Outcome(select=self._chosen(press, to))
        if to is None:
            self._leave()
            alone = press.handle is None and not press.add and len(self._picked) > 1
            return Outcome(select=(press.piece,)) if alone else None
        return self._set()

    def _chosen(self, press: _Press, to: Vector | None) -> tuple[str, ...]:
        """Return what a box, or a click beside everything, selects."""
        kept = self._picked if press.add else ()
        if to is None:
            return tuple(dict.fromkeys((*kept, press.piece))) if press.piece else kept
        return tuple(dict.fromkeys((*kept, *pieces_in_box(self._plan, press.at, to, self._bearings))))

    def _set(self) -> Outcome | None:
        """Return the move as it stands, and leave the drag."""
        by, picked, typed, anchor = self._by(), self._picked, dict(self._typed), self._anchor
        what = f"Move {named(self._plan, picked)}"
        whole = self._press is None or self._press.handle is None
        if by == (0.0, 0.0):
            self._leave()
            return None
        if whole and typed and anchor is not None and self._bearings.frame is not None:
            station, offset = self._values()
            self._leave()
            return Outcome(what, lambda plan: edits.set_station_offset(plan, picked[0], station, offset))
        press = self._press
        if press is not None and press.handle is not None:
            index, to = press.handle, plus(self._reference(press), by)
            self._leave()
            return Outcome(f"Reshape {picked[0]}", lambda plan: edits.move_place(plan, picked[0], index, to))
        self._leave()
        return Outcome(what, lambda plan: edits.move(plan, picked, by))

    # ---- keys

    def letter(self, key: str) -> bool:  # noqa: ARG002 - Pick has no use for letters
        """Take no letter."""
        return False

    def commit(self) -> Outcome | None:
        """Set the typed values."""
        return self._set() if self._picked else None

    def cancel(self) -> bool:
        """Drop the drag or the typed values, then the selection."""
        if self._press is not None or self._typed:
            self._leave()
            return True
        if self._picked:
            self._view.select(())
            return True
        return False

    def put_down(self) -> Outcome | None:
        """Keep nothing: what is dragged or typed is not set yet."""
        return None

    def plan_changed(self, plan: Plan) -> None:
        """Go on with the new plan."""
        self._plan = plan
        self._leave()

    def _leave(self) -> None:
        self._press = self._to = self._snap = self._snapper = self._shown = None
        self._typed.clear()
