"""All points of the stake-out as columns: control points, attachments and piers, in that order."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from operator import attrgetter
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Complexes, Floats
from layoutdesk.engine.layout import PointKind, PointRow
from layoutdesk.engine.once import once
from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Attachment, Control, Pier, Plan

NO_MINUS: Final = 0.0
"""Added to what may come out as minus nought, which nobody wants to read."""

_CONTROL: Final[PointKind] = "control"
_ATTACHMENT: Final[PointKind] = "attachment"
_PIER: Final[PointKind] = "pier"
_ID = attrgetter("id")


class PointTable:
    """The columns of :class:`layoutdesk.engine.layout.Points`; lengths in mm."""

    def __init__(self, plan: Plan, frame: Frame | None) -> None:
        self._plan = plan
        self.frame = frame
        self.first_pier = len(plan.controls) + len(plan.attachments)
        self._count = self.first_pier + len(plan.piers)

    def _all(self) -> Iterator[Control | Attachment | Pier]:
        return chain(self._plan.controls, self._plan.attachments, self._plan.piers)

    @once
    def ids(self) -> tuple[str, ...]:
        """The ids of all points."""
        return tuple(map(_ID, self._all()))

    @once
    def labels(self) -> tuple[str, ...]:
        """What the points are called: the id, or a pier's mark."""
        return self.ids[: self.first_pier] + tuple(pier.label for pier in self._plan.piers)

    @once
    def kinds(self) -> tuple[PointKind, ...]:
        """What the points are."""
        plan = self._plan
        controls = (_CONTROL,) * len(plan.controls)
        return controls + (_ATTACHMENT,) * len(plan.attachments) + (_PIER,) * len(plan.piers)

    @once
    def xy(self) -> Floats:
        """The places in the plan's axes, (n, 2) in mm."""
        flat = chain.from_iterable([point.at for point in self._all()])
        return np.fromiter(flat, np.float64, 2 * self._count).reshape(-1, 2)

    @once
    def z(self) -> Complexes:
        """The places as complex numbers x + iy, (n,) in mm: the quickest way to many distances."""
        z: Complexes = self.xy.view(np.complex128)[:, 0]
        return z

    @once
    def x(self) -> Floats:
        """The places along x, (n,) in mm: one after the other in memory, which long columns gain from."""
        return self.xy[:, 0].copy()

    @once
    def y(self) -> Floats:
        """The places along y, (n,) in mm."""
        return self.xy[:, 1].copy()

    @property
    def station(self) -> Floats:
        """The stations, (n,) in mm; NaN without a baseline."""
        return self._measured[0]

    @property
    def offset(self) -> Floats:
        """The offsets, (n,) in mm, positive into the yard; NaN without a baseline."""
        return self._measured[1]

    @once
    def _measured(self) -> tuple[Floats, Floats]:
        if self.frame is None:
            nowhere = np.full(self._count, np.nan)
            return nowhere, nowhere
        (x, y), (ux, uy), side = self.frame.origin, self.frame.along, self.frame.side
        dx, dy = self.x - x, self.y - y
        return dx * ux + dy * uy + NO_MINUS, dy * (side * ux) - dx * (side * uy) + NO_MINUS

    @once
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
        known = self.frame is not None
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
