"""The section of a pier, part by part, and what of it is concrete: the reveal, the tube, the hole, what is cast in.

Above the ground a pier has the first width of its profile, and so it has in a form tube as far down as that
reaches; below it fills the hole. A pier whose top is below the ground begins there. The tube is round; a reveal
without one is formed square where the hole is square from the ground on.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from layoutdesk.engine.concrete.sections import Part, gross_volume
from layoutdesk.engine.holes.dug import hole_parts
from layoutdesk.plan.model import CastIn, Detail

_HAIR: Final = 1e-9


def pier_parts(detail: Detail, depth: float | None = None, reveal: float | None = None) -> tuple[Part, ...]:
    """Return the parts of a pier from its top down, the reveal as the first; no part crosses the ground.

    Args:
        detail: what it is built to.
        depth: how deep its hole is, in mm; None as drawn.
        reveal: how far its top is above the ground, in mm; None as drawn.

    Raises:
        ReckoningError: for a profile that is no hole.
    """
    hole = hole_parts(detail, depth)
    if not hole:
        return ()
    top = -(detail.reveal if reveal is None else reveal)
    first, bottom = detail.profile[0][1], hole[-1].bottom
    tube = formed_to(detail, bottom)
    square = detail.tube is None and hole[0].shape == "square"
    found = []
    if top < 0:
        found.append(Part(top, 0.0, first, first, "square" if square else "round"))
    if max(top, 0.0) < tube:
        found.append(Part(max(top, 0.0), tube, first, first))
    below = max(top, tube)
    found += [_from(part, max(part.top, below)) for part in hole if part.bottom > below + _HAIR]
    return tuple(found)


def _from(part: Part, top: float) -> Part:
    """Return what of a part is below a depth within it."""
    return part if top == part.top else replace(part, top=top, upper=part.width(top))


def formed_to(detail: Detail, bottom: float) -> float:
    """Return how far down in mm a form keeps the ground off the concrete; 0 where none goes below the ground."""
    return 0.0 if detail.tube is None else min(max(0.0, detail.tube), bottom)


def post_area(detail: Detail, parts: Sequence[Part]) -> float:
    """Return the section in mm² of the post that takes the place of concrete; 0 without one that goes in.

    The base of a column is thin metal and displaces next to nothing.
    """
    cast_in = detail.cast_in
    if cast_in is None or cast_in.kind != "post":
        return 0.0
    clear = clear_beside(cast_in, parts)
    return 0.0 if clear is None or clear < 0 else cast_in.width * cast_in.depth


def narrowest(parts: Sequence[Part], top: float, bottom: float) -> Part | None:
    """Return the narrowest part between two depths, cut off there; None where there is none."""
    cut = [
        replace(part, top=above, bottom=below, upper=part.width(above), lower=part.width(below))
        for part in parts
        if (below := min(part.bottom, bottom)) > (above := max(part.top, top))
    ]
    return min(cut, key=lambda part: min(part.upper, part.lower), default=None)


def clear_beside(cast_in: CastIn, parts: Sequence[Part]) -> float | None:
    """Return how much concrete in mm is left beside what is cast in, negative for what stands out of the concrete.

    It is beside its corners where a part is round and beside its sides where it is square; None without any part.
    """
    if not parts:
        return None
    around = narrowest(parts, parts[0].top, parts[0].top + cast_in.foot)
    if around is None:
        return None
    corners = math.hypot(cast_in.width, cast_in.depth)
    across = corners if around.shape == "round" else max(cast_in.width, cast_in.depth)
    return (min(around.upper, around.lower) - across) / 2


def gross_split(parts: Sequence[Part]) -> tuple[float, float]:
    """Return the volume in mm³ of a pier below the ground and above it, nothing deducted."""
    return gross_volume(parts, top=0.0), gross_volume(parts, bottom=0.0)
