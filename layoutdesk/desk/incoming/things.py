"""Where the drawing and its things lie on the ground, and which of them is under the pointer."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from layoutdesk.desk.incoming.lines import Floats, Lines
from layoutdesk.geometry.vector import Vector, distance, middle
from layoutdesk.session.incoming import Arrival, Doubt

if TYPE_CHECKING:
    from layoutdesk.importers.linework import Linework
    from layoutdesk.importers.proposal import Candidate

POINTS: Final = frozenset({"pier", "attachment", "control point"})
_BESIDE: Final = 0.15
_FAR: Final = 0.005
"""So small a share of the outermost lines on each side does not decide what is shown at first."""


class Geometry:
    """The lines of one drawing in its own units, read once."""

    def __init__(self, linework: Linework | None) -> None:
        self.linework = linework
        shapes, words = (linework.shapes, linework.words) if linework else ((), ())
        self.lines = Lines.of_shapes(shapes)
        off = frozenset(linework.frozen) if linework else frozenset()
        self.off = np.array([s.layer in off for s in shapes], dtype=bool)
        self.texts = np.array([w.middle for w in words if w.layer not in off], dtype=np.float64).reshape(-1, 2)
        self.dashed = np.array([s.dashed for s in shapes], dtype=bool)


class Things:
    """A drawing on the ground (mm) with what becomes of it."""

    def __init__(self, geometry: Geometry, arrival: Arrival) -> None:
        self.geometry, self.arrival = geometry, arrival
        self.candidates = arrival.proposal.candidates
        self.scale, self.shift = arrival.proposal.scale.scale, arrival.proposal.shift
        self.lines = geometry.lines.placed(self.scale, self.shift)

    def chosen(self, arrival: Arrival) -> Things | None:
        """Return the things after a choice, with what a choice does not change; None when they are other things."""
        before, after = self.arrival.proposal, arrival.proposal
        if before.groups is not after.groups or before.scale is not after.scale or before.shift != after.shift:
            return None
        made = Things.__new__(Things)
        kept = {k: v for k, v in vars(self).items() if k not in {"becoming", "told_again", "doubt_places"}}
        made.__dict__.update(kept, arrival=arrival, candidates=after.candidates)
        return made

    @cached_property
    def owner(self) -> NDArray[np.intp]:
        """Return for each shape the candidate that it belongs to, -1 for none."""
        owner = np.full(len(self.lines.count), -1, dtype=np.intp)
        for index, candidate in enumerate(self.candidates):
            if candidate.shapes:
                owner[list(candidate.shapes)] = index
        return owner

    @cached_property
    def runs(self) -> Lines:
        """Return the run of each candidate, or its centre."""
        return Lines.of(
            [(*c.run, c.run[0]) if c.closed and c.run else c.run or (c.centre,) for c in self.candidates]
        )

    @cached_property
    def has_shapes(self) -> NDArray[np.bool_]:
        """Return for each candidate whether lines of the drawing belong to it."""
        return np.array([bool(c.shapes) for c in self.candidates], dtype=bool)

    @cached_property
    def centres(self) -> Floats:
        """Return the centre of each candidate (n, 2)."""
        return np.array([c.centre for c in self.candidates], dtype=np.float64).reshape(-1, 2)

    @cached_property
    def becoming(self) -> dict[str, NDArray[np.intp]]:
        """Return by what they become the candidates that become anything."""
        found: dict[str, list[int]] = {}
        for index, candidate in enumerate(self.candidates):
            found.setdefault(candidate.becomes, []).append(index)
        found.pop("nothing", None)
        return {kind: np.array(indices, dtype=np.intp) for kind, indices in found.items()}

    @cached_property
    def dimension_places(self) -> Floats:
        """Return where the texts of the dimensions stand (n, 2), a place of their line where that is not known."""
        linework = self.geometry.linework
        places = [d.middle or d.line_at or d.end for d in linework.drawn] if linework else []
        return np.array([self.ground(p) for p in places], dtype=np.float64).reshape(-1, 2)

    @cached_property
    def doubt_places(self) -> tuple[tuple[Doubt, Vector], ...]:
        """Return the doubts that lie somewhere: a dimension's where its text stands."""
        linework = self.geometry.linework
        drawn = linework.drawn if linework else ()
        ends = [middle(self.ground(d.start), self.ground(d.end)) for d in drawn]
        found = []
        for doubt in self.arrival.agreement.doubts:
            if doubt.at is not None:
                at = doubt.at
                same = next((k for k, end in enumerate(ends) if distance(end, at) < 1.0), None)
                where = at if same is None else self.dimension_places[same].tolist()
                found.append((doubt, (where[0], where[1])))
        return tuple(found)

    @cached_property
    def told_again(self) -> frozenset[int]:
        """Return the texts, by index, that a pier shows as its mark anyway: the nearest of its words to each."""
        linework = self.geometry.linework
        if linework is None:
            return frozenset()
        saying: dict[str, list[int]] = {}
        for k, words in enumerate(linework.words):
            saying.setdefault(words.text.strip(), []).append(k)
        found = set()
        for index in self.becoming.get("pier", ()):
            pier = self.candidates[int(index)]
            if pier.mark and (same := saying.get(pier.mark)):
                found.add(min(same, key=lambda k: distance(self.ground(linework.words[k].middle), pier.centre)))
        return frozenset(found)

    @cached_property
    def _sizes(self) -> Floats:
        return np.array([c.size for c in self.candidates], dtype=np.float64)

    def ground(self, at: Vector) -> Vector:
        """Return where a place of the drawing lies on the ground."""
        return at[0] * self.scale + self.shift[0], at[1] * self.scale + self.shift[1]

    def main_extent(self) -> list[Vector]:
        """Return two corners of the box round what becomes something and its dimensions, with some room beside."""
        used = [i for indices in self.becoming.values() for i in indices.tolist()]
        whole = self.extent()
        if not used or not whole:
            return whole
        low, high = self.runs.low[used].min(axis=0), self.runs.high[used].max(axis=0)
        beside = (high - low).max() * _BESIDE
        told = self.dimension_places
        near = ((told >= low - 2 * beside) & (told <= high + 2 * beside)).all(axis=1)
        if near.any():
            low, high = np.minimum(low, told[near].min(axis=0)), np.maximum(high, told[near].max(axis=0))
        beside /= 2
        low, high = np.maximum(low - beside, whole[0]), np.minimum(high + beside, whole[1])
        return [(float(low[0]), float(low[1])), (float(high[0]), float(high[1]))]

    def extent(self) -> list[Vector]:
        """Return two corners of the box round what is drawn, without a few things that lie far outside."""
        low, high = (self.lines.low, self.lines.high) if len(self.lines.low) else (self.runs.low, self.runs.high)
        kept = np.isfinite(low[:, 0]) & np.isfinite(high[:, 0])
        if len(self.geometry.off) == len(kept):
            kept &= ~self.geometry.off
            if len(self.geometry.texts) or len(self.dimension_places):
                places = np.concatenate(
                    [self.geometry.texts * self.scale + np.array(self.shift), self.dimension_places]
                )
                low, high = np.concatenate([low, places]), np.concatenate([high, places])
                kept = np.concatenate([kept, np.ones(len(places), dtype=bool)])
        if not kept.any():
            return []
        low, high = low[kept], high[kept]
        corner = np.quantile(low, _FAR, axis=0), np.quantile(high, 1 - _FAR, axis=0)
        used = [i for indices in self.becoming.values() for i in indices.tolist()]
        if used:
            # Whatever becomes something is shown, wherever it lies.
            corner = (
                np.minimum(corner[0], self.runs.low[used].min(axis=0)),
                np.maximum(corner[1], self.runs.high[used].max(axis=0)),
            )
        return [(float(corner[0][0]), float(corner[0][1])), (float(corner[1][0]), float(corner[1][1]))]

    def at(self, place: Vector, reach: float) -> int | None:
        """Return the thing at a place: a point first, then the nearest line, then the smallest area round it."""
        if not self.candidates:
            return None
        for look in (self._point_at, self._line_at):
            found = look(place, reach)
            if found is not None:
                return found
        return self._area_at(place)

    def _point_at(self, place: Vector, reach: float) -> int | None:
        points = [self.becoming[kind] for kind in POINTS if kind in self.becoming]
        if not points:
            return None
        indices = np.concatenate(points)
        far = np.hypot(*(self.centres[indices] - np.array(place)).T)
        # An attachment at the same place as a pier is the smaller thing: the ring round it still gives the pier.
        near = far - np.maximum(self._sizes[indices] / 2, reach)
        best = int(near.argmin())
        return int(indices[best]) if near[best] <= 0 else None

    def _line_at(self, place: Vector, reach: float) -> int | None:
        low, high = (place[0] - reach, place[1] - reach), (place[0] + reach, place[1] + reach)
        found: list[tuple[bool, float, int]] = []
        for k in np.nonzero(self.lines.within(low, high))[0].tolist():
            owner = int(self.owner[k])
            if owner >= 0 and (far := self.lines.distance(k, place)) <= reach:
                found.append((self.candidates[owner].becomes == "nothing", far, owner))
        found += [
            (self.candidates[k].becomes == "nothing", far, k)
            for k in np.nonzero(self.runs.within(low, high) & ~self.has_shapes)[0].tolist()
            if (far := self.runs.distance(k, place)) <= reach
        ]
        return min(found)[2] if found else None

    def _area_at(self, place: Vector) -> int | None:
        areas = (int(k) for kind in ("slab", "keep-out") for k in self.becoming.get(kind, ()))
        found = [
            (float(np.prod(self.runs.high[k] - self.runs.low[k])), k)
            for k in areas
            if _holds(self.candidates[k], place)
        ]
        return min(found)[1] if found else None

    def inside(self, low: Vector, high: Vector) -> list[int]:
        """Return the things that lie wholly inside a box."""
        kept = self.runs.inside(low, high)
        # What no line of the drawing shows, or only one that is switched off, is not picked by a box.
        return [int(k) for k in np.nonzero(kept)[0]]

    def nearest_corner(self, place: Vector, reach: float) -> Vector | None:
        """Return the corner of a line, or the middle of a thing, that lies nearest to a place."""
        near = np.concatenate([self.lines.xy, self.centres]) if len(self.centres) else self.lines.xy
        if not len(near):
            return None
        far = np.hypot(near[:, 0] - place[0], near[:, 1] - place[1])
        far[~np.isfinite(far)] = np.inf
        best = int(far.argmin())
        return (float(near[best, 0]), float(near[best, 1])) if far[best] <= reach else None


def _holds(candidate: Candidate, place: Vector) -> bool:
    """Return whether a place lies inside the outline of a thing."""
    x, y, within = *place, False
    run = candidate.run
    for (ax, ay), (bx, by) in zip(run, (*run[1:], *run[:1]), strict=True):
        if (ay > y) != (by > y) and x < ax + (bx - ax) * (y - ay) / (by - ay):
            within = not within
    return within
