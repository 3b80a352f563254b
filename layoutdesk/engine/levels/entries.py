"""The rows of the heights: what screens, sheets and files show of one reading, one spot, one string, one column.

Lengths and elevations are millimetres, an elevation is up positive above the zero of the job; slopes are ratios.
``within`` is always SURE_95 standard deviations.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.heights import ReadingKind, SetupMethod, StringRule, TopRule

SURE_95: Final = 1.96
"""So many standard deviations hold 95 in 100 of normal errors of one number, such as a height."""

HeightRole = Literal["benchmark", "ground", "pier top", "support", "mark", "turning point"]
"""What a booked point is. A reading at a pier's id is of the ground at its stake; at its id with `` top`` behind it
of the finished pier, with `` support`` of the side supports that its column hangs on. ``mark`` is a control point
or an attachment. Any other name is a turning point."""
GroundFrom = Literal["reading", "typed", "surface", "beyond the spots", "none"]
"""How the ground at a place is known: read or typed there, from the surface between the spots, from the fitted
plane outside of them, or not at all."""


@dataclass(frozen=True, slots=True)
class BookRow:
    """One reading in the book, as on paper; ``index`` is its place in ``plan.levels.readings``.

    ``height_of_line`` is the elevation of the setup's level line as booked, on the row that fixes it, else None.
    ``booked`` is the elevation of the point carried forward reading by reading, ``adjusted`` the one after the
    misclosure was spread; None where the row hangs on nothing. ``trouble`` says in one sentence what is wrong with
    it.
    """

    index: int
    setup: int
    method: SetupMethod
    point: str
    label: str
    kind: ReadingKind
    reading: float
    height_of_line: float | None
    booked: float | None
    adjusted: float | None
    trouble: str | None = None


@dataclass(frozen=True, slots=True)
class LevelLoop:
    """A loop of setups, or a run between two benchmarks: what it is off, and what it may be.

    ``misclosure`` is the booked elevation at its end less the one that it should have there. ``says`` is the
    verdict in one sentence with its numbers.
    """

    setups: tuple[int, ...]
    start: str
    end: str
    misclosure: float
    allowable: float
    closes: bool
    says: str


@dataclass(frozen=True, slots=True)
class LevelPoint:
    """A booked point: ``elevation`` is adjusted, None when nothing ties it to a benchmark."""

    id: str
    label: str
    role: HeightRole
    elevation: float | None
    within: float
    readings: int
    at: Vector | None


@dataclass(frozen=True, slots=True)
class LevelBook:
    """The level book worked out.

    ``back_sum`` and ``fore_sum`` are the page check: their difference equals last less first elevation as booked
    (``check_start``, ``check_end``), taken along the run of setups from the first benchmark; None where the book
    is no single run. ``troubles`` are sentences about setups and readings that hang on nothing, benchmarks
    that disagree, readings that are likely in the wrong unit.
    """

    rows: tuple[BookRow, ...]
    points: tuple[LevelPoint, ...]
    loops: tuple[LevelLoop, ...]
    back_sum: float | None
    fore_sum: float | None
    check_start: float | None
    check_end: float | None
    check_holds: bool | None
    troubles: tuple[str, ...]

    def point(self, point_id: str) -> LevelPoint | None:
        """Return a booked point by id, or None."""
        return next((p for p in self.points if p.id == point_id), None)


@dataclass(frozen=True, slots=True)
class GroundSpot:
    """A place whose ground height is known: ``off`` is how far it lies above the fitted plane (NaN without one)."""

    id: str
    label: str
    at: Vector
    elevation: float
    within: float
    off: float


@dataclass(frozen=True, slots=True)
class GroundPlane:
    """The plane that fits the spots best (least squares of the heights).

    ``elevation`` is its height at ``centre``, ``slope`` how much it falls per unit of length in the direction
    ``fall`` (1 mm long; (0, 0) for a level one). ``away`` and ``along`` are how much it falls away from the house
    and along the baseline, None without one and where spots in one line do not tell it. ``deviation`` is the root
    mean square of what the spots are off it, with the degrees of freedom counted; NaN for three spots.
    """

    centre: Vector
    elevation: float
    slope: float
    fall: Vector
    away: float | None
    along: float | None
    deviation: float
    says: str


@dataclass(frozen=True, slots=True)
class Contour:
    """One line of equal height on the surface; closed when its ends meet."""

    elevation: float
    points: tuple[Vector, ...]


@dataclass(frozen=True, slots=True)
class PierHeight:
    """The heights of one pier; None where what they hang on is not known.

    ``ground`` is at its centre, ``lowest`` the lowest ground within its widest circle. ``bottom`` is the
    deeper one of the detail's depth and the frost depth below ``lowest``; ``dig`` is ground less bottom. ``top`` is
    the planned top of the concrete, ``built`` the finished one where it was read. ``seat`` is the underside of the
    beam at the centre. ``within`` is of the ground. ``says`` tells in one sentence where the heights come from.
    """

    id: str
    label: str
    line: str | None
    ground: float | None
    ground_from: GroundFrom
    within: float
    lowest: float | None
    top: float | None
    top_rule: TopRule
    built: float | None
    bottom: float | None
    dig: float | None
    frost_governs: bool
    seat: float | None
    says: str


@dataclass(frozen=True, slots=True)
class NailMark:
    """A mark on a board: ``across`` is how far from the string's own nail, mm, to the left of the line positive."""

    of: Literal["line", "pier edge", "column edge"]
    across: float


@dataclass(frozen=True, slots=True)
class Board:
    """Where a string is held: a batter board outside the digging, or a nail in the house.

    ``at`` is under the string's nail, ``running`` how far along the line from its zero. ``string`` is the
    elevation of the string there, ``above_ground`` that less the ground, None where it is not known.
    """

    held_by: Literal["board", "house"]
    at: Vector
    running: float
    string: float | None
    ground: float | None
    above_ground: float | None
    marks: tuple[NailMark, ...]


@dataclass(frozen=True, slots=True)
class StringStop:
    """One pier under a string: ``string`` its elevation there, and how far that is above the ground and the top."""

    pier: str
    label: str
    running: float
    string: float | None
    above_ground: float | None
    above_top: float | None


@dataclass(frozen=True, slots=True)
class StringRun:
    """One string: over a beam line, or across a row of piers of several lines.

    ``id`` is the beam line's, or that of the first pier of a row across with `` across`` behind it. ``rise`` is
    how much it rises per unit of length away from its first board (0 when it hangs level). ``sag`` is how
    far its middle hangs below the straight line; ``sag_says`` is a sentence when that matters.
    ``proposed`` tells that its height is the program's.
    """

    id: str
    label: str
    over: Literal["beam line", "row across"]
    rule: StringRule
    boards: tuple[Board, Board]
    stops: tuple[StringStop, ...]
    length: float
    rise: float
    sag: float
    sag_says: str | None
    proposed: bool
    troubles: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StringCrossing:
    """Where two strings cross: ``upper`` lies on top, ``gap`` above the other (mm; NaN without heights)."""

    upper: str
    lower: str
    at: Vector
    gap: float
    says: str


@dataclass(frozen=True, slots=True)
class ColumnCut:
    """One column, from its foot up.

    ``foot`` and ``head`` are the elevations of its ends on its axis; ``length`` is between them, ``long`` and
    ``short`` are its two edges when the head is cut to the beam's fall (equal to it on a level beam), ``slope_deg``
    the angle of that cut. ``rough`` is the long edge with the margin. ``jig`` is how far above the foot the
    underside of the cross piece is fixed that lies on the supports, None when it would not lie on the column or the
    supports are not known. ``support`` is their elevation. ``within`` is of the seat as it will stand. ``stock`` is
    the length to buy for it, None when none is long enough.
    """

    pier: str
    label: str
    line: str
    foot: float
    head: float
    length: float
    long: float
    short: float
    slope_deg: float
    rough: float
    jig: float | None
    support: float | None
    within: float
    stock: float | None
    says: str


@dataclass(frozen=True, slots=True)
class StockGroup:
    """Pieces of one stock length and what is cut from each: ``cuts`` are the piers' labels, piece by piece."""

    stock: float
    cuts: tuple[tuple[str, ...], ...]
    waste: float


@dataclass(frozen=True, slots=True)
class SidePier:
    """A pier in a side view; None where a height is not known.

    ``profile`` is (depth below the ground at its centre, diameter); ``running`` and ``column`` (its width along the
    line) are lengths, the others elevations.
    """

    pier: str
    label: str
    running: float
    ground: float | None
    top: float | None
    bottom: float | None
    profile: tuple[Vector, ...]
    foot: float | None
    head: float | None
    column: float
    support: float | None


@dataclass(frozen=True, slots=True)
class SideView:
    """One beam line seen from its side, running from its zero to the right, elevations up.

    ``ground`` is the surface along it as (running, elevation), broken into parts where it is not known; ``string``
    the two ends of the string and ``beam`` those of the beam's underside, None when they have no height. ``house``
    is the running of the house wall, None when the line does not begin there.
    """

    line: str
    label: str
    start: float
    end: float
    ground: tuple[tuple[Vector, ...], ...]
    string: tuple[Vector, Vector] | None
    beam: tuple[Vector, Vector] | None
    piers: tuple[SidePier, ...]
    house: float | None
