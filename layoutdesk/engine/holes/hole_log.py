"""The holes one by one: what was planned, what was dug, and whether concrete may go in.

A hole that is deeper or wider than planned may be poured: it takes more concrete. One that is less deep, narrower
or so far off that the column's base would come too near to its edge is mended first, and water is pumped out.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from layoutdesk.engine.concrete.over_dig import MOST_TIMES
from layoutdesk.engine.holes.dug import dug_volume, hole_parts, planned_volume
from layoutdesk.engine.holes.entries import HoleRow, HoleVerdict
from layoutdesk.engine.holes.hole_words import HoleWords
from layoutdesk.engine.levels.entries import PierHeight
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.reckoning import ReckoningError
from layoutdesk.geometry.frame import Frame
from layoutdesk.plan.holes import HoleLog
from layoutdesk.plan.model import Detail, Plan
from layoutdesk.units import MM_PER_INCH, Units

TOLERANCE: Final[dict[Units, float]] = {"ft-in": MM_PER_INCH / 2, "m": 10.0, "mm": 10.0}
"""A hole may be so much less deep or narrower than planned: ½ in is what ACI 117 leaves the width of a footing
(from memory); that a hole's depth is given no more is common practice, no source."""
EDGE: Final[dict[Units, float]] = {"ft-in": 1.5 * MM_PER_INCH, "m": 40.0, "mm": 40.0}
"""Concrete that stays around a column's base: the cover of small bars in concrete out of doors, 1½ in by
ACI 318-19, table 20.5.1.3.1 (from memory)."""
_NOISE: Final = 1e-6
"""Lengths in mm below this are the float's, not the tape's."""


@dataclass(frozen=True, slots=True)
class Planned:
    """A hole as planned: depth and widths in mm, and the concrete below the ground in m³."""

    depth: float
    top: float
    bottom: float
    volume: float


def hole_rows(
    plan: Plan, *, heights: Sequence[PierHeight] | None, points: PointTable, frame: Frame | None
) -> tuple[HoleRow, ...]:
    """Return the holes of all piers in plan order.

    Args:
        plan: the plan.
        heights: of every pier, in its order; None for a plan that says nothing of heights.
        points: for the directions in which a hole is mended; asked only for holes that were logged.
        frame: the baseline.
    """
    planned = PlannedHoles(plan)
    logged = {hole.pier: hole for hole in plan.holes.log}
    judge = HoleJudge(plan, HoleWords(plan, points, frame)) if logged else None
    rows = []
    for k, pier in enumerate(plan.piers):
        hole = planned.of(pier.detail, None if heights is None else heights[k].dig)
        log = logged.get(pier.id)
        if log is None or judge is None:
            rows.append(_not_logged(pier.id, pier.label, hole))
        else:
            rows.append(judge.row(pier.id, pier.label, log, plan.detail(pier.detail), hole))
    return tuple(rows)


class PlannedHoles:
    """The holes of a plan as they are to be dug; those that are alike are reckoned once."""

    def __init__(self, plan: Plan) -> None:
        self._details = {detail.id: detail for detail in reversed(plan.details)}
        self._frost = plan.levels.settings.frost or 0.0
        self._known: dict[tuple[str | None, float | None], Planned | None] = {}

    def of(self, detail_id: str | None, dig: float | None) -> Planned | None:
        """Return the hole of a pier; None for one without a detail that is a hole.

        Args:
            detail_id: its detail.
            dig: its depth by the heights; None where they are not known.
        """
        key = (detail_id, dig)
        if key not in self._known:
            self._known[key] = self._reckoned(*key)
        return self._known[key]

    def _reckoned(self, detail_id: str | None, dig: float | None) -> Planned | None:
        detail = self._details.get(detail_id) if detail_id is not None else None
        if detail is None or not detail.profile:
            return None
        depth = max(detail.profile[-1][0], self._frost) if dig is None else dig
        try:
            parts = hole_parts(detail, depth)
            return Planned(depth, parts[0].upper, parts[-1].lower, planned_volume(detail, depth)) if parts else None
        except ReckoningError:
            return None


def _not_logged(pier: str, label: str, hole: Planned | None) -> HoleRow:
    return HoleRow(
        pier=pier,
        label=label,
        planned_depth=None if hole is None else hole.depth,
        planned_top=None if hole is None else hole.top,
        planned_bottom=None if hole is None else hole.bottom,
        depth=None,
        top=None,
        bottom=None,
        along=None,
        away=None,
        water=None,
        factor=None,
        extra_m3=None,
        poured=False,
        date="",
        by="",
        verdict="not logged",
        says="",
    )


def base_room(plan: Plan, detail: Detail, top: float) -> float:
    """Return by how much a pier's centre may be off in mm, so that the column's base keeps concrete around it.

    The column stays where it is planned, and its base within the pier. What is cast in counts, or else the column's
    own section; turned any way in a round pier, and along the sides of a square one. The tolerance of the stakes is
    always allowed.

    Args:
        plan: gives the column, units and the tolerance of the stakes.
        detail: of the pier.
        top: the width of its hole at the ground; a form tube is set where the base needs it within the hole.
    """
    base = detail.cast_in
    width, depth = (base.width, base.depth) if base is not None else _column(plan)
    across = max(width, depth) if _square_top(detail) else math.hypot(width, depth)
    return max((top - across) / 2 - EDGE[plan.units], plan.proof.tolerance)


def _column(plan: Plan) -> tuple[float, float]:
    return plan.levels.columns.width, plan.levels.columns.depth


def _square_top(detail: Detail) -> bool:
    return detail.square_from is not None and detail.square_from <= 0


class HoleJudge:
    """Holds holes as dug against the plan, and words what to do."""

    def __init__(self, plan: Plan, words: HoleWords) -> None:
        self._plan, self._words = plan, words
        self._slack = TOLERANCE[plan.units]

    def row(self, pier: str, label: str, log: HoleLog, detail: Detail | None, hole: Planned | None) -> HoleRow:
        """Return the row of a hole that was logged."""
        factor = extra = None
        mend: list[str] = []
        good: list[str] = []
        if detail is None or hole is None:
            mend.append(self._words.no_detail() if detail is None else self._words.no_hole(detail.id))
        else:
            dug = dug_volume(log, detail)
            extra = dug - hole.volume
            factor = dug / hole.volume if hole.volume > 0 else None
            mend, good = self._found(pier, log, detail, hole)
            if factor is not None and not 1 / MOST_TIMES <= factor <= MOST_TIMES:
                mend, good = [self._words.slip(factor)], []
            elif good:
                good.append(self._words.more(extra, poured=log.poured))
        verdict: HoleVerdict = "to mend" if mend else "good" if good else "as planned"
        return HoleRow(
            pier=pier,
            label=label,
            planned_depth=None if hole is None else hole.depth,
            planned_top=None if hole is None else hole.top,
            planned_bottom=None if hole is None else hole.bottom,
            depth=log.depth,
            top=log.top,
            bottom=log.bottom,
            along=log.along,
            away=log.away,
            water=log.water,
            factor=factor,
            extra_m3=extra,
            poured=log.poured,
            date=log.date,
            by=log.by,
            verdict=verdict,
            says=self._words.joined(mend, good, poured=log.poured),
        )

    def _found(self, pier: str, log: HoleLog, detail: Detail, hole: Planned) -> tuple[list[str], list[str]]:
        """Return sentences of what is to be mended, and of what is other than planned and good."""
        words, slack = self._words, self._slack + _NOISE
        mend, good = [], []
        deeper = log.depth - hole.depth
        if deeper < -slack:
            mend.append(words.shallow(-deeper, hole.depth))
        elif deeper > slack:
            good.append(words.deeper(deeper, caged=detail.steel is not None, poured=log.poured))
        wider = {"top": log.top - hole.top, "bottom": log.bottom - hole.bottom}
        planned = {"top": hole.top, "bottom": hole.bottom}
        narrow = {where: (-by, planned[where]) for where, by in wider.items() if by < -slack}
        wide = {where: by for where, by in wider.items() if by > slack}
        if narrow:
            mend.append(words.narrow(narrow))
        if wide:
            good.append(words.wide(wide))
        square = _square_top(detail)
        off = max(abs(log.along), abs(log.away)) if square else math.hypot(log.along, log.away)
        room = base_room(self._plan, detail, log.top)
        if off > room + _NOISE:
            mend.append(words.off(pier, log, room, share=1 - room / off))
        elif off > self._plan.proof.tolerance + _NOISE:
            good.append(words.off_within(log, room))
        if log.water > 0 and not log.poured:
            mend.append(words.water(log.water))
        return mend, good
