"""The one door: a plan goes in, a Layout comes out."""

from __future__ import annotations

from functools import cached_property

from layoutdesk.engine.baseline import baseline_frame
from layoutdesk.engine.bays import BayTable
from layoutdesk.engine.dimensions import dimensions_of
from layoutdesk.engine.extent import extent_of
from layoutdesk.engine.families import Family, families_of
from layoutdesk.engine.flags import flags_of
from layoutdesk.engine.house import house_of
from layoutdesk.engine.layout import (
    Concrete,
    ControlTie,
    Dimension,
    Extent,
    Flag,
    House,
    Layout,
    LineRun,
    RowGap,
    SquareTriangle,
)
from layoutdesk.engine.obstacles import Obstacles
from layoutdesk.engine.order import concrete_of
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.rows import RowTable
from layoutdesk.engine.runs import line_runs, row_gaps
from layoutdesk.engine.squaring import Triangles, triangles_of
from layoutdesk.engine.stakes import StakeTable, control_ties
from layoutdesk.engine.strips import find_bays
from layoutdesk.geometry.frame import Frame
from layoutdesk.plan.model import Plan


def derive(plan: Plan) -> Layout:
    """Return all that follows from a plan. Pure; each topic is computed when it is first asked for."""
    return PlanLayout(plan)


class PlanLayout:
    """The Layout of one plan, filled in topic by topic."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan

    @cached_property
    def frame(self) -> Frame | None:
        """The baseline as a frame."""
        return baseline_frame(self.plan)

    @cached_property
    def points(self) -> PointTable:
        """All points of the stake-out."""
        return PointTable(self.plan, self.frame)

    @cached_property
    def house(self) -> House:
        """The house as closed outlines."""
        return house_of(self.plan)

    @cached_property
    def obstacles(self) -> Obstacles:
        """What a tape cannot cross."""
        return Obstacles(self.plan, self.house)

    @cached_property
    def stakes(self) -> StakeTable:
        """How each pier is put on the ground."""
        return StakeTable(self.plan, self.points, self.frame, lambda: self.obstacles, lambda: self.square)

    @cached_property
    def control_ties(self) -> tuple[ControlTie, ...]:
        """The distances between control points."""
        return control_ties(self.plan, self.points, self.obstacles)

    @cached_property
    def rows(self) -> RowTable:
        """The points of each beam line in order along it."""
        return RowTable(self.plan, self.points)

    @cached_property
    def families(self) -> tuple[Family, ...]:
        """Which rows run side by side."""
        return families_of(self.points, self.rows)

    @cached_property
    def runs(self) -> tuple[LineRun, ...]:
        """Running dimensions along every beam line."""
        return line_runs(self.points, self.rows)

    @cached_property
    def gaps(self) -> tuple[RowGap, ...]:
        """How far neighbouring rows are apart."""
        return row_gaps(self.plan, self.rows, self.families)

    @cached_property
    def bays(self) -> BayTable:
        """The bays and their diagonals."""
        return BayTable(self.plan, self.points, lambda: find_bays(self.points, self.rows, self.families))

    @cached_property
    def _triangles(self) -> Triangles:
        return triangles_of(self.plan, self.points, self.frame, self.obstacles)

    @property
    def square(self) -> SquareTriangle | None:
        """The right triangle to square the first line with."""
        return self._triangles.square

    @property
    def square_other(self) -> SquareTriangle | None:
        """The best right triangle of the other ratio."""
        return self._triangles.other

    @cached_property
    def concrete(self) -> Concrete:
        """Volumes and bags."""
        return concrete_of(self.plan)

    @cached_property
    def dimensions(self) -> tuple[Dimension, ...]:
        """The dimensions that the sheet shows."""
        return dimensions_of(self.plan, self.points, self.rows, self.families)

    @cached_property
    def extent(self) -> Extent:
        """What all that is drawn spans."""
        return extent_of(self.plan, self.house)

    @cached_property
    def flags(self) -> tuple[Flag, ...]:
        """What the plan must not do, errors first."""
        return flags_of(self)
