"""The Layout: every number that any screen, sheet, drawing or file shows, computed once from a plan.

Columns are numpy arrays, so that ten thousand piers cost little more than their arithmetic; a row of a column
table is read through the small classes of :mod:`layoutdesk.engine.entries`, which are named here too. Lengths
are millimetres, volumes cubic metres, angles degrees. Each topic is computed when it is first asked for and
then kept: a Layout is a value that happens to be filled in late.
"""

from __future__ import annotations

from typing import Protocol

from layoutdesk.engine.entries import (
    AlongLine,
    BagOrder,
    BayCheck,
    ChainCheck,
    Concrete,
    ControlTie,
    DetailTotal,
    Dimension,
    Extent,
    Flag,
    House,
    LineRun,
    PierVolume,
    PointKind,
    PointRow,
    RowGap,
    RunStop,
    Severity,
    SquareOut,
    SquareTriangle,
    Stage,
    Stake,
    Strength,
    Tie,
    TiePair,
    WrittenCheck,
)
from layoutdesk.engine.holes.entries import (
    ConcreteOrder,
    HoleCover,
    HoleRow,
    Opening,
    PierSteel,
    ProductOrder,
    SawCut,
    Section,
    SectionBar,
    SteelList,
    SteelSize,
)
from layoutdesk.engine.levels.entries import (
    ColumnCut,
    Contour,
    GroundFrom,
    GroundPlane,
    GroundSpot,
    LevelBook,
    PierHeight,
    SideView,
    StockGroup,
    StringCrossing,
    StringRun,
)
from layoutdesk.engine.levels.ground_contract import Ground
from layoutdesk.engine.proof.entries import HouseFound, Proof, TapeNext, TapingPlan
from layoutdesk.engine.tables import Bays, Points, Stakes
from layoutdesk.geometry.frame import Frame
from layoutdesk.plan.model import Plan

__all__ = [
    "AlongLine",
    "BagOrder",
    "BayCheck",
    "Bays",
    "ChainCheck",
    "ColumnCut",
    "Concrete",
    "ConcreteOrder",
    "Contour",
    "ControlTie",
    "DetailTotal",
    "Dimension",
    "Extent",
    "Flag",
    "Ground",
    "GroundFrom",
    "GroundPlane",
    "GroundSpot",
    "HoleCover",
    "HoleRow",
    "House",
    "HouseFound",
    "Layout",
    "LevelBook",
    "LineRun",
    "Opening",
    "PierHeight",
    "PierSteel",
    "PierVolume",
    "PointKind",
    "PointRow",
    "Points",
    "ProductOrder",
    "Proof",
    "RowGap",
    "RunStop",
    "SawCut",
    "Section",
    "SectionBar",
    "Severity",
    "SideView",
    "SquareOut",
    "SquareTriangle",
    "Stage",
    "Stake",
    "Stakes",
    "SteelList",
    "SteelSize",
    "StockGroup",
    "Strength",
    "StringCrossing",
    "StringRun",
    "TapeNext",
    "TapingPlan",
    "Tie",
    "TiePair",
    "WrittenCheck",
]


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

    def run_of(self, line_id: str) -> LineRun | None:
        """Return the running dimensions of one beam line by id, without those of the others; None for none."""
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
        """Return the right triangle to square the first line with: the largest that fits, or None."""
        ...

    @property
    def square_other(self) -> SquareTriangle | None:
        """Return the best right triangle of the other ratio, or None."""
        ...

    @property
    def concrete(self) -> Concrete:
        """Return volumes and bags."""
        ...

    @property
    def sections(self) -> tuple[Section, ...]:
        """Return the section of every detail, in plan order."""
        ...

    def section_of(self, detail_id: str | None) -> Section | None:
        """Return the section of a detail by id, or None when there is none."""
        ...

    @property
    def order(self) -> ConcreteOrder:
        """Return how much concrete to order at the chance of running short that the plan bears."""
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
    def written(self) -> tuple[WrittenCheck, ...]:
        """Return the dimensions as the drawing writes them, against what lies between their ends now."""
        ...

    @property
    def chains(self) -> tuple[ChainCheck, ...]:
        """Return the chains of dimensions, and whether they add up."""
        ...

    @property
    def proof(self) -> Proof | None:
        """Return what the measures of the site say of the stakes; None when nothing was measured."""
        ...

    @property
    def tape_next(self) -> TapeNext | None:
        """Return the one more distance that helps most; None when nothing was measured, or nothing helps."""
        ...

    @property
    def taping_plan(self) -> TapingPlan:
        """Return which distances to take so that the whole layout is proved with the fewest pulls."""
        ...

    @property
    def house_found(self) -> HouseFound | None:
        """Return the real house against the drawn one; None when no corner that is measured was found."""
        ...

    @property
    def level_book(self) -> LevelBook | None:
        """Return the level book worked out; None when nothing was booked and there is no benchmark."""
        ...

    @property
    def ground(self) -> Ground:
        """Return the ground: what its spots say of it, and its height anywhere."""
        ...

    @property
    def heights(self) -> tuple[PierHeight, ...]:
        """Return the heights of every pier in plan order; without any heights in the plan all are unknown."""
        ...

    def height_of(self, pier_id: str) -> PierHeight:
        """Return the heights of a pier by id.

        Raises:
            KeyError: when there is none.
        """
        ...

    @property
    def has_heights(self) -> bool:
        """Return whether the plan says anything of heights."""
        ...

    @property
    def columns(self) -> tuple[ColumnCut, ...]:
        """Return the cut of every column whose foot and seat are known, in plan order of its pier."""
        ...

    @property
    def stock(self) -> tuple[StockGroup, ...]:
        """Return the pieces of stock to buy for the columns and what is cut from each."""
        ...

    @property
    def strings(self) -> tuple[StringRun, ...]:
        """Return the strings: over beam lines in plan order, then across rows of piers."""
        ...

    @property
    def crossings(self) -> tuple[StringCrossing, ...]:
        """Return where two strings cross, and which lies on top."""
        ...

    @property
    def side_views(self) -> tuple[SideView, ...]:
        """Return every beam line with a string seen from its side, in plan order."""
        ...

    @property
    def steel(self) -> SteelList:
        """Return bars and hoops: of every pier, of each kind, and what is bought."""
        ...

    @property
    def openings(self) -> tuple[Opening, ...]:
        """Return what is sawn out of existing concrete for piers that come through it."""
        ...

    @property
    def holes(self) -> tuple[HoleRow, ...]:
        """Return the hole of every pier in plan order: planned, as dug, and whether it may be poured."""
        ...

    @property
    def covers(self) -> tuple[HoleCover, ...]:
        """Return the covers for holes that are not poured, by rising size."""
        ...

    @property
    def on_site(self) -> Layout:
        """Return the layout as it is put on the ground by what is held of house and design.

        It is this one itself while the house was not measured. ``plan`` and ``points`` of this one stay as given.
        """
        ...

    @property
    def plan_flags(self) -> tuple[Flag, ...]:
        """Return what the plan must not do, apart from heights and measures: asking for it works out neither."""
        ...

    @property
    def height_flags(self) -> tuple[Flag, ...]:
        """Return what is wrong with heights; nothing while the plan says nothing of any."""
        ...

    @property
    def proof_flags(self) -> tuple[Flag, ...]:
        """Return what is wrong with what was measured, or with the stakes by it."""
        ...

    @property
    def flags(self) -> tuple[Flag, ...]:
        """Return what the plan and what was measured must not do, errors first."""
        ...
