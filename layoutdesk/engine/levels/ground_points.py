"""All places whose ground height is known: spots and piers, read from a setup or typed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

import numpy as np

from layoutdesk.engine.columns import Floats, Indices
from layoutdesk.engine.levels.entries import SURE_95, LevelBook, LevelPoint
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan

KnownFrom: TypeAlias = Literal["reading", "typed"]

ONE_PLACE_MM: Final = 5.0
"""Two places nearer than this are one: nobody puts the foot of a rod down more exactly. Common practice, no
source."""


@dataclass(frozen=True, slots=True)
class GroundPoint:
    """One place whose ground was taken; ``within`` is 1.96 standard deviations of its elevation, mm."""

    id: str
    label: str
    at: Vector
    elevation: float
    within: float
    known_from: KnownFrom


@dataclass(frozen=True, slots=True)
class GroundClash:
    """Points at one place whose heights differ by ``apart``, more than ``allowed`` by their own errors."""

    ids: tuple[str, ...]
    labels: tuple[str, ...]
    apart: float
    allowed: float


@dataclass(frozen=True, slots=True)
class GroundPlaces:
    """The places of ground points, each once: the mean of the points that lie there.

    ``xy`` is (n, 2), ``z`` and ``within`` are (n,), mm; ``of_point`` gives the place of every point.
    """

    xy: Floats
    z: Floats
    within: Floats
    of_point: Indices
    clashes: tuple[GroundClash, ...]

    def __len__(self) -> int:
        return len(self.z)


def ground_points(plan: Plan, book: LevelBook | None) -> tuple[GroundPoint, ...]:
    """Return every spot and pier whose ground is known, spots first, each in plan order and once.

    At a spot a reading goes before what was typed: the typed height is for spots that were not read. At a pier the
    typed ground goes before a reading, because it is there to put the reading right. How well a typed height is
    known nobody says; it is taken as one reading of the level.
    """
    return (*_spots(plan, _booked(book)), *_piers(plan, _booked(book)))


def _booked(book: LevelBook | None) -> dict[str, LevelPoint]:
    return {} if book is None else {p.id: p for p in book.points if p.elevation is not None}


def _spots(plan: Plan, booked: dict[str, LevelPoint]) -> Iterator[GroundPoint]:
    typed = SURE_95 * plan.levels.settings.deviation
    seen = set()
    for spot in plan.spots:
        read = booked.get(spot.id)
        if spot.id in seen:
            continue
        seen.add(spot.id)
        if read is not None and read.elevation is not None:
            yield GroundPoint(spot.id, spot.id, spot.at, read.elevation, read.within, "reading")
        elif spot.elevation is not None:
            yield GroundPoint(spot.id, spot.id, spot.at, spot.elevation, typed, "typed")


def _piers(plan: Plan, booked: dict[str, LevelPoint]) -> Iterator[GroundPoint]:
    typed = SURE_95 * plan.levels.settings.deviation
    given = {row.pier: row.ground for row in reversed(plan.levels.piers) if row.ground is not None}
    if not given and not booked:
        return
    seen = {spot.id for spot in plan.spots}
    for pier in plan.piers:
        ground, read = given.get(pier.id), booked.get(pier.id)
        if pier.id in seen:
            continue
        seen.add(pier.id)
        if ground is not None:
            yield GroundPoint(pier.id, pier.label, pier.at, ground, typed, "typed")
        elif read is not None and read.elevation is not None:
            yield GroundPoint(pier.id, pier.label, pier.at, read.elevation, read.within, "reading")


def ground_places(points: Sequence[GroundPoint]) -> GroundPlaces:
    """Return the places of some points, those at one place averaged, and where these do not agree."""
    xy = np.array([p.at for p in points], dtype=np.float64).reshape(-1, 2)
    z = np.array([p.elevation for p in points], dtype=np.float64)
    within = np.array([p.within for p in points], dtype=np.float64)
    place = _same_place(xy)
    count = np.bincount(place)
    if len(count) == len(points):  # the usual plan: every point has its own place
        return GroundPlaces(xy, z, within, place, ())
    x, y, height = (np.bincount(place, weights=column) / count for column in (xy[:, 0], xy[:, 1], z))
    low, high = np.full(len(count), np.inf), np.full(len(count), -np.inf)
    np.minimum.at(low, place, z)
    np.maximum.at(high, place, z)
    # Where they do not agree the mean is no better than half of what they differ by.
    spread = np.maximum(np.sqrt(np.bincount(place, weights=within**2)) / count, (high - low) / 2)
    clashes = tuple(_clashes(points, place, np.flatnonzero(count > 1)))
    return GroundPlaces(np.column_stack((x, y)), height, spread, place, clashes)


def _same_place(xy: Floats) -> Indices:
    """Return a number for the place of every point; places are numbered as they first come."""
    if len(xy) < 2:
        return np.zeros(len(xy), dtype=np.intp)
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components
    from scipy.spatial import KDTree

    # Points at the very same place are made one first: the pairs of ten thousand of them would not fit in memory.
    exact, of_point = np.unique(xy, axis=0, return_inverse=True)
    of_point = of_point.reshape(-1)
    pairs = KDTree(exact).query_pairs(ONE_PLACE_MM, output_type="ndarray")
    links = coo_array((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(len(exact), len(exact)))
    place = connected_components(links, directed=False)[1][of_point]
    _, first, number = np.unique(place, return_index=True, return_inverse=True)
    rank = np.empty(len(first), dtype=np.intp)
    rank[np.argsort(first)] = np.arange(len(first))
    ordered: Indices = rank[number.reshape(-1)]
    return ordered


def _clashes(points: Sequence[GroundPoint], place: Indices, shared: Indices) -> Iterator[GroundClash]:
    for k in shared.tolist():
        there = [points[i] for i in np.flatnonzero(place == k).tolist()]
        low, high = min(there, key=lambda p: p.elevation), max(there, key=lambda p: p.elevation)
        apart, allowed = high.elevation - low.elevation, float(np.hypot(low.within, high.within))
        if apart > allowed:
            yield GroundClash(tuple(p.id for p in there), tuple(p.label for p in there), apart, allowed)
