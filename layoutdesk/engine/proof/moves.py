"""What to do to a stake: how far it must go and which way, or to leave it, in one sentence."""

from __future__ import annotations

import math
from dataclasses import dataclass

from layoutdesk.engine.columns import Floats
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.proof.entries import Verdict
from layoutdesk.engine.proof.statistics import ELLIPSE_SQUARED, in_ellipse
from layoutdesk.engine.reasons import shown_small, shown_within
from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.vector import Vector, cross, dot
from layoutdesk.plan.model import Plan
from layoutdesk.units import round_half_away


@dataclass(frozen=True, slots=True)
class Move:
    """Planned less found: along the baseline and away from the house, mm; along x and y without a baseline."""

    along: float
    away: float

    @property
    def out(self) -> float:
        """Return how far the stake is out."""
        return math.hypot(self.along, self.away)


def move_of(planned: Vector, found: Vector, frame: Frame | None) -> Move:
    """Return the move that puts a stake right."""
    way = (planned[0] - found[0], planned[1] - found[1])
    if frame is None:
        return Move(*way)
    return Move(dot(way, frame.along), frame.side * cross(frame.along, way))


def verdict_of(way: Floats, covariance: Floats, tolerance: float) -> Verdict:
    """Return what to do with a stake that is out by ``way``, (2,) in mm, known with a covariance, (2, 2) in mm²."""
    if math.hypot(*way.tolist()) <= tolerance:
        return "leave"
    return "within the tapes" if in_ellipse(way, covariance) else "move"


class MoveSentences:
    """Words for what to do, in the units of a plan.

    Args:
        plan: gives units, tape step and tolerance.
        points: its points; the control points give the moves their direction.
        frame: the baseline.
    """

    def __init__(self, plan: Plan, points: PointTable, frame: Frame | None) -> None:
        self._plan = plan
        self._step = plan.rounding
        self._has_frame = frame is not None
        controls = [i for i, kind in enumerate(points.kinds) if kind == "control"]
        self._marks: list[tuple[float, str]] = (
            sorted((float(points.station[i]), points.labels[i]) for i in controls) if frame is not None else []
        )

    def says(self, label: str, verdict: Verdict, move: Move, semi_major: float, station: float | None) -> str:
        """Return the verdict about a stake in one sentence."""
        out, tolerance = self._small(move.out), self._small(self._plan.proof.tolerance)
        within = shown_within(semi_major, self._plan)
        if verdict == "move":
            return (
                f"Move {label} {self.way(move, station)}: it is {out} out, {within}; the tolerance is {tolerance}."
            )
        if verdict == "within the tapes":
            return (
                f"Do not move {label} yet: it seems {out} out, beyond the tolerance of {tolerance}, but the tapes"
                f" only tell it within {within}; tape it once more."
            )
        if semi_major > self._plan.proof.tolerance:
            return (
                f"Leave {label}: it is {out} out, but the tapes only tell it within {within}, and the tolerance is"
                f" {tolerance}; tape it once more."
            )
        if move.out < self._step / 2:
            return f"Leave {label}: it stands where the plan has it, within {within}."
        return f"Leave {label}: it is {out} out, the tolerance is {tolerance}."

    def way(self, move: Move, station: float | None) -> str:
        """Return a move in words, each part rounded to the step of the tape."""
        along, away = (round_half_away(part, self._step) for part in (move.along, move.away))
        parts = []
        if along:
            parts.append(f"{self._small(abs(move.along))} {self._direction(station, growing=along > 0)}")
        if away and self._has_frame:
            parts.append(f"{self._small(abs(move.away))} {'away from' if away > 0 else 'toward'} the house")
        elif away:
            parts.append(f"{self._small(abs(move.away))} {'up' if away > 0 else 'down'} the drawing")
        return " and ".join(parts) if parts else self._small(move.out)

    def _direction(self, station: float | None, *, growing: bool) -> str:
        """Return in which direction a move along the baseline goes: by a control point that lies there."""
        if not self._has_frame:
            return f"to the {'right' if growing else 'left'} of the drawing"
        if self._marks and station is not None:
            (first, low), (last, high) = self._marks[0], self._marks[-1]
            ahead, behind = last > station + self._step, first < station - self._step
            if ahead and (growing or not behind):
                return f"{'toward' if growing else 'away from'} {high}"
            if behind:
                return f"{'away from' if growing else 'toward'} {low}"
        return f"along the baseline, to {'greater' if growing else 'smaller'} stations"

    def _small(self, mm: float) -> str:
        return shown_small(mm, self._plan)


def reach(covariance: Floats) -> float:
    """Return the longer half axis of the 95 % ellipse of a covariance, (2, 2) in mm²; mm."""
    (xx, xy), (_, yy) = covariance.tolist()
    return math.sqrt(ELLIPSE_SQUARED * ((xx + yy) / 2 + math.hypot((xx - yy) / 2, xy)))
