"""The house as found: how the real corners lie to the drawn ones, and what the layout does about it.

The fit is a shift and a turn without any scale, by weighted least squares: with places as complex numbers, drawn
p and found q, both taken from their weighted middles, the turn is the argument of the sum of w·conj(p)·q, and the
shift carries one middle to the other. A corner's weight is one over the mean of the variances of its place along x
and y.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from itertools import pairwise
from typing import Final, TypeAlias

import numpy as np

from layoutdesk.engine.columns import Complexes, Floats
from layoutdesk.engine.proof.entries import HouseFound, Proof, WallFound
from layoutdesk.engine.reasons import shown_small
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, cross, distance, dot, length, minus, plus, turned, unit
from layoutdesk.plan.model import Control, Plan, Wall

Found: TypeAlias = Mapping[str, tuple[Vector, Floats]]
"""Where measured corners were found, by id: the place in mm, and its covariance, (2, 2) in mm²."""

ON_WALL_MM: Final = 1.0
"""A corner this near to a side of a wall lies on it, and this near to its end is its end."""
SURE_95: Final = math.sqrt(-2 * math.log(0.05))
"""Half axes of an ellipse that holds a place with 95 % certainty, in deviations: chi-square of two degrees."""
SHOWN_DEG: Final = 0.005
"""A turn that is smaller is not worth a word: 1 mm in 10 m."""
_LEAST_VARIANCE: Final = 1e-6
_REACH: Final = {"ft-in": (3048.0, "10 ft"), "m": (3000.0, "3 m"), "mm": (3000.0, "3000 mm")}
"""Over which length a turn is said as a distance."""


def house_found(plan: Plan, proof: Proof) -> HouseFound | None:
    """Return the real house against the drawn one by a proof; None when no measured corner is found."""
    return house_from(
        plan,
        {
            row.id: (row.found, _covariance(row.semi_major, row.semi_minor, row.turn))
            for row in proof.points
            if row.kind == "control" and row.found is not None
        },
    )


def _covariance(semi_major: float, semi_minor: float, turn: float) -> Floats:
    """Return the covariance that an ellipse of 95 % stands for, (2, 2) in mm²."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    axes = np.array([[c, -s], [s, c]])
    covariance: Floats = axes @ np.diag([(semi_major / SURE_95) ** 2, (semi_minor / SURE_95) ** 2]) @ axes.T
    return covariance


def house_from(plan: Plan, found: Found) -> HouseFound | None:
    """Return the real house against the drawn one.

    One corner alone gives a shift without a turn.

    Args:
        plan: the plan; its controls with ``measured`` are the corners.
        found: where points were found; others than measured controls are passed over.
    """
    corners = [control for control in plan.controls if control.measured and control.id in found]
    if not corners:
        return None
    drawn = np.array([complex(*corner.at) for corner in corners])
    seen = np.array([complex(*found[corner.id][0]) for corner in corners])
    weight = np.array([_weight(found[corner.id][1]) for corner in corners])
    spin, shift = best_turn_and_shift(drawn, seen, weight)
    rest = (seen - (spin * drawn + shift)).tolist()
    left_over = tuple((corner.id, (r.real, r.imag)) for corner, r in zip(corners, rest, strict=True))
    turn = math.degrees(cmath.phase(spin))
    walls = tuple(_walls_found(plan, corners, found))
    return HouseFound(
        corners=tuple(corner.id for corner in corners),
        shift=(shift.real, shift.imag),
        turn=turn,
        left_over=left_over,
        walls=walls,
        says=_says(plan, float(np.abs((seen - drawn).mean())), turn, left_over, walls),
    )


def _weight(covariance: Floats) -> float:
    return 2.0 / max(float(np.trace(covariance)), _LEAST_VARIANCE)


def best_turn_and_shift(drawn: Complexes, found: Complexes, weight: Floats) -> tuple[complex, complex]:
    """Return the turn (a complex number of size 1) and the shift that lay drawn places over found ones best.

    Args:
        drawn: places as complex numbers x + iy, (n,), n at least 1, in mm.
        found: the same places as found.
        weight: their weights, positive.
    """
    share = weight / weight.sum()
    drawn_middle, found_middle = complex((share * drawn).sum()), complex((share * found).sum())
    product = complex((share * np.conj(drawn - drawn_middle) * (found - found_middle)).sum())
    spread = float((share * np.abs(drawn - drawn_middle) ** 2).sum())
    # Corners that are drawn in one place show no direction.
    spin = product / abs(product) if spread > SAME_MM**2 and abs(product) > 0 else 1.0 + 0j
    return spin, found_middle - spin * drawn_middle


def _walls_found(plan: Plan, corners: list[Control], found: Found) -> list[WallFound]:
    """Return every side of a wall on which two corners were found, by the two that are farthest apart."""
    sides = []
    for wall in plan.walls:
        for side, (a, b) in enumerate(pairwise(wall.points)):
            if distance(a, b) <= ON_WALL_MM:
                continue
            along = unit(minus(b, a))
            on = sorted((dot(minus(c.at, a), along), c.id) for c in corners if _lies_on(c.at, a, b))
            if len(on) < 2 or on[-1][0] - on[0][0] <= ON_WALL_MM:
                continue
            ends = on[0][1], on[-1][1]
            first, last = (found[end][0] for end in ends)
            # Square from the side is positive away from the house.
            sign = -1.0 if wall.house_side == "left" else 1.0
            beside = tuple(sign * cross(along, minus(place, a)) for place in (first, last))
            way = minus(last, first)
            turn = math.degrees(math.atan2(cross(along, way), dot(along, way)))
            sides.append(WallFound(wall.id, side, ends, (beside[0], beside[1]), turn))
    return sides


def _lies_on(p: Vector, a: Vector, b: Vector) -> bool:
    along = unit(minus(b, a))
    way = minus(p, a)
    return abs(cross(along, way)) <= ON_WALL_MM and -ON_WALL_MM <= dot(way, along) <= distance(a, b) + ON_WALL_MM


def _says(
    plan: Plan, off: float, turn: float, left_over: tuple[tuple[str, Vector], ...], walls: tuple[WallFound, ...]
) -> str:
    if len(left_over) == 1:
        by = shown_small(off, plan)
        corner = left_over[0][0]
        return f"{corner} stands {by} from where it is drawn; one corner does not show whether the house is turned."
    reach, over = _REACH[plan.units]
    swing = shown_small(abs(math.sin(math.radians(turn))) * reach, plan)
    way = "anticlockwise" if turn > 0 else "clockwise"
    turned_so = (
        f"is turned {abs(turn):.2f}° {way}, {swing} in {over}" if abs(turn) >= SHOWN_DEG else "is not turned"
    )
    worst, rest = max(left_over, key=lambda one: length(one[1]))
    text = (
        f"The house stands {shown_small(off, plan)} from where it is drawn and {turned_so}; "
        f"fitted so, the corner most off, {worst}, is off by {shown_small(length(rest), plan)}."
    )
    wall = max(walls, key=lambda one: abs(one.turned - turn), default=None)
    if wall is not None and abs(wall.turned - turn) >= SHOWN_DEG:
        text += (
            f" The side {wall.ends[0]} to {wall.ends[1]} is turned {abs(wall.turned - turn):.2f}° against the rest."
        )
    return text


def fitted(found: HouseFound, p: Vector) -> Vector:
    """Return where a drawn place of the house lies after the fit."""
    return plus(turned(p, found.turn), found.shift)


def placed(plan: Plan, found: HouseFound | None) -> Plan:
    """Return the plan as it is put on the ground, by the choice in ``plan.proof.house``; the plan itself stays.

    In each choice the walls lie as the house was found and the measured corners where they were found. Piers, beam
    lines, attachments and baseline stay where they are drawn (hold the design), are turned and shifted with the
    house, or are turned as the house about the attachment that is held; with no such attachment in the plan, they
    go with the house. What else stands in the yard stays: other control points, slabs and keep-outs.
    """
    if found is None:
        return plan
    rest = dict(found.left_over)
    corners = {c.id: plus(fitted(found, c.at), rest[c.id]) for c in plan.controls if c.id in rest}
    put = _mover(plan, found)
    baseline = plan.baseline
    return plan.with_(
        walls=tuple(_as_found(wall, plan, found, corners) for wall in plan.walls),
        controls=tuple(replace(c, at=corners.get(c.id, c.at)) for c in plan.controls),
        attachments=tuple(replace(a, at=put(a.at)) for a in plan.attachments),
        lines=tuple(replace(one, start=put(one.start), end=put(one.end)) for one in plan.lines),
        piers=tuple(replace(pier, at=put(pier.at)) for pier in plan.piers),
        baseline=baseline and replace(baseline, origin=put(baseline.origin), toward=put(baseline.toward)),
    )


def _mover(plan: Plan, found: HouseFound) -> Callable[[Vector], Vector]:
    """Return where a planned place goes by the choice of the plan."""
    choice = plan.proof.house
    if choice == "hold the design":
        return lambda p: p
    held = next((a.at for a in plan.attachments if a.id == plan.proof.held_attachment), None)
    if choice == "turn with the house" or held is None:
        return lambda p: fitted(found, p)
    return lambda p: plus(held, turned(minus(p, held), found.turn))


def _as_found(wall: Wall, plan: Plan, found: HouseFound, corners: Mapping[str, Vector]) -> Wall:
    """Return a wall as the house was found; its ends at control points lie where those are."""

    def place(p: Vector) -> Vector:
        at = next((c for c in plan.controls if distance(c.at, p) <= ON_WALL_MM), None)
        return fitted(found, p) if at is None else corners.get(at.id, at.at)

    return replace(wall, points=tuple(map(place, wall.points)))
