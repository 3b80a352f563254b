"""The rows of a Layout: what screens, sheets and files show of one point, stake, bay or flag.

Lengths are millimetres, volumes cubic metres, angles degrees.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import WrittenKind

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
class AlongLine:
    """A pier set along its beam line: so far (mm) from the stop ``near``, in line with ``other`` (labels)."""

    line: str
    near: str
    other: str
    distance: float


@dataclass(frozen=True, slots=True)
class Stake:
    """How one pier is put on the ground.

    ``ties`` has one entry per control point in plan order. ``best`` is the open pair with the least expected
    error, None when no two open tapes cross. ``method`` names the more exact way for this pier and ``why``
    says why in one sentence with its numbers. When the method is none, ``along`` says how the pier is set along its
    beam line's string, if two other points of the line can be set.
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
    along: AlongLine | None = None


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
    """Running dimensions along one beam line, from its attachment or else from its start.

    ``zero_station`` and ``zero_offset`` say where its zero is from the baseline (mm; None without one).
    """

    line: str
    zero_label: str
    stops: tuple[RunStop, ...]
    zero_station: float | None = None
    zero_offset: float | None = None


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
    the two diagonals is wrong, when the four sides are right. ``source`` is how the bay came to be. ``barred``
    names what stands in the way of each diagonal.
    """

    id: str
    corners: tuple[str, str, str, str]
    labels: tuple[str, str, str, str]
    places: tuple[Vector, Vector, Vector, Vector]
    diagonals: tuple[float, float]
    equal: bool
    per_difference: float
    source: Literal["found", "outline", "named"]
    barred: tuple[str | None, str | None] = (None, None)


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
    """Net concrete of one pier: below ground, reveal above it, and both (m³); depth and widest width (mm).

    What is cast in and the steel are left out. Where heights are known, the hole is as deep and its top as high as
    they say.
    """

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
class DetailTotal:
    """The piers of one detail (labels), the net concrete of each and of all, its depth as drawn and widest width.

    Where heights make piers of one detail differ, ``each_m3`` is what they take on average.
    """

    detail: str | None
    piers: tuple[str, ...]
    each_m3: float
    total_m3: float
    depth: float
    widest: float


@dataclass(frozen=True, slots=True)
class Concrete:
    """Concrete of the whole job.

    ``piers`` are in plan order, ``details`` in the plan's order of details (only those that have piers; the piers
    without a known detail last), ``net_m3`` is the sum, ``orders`` the bags of each product.
    """

    piers: tuple[PierVolume, ...]
    net_m3: float
    orders: tuple[BagOrder, ...]
    details: tuple[DetailTotal, ...] = ()


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension that the sheet shows, between two places, and what retyping it would set.

    ``start`` and ``end`` are the places measured; ``shift`` is how far to the left of the way from start to end the
    dimension line lies (mm; negative to the right); ``value`` the true distance in mm. ``first`` and
    ``second`` are the ids of the two pieces, the first of a dimension from the baseline is ``baseline``; ``sets``
    names the edit that retyping carries out.
    """

    start: Vector
    end: Vector
    shift: float
    value: float
    first: str
    second: str
    sets: Literal["spacing", "row", "overall", "from wall", "from baseline", "side"]


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


@dataclass(frozen=True, slots=True)
class WrittenCheck:
    """A dimension as the drawing writes it against what lies between its ends now; mm.

    ``difference`` is drawn less written; ``agrees`` when it is not more than ``tolerance``. ``ends`` are the
    labels of the pieces that its ends measure to, None for a bare place; ``on`` their ids. ``line`` are the
    two ends of a line of the drawn length to show it by: through both places, or in its direction between them.
    """

    id: str
    text: str
    kind: WrittenKind
    value: float
    drawn: float
    difference: float
    tolerance: float
    agrees: bool
    start: Vector
    end: Vector
    ends: tuple[str | None, str | None]
    on: tuple[str, ...]
    line: tuple[Vector, Vector]


@dataclass(frozen=True, slots=True)
class ChainCheck:
    """A chain of dimensions with what its parts add up to; mm.

    ``gap`` is that total less the overall dimension, None when none is written. ``rounding_only`` says that
    the chain does not close, by no more than the rounding of its numbers explains.
    """

    id: str
    text: str
    parts: tuple[float, ...]
    total: float
    overall: float | None
    gap: float | None
    tolerance: float
    closes: bool
    rounding_only: bool
    start: Vector | None
    end: Vector | None
    about: tuple[str, ...]
