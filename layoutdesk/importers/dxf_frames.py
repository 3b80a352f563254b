"""Frames: how what a block holds, or what lies in a tilted plane, comes to lie in the drawing seen from above.

Everything is carried in double precision and three dimensions until the end, because a block may be tilted or
turned over, and what is nested in it with it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

from ezdxf.math import OCS

from layoutdesk.geometry.vector import Vector

Triple: TypeAlias = tuple[float, float, float]
UP: Final[Triple] = (0.0, 0.0, 1.0)


@dataclass(frozen=True, slots=True)
class Frame:
    """Three axes and an origin, all in the coordinates of the drawing."""

    x: Triple = (1.0, 0.0, 0.0)
    y: Triple = (0.0, 1.0, 0.0)
    z: Triple = UP
    at: Triple = (0.0, 0.0, 0.0)

    def plan(self, x: float, y: float, z: float = 0.0) -> Vector:
        """Return where a place of this frame is seen from above."""
        u, v, w, o = self.x, self.y, self.z, self.at
        return x * u[0] + y * v[0] + z * w[0] + o[0], x * u[1] + y * v[1] + z * w[1] + o[1]

    def way(self, x: float, y: float, z: float = 0.0) -> Vector:
        """Return how a direction of this frame is seen from above."""
        u, v, w = self.x, self.y, self.z
        return x * u[0] + y * v[0] + z * w[0], x * u[1] + y * v[1] + z * w[1]

    def in_space(self, way: Sequence[float]) -> Triple:
        """Return a direction of this frame in the drawing's three dimensions."""
        a, b, c = way[0], way[1], way[2]
        u, v, w = self.x, self.y, self.z
        return (
            a * u[0] + b * v[0] + c * w[0],
            a * u[1] + b * v[1] + c * w[1],
            a * u[2] + b * v[2] + c * w[2],
        )

    def holding(self, inner: Frame) -> Frame:
        """Return a frame that is given in this one."""
        moved, at = self.in_space(inner.at), self.at
        return Frame(
            self.in_space(inner.x),
            self.in_space(inner.y),
            self.in_space(inner.z),
            (moved[0] + at[0], moved[1] + at[1], moved[2] + at[2]),
        )

    def tilted(self, extrusion: Sequence[float] | None) -> Frame:
        """Return the frame of a flat thing in this one, by the direction that it was raised in (None: upward)."""
        if extrusion is None or (extrusion[0] == 0.0 and extrusion[1] == 0.0 and extrusion[2] > 0.0):
            return self
        ocs = OCS(extrusion)
        x, y, z = ocs.ux, ocs.uy, ocs.uz
        return self.holding(Frame((x.x, x.y, x.z), (y.x, y.y, y.z), (z.x, z.y, z.z)))


WORLD: Final = Frame()


def block_frame(
    frame: Frame,
    *,
    at: Sequence[float],
    base: Sequence[float],
    scale: Triple,
    turn: float,
    extrusion: Sequence[float] | None,
    cell: Vector = (0.0, 0.0),
) -> Frame:
    """Return the frame of a block's contents where it is put in ``frame``.

    Args:
        frame: the frame of what the block is used by.
        at: where it is put, in its own tilted frame.
        base: the place of the block that comes to lie there.
        scale: how much it is stretched along its axes; negative mirrors it.
        turn: degrees anticlockwise.
        extrusion: the direction it was raised in, None when upward.
        cell: how far this one of an array lies along the array's turned axes.
    """
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    sx, sy, sz = scale
    turned = Frame((c * sx, s * sx, 0.0), (-s * sy, c * sy, 0.0), (0.0, 0.0, sz))
    bx, by, bz = turned.in_space(base)
    origin = (at[0] + c * cell[0] - s * cell[1] - bx, at[1] + s * cell[0] + c * cell[1] - by, at[2] - bz)
    return frame.tilted(extrusion).holding(Frame(turned.x, turned.y, turned.z, origin))
