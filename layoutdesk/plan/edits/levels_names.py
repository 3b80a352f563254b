"""What the points of the level book are called, and what becomes of them when pieces are renamed or deleted."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import replace
from typing import Final

from layoutdesk.errors import EditError
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Levels, Plan

ENDINGS: Final = (" top", " support")
"""What stands behind a pier's id where its finished top, or the supports of its column, were read."""


def booked_names(plan: Plan) -> set[str]:
    """Return the names of all booked points, and the piers' ids that they begin with.

    They are no names for anything new: it would take over readings that were booked of something else.
    """
    names: set[str] = set()
    for reading in plan.levels.readings:
        names.add(reading.point)
        names.update([reading.point.removesuffix(e) for e in ENDINGS if reading.point.endswith(e)])
    return names


class BookedNames:
    """What a point of the book may be called: ids first, then the marks of piers, then what was booked before."""

    def __init__(self, plan: Plan) -> None:
        self._marks: dict[str, set[str]] = {}
        self._small: dict[str, set[str]] = {}
        self._ids: set[str] = {mark.id for mark in plan.levels.benchmarks}
        self._piers = {pier.id for pier in plan.piers}
        for kind in (plan.spots, plan.controls, plan.attachments, plan.piers):
            self._ids.update([piece.id for piece in kind])
        for pier in plan.piers:
            if pier.mark:
                self._marks.setdefault(pier.mark, set()).add(pier.id)
        known = {**self._marks, **{name: {name} for name in self._ids}}
        for name, ids in known.items():
            self._small.setdefault(name.casefold(), set()).update(ids)
        self._booked = {r.point.casefold(): r.point for r in plan.levels.readings}

    def id_of(self, name: str) -> str:
        """Return the id of the point that is called so; any other name is that of a turning point.

        Raises:
            EditError: when several piers are called so.
        """
        clean = " ".join(name.split())
        if found := self._found(clean):
            return found
        for ending in ENDINGS:
            if clean.casefold().endswith(ending) and (pier := self._found(clean[: -len(ending)])) in self._piers:
                return f"{pier}{ending}"
        return self._booked.get(clean.casefold(), clean)

    def _found(self, name: str) -> str | None:
        if name in self._ids:
            return name
        found = self._marks.get(name) or self._small.get(name.casefold(), set())
        if len(found) > 1:
            raise EditError(f"{' and '.join(sorted(found))} are both called “{name[:40]}”; write the id")
        return next(iter(found), None)


def renamed(levels: Levels, old: str, new: str) -> Levels:
    """Return the levels with a point, which is no pier, called by its new name."""
    return replace(
        levels,
        benchmarks=tuple([replace(b, id=new) if b.id == old else b for b in levels.benchmarks]),
        readings=tuple([replace(r, point=new) if r.point == old else r for r in levels.readings]),
    )


def line_renamed(levels: Levels, old: str, new: str) -> Levels:
    """Return the levels with a beam line called by its new name."""
    return replace(levels, lines=tuple([replace(x, line=new) if x.line == old else x for x in levels.lines]))


def without(levels: Levels, gone: Collection[str], place: Callable[[str], Vector | None]) -> Levels:
    """Return the levels when pieces are gone.

    What was booked stays, and a benchmark keeps its place; the heights of a beam line or pier go with it.

    Args:
        levels: as they were.
        gone: the ids of what is deleted.
        place: gives the place of a point that is deleted, None for what is no point.
    """
    return replace(
        levels,
        benchmarks=tuple(
            [replace(b, at=place(b.id)) if b.id in gone and b.at is None else b for b in levels.benchmarks]
        ),
        lines=tuple([line for line in levels.lines if line.line not in gone]),
        piers=tuple([pier for pier in levels.piers if pier.pier not in gone]),
    )
