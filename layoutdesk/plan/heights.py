"""How high everything is: what was booked, what the ground does, and by what rules tops and cuts are found.

Lengths are millimetres; an elevation is a height above the zero of the job, up positive. ``extra`` holds the keys
of a file entry that this version does not know.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, Literal

from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.extra import Extra

ReadingKind = Literal["back", "fore"]
SetupMethod = Literal["level", "water level", "string"]
TopRule = Literal["reveal", "level", "string"]
StringRule = Literal["level", "beam"]

SETUP_METHODS: Final[tuple[SetupMethod, ...]] = ("level", "water level", "string")
TOP_RULES: Final[tuple[TopRule, ...]] = ("reveal", "level", "string")
STRING_RULES: Final[tuple[StringRule, ...]] = ("level", "beam")


@dataclass(frozen=True, slots=True, kw_only=True)
class Benchmark:
    """The fixed height that readings start from: a door threshold, the edge of a slab.

    ``at`` is its place, when it is not a piece of the plan with the same id.
    """

    id: str
    elevation: float
    at: Vector | None = None
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What the rod shows at a point, from one setup: how far the point lies below the level line of the setup.

    The level line is the line of sight of a level or laser, the water in a hose, or a string that was hung level
    and that a tape is let down from. ``point`` is the id of a benchmark, a pier (the ground at its stake), a spot,
    a control point or an attachment, or any other name, as of a turning point.
    """

    setup: int
    point: str
    kind: ReadingKind
    reading: float
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """What a setup was: its method, and one standard deviation of a reading from it (None: the usual one)."""

    setup: int
    method: SetupMethod = "level"
    deviation: float | None = None
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotHeight:
    """A place whose ground height was taken: read from a setup under its id, or else typed as ``elevation``."""

    id: str
    at: Vector
    elevation: float | None = None
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class LineHeights:
    """The heights of one beam line.

    ``seat`` is the elevation of the underside of its beam at the line's zero (its attachment, or else its start),
    None while that is not known; ``fall`` how much it falls per unit of length away from there (1/48 is 1/4 in
    in a foot). ``top`` says what its pier tops follow: each the ``reveal`` of its detail above the ground
    beside it, all one ``level`` at the elevation ``pier_top``, or the ``string``, ``pier_top`` below it.
    ``string`` is the elevation of its string at the zero, None for one that the program proposes; the string is
    hung level, or parallel to the ``beam``.
    """

    line: str
    seat: float | None = None
    fall: float = 0.0
    top: TopRule = "reveal"
    pier_top: float | None = None
    string: float | None = None
    string_rule: StringRule = "level"
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class PierHeights:
    """What is different at one pier: its ground, its top or the upper edge of its side supports, as elevations."""

    pier: str
    ground: float | None = None
    top: float | None = None
    support: float | None = None
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnRule:
    """The columns of the job.

    ``width`` is across the beam line, ``depth`` along it. ``foot`` is how far the foot of the column stands above
    the pier's top (a stand-off base), negative for a column that is cast in. ``cap`` is what lies between the
    column and the seat. ``margin`` is left on for the last cut. ``support`` is the height above the ground of
    the supports on both sides of the hole that the cross piece of a hung column lies on. ``stock`` are the lengths
    that are sold; none are the usual ones. ``kerf`` is what the saw takes.
    """

    width: float = 139.7
    depth: float = 139.7
    foot: float = 25.4
    cap: float = 0.0
    margin: float = 0.0
    support: float = 152.4
    stock: tuple[float, ...] = ()
    kerf: float = 3.175
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class HeightSettings:
    """How heights are judged and drawn.

    ``deviation`` is one standard deviation of a reading of the level; ``misclosure`` what a loop of one setup may
    be off, growing with the root of their number: the usual one is 2.4 standard deviations of such a loop.
    ``frost`` is the depth that the ground freezes to, as the local building department says; None while it was not
    asked. Boards stand ``board_clear`` off the digging. ``line_mass`` (grams per metre) and ``line_pull`` (N) are
    the mason's line and how hard it is pulled; one string crosses another ``line_gap`` above it. ``contour`` is the
    step of the contours, None for a fitting one; ``exaggeration`` how much taller than wide the side views are
    drawn.
    """

    deviation: float = 1.5
    misclosure: float = 5.0
    frost: float | None = None
    board_clear: float = 914.4
    line_mass: float = 1.0
    line_pull: float = 50.0
    line_gap: float = 12.7
    contour: float | None = None
    exaggeration: float = 1.0
    extra: Extra = field(default=(), hash=False)


USUAL_COLUMN: Final = ColumnRule()
USUAL_HEIGHTS: Final = HeightSettings()


@dataclass(frozen=True, slots=True, kw_only=True)
class Levels:
    """Heights as booked, and the rules for what follows from them."""

    benchmarks: tuple[Benchmark, ...] = ()
    readings: tuple[Reading, ...] = ()
    setups: tuple[Setup, ...] = ()
    lines: tuple[LineHeights, ...] = ()
    piers: tuple[PierHeights, ...] = ()
    columns: ColumnRule = USUAL_COLUMN
    settings: HeightSettings = USUAL_HEIGHTS
    extra: Extra = field(default=(), hash=False)

    def of_line(self, line_id: str) -> LineHeights:
        """Return what is said of the heights of a beam line; the usual where nothing is."""
        return next((heights for heights in self.lines if heights.line == line_id), LineHeights(line=line_id))

    def of_pier(self, pier_id: str) -> PierHeights:
        """Return what is different at a pier; nothing of it where nothing is said."""
        return next((heights for heights in self.piers if heights.pier == pier_id), PierHeights(pier=pier_id))


NO_LEVELS: Final = Levels()
"""What a plan has that says nothing of heights."""
