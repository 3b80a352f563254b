"""The one door: a plan goes in, a Layout comes out."""

from __future__ import annotations

from layoutdesk.engine.baseline import baseline_frame
from layoutdesk.engine.bays import BayTable
from layoutdesk.engine.dimensions import dimensions_of
from layoutdesk.engine.extent import extent_of
from layoutdesk.engine.families import Family
from layoutdesk.engine.flags import errors_first, height_flags_of, plan_flags_of, proof_flags_of
from layoutdesk.engine.holes.pier_cages import PierCages, pier_cages
from layoutdesk.engine.layout import (
    ChainCheck,
    ColumnCut,
    Concrete,
    ConcreteOrder,
    ControlTie,
    Dimension,
    Extent,
    Flag,
    HoleCover,
    HoleRow,
    House,
    HouseFound,
    Layout,
    LevelBook,
    LineRun,
    Opening,
    PierHeight,
    Proof,
    RowGap,
    Section,
    SideView,
    SquareTriangle,
    SteelList,
    StockGroup,
    StringCrossing,
    StringRun,
    TapeNext,
    TapingPlan,
    WrittenCheck,
)
from layoutdesk.engine.levels.columns import column_cuts
from layoutdesk.engine.levels.crossings import string_crossings
from layoutdesk.engine.levels.cutting import stock_groups
from layoutdesk.engine.levels.ground import Ground, ground_of
from layoutdesk.engine.levels.piers import pier_heights
from layoutdesk.engine.levels.side_views import side_views
from layoutdesk.engine.levels.string_heights import StringHeight, string_heights
from layoutdesk.engine.obstacles import Obstacles
from layoutdesk.engine.once import once
from layoutdesk.engine.order import concrete_of
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.rows import RowTable
from layoutdesk.engine.runs import line_run, line_runs, row_gaps
from layoutdesk.engine.squaring import Squaring
from layoutdesk.engine.stakes import StakeTable, control_ties
from layoutdesk.engine.strips import Strips
from layoutdesk.engine.written import chain_checks, written_checks
from layoutdesk.geometry.frame import Frame
from layoutdesk.plan.model import Plan


def derive(plan: Plan) -> Layout:
    """Return all that follows from a plan. Pure; each topic is computed when it is first asked for."""
    return PlanLayout(plan)


class PlanLayout:
    """The Layout of one plan, filled in topic by topic.

    The topics hold what they need of each other, never the whole: a Layout that is let go is gone at once.
    """

    def __init__(self, plan: Plan) -> None:
        self.plan = plan

    @once
    def frame(self) -> Frame | None:
        """The baseline as a frame."""
        return baseline_frame(self.plan)

    @once
    def points(self) -> PointTable:
        """All points of the stake-out."""
        return PointTable(self.plan, self.frame)

    @property
    def house(self) -> House:
        """The house as closed outlines."""
        return self.obstacles.house

    @once
    def obstacles(self) -> Obstacles:
        """What a tape cannot cross."""
        return Obstacles(self.plan)

    @once
    def stakes(self) -> StakeTable:
        """How each pier is put on the ground."""
        return StakeTable(
            self.plan, self.points, self.frame, rows=self.rows, obstacles=self.obstacles, squaring=self._squaring
        )

    @once
    def control_ties(self) -> tuple[ControlTie, ...]:
        """The distances between control points."""
        return control_ties(self.plan, self.points, self.obstacles)

    @once
    def rows(self) -> RowTable:
        """The points of each beam line in order along it."""
        return RowTable(self.plan, self.points)

    @once
    def _strips(self) -> Strips:
        return Strips(self.points, self.rows)

    @property
    def families(self) -> tuple[Family, ...]:
        """Which rows run side by side."""
        return self._strips.families

    @once
    def runs(self) -> tuple[LineRun, ...]:
        """Running dimensions along every beam line."""
        return line_runs(self.points, self.rows)

    def run_of(self, line_id: str) -> LineRun | None:
        """Return the running dimensions of one beam line by id, or None when there is none."""
        found = (k for k, line in enumerate(self.plan.lines) if line.id == line_id)
        index = next(found, None)
        return None if index is None else line_run(self.points, self.rows, index)

    @once
    def gaps(self) -> tuple[RowGap, ...]:
        """How far neighbouring rows are apart."""
        return row_gaps(self.plan, self.rows, self.families)

    @once
    def bays(self) -> BayTable:
        """The bays and their diagonals."""
        return BayTable(self.plan, self.points, self._strips, self.obstacles)

    @once
    def _squaring(self) -> Squaring:
        return Squaring(self.plan, self.points, self.frame, self.obstacles)

    @property
    def square(self) -> SquareTriangle | None:
        """The right triangle to square the first line with."""
        return self._squaring.triangles.square

    @property
    def square_other(self) -> SquareTriangle | None:
        """The best right triangle of the other ratio."""
        return self._squaring.triangles.other

    @property
    def _heights_of_holes(self) -> tuple[PierHeight, ...]:
        """What holes and tops go by; nothing, and nothing computed, while the plan says nothing of heights."""
        return self.heights if self.has_heights else ()

    @once
    def concrete(self) -> Concrete:
        """Volumes and bags."""
        return concrete_of(self.plan, self._heights_of_holes)

    @once
    def sections(self) -> tuple[Section, ...]:
        """The section of every detail."""
        from layoutdesk.engine.holes.section_rows import sections_of  # most layouts are never asked

        return sections_of(self.plan)

    def section_of(self, detail_id: str | None) -> Section | None:
        """Return the section of a detail by id, or None when there is none."""
        return next((section for section in self.sections if section.detail == detail_id), None)

    @once
    def order(self) -> ConcreteOrder:
        """The order of concrete; nothing of the holes is asked for while none is logged."""
        from layoutdesk.engine.holes.ordering import concrete_order  # scipy loads late

        return concrete_order(self.plan, self._heights_of_holes, self.holes if self.plan.holes.log else ())

    @once
    def dimensions(self) -> tuple[Dimension, ...]:
        """The dimensions that the sheet shows."""
        return dimensions_of(self.plan, self.points, self.rows, self.families, self.frame)

    @once
    def extent(self) -> Extent:
        """What all that is drawn spans."""
        return extent_of(self.plan, self.house)

    @once
    def written(self) -> tuple[WrittenCheck, ...]:
        """The dimensions as the drawing writes them."""
        return written_checks(self.plan, self.points)

    @once
    def chains(self) -> tuple[ChainCheck, ...]:
        """The chains of dimensions."""
        return chain_checks(self.plan)

    @once
    def proof(self) -> Proof | None:
        """What the measures of the site say of the stakes; the adjustment is not even loaded without any."""
        if not self.plan.tapes:
            return None
        from layoutdesk.engine.proof.judge import proof_of  # least squares load late

        return proof_of(self.plan, self.points, self.frame, self.bays)

    @once
    def tape_next(self) -> TapeNext | None:
        """The one more distance that helps most."""
        if self.proof is None:
            return None
        from layoutdesk.engine.proof.next import tape_next, taped_of

        taped = taped_of(self.plan, self.points, self.proof)
        return tape_next(self.plan, self.points, self.obstacles, taped)

    @once
    def taping_plan(self) -> TapingPlan:
        """Which distances prove the whole layout with the fewest pulls."""
        from layoutdesk.engine.proof.taping import taping_plan

        return taping_plan(self.plan, self.points, self.obstacles)

    @once
    def house_found(self) -> HouseFound | None:
        """The real house against the drawn one."""
        if not any(control.measured for control in self.plan.controls) or self.proof is None:
            return None
        from layoutdesk.engine.proof.house import house_found

        return house_found(self.plan, self.proof)

    @once
    def level_book(self) -> LevelBook | None:
        """The level book; its network is not even loaded where nothing was booked."""
        if not self.plan.levels.readings and not self.plan.levels.benchmarks:
            return None
        from layoutdesk.engine.levels.book import level_book

        return level_book(self.plan)

    @once
    def ground(self) -> Ground:
        """The ground."""
        return ground_of(self.plan, self.frame, self.level_book)

    @once
    def heights(self) -> tuple[PierHeight, ...]:
        """The heights of every pier."""
        return pier_heights(self.plan, self.rows, self.level_book, self.ground, self._hung)

    @once
    def _hung(self) -> dict[str, StringHeight]:
        return string_heights(self.plan, self.rows, self.ground)

    @once
    def _height_of(self) -> dict[str, PierHeight]:
        return {row.id: row for row in reversed(self.heights)}

    def height_of(self, pier_id: str) -> PierHeight:
        """Return the heights of a pier by id.

        Raises:
            KeyError: when there is none.
        """
        return self._height_of[pier_id]

    @once
    def columns(self) -> tuple[ColumnCut, ...]:
        """The cut of every column."""
        return column_cuts(self.plan, self.heights, self.level_book) if self.plan.levels.lines else ()

    @once
    def stock(self) -> tuple[StockGroup, ...]:
        """The stock that the columns are cut from."""
        return stock_groups(self.plan, self.columns)

    @once
    def strings(self) -> tuple[StringRun, ...]:
        """The strings over beam lines and across rows."""
        from layoutdesk.engine.levels.strings import Strings  # shapely loads late

        return Strings(
            self.plan,
            rows=self.rows,
            families=self.families,
            obstacles=self.obstacles,
            ground=self.ground,
            heights=self._height_of,
            hung=self._hung,
        ).runs()

    @once
    def crossings(self) -> tuple[StringCrossing, ...]:
        """Where strings cross."""
        return string_crossings(self.plan, self.strings)

    @once
    def side_views(self) -> tuple[SideView, ...]:
        """Every beam line from its side."""
        cuts = {cut.pier: cut for cut in self.columns}
        runs, heights = self.strings, self._height_of
        return side_views(self.plan, self.rows, self.ground, runs=runs, heights=heights, cuts=cuts)

    @once
    def steel(self) -> SteelList:
        """The steel of the job, cut from stock."""
        from layoutdesk.engine.holes.steel_list import steel_list  # the cutting loads late

        return steel_list(self.plan, self.pier_cages)

    @once
    def pier_cages(self) -> PierCages:
        """The cage of every pier, for its own height."""
        return pier_cages(self.plan, self._heights_of_holes)

    @once
    def openings(self) -> tuple[Opening, ...]:
        """What is sawn out of slabs; shapely is not even loaded where there is none."""
        if not self.plan.slabs:
            return ()
        from layoutdesk.engine.holes.openings import openings_of

        return openings_of(self.plan, self.frame)

    @once
    def holes(self) -> tuple[HoleRow, ...]:
        """The hole of every pier."""
        from layoutdesk.engine.holes.hole_log import hole_rows

        heights = self.heights if self.has_heights else None
        return hole_rows(self.plan, heights=heights, points=self.points, frame=self.frame)

    @once
    def covers(self) -> tuple[HoleCover, ...]:
        """The covers for open holes."""
        from layoutdesk.engine.holes.covers import hole_covers

        return hole_covers(self.plan, self.holes, self.openings)

    @once
    def has_heights(self) -> bool:
        """Whether the plan says anything of heights."""
        levels = self.plan.levels
        return any((self.plan.spots, levels.benchmarks, levels.readings, levels.lines, levels.piers))

    @once
    def on_site(self) -> Layout:
        """The layout as it is put on the ground."""
        if self.house_found is None:
            return self
        from layoutdesk.engine.proof.house import placed

        return PlanLayout(placed(self.plan, self.house_found))

    @once
    def plan_flags(self) -> tuple[Flag, ...]:
        """What the plan must not do, apart from heights and measures."""
        return plan_flags_of(self)

    @once
    def height_flags(self) -> tuple[Flag, ...]:
        """What is wrong with heights."""
        return height_flags_of(self)

    @once
    def proof_flags(self) -> tuple[Flag, ...]:
        """What is wrong with what was measured, or with the stakes by it."""
        return proof_flags_of(self)

    @once
    def flags(self) -> tuple[Flag, ...]:
        """What the plan and what was measured must not do, errors first."""
        return errors_first((*self.plan_flags, *self.height_flags, *self.proof_flags))
