"""Bays: four points whose two diagonals show whether they are square."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, TypeVar

import numpy as np

from layoutdesk.engine.columns import Bools, Floats, Indices, chunks
from layoutdesk.engine.layout import BayCheck
from layoutdesk.engine.linkage import corner_per_difference
from layoutdesk.engine.obstacles import Obstacles
from layoutdesk.engine.once import once
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.strips import Strips
from layoutdesk.plan.model import Plan

_T = TypeVar("_T")
Source = Literal["found", "outline", "named"]


class BayTable:
    """The bays of :class:`layoutdesk.engine.layout.Bays`: found ones, the outlines, then those the user named.

    A found bay or outline that the user has named too is there once, as named.

    Args:
        plan: the plan.
        points: its points.
        strips: where the bays between rows and the outlines are.
        obstacles: what a tape cannot cross.
    """

    def __init__(self, plan: Plan, points: PointTable, strips: Strips, obstacles: Obstacles) -> None:
        self._plan = plan
        self._points = points
        self._strips = strips
        self._obstacles = obstacles

    @once
    def _named(self) -> list[tuple[str, tuple[int, int, int, int]]]:
        """The ids and corners of the bays the user named, those left out whose corners are not all points."""
        named = []
        for bay in self._plan.bays:
            a, b, c, d = (self._points.find(corner) for corner in bay.corners)
            if min(a, b, c, d) >= 0:
                named.append((bay.id, (a, b, c, d)))
        return named

    @once
    def _gathered(self) -> tuple[Indices, int, int]:
        """The corners of all bays, and how many of them are found and how many outlines."""
        found, outlines = self._strips.bays
        corners = [corners for _, corners in self._named]
        for _, (a, b, c, d) in self._named:
            found = found[~_same_bay(found, (a, b, c, d))]
            outlines = outlines[~_same_bay(outlines, (a, b, c, d))]
        named = np.array(corners, dtype=np.intp).reshape(-1, 4)
        return np.concatenate((found, outlines, named)), len(found), len(outlines)

    @property
    def corner_index(self) -> Indices:
        """The corners in order round each bay, (m, 4) into Points, column by column in memory."""
        return self._gathered[0]

    @once
    def diagonal(self) -> Floats:
        """The diagonals of each bay, (m, 2) in mm: corners 1 to 3, and 2 to 4."""
        found = np.empty((2, len(self)))
        for part in chunks(len(self)):
            corner = self._points.z.take(self.corner_index[part].T)
            np.abs(corner[2:] - corner[:2], out=found[:, part])
        return found.T

    @once
    def barred(self) -> Indices:
        """Which obstacle stands in each diagonal, (m, 2), by its place in their labels; -1 for none."""
        corners = self._points.xy[self.corner_index]
        return self._obstacles.blocking(corners[:, :2], corners[:, 2:])

    def source(self, index: int) -> Source:
        """Return how a bay came to be."""
        _, found, outlines = self._gathered
        if index < found:
            return "found"
        return "outline" if index < found + outlines else "named"

    def id(self, index: int) -> str:
        """Return what a bay is called: as the user named it, or by its corners."""
        _, found, outlines = self._gathered
        if index >= found + outlines:
            return self._named[index - found - outlines][0]
        return "-".join(self._points.ids[corner] for corner in self.corner_index[index].tolist())

    def __len__(self) -> int:
        return len(self.corner_index)

    def __iter__(self) -> Iterator[BayCheck]:
        return map(self.__getitem__, range(len(self)))

    def __getitem__(self, index: int) -> BayCheck:
        i = range(len(self))[index]
        corners = self.corner_index[i].tolist()
        first, second = self.diagonal[i].tolist()
        in_first, in_second = self.barred[i].tolist()
        places = _four([self._points.place(c) for c in corners])
        return BayCheck(
            id=self.id(i),
            corners=_four([self._points.ids[c] for c in corners]),
            labels=_four([self._points.labels[c] for c in corners]),
            places=places,
            diagonals=(first, second),
            equal=abs(first - second) < self._plan.rounding / 10,
            per_difference=corner_per_difference(*places),
            source=self.source(i),
            barred=(self._obstacles.label(in_first), self._obstacles.label(in_second)),
        )


def _same_bay(corners: Indices, other: tuple[int, int, int, int]) -> Bools:
    """Return which bays have the same corners in the same cycle, either way round; (m,) of bool."""
    same = np.zeros(len(corners), dtype=np.bool_)
    a, b, c, d = other
    for way in ((a, b, c, d), (d, c, b, a)):
        for k in range(4):
            same |= (corners == np.array(way[k:] + way[:k])).all(axis=1)
    return same


def _four(values: list[_T]) -> tuple[_T, _T, _T, _T]:
    a, b, c, d = values
    return (a, b, c, d)
