"""Wall: a face of the existing house, corner by corner."""

from __future__ import annotations

from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, distance, minus
from layoutdesk.gestures.drawing import Drawing
from layoutdesk.gestures.gesture import Field, Ghost, Outcome, Pointer, Value
from layoutdesk.gestures.ground import house_side_of
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan, Side
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState


class WallGesture(Drawing):
    """Draws a wall by clicks, or by typed lengths with an angle or a turn; Enter ends it.

    The first wall of a plan without a baseline gives it one, along the first face that was drawn.
    """

    name = "Wall"

    def __init__(self, document: Document, view: ViewState) -> None:
        self._points: list[Vector] = []
        self._side: Side | None = None
        super().__init__(document, view)

    @property
    def doing(self) -> str:
        """Return where the wall is being drawn."""
        return "Wall to" if self._points else "Wall from"

    @property
    def hint(self) -> str:
        """Return how the wall goes on and ends."""
        if not self._points:
            return "Click a corner of the house, or type where it is"
        if len(self._points) == 1:
            return "Click the next corner, or type length and angle · 90° is down the sheet"
        return "Next corner · Enter, right or double click ends it · H turns the house"

    @property
    def _last_angle(self) -> float:
        """Return the direction of the side drawn last, in degrees."""
        if len(self._points) < 2:
            return 0.0
        return self._bearings.angle(minus(self._points[-1], self._points[-2]))

    def _default_angle(self) -> float:
        return self._last_angle

    def _typed_angle(self) -> float | None:
        turn = self._typed.get("turn")
        return super()._typed_angle() if turn is None else self._last_angle + float(turn)  # type: ignore[arg-type]

    def _own_fields(self) -> tuple[Field, ...]:
        if not self._points:
            return ()
        house = Field("house", "choice", self._house_side, options=("left", "right"))
        if len(self._points) < 2:
            return (house,)
        turn = (self._angle - self._last_angle + 180) % 360 - 180
        return (self._field("turn", "angle", round(turn, 9) + 0.0), house)

    def _choose(self, name: str, value: str) -> None:
        if name == "house":
            self._side = "left" if value == "left" else "right"

    def type_in(self, index: int, value: Value | None) -> None:
        """Fix a field; angle and turn say the same thing, so typing one frees the other."""
        name = self.fields[index].name if 0 <= index < len(self.fields) else ""
        super().type_in(index, value)
        other = {"angle": "turn", "turn": "angle"}.get(name)
        if value is not None and other is not None and self._typed.pop(other, None) is not None:
            self._place_anew()

    @property
    def _house_side(self) -> Side:
        points = (*self._points, self._at) if len(self._points) == 1 else tuple(self._points)
        return self._side or house_side_of(self._plan, points, self._bearings)

    def letter(self, key: str) -> bool:
        """Turn the house to the other side on H."""
        if key != "H" or not self._points:
            return False
        self._side = "right" if self._house_side == "left" else "left"
        return True

    def pressed(self, pointer: Pointer) -> Outcome | None:
        """Set a corner; on the first corner again, close the wall; on the last again, end it."""
        if len(self._points) >= 2 and distance(pointer.at, self._points[-1]) <= pointer.reach / 2:
            return self._finish()
        if len(self._points) >= 3 and distance(pointer.at, self._points[0]) <= pointer.reach:
            self._points.append(self._points[0])
            return self._finish()
        return super().pressed(pointer)

    def commit(self) -> Outcome | None:
        """Set the typed corner; with nothing typed, end the wall."""
        if len(self._points) >= 2 and not self._typed:
            return self._finish()
        return super().commit()

    def _take(self) -> Outcome | None:
        if not self._points or distance(self._points[-1], self._at) > SAME_MM:
            self._points.append(self._at)
        closed = len(self._points) > 3 and distance(self._points[0], self._points[-1]) <= SAME_MM
        if closed:
            return self._finish()
        self._next(self._points[-1])
        return None

    def _finish(self) -> Outcome:
        points, side = tuple(self._points), self._house_side
        self._points.clear()
        self._side = None
        self._next(None)

        def draw(plan: Plan) -> Plan:
            with_wall = edits.add_wall(plan, points, house_side=side)
            if with_wall.baseline is not None:
                return with_wall
            first, second = points[0], points[1]
            if side == "right":
                first, second = second, first
            return edits.set_baseline(with_wall, first, second, yard_side="right")

        return Outcome("Draw wall", draw, select_new=True)

    def put_down(self) -> Outcome | None:
        """Keep the wall as far as its corners were set."""
        return self._finish() if len(self._points) >= 2 else None

    def _back(self) -> bool:
        if not self._points:
            return False
        self._points.pop()
        self._next(self._points[-1] if self._points else None)
        return True

    def _ghosts(self) -> tuple[Ghost, ...]:
        if not self._shows:
            return ()
        if not self._points:
            return ()
        ghosts = [Ghost("wall", (*self._points, self._at))]
        house = self._house_strip()
        if house:
            ghosts.insert(0, Ghost("guide", house, label="house"))
        return tuple(ghosts)

    def _house_strip(self) -> tuple[Vector, ...]:
        """Return a short stroke into the house from the middle of the side drawn last."""
        if self._length <= SAME_MM:
            return ()
        a, b = self._points[-1], self._at
        way = minus(b, a)
        sign = 1.0 if self._house_side == "left" else -1.0
        share = 0.16
        foot = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        return (foot, (foot[0] - way[1] * sign * share, foot[1] + way[0] * sign * share))
