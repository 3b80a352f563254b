"""The shape of a hole: as drawn down to any depth, and as it was dug.

A hole as dug has the shape of its detail, its widths scaled by a share that goes evenly from the measured width
over the drawn one at the ground to the same at the bottom. A straight hole is then the frustum between its two
measured widths, and a belled or stepped one that was dug as drawn holds exactly what is drawn.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from layoutdesk.engine.concrete.sections import MM3_PER_M3, Part, gross_volume, parts_of
from layoutdesk.plan.holes import HoleLog
from layoutdesk.plan.model import Detail

_NODES: Final = ((-math.sqrt(0.6), 5 / 9), (0.0, 8 / 9), (math.sqrt(0.6), 5 / 9))
"""Gauss's rule with three nodes: exact, for a scaled area is a polynomial of fourth degree."""


def hole_parts(detail: Detail, depth: float | None = None) -> tuple[Part, ...]:
    """Return the parts of a hole below the ground, from the top down; round, and square where the detail says so.

    Args:
        detail: whose profile it is.
        depth: how deep the hole is, in mm; below its profile the last width goes on, and one that is less deep is
            cut off. None for the depth of the profile.

    Raises:
        ReckoningError: for a profile that is no hole.
    """
    if not detail.profile:
        return ()
    parts = list(parts_of(detail.profile))
    drawn, last = detail.profile[-1]
    if depth is not None and depth > drawn:
        parts.append(Part(drawn, depth, last, last))
    elif depth is not None:
        parts = [_between(part, part.top, min(part.bottom, depth)) for part in parts if part.top < depth]
    edge = detail.square_from
    if edge is None:
        return tuple(parts)
    shaped: list[Part] = []
    for part in parts:
        if part.top < edge < part.bottom:
            shaped += [_between(part, part.top, edge), _squared(_between(part, edge, part.bottom))]
        else:
            shaped.append(_squared(part) if part.top >= edge else part)
    return tuple(shaped)


def _between(part: Part, top: float, bottom: float) -> Part:
    """Return what of a part lies between two depths within it."""
    return replace(part, top=top, bottom=bottom, upper=part.width(top), lower=part.width(bottom))


def _squared(part: Part) -> Part:
    return replace(part, shape="square")


def filled_from(detail: Detail) -> float:
    """Return the depth in mm from which a hole is filled: 0, or that of a pier's top below the ground."""
    return max(0.0, -detail.reveal)


def planned_volume(detail: Detail, depth: float | None = None) -> float:
    """Return the concrete in m³ that a hole takes below the ground as drawn, nothing deducted.

    Raises:
        ReckoningError: for a profile that is no hole.
    """
    return gross_volume(hole_parts(detail, depth), top=filled_from(detail)) / MM3_PER_M3


def dug_volume(log: HoleLog, detail: Detail) -> float:
    """Return the concrete in m³ that a hole takes below the ground as it was dug, nothing deducted.

    Within a form tube it takes what is drawn, whatever was dug around it.

    Raises:
        ReckoningError: for a profile that is no hole.
    """
    parts = hole_parts(detail, log.depth)
    if not parts:
        return 0.0
    top = filled_from(detail)
    dug_from = top if detail.tube is None else max(top, detail.tube)
    formed = gross_volume(parts, top=top, bottom=dug_from)
    at_top, at_bottom = log.top / parts[0].upper, log.bottom / parts[-1].lower
    return (formed + _scaled_volume(parts, at_top, at_bottom, top=dug_from)) / MM3_PER_M3


def _scaled_volume(parts: Sequence[Part], at_top: float, at_bottom: float, *, top: float) -> float:
    """Return the volume in mm³ from a depth down of parts whose widths are scaled, evenly down the hole."""
    depth = parts[-1].bottom

    def area(part: Part, z: float) -> float:
        return part.area(z) * (at_top + (at_bottom - at_top) * z / depth) ** 2

    found = []
    for part in parts:
        above = max(part.top, top)
        if above < part.bottom:
            half, middle = (part.bottom - above) / 2, (part.bottom + above) / 2
            found += [half * weight * area(part, middle + half * node) for node, weight in _NODES]
    return math.fsum(found)
