"""Which places of the plan lie on what is under the sheet."""

from __future__ import annotations

from layoutdesk.geometry.projective import MapError, apply, inverse
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan, Underlay


def own_place(underlay: Underlay, at: Vector) -> Vector | None:
    """Return a place of the plan in the picture's own coordinates, None when it lies beside the picture."""
    try:
        m = inverse(underlay.to_plan)
    except MapError:
        return None
    if not m[6] * at[0] + m[7] * at[1] + m[8] > 0:
        return None
    ((x, y),) = apply(m, (at,))
    inside = -1e-6 <= x <= underlay.size[0] + 1e-6 and -1e-6 <= y <= underlay.size[1] + 1e-6
    return (x, y) if inside else None


def is_traced(plan: Plan, at: Vector) -> bool:
    """Return whether a place lies on a picture that is to be seen, and so is pressed by what that shows."""
    return any(u.shown and u.strength > 0 and own_place(u, at) is not None for u in plan.underlays)
