"""Covers for open holes: how large a sheet each needs, and what is painted on it.

A cover bears twice the load that may come on it, is held against wind and feet, and is marked ``HOLE`` or
``COVER`` (29 CFR 1926.502(i); local rules decide). How far it reaches beyond the hole is common
practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from layoutdesk.engine.concrete.over_dig import MOST_TIMES
from layoutdesk.engine.holes.entries import HoleCover, HoleRow, Opening
from layoutdesk.plan.model import Plan
from layoutdesk.units import MM_PER_INCH, Units

MARK: Final = "HOLE"
REST: Final[dict[Units, float]] = {"ft-in": 6 * MM_PER_INCH, "m": 150.0, "mm": 150.0}
"""So far a cover lies on sound ground on every side."""
STEP: Final[dict[Units, float]] = {"ft-in": 2 * MM_PER_INCH, "m": 50.0, "mm": 50.0}
"""Covers are cut to whole numbers of these."""
_NOISE: Final = 1e-6


def hole_covers(plan: Plan, rows: Sequence[HoleRow], openings: Sequence[Opening]) -> tuple[HoleCover, ...]:
    """Return the covers by rising size; holes that are poured, and piers without a detail, need none.

    Args:
        plan: gives the units, and the margin of openings.
        rows: of all piers; a hole that was logged is covered as it is, one whose log is a slip as planned.
        openings: in a slab the cover lies on the slab, over what was sawn around the widest part of the hole. What
            was sawn as one for several piers is covered as one.
    """
    sawn, wide = _sawn(plan, openings), _open_to_the_foot(plan)
    together = {pier: opening for opening in openings if len(opening.pier_ids) > 1 for pier in opening.pier_ids}
    done: set[str] = set()
    margin, rest, step = plan.holes.openings.margin, REST[plan.units], STEP[plan.units]
    found: dict[int, list[str]] = {}
    for row in rows:
        slip = row.factor is not None and row.factor > MOST_TIMES
        widths = [width for width in (row.planned_top, None if slip else row.top) if width is not None]
        if row.poured or not widths:
            continue
        label, opening = row.label, together.get(row.pier)
        widest = max(*widths, wide.get(row.pier, 0.0))
        if opening is not None:
            if opening.id in done:
                continue
            done.add(opening.id)
            label, widest = " and ".join(opening.piers), max(widest + 2 * margin, _longest(opening))
        elif row.pier in sawn:
            widest = max(widest + 2 * margin, sawn[row.pier])
        steps = math.ceil((widest + 2 * rest) / step - _NOISE)
        found.setdefault(steps, []).append(label)
    return tuple(HoleCover(round(steps * step, 6), MARK, tuple(labels)) for steps, labels in sorted(found.items()))


def _open_to_the_foot(plan: Plan) -> dict[str, float]:
    """Return the widest part in mm of holes that are as wide up to the ground, by pier: tubes stand on the foot."""
    widths = {
        detail.id: max((width for _, width in detail.profile), default=0.0)
        for detail in reversed(plan.details)
        if detail.tube is not None
    }
    return {pier.id: widths[pier.detail] for pier in plan.piers if pier.detail in widths} if widths else {}


def _longest(opening: Opening) -> float:
    """Return the longer side in mm of the rectangle around an opening, however it is turned."""
    import shapely  # few plans have slabs

    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(shapely.Polygon(opening.outline)))
    return max((math.dist(a, b) for a, b in pairwise(corners.tolist())), default=0.0)


def _sawn(plan: Plan, openings: Sequence[Opening]) -> dict[str, float]:
    """Return how wide in mm is sawn around every pier in a slab, by its id."""
    if not openings:
        return {}
    from layoutdesk.engine.holes.openings import width_of  # few plans have slabs

    through = {pier for opening in openings for pier in opening.pier_ids}
    rule = plan.holes.openings
    widths: dict[str | None, float] = {detail.id: width_of(detail, rule) for detail in reversed(plan.details)}
    return {pier.id: widths.get(pier.detail, 0.0) for pier in plan.piers if pier.id in through}
