"""All points of the stake-out as columns: control points, attachments and piers, in that order."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from itertools import chain
from operator import attrgetter
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Floats
from layoutdesk.engine.layout import PointKind, PointRow
from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Attachment, Control, Pier, Plan

NO_MINUS: Final = 0.0
"""Added to what may come out as minus nought, which nobody wants to read."""

_CONTROL: Final[PointKind] = "control"
_ATTACHMENT: Final[PointKind] = "attachment"
_PIER: Final[PointKind] = "pier"
_AT = attrgetter("at")
_ID = attrgetter("id")


class PointTable:
    """The columns of :class:`layoutdesk.engine.layout.Points`; lengths in mm."""

    def __init__(self, plan: Plan, frame: Frame | None) -> None:
        self._plan = plan
        self._frame = frame
        self.first_pier = len(plan.controls) + len(plan.attachments)
        self._count = self.first_pier + len(plan.piers)

    def _all(self) -> Iterator[Control | Attachment | Pier]:
        return chain(self._plan.controls, self._plan.attachments, self._plan.piers)

    @cached_property
    def ids(self) -> tuple[str, ...]:
        """The ids of all points."""
        return tuple(map(_ID, self._all()))

    @cached_property
    def labels(self) -> tuple[str, ...]:
        """What the points are called: the id, or a pier's mark."""
        return self.ids[: self.first_pier] + tuple(pier.label for pier in self._plan.piers)

    @cached_property
    def kinds(self) -> tuple[PointKind, ...]:
        """What the points are."""
        plan = self._plan
        controls = (_CONTROL,) * len(plan.controls)
        return controls + (_ATTACHMENT,) * len(plan.attachments) + (_PIER,) * len(plan.piers)

    @cached_property
    def xy(self) -> Floats:
        """The places in the plan's axes, (n, 2) in mm."""
        flat = chain.from_iterable(map(_AT, self._all()))
        return np.fromiter(flat, np.float64, 2 * self._count).reshape(-1, 2)

    @cached_property
    def station(self) -> Floats:
        """The stations, (n,) in mm; NaN without a baseline."""
        if self._frame is None:
            return np.full(self._count, np.nan)
        (x, y), (ux, uy) = self._frame.origin, self._frame.along
        return (self.xy[:, 0] - x) * ux + (self.xy[:, 1] - y) * uy + NO_MINUS

    @cached_property
    def offset(self) -> Floats:
        """The offsets, (n,) in mm, positive into the yard; NaN without a baseline."""
        if self._frame is None:
            return np.full(self._count, np.nan)
        (x, y), (ux, uy) = self._frame.origin, self._frame.along
        return self._frame.side * (ux * (self.xy[:, 1] - y) - uy * (self.xy[:, 0] - x)) + NO_MINUS

    @cached_property
    def _index(self) -> dict[str, int]:
        return {point_id: i for i, point_id in reversed(list(enumerate(self.ids)))}

    def index(self, point_id: str) -> int:
        """Return the index of a point by id, the first when an id is there twice.

        Raises:
            KeyError: when there is none.
        """
        return self._index[point_id]

    def find(self, point_id: str | None) -> int:
        """Return the index of a point by id, or -1."""
        return -1 if point_id is None else self._index.get(point_id, -1)

    def place(self, index: int) -> Vector:
        """Return where a point is, in the plan's axes."""
        x, y = self.xy[index].tolist()
        return (x, y)

    def __len__(self) -> int:
        return self._count

    def __getitem__(self, index: int) -> PointRow:
        i = range(self._count)[index]
        known = self._frame is not None
        return PointRow(
            id=self.ids[i],
            label=self.labels[i],
            kind=self.kinds[i],
            at=self.place(i),
            station=float(self.station[i]) if known else None,
            offset=float(self.offset[i]) if known else None,
        )

    def __iter__(self) -> Iterator[PointRow]:
        return map(self.__getitem__, range(self._count))
