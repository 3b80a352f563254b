"""Rigid motions of whole plans: moved, turned and mirrored copies, with which every distance stays."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeVar, cast

from layoutdesk.geometry.vector import Vector, plus, turned
from layoutdesk.plan.model import Baseline, Piece, Plan, Side, places_of, with_places

AnyPiece = TypeVar("AnyPiece", bound=Piece)
_OTHER: dict[Side, Side] = {"left": "right", "right": "left"}


@dataclass(frozen=True)
class Motion:
    """Mirror in the x axis if wanted, then turn about the origin, then move."""

    by: Vector = (0.0, 0.0)
    degrees: float = 0.0
    mirror: bool = False

    def __call__(self, p: Vector) -> Vector:
        x, y = p
        return plus(turned((x, -y if self.mirror else y), self.degrees), self.by)


def carried(plan: Plan, motion: Motion) -> Plan:
    """Return the plan with everything in it carried along; a mirror turns left and right round."""
    side: Callable[[Side], Side] = (lambda s: _OTHER[s]) if motion.mirror else (lambda s: s)

    def moved(piece: AnyPiece) -> AnyPiece:
        return cast("AnyPiece", with_places(piece, tuple(map(motion, places_of(piece)))))

    line = plan.baseline
    return plan.with_(
        walls=tuple(replace(moved(w), house_side=side(w.house_side)) for w in plan.walls),
        baseline=line
        and Baseline(origin=motion(line.origin), toward=motion(line.toward), yard_side=side(line.yard_side)),
        **{
            kind: tuple(moved(piece) for piece in getattr(plan, kind))
            for kind in ("attachments", "controls", "lines", "piers", "slabs", "keepouts", "spots")
        },
    )
