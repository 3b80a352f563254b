"""Aligning points and spacing them equally."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Literal

from layoutdesk.errors import EditError
from layoutdesk.geometry.vector import Vector, along, distance, dot, minus
from layoutdesk.plan.edits import checks
from layoutdesk.plan.edits.baseline import frame_of
from layoutdesk.plan.edits.pieces import PointPiece, point_pieces, put_back
from layoutdesk.plan.model import Plan


def align(plan: Plan, ids: Iterable[str], *, by: Literal["station", "offset"]) -> Plan:
    """Give points the station, or the offset, of the first of them.

    Only piers, attachments and control points are moved; other pieces among ``ids`` are passed over.

    Raises:
        EditError: when fewer than two of them are points, or when there is no baseline.
    """
    by = checks.one_of(by, ("station", "offset"), "what to align by")
    frame = frame_of(plan)
    points = point_pieces(plan, ids)
    if len(points) < 2:
        raise EditError("aligning needs at least two piers, attachments or control points")
    wanted = frame.station_offset(points[0].at)
    moved: list[PointPiece] = []
    for point in points[1:]:
        station, offset = frame.station_offset(point.at)
        at = frame.point(wanted[0], offset) if by == "station" else frame.point(station, wanted[1])
        moved.append(replace(point, at=checks.place(at)))
    return put_back(plan, moved)


def space_equally(plan: Plan, ids: Iterable[str]) -> Plan:
    """Space points equally on the straight line between the two that lie farthest apart.

    Those two stay; the others are set on the straight line between them, in the order in which they lie
    along it. Pieces that are no points are passed over.

    Raises:
        EditError: when fewer than three of the pieces are points, or when all lie at one place.
    """
    points = point_pieces(plan, ids)
    if len(points) < 3:
        raise EditError("spacing equally needs at least three piers, attachments or control points")
    start = _farthest(points, points[0].at)
    end = _farthest(points, start.at)
    way = checks.direction(start.at, end.at, "the straight line to space on")
    between = [point for point in points if point is not start and point is not end]
    between.sort(key=lambda point: dot(minus(point.at, start.at), way))
    moved: list[PointPiece] = []
    for number, point in enumerate(between, start=1):
        at = along(start.at, end.at, number / (len(between) + 1))
        moved.append(replace(point, at=at))
    return put_back(plan, moved)


def _farthest(points: list[PointPiece], place: Vector) -> PointPiece:
    """Return the point farthest from a place, the first of equals."""
    return max(points, key=lambda point: distance(point.at, place))
