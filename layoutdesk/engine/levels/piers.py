"""The heights of every pier: ground, top, bottom and seat, by the rules of the plan.

* Ground: what was typed for the pier, else read at its stake, else the surface between the known points, else the
  fitted plane beyond them.
* Top: what was typed for the pier, else by the rule of its beam line: its detail's reveal above the ground beside
  it, one level for all, or so far below the string. A pier on no line goes by its reveal.
* Bottom: the deeper one of the detail's depth and the frost depth, below the lowest ground in its widest circle.
* Seat: that of the beam line at its zero, less its fall on the way to the pier.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Protocol

import numpy as np

from layoutdesk.engine.columns import Floats, Indices
from layoutdesk.engine.levels.entries import LevelBook, PierHeight
from layoutdesk.engine.levels.ground import FROM, READ, TYPED, Ground
from layoutdesk.engine.levels.pier_words import PierWords, Source
from layoutdesk.engine.piers import NO_SIZE, sizes_by_detail
from layoutdesk.engine.rows import RowTable
from layoutdesk.plan.heights import LineHeights, TopRule
from layoutdesk.plan.model import Plan

READ_TOP: Final = " top"
"""Behind a pier's id: the name of a reading of its finished top."""


class Hung(Protocol):
    """A string: its elevation so far along its line."""

    def at(self, running: float) -> float | None:
        """Return the elevation in mm, None while it is not known."""
        ...


@dataclass(frozen=True, slots=True)
class _Grounds:
    """The ground at every pier, (piers,): at its centre and the lowest in its circle, NaN where not known."""

    z: Floats
    lowest: Floats
    how: Indices
    within: Floats


def pier_heights(
    plan: Plan, rows: RowTable, book: LevelBook | None, ground: Ground, strings: Mapping[str, Hung]
) -> tuple[PierHeight, ...]:
    """Return the heights of every pier in plan order.

    Args:
        plan: the plan.
        rows: its beam lines with their piers.
        book: the level book, None when nothing was read.
        ground: the ground.
        strings: the string over each beam line, by the line's id; lines without one may be left out.
    """
    sizes, frost = sizes_by_detail(plan), plan.levels.settings.frost
    details = {detail.id: detail for detail in reversed(plan.details)}
    by_line = {row.line: row for row in reversed(plan.levels.lines)}
    by_pier = {row.pier: row for row in reversed(plan.levels.piers)}
    built = {p.id: p.elevation for p in book.points if p.role == "pier top"} if book is not None else {}
    grounds = _grounds(plan, ground)
    line_of, running = rows.line_of_pier.tolist(), _running(plan, rows).tolist()
    columns = (grounds.z.tolist(), grounds.lowest.tolist(), grounds.how.tolist(), grounds.within.tolist())
    words, found = PierWords(plan), []
    for k, (pier, z, low, how, within) in enumerate(zip(plan.piers, *columns, strict=True)):
        line = plan.lines[line_of[k]] if line_of[k] >= 0 else None
        said = by_line.get(line.id) if line is not None else None
        own = by_pier.get(pier.id)
        detail = details.get(pier.detail) if pier.detail else None
        size = sizes.get(pier.detail, NO_SIZE)
        here = None if math.isnan(z) else z
        depth = None if detail is None or not detail.profile else size.depth
        rule: TopRule = "reveal" if said is None else said.top
        typed_top = None if own is None else own.top
        if typed_top is not None:
            top: float | None = typed_top
        elif rule == "reveal":
            top = None if here is None or detail is None else here + detail.reveal
        else:
            top = _ruled_top(said, strings.get(line.id) if line is not None else None, running[k])
        frosty = frost is not None and depth is not None and frost > depth
        bottom = None if here is None or depth is None else low - (frost if frosty and frost is not None else depth)
        source = Source(FROM[how], said, detail, depth, typed_top is not None, top is not None)
        found.append(
            PierHeight(
                id=pier.id,
                label=pier.label,
                line=None if line is None else line.id,
                ground=here,
                ground_from=FROM[how],
                within=within,
                lowest=None if here is None else low,
                top=top,
                top_rule=rule,
                built=built.get(pier.id + READ_TOP),
                bottom=bottom,
                dig=None if bottom is None or here is None else here - bottom,
                frost_governs=frosty,
                seat=None if said is None or said.seat is None else said.seat - said.fall * running[k],
                says=words.says(source),
            )
        )
    return tuple(found)


def _ruled_top(said: LineHeights | None, string: Hung | None, running: float) -> float | None:
    """Return the top of a pier on a line whose tops are level or follow its string; None while not known."""
    if said is None or said.pier_top is None:
        return None
    if said.top == "level":
        return said.pier_top
    height = None if string is None else string.at(running)
    return None if height is None else height - said.pier_top


def _grounds(plan: Plan, ground: Ground) -> _Grounds:
    """Return the ground at every pier; its own reading or typed height goes before what is at its place."""
    xy = np.array([pier.at for pier in plan.piers], dtype=np.float64).reshape(-1, 2)
    half = {name: size.widest / 2 for name, size in sizes_by_detail(plan).items()}
    radius = np.array([half.get(pier.detail, 0.0) for pier in plan.piers], dtype=np.float64)
    look = ground.look(xy)
    z, how, within = look.z.copy(), look.how.copy(), look.within.copy()
    index = {pier.id: k for k, pier in reversed(list(enumerate(plan.piers)))}
    for point in ground.points:
        k = index.get(point.id)
        if k is not None:
            z[k], within[k] = point.elevation, point.within
            how[k] = TYPED if point.known_from == "typed" else READ
    return _Grounds(z, np.fmin(ground.lowest_many(xy, radius), z), how, within)


def _running(plan: Plan, rows: RowTable) -> Floats:
    """Return how far along its beam line every pier lies, (piers,) in mm; 0 for one on none."""
    xy = np.array([pier.at for pier in plan.piers], dtype=np.float64).reshape(-1, 2)
    line = rows.line_of_pier
    on = line >= 0
    along = np.zeros(len(xy))
    along[on] = (rows.way[line[on]] * (xy[on] - rows.zero[line[on]])).sum(axis=1)
    return along
