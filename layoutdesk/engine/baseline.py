"""The baseline: the straight line that stations and offsets are read from."""

from __future__ import annotations

from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import distance
from layoutdesk.plan.model import Plan


def baseline_frame(plan: Plan) -> Frame | None:
    """Return the baseline as a frame, or None when the plan has none or its ends are the same place."""
    line = plan.baseline
    if line is None or distance(line.origin, line.toward) <= SAME_MM:
        return None
    return Frame.through(line.origin, line.toward, yard_on_right=line.yard_side == "right")


def drawn_length(plan: Plan) -> float:
    """Return how long the baseline is drawn, in mm; 0 without one."""
    return distance(plan.baseline.origin, plan.baseline.toward) if plan.baseline else 0.0
