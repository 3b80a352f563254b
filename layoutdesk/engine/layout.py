"""The Layout: every number that any screen, sheet, drawing or file shows, computed once from a plan.

Columns are numpy arrays, so that ten thousand piers cost little more than their arithmetic; a row of a column
table is read through the small classes beside it. Lengths are millimetres, volumes cubic metres, angles
degrees. Each topic is computed when it is first asked for and then kept: a Layout is a value that happens to
be filled in late.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, Protocol

from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan

if TYPE_CHECKING:
    from layoutdesk.engine.columns import Bools, Floats, Indices

PointKind = Literal["control", "attachment", "pier"]
Stage = Literal["plan", "control", "stakes", "levels", "piers", "frame", "proof", "buy", "sheets"]
Severity = Literal["error", "warning", "note"]
Strength = Literal["strong", "fair", "weak"]


@dataclass(frozen=True, slots=True)
class Flag:
    """Something that the plan or the site must not do, in one sentence with its numbers.

    ``title`` says it in a few words, ``text`` in one sentence with its numbers in the plan's units, and what
    to do. ``about`` names the pieces concerned; ``stage`` is the page that shows it.
    """

    code: str
    severity: Severity
    stage: Stage
    title: str
    text: str
    about: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PointRow:
    """One point of the stake-out: where it is in the plan and from the baseline (mm; None without one)."""

    id: str
    label: str
    kind: PointKind
    at: Vector
    station: float | None
    offset: float | None


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


@dataclass(frozen=True, slots=True)
class Tie:
    """One taped distance from a control point to a pier; ``blocked_by`` names what stands in the way."""

    control: str
    distance: float
    blocked_by: str | None


@dataclass(frozen=True, slots=True)
class TiePair:
    """Two ties swung to where they cross.

    ``crossing_deg`` is the angle between the tapes at the stake (0 to 90 by its sine: 71 for 109 too);
    ``within`` is twice the standard error of the stake's place in mm, not rounded.
    """

    first: Tie
    second: Tie
    crossing_deg: float
    strength: Strength
    within: float


@dataclass(frozen=True, slots=True)
class ControlTie:
    """The distance between two control points, to check them before anything is set out from them."""

    first: str
    second: str
    distance: float
    blocked_by: str | None


@dataclass(frozen=True, slots=True)
class SquareOut:
    """Station and offset as a method: ``within`` as in TiePair; ``blocked_by`` what stands in the way."""

    within: float
    blocked_by: str | None


@dataclass(frozen=True, slots=True)
class Stake:
    """How one pier is put on the ground.

    ``ties`` has one entry per control point in plan order. ``best`` is the open pair with the least expected
    error, None when no two open tapes cross. ``method`` names the more exact way for this pier and ``why``
    says why in one sentence with its numbers.
    """

    id: str
    label: str
    line: str | None
    detail: str | None
    at: Vector
    station: float | None
    offset: float | None
    ties: tuple[Tie, ...]
    best: TiePair | None
    square: SquareOut | None
    method: Literal["square", "two tapes", "none"]
    why: str


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


@dataclass(frozen=True, slots=True)
class RunStop:
    """One place on a beam line: ``running`` from the line's zero, ``spacing`` from the stop before (0 first).

    ``off`` is how far square off the line the point lies (mm, positive to the left of start to end).
    """

    id: str
    label: str
    kind: PointKind
    running: float
    spacing: float
    off: float


@dataclass(frozen=True, slots=True)
class LineRun:
    """Running dimensions along one beam line, from its attachment or else from its start."""

    line: str
    zero_label: str
    stops: tuple[RunStop, ...]


@dataclass(frozen=True, slots=True)
class RowGap:
    """How far two neighbouring rows are apart, square from the first; at both ends when they are not parallel.

    ``at_start`` and ``at_end`` are measured at the first and last pier of the second row; ``skew_deg`` is the
    angle between the rows.
    """

    first: str
    second: str
    at_start: float
    at_end: float
    skew_deg: float


@dataclass(frozen=True, slots=True)
class BayCheck:
    """A bay and its two diagonals.

    ``corners`` go round it (ids); ``labels`` are what they are called; diagonal 1 joins corners 1 and 3,
    diagonal 2 joins 2 and 4. ``equal`` says whether the two must be equal (to a tenth of the plan's rounding).
    ``per_difference`` is how far the far corner (corner 3) is out, per millimetre by which the difference of
    the two diagonals is wrong, when the four sides are right. ``source`` is how the bay came to be.
    """

    id: str
    corners: tuple[str, str, str, str]
    labels: tuple[str, str, str, str]
    places: tuple[Vector, Vector, Vector, Vector]
    diagonals: tuple[float, float]
    equal: bool
    per_difference: float
    source: Literal["found", "outline", "named"]


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


@dataclass(frozen=True, slots=True)
class SquareTriangle:
    """The largest right triangle of whole tape steps that fits, to square the first line.

    ``ratio`` is (3, 4, 5) or (5, 12, 13). ``corner`` is where the right angle stands (``corner_label`` says at
    what); ``on_line`` is the end of the leg along the baseline and ``out`` the end of the leg into the yard.
    ``angle_within_deg`` is twice the standard error of the angle it sets, with the tape at hand.
    """

    ratio: tuple[int, int, int]
    corner: Vector
    corner_label: str
    on_line: Vector
    out: Vector
    leg_along: float
    leg_out: float
    hypotenuse: float
    angle_within_deg: float


@dataclass(frozen=True, slots=True)
class PierVolume:
    """Net concrete of one pier: below ground, reveal above it, and both (m³); depth and widest diameter (mm)."""

    id: str
    label: str
    detail: str | None
    below_m3: float
    reveal_m3: float
    net_m3: float
    depth: float
    widest: float


@dataclass(frozen=True, slots=True)
class BagOrder:
    """One way of buying: whole bags when each pier is rounded up alone, and when the job is rounded up once."""

    product: str
    yield_m3: float
    per_pier: tuple[int, ...]
    count_by_pier: int
    count_by_job: int


@dataclass(frozen=True, slots=True)
class Concrete:
    """Concrete of the whole job: piers in plan order, the net sum, and the bags of each product."""

    piers: tuple[PierVolume, ...]
    net_m3: float
    orders: tuple[BagOrder, ...]


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension that the sheet shows, between two places, and what retyping it would set.

    ``start`` and ``end`` are the places measured; ``shift`` is how far to the left of the way from start to end the
    dimension line lies (mm; negative to the right); ``value`` the true distance in mm. ``first`` and
    ``second`` are the ids of the two pieces; ``sets`` names the edit that retyping carries out.
    """

    start: Vector
    end: Vector
    shift: float
    value: float
    first: str
    second: str
    sets: Literal["spacing", "row", "overall", "from wall", "side"]


@dataclass(frozen=True, slots=True)
class House:
    """The house as far as the plan knows it: closed outlines (rings of points) for hatching and for checks."""

    outlines: tuple[tuple[Vector, ...], ...]


@dataclass(frozen=True, slots=True)
class Extent:
    """The smallest upright rectangle round all that is drawn, mm; zero-sized for an empty plan."""

    x_min: float
    y_min: float
    x_max: float
    y_max: float


class Layout(Protocol):
    """All that follows from one plan; made by :func:`layoutdesk.engine.derive.derive`."""

    @property
    def plan(self) -> Plan:
        """Return the plan that all this follows from."""
        ...

    @property
    def frame(self) -> Frame | None:
        """Return the baseline as a frame; None when the plan has none, or one without a length."""
        ...

    @property
    def points(self) -> Points:
        """Return all points of the stake-out."""
        ...

    @property
    def stakes(self) -> Stakes:
        """Return how each pier is put on the ground."""
        ...

    @property
    def control_ties(self) -> tuple[ControlTie, ...]:
        """Return the distances between control points, pair by pair in plan order."""
        ...

    @property
    def runs(self) -> tuple[LineRun, ...]:
        """Return running dimensions along every beam line."""
        ...

    @property
    def gaps(self) -> tuple[RowGap, ...]:
        """Return how far neighbouring rows are apart."""
        ...

    @property
    def bays(self) -> Bays:
        """Return the bays and their diagonals."""
        ...

    @property
    def square(self) -> SquareTriangle | None:
        """Return the largest right triangle that fits, or None."""
        ...

    @property
    def concrete(self) -> Concrete:
        """Return volumes and bags."""
        ...

    @property
    def dimensions(self) -> tuple[Dimension, ...]:
        """Return the dimensions that the sheet shows."""
        ...

    @property
    def house(self) -> House:
        """Return the house as closed outlines."""
        ...

    @property
    def extent(self) -> Extent:
        """Return what all that is drawn spans."""
        ...

    @property
    def flags(self) -> tuple[Flag, ...]:
        """Return what the plan must not do, errors first."""
        ...
