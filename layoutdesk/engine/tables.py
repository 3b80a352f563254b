"""What may be asked of the columns of points, stakes and bays."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Protocol

from layoutdesk.engine.entries import BayCheck, PointKind, PointRow, Stake

if TYPE_CHECKING:
    from layoutdesk.engine.columns import Bools, Floats, Indices


class Points(Protocol):
    """All control points, attachments and piers, in that order, as columns.

    ``ids``, ``labels`` and ``kinds`` have n entries; ``xy`` is (n, 2); ``station`` and ``offset`` are (n,),
    NaN when the plan has no usable baseline. ``first_pier`` is the index at which the piers begin.
    """

    @property
    def ids(self) -> Sequence[str]:
        """Return the ids of all points."""
        ...

    @property
    def labels(self) -> Sequence[str]:
        """Return what the points are called."""
        ...

    @property
    def kinds(self) -> Sequence[PointKind]:
        """Return what the points are."""
        ...

    @property
    def xy(self) -> Floats:
        """Return the places, (n, 2) in mm."""
        ...

    @property
    def station(self) -> Floats:
        """Return the stations, (n,) in mm."""
        ...

    @property
    def offset(self) -> Floats:
        """Return the offsets, (n,) in mm."""
        ...

    @property
    def first_pier(self) -> int:
        """Return the index at which the piers begin."""
        ...

    def __len__(self) -> int: ...
    def __getitem__(self, index: int) -> PointRow: ...
    def __iter__(self) -> Iterator[PointRow]: ...
    def index(self, point_id: str) -> int:
        """Return the index of a point by id.

        Raises:
            KeyError: when there is none.
        """
        ...


class Stakes(Protocol):
    """The stakes of all piers, in plan order, by index; columns for those who need many at once.

    ``distance`` is (controls, piers); ``blocked`` the same shape of bool; ``within`` is (piers,), the expected
    error of the best pair, NaN without one; ``best_pair`` is (piers, 2) of control indices, -1 without one.
    """

    @property
    def distance(self) -> Floats:
        """Return the ties, (controls, piers) in mm."""
        ...

    @property
    def blocked(self) -> Bools:
        """Return which ties are blocked, (controls, piers)."""
        ...

    @property
    def within(self) -> Floats:
        """Return the expected error of each best pair, (piers,) in mm."""
        ...

    @property
    def best_pair(self) -> Indices:
        """Return the control indices of each best pair, (piers, 2)."""
        ...

    def __len__(self) -> int: ...
    def __getitem__(self, index: int) -> Stake: ...
    def __iter__(self) -> Iterator[Stake]: ...
    def of(self, pier_id: str) -> Stake:
        """Return the stake of a pier by id.

        Raises:
            KeyError: when there is none.
        """
        ...


class Bays(Protocol):
    """All bays by index. ``corner_index`` is (m, 4) into Points; ``diagonal`` is (m, 2)."""

    @property
    def corner_index(self) -> Indices:
        """Return the corners of each bay, (m, 4) into Points."""
        ...

    @property
    def diagonal(self) -> Floats:
        """Return the diagonals of each bay, (m, 2) in mm."""
        ...

    def __len__(self) -> int: ...
    def __getitem__(self, index: int) -> BayCheck: ...
    def __iter__(self) -> Iterator[BayCheck]: ...
