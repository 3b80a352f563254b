"""What can be taken hold of in a section, and the detail that comes of moving it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

from layoutdesk.plan.model import Detail
from layoutdesk.units import Units, inches

_IN_FEET: Final = tuple(inches(size) for size in (1 / 64, 1 / 32, 1 / 16, 1 / 8, 1 / 4, 1 / 2, 1, 2, 6))
_METRIC: Final = (0.1, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0)
_HAIR: Final = 1e-6


@dataclass(frozen=True, slots=True)
class Hold:
    """A place that can be dragged: a point of the profile, the pier's top, or the foot of the tube.

    ``across`` is from the axis and ``depth`` below the ground, in mm; ``index`` counts the points of the profile.
    """

    kind: Literal["point", "top", "tube"]
    index: int
    across: float
    depth: float

    @property
    def key(self) -> tuple[str, int]:
        """Return what stays while it is moved."""
        return self.kind, self.index


def holds_of(detail: Detail) -> tuple[Hold, ...]:
    """Return what can be taken hold of, from the top down."""
    first = detail.profile[0][1] / 2
    found = [Hold("point", k, width / 2, depth) for k, (depth, width) in enumerate(detail.profile)]
    top = Hold("top", 0, 0.0, -detail.reveal)
    tube = [] if detail.tube is None else [Hold("tube", 0, -first, detail.tube)]
    return (top, *found, *tube)


def drag_step(rounding: float, units: Units, per_mm: float) -> float:
    """Return the step in mm that dragging goes by: whole steps of the rounding, none smaller than a pixel."""
    sizes = _IN_FEET if units == "ft-in" else _METRIC
    whole = [s for s in sizes if s >= rounding - _HAIR and abs(s / rounding - round(s / rounding)) < _HAIR]
    return next((s for s in whole if s * per_mm >= 1.0), whole[-1] if whole else rounding)


def snapped(value: float, step: float) -> float:
    """Return the whole step that is nearest."""
    return round(round(value / step) * step, 9)


def moved(detail: Detail, hold: Hold, depth: float, width: float, *, straight: bool = False) -> Detail:
    """Return the detail with a hold at another depth and its width another; no point passes the one beside it.

    A step stays a step: the other point at the same depth goes along, and so do the tube and the square part that
    end there. The first point of a profile keeps its depth.

    Args:
        detail: what is drawn.
        hold: what is moved.
        depth: where to, in mm below the ground.
        width: of the hole there, in mm; the top and the foot of the tube have none.
        straight: whether neighbours of the same width keep to the same width.
    """
    if hold.kind == "top":
        return replace(detail, reveal=_whole(-min(depth, detail.profile[-1][0])))
    if hold.kind == "tube":
        return replace(detail, tube=_whole(min(max(0.0, depth), detail.profile[-1][0])))
    profile = list(detail.profile)
    k = hold.index
    old_depth = profile[k][0]
    run = [j for j in range(len(profile)) if profile[j][0] == old_depth] if k else [k]
    above = profile[min(run) - 1][0] if min(run) else profile[0][0]
    below = profile[max(run) + 1][0] if max(run) + 1 < len(profile) else depth
    new_depth = old_depth if k == 0 or 0 in run else min(max(depth, above), max(below, above))
    for j in run:
        profile[j] = (_whole(new_depth), profile[j][1])
    for j in _alike(detail.profile, k) if straight else [k]:
        profile[j] = (profile[j][0], width)
    goes = new_depth != old_depth
    return replace(
        detail,
        profile=tuple(profile),
        square_from=_whole(new_depth) if goes and detail.square_from == old_depth else detail.square_from,
        tube=_whole(new_depth) if goes and detail.tube == old_depth else detail.tube,
    )


def with_point(detail: Detail, after: int, reach: float) -> Detail:
    """Return the detail with one more point below another: half way to the next, or ``reach`` below the last."""
    profile = list(detail.profile)
    depth, width = profile[after]
    if after + 1 < len(profile):
        next_depth, next_width = profile[after + 1]
        new = ((depth + next_depth) / 2, (width + next_width) / 2)
    else:
        new = (depth + reach, width)
    profile.insert(after + 1, (_whole(new[0]), _whole(new[1])))
    return replace(detail, profile=tuple(profile))


def without_point(detail: Detail, index: int) -> Detail:
    """Return the detail without a point of its profile; two always stay."""
    if len(detail.profile) <= 2:
        return detail
    return replace(detail, profile=(*detail.profile[:index], *detail.profile[index + 1 :]))


def _alike(profile: Sequence[tuple[float, float]], k: int) -> list[int]:
    """Return the points of the straight side that a point is on."""
    first = last = k
    while first and profile[first - 1][1] == profile[k][1]:
        first -= 1
    while last + 1 < len(profile) and profile[last + 1][1] == profile[k][1]:
        last += 1
    return list(range(first, last + 1))


def _whole(mm: float) -> float:
    return round(mm, 9) + 0.0
