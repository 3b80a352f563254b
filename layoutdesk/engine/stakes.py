"""How each pier is put on the ground: its ties, its best pair of tapes, station and offset, and which is better."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from layoutdesk.engine.along_line import along_line
from layoutdesk.engine.columns import Bools, Floats, Indices, chunks
from layoutdesk.engine.layout import AlongLine, ControlTie, SquareOut, Stake, Tie, TiePair
from layoutdesk.engine.obstacles import Obstacles
from layoutdesk.engine.once import once
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.reasons import method_of, why_sentence
from layoutdesk.engine.rows import RowTable
from layoutdesk.engine.squaring import Squaring, right_angle_deviation
from layoutdesk.engine.tapes import tape_deviation
from layoutdesk.engine.ties import BestPairs, Ways, best_pairs, crossing_sine, strength_of
from layoutdesk.geometry.frame import Frame
from layoutdesk.plan.model import Plan

NO_ROOM = "too little room for a right triangle"


class StakeTable:
    """The stakes of :class:`layoutdesk.engine.layout.Stakes`, computed column by column when asked for.

    Args:
        plan: the plan.
        points: its points.
        frame: its baseline, or None.
        rows: the points of each beam line.
        obstacles: what tapes cannot cross.
        squaring: the triangle that sets the right angle.
    """

    def __init__(
        self,
        plan: Plan,
        points: PointTable,
        frame: Frame | None,
        *,
        rows: RowTable,
        obstacles: Obstacles,
        squaring: Squaring,
    ) -> None:
        self._plan = plan
        self._points = points
        self._frame = frame
        self._rows = rows
        self._obstacles = obstacles
        self._squaring = squaring

    @property
    def _controls(self) -> Floats:
        return self._points.xy[: len(self._plan.controls)]

    @property
    def _piers(self) -> Floats:
        return self._points.xy[self._points.first_pier :]

    @once
    def _ways(self) -> Ways:
        points, controls = self._points, len(self._plan.controls)
        x, y, first = points.x, points.y, points.first_pier
        return Ways(x[:controls], y[:controls], x[first:], y[first:])

    @once
    def distance(self) -> Floats:
        """The ties, (controls, piers) in mm."""
        z, count = self._points.z, len(self._plan.controls)
        controls, piers = z[:count, None], z[self._points.first_pier :]
        found = np.empty((count, len(piers)))
        for part in chunks(len(piers)):
            np.abs(piers[part] - controls, out=found[:, part])
        return found

    @once
    def _obstacle(self) -> Indices:
        return self._obstacles.blocking(self._controls[:, None, :], self._piers[None, :, :])

    @once
    def blocked(self) -> Bools:
        """Which ties something stands in the way of, (controls, piers)."""
        return self._obstacle >= 0

    @once
    def too_long(self) -> Bools:
        """Which ties are longer than the tape at hand, (controls, piers)."""
        return self.distance > self._plan.tape_at_hand.length + 1e-6

    @once
    def _best(self) -> BestPairs:
        usable = ~(self.blocked | self.too_long)
        tape = self._plan.tape_at_hand.tape_class
        return best_pairs(self._ways, self.distance, usable, tape)

    @property
    def within(self) -> Floats:
        """Twice the standard error of each stake by its best pair, (piers,) in mm; NaN without one."""
        return self._best.within

    @property
    def best_pair(self) -> Indices:
        """The control indices of each best pair, (piers, 2); -1 without one."""
        return self._best.pair

    @once
    def crossing_deg(self) -> Floats:
        """The angle at which each best pair crosses, 0 to 90 degrees, (piers,); NaN without one."""
        if not len(self._plan.controls):
            return np.full(len(self), np.nan)
        return np.degrees(np.arcsin(crossing_sine(self._ways, self.best_pair)))

    @once
    def _square_within(self) -> Floats:
        """Twice the standard error by station and offset, (piers,) in mm."""
        first = self._points.first_pier
        station, offset = self._points.station[first:], self._points.offset[first:]
        tape = self._plan.tape_at_hand.tape_class
        turn = right_angle_deviation(self._squaring.triangles.square, self._plan)
        along, out = tape_deviation(station, tape), tape_deviation(offset, tape)
        return 2 * np.sqrt(along**2 + out**2 + (offset * turn) ** 2)

    @once
    def square_open(self) -> Bools:
        """Which piers can be reached by station and offset, (piers,)."""
        if self._frame is None or self._squaring.triangles.square is None:
            return np.zeros(len(self), dtype=np.bool_)
        return self._square_obstacle < 0

    @property
    def settable(self) -> Bools:
        """Which piers can be put on the ground by themselves, (piers,)."""
        return self.square_open | (self.best_pair[:, 0] >= 0)

    def along(self, index: int) -> AlongLine | None:
        """Return how a pier is set along its beam line, or None when fewer than two of its points can be set."""
        return along_line(self._points, self._rows, self.settable, index)

    @once
    def _square_obstacle(self) -> Indices:
        """What stands in the way along the baseline or square out, (piers,); -1 when nothing does."""
        assert self._frame is not None
        station = self._points.station[self._points.first_pier :]
        origin, way = np.array(self._frame.origin), np.array(self._frame.along)
        feet = origin + station[:, None] * way
        along = self._obstacles.blocking(origin, feet)
        out = self._obstacles.blocking(feet, self._piers)
        return np.where(along >= 0, along, out)

    def __len__(self) -> int:
        return len(self._plan.piers)

    def __iter__(self) -> Iterator[Stake]:
        return map(self.__getitem__, range(len(self)))

    def of(self, pier_id: str) -> Stake:
        """Return the stake of a pier by id.

        Raises:
            KeyError: when there is none.
        """
        index = self._points.index(pier_id) - self._points.first_pier
        if index < 0:
            raise KeyError(pier_id)
        return self[index]

    def __getitem__(self, index: int) -> Stake:
        i = range(len(self))[index]
        pier = self._plan.piers[i]
        row = self._points[self._points.first_pier + i]
        ties = tuple(self._tie(c, i) for c in range(len(self._plan.controls)))
        best, square = self._pair(i, ties), self._square_out(i)
        method = method_of(best, square)
        along = self.along(i) if method == "none" else None
        return Stake(
            id=pier.id,
            label=pier.label,
            line=pier.line,
            detail=pier.detail,
            at=pier.at,
            station=row.station,
            offset=row.offset,
            ties=ties,
            best=best,
            square=square,
            method=method,
            why=why_sentence(self._plan, ties, best, square, along),
            along=along,
        )

    def _tie(self, control: int, pier: int) -> Tie:
        return Tie(
            control=self._points.ids[control],
            distance=float(self.distance[control, pier]),
            blocked_by=self._obstacles.label(int(self._obstacle[control, pier])),
        )

    def _pair(self, pier: int, ties: tuple[Tie, ...]) -> TiePair | None:
        first, second = self.best_pair[pier].tolist()
        if first < 0:
            return None
        crossing = float(self.crossing_deg[pier])
        return TiePair(ties[first], ties[second], crossing, strength_of(crossing), float(self.within[pier]))

    def _square_out(self, pier: int) -> SquareOut | None:
        if self._frame is None:
            return None
        blocked = self._obstacles.label(int(self._square_obstacle[pier]))
        if blocked is None and self._squaring.triangles.square is None:
            blocked = NO_ROOM
        return SquareOut(float(self._square_within[pier]), blocked)


def control_ties(plan: Plan, points: PointTable, obstacles: Obstacles) -> tuple[ControlTie, ...]:
    """Return the distance between every two control points, pair by pair in plan order."""
    count = len(plan.controls)
    if count < 2:
        return ()
    xy = points.xy[:count]
    first, second = np.triu_indices(count, 1)
    way = xy[second] - xy[first]
    blocked = obstacles.blocking(xy[first], xy[second])
    ids = points.ids
    return tuple(
        ControlTie(ids[i], ids[j], d, obstacles.label(b))
        for i, j, d, b in zip(
            first.tolist(), second.tolist(), np.hypot(way[:, 0], way[:, 1]).tolist(), blocked.tolist(), strict=True
        )
    )
