"""From a proposal to a plan."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import count, pairwise
from typing import Final

from layoutdesk.geometry.vector import Vector, cross, distance, dot, minus, nearest_on_segment
from layoutdesk.importers.proposal import Becomes, Candidate, Proposal
from layoutdesk.importers.recognise.tidy import tidied
from layoutdesk.plan.edits.checks import MOST_PIERS
from layoutdesk.plan.model import (
    Attachment,
    Baseline,
    BeamLine,
    Chain,
    Control,
    Detail,
    Keepout,
    KeepoutKind,
    Pier,
    PierHeights,
    Plan,
    Side,
    Slab,
    SpotHeight,
    TapeAtHand,
    Wall,
    Written,
)
from layoutdesk.plan.rules import MOST_TEXT, wrong_chain, wrong_name, wrong_number, wrong_place
from layoutdesk.plan.usual import usual_holes, usual_levels
from layoutdesk.units import default_paper, default_step, default_tape

_JOIN_MM: Final = 1.0
_SLAB_MM: Final = 100.0
"""How thick a slab is taken to be until somebody says."""
_MEETS_MM: Final = 60.0
_ON_LINE_MM: Final = 30.0


def made(proposal: Proposal, *, title: str = "") -> Plan:
    """Return the plan that the things of a proposal become; what a plan cannot hold is left out."""
    from layoutdesk.plan import edits

    piers = _of(proposal, "pier")[:MOST_PIERS]
    at = [c.centre for c in piers]
    walls = tuple(_walls(_of(proposal, "wall"), at))
    attachments = tuple(
        Attachment(id=f"A{n}", at=place, kind="ledger")
        for n, place in enumerate(_apart(c.centre for c in _of(proposal, "attachment")), 1)
    )
    lines = tuple(_lines(_of(proposal, "beam line"), attachments))
    details, of = _details(piers)
    baseline = _baseline(walls, at)
    footings = tuple(_piers(piers, lines, of))
    plan = Plan(
        title=_text(title or re.sub(r"\.\w{1,5}$", "", proposal.name)) or Plan().title,
        units=proposal.units,
        rounding=default_step(proposal.units),
        paper=default_paper(proposal.units),
        tape_at_hand=TapeAtHand(length=default_tape(proposal.units)),
        walls=walls,
        attachments=attachments,
        baseline=baseline,
        controls=tuple(_controls(_of(proposal, "control point"), walls)),
        lines=lines,
        piers=footings,
        spots=tuple(_spots(_of(proposal, "spot"))),
        levels=replace(usual_levels(proposal.units), piers=tuple(_ground(piers, footings))),
        holes=usual_holes(proposal.units),
        details=details,
        slabs=tuple(
            Slab(id=f"S{n}", outline=ring, thickness=_SLAB_MM)
            for n, ring in enumerate(_rings(_of(proposal, "slab")), 1)
        ),
        keepouts=tuple(_keepouts(_of(proposal, "keep-out"))),
        written=tuple(_written(proposal.written)),
        chains=tuple(_chains(proposal.chains)),
    )
    return edits.attach_written(tidied(plan))


def _of(proposal: Proposal, becomes: Becomes) -> list[Candidate]:
    """Return the candidates that become this and lie where a plan reaches."""
    return [
        c
        for c in proposal.candidates
        if c.becomes == becomes and wrong_place(c.centre) is None and all(wrong_place(p) is None for p in c.run)
    ]


def _text(text: str) -> str:
    return "".join(c if c.isprintable() else " " for c in text).strip()[:MOST_TEXT].strip()


def _apart(places: Iterable[Vector]) -> list[Vector]:
    """Return places without those that lie on one before."""
    seen: dict[tuple[int, int], Vector] = {}
    for place in places:
        seen.setdefault((round(place[0] / _JOIN_MM), round(place[1] / _JOIN_MM)), place)
    return list(seen.values())


def _run(candidate: Candidate) -> list[Vector]:
    """Return the corners of a candidate without repeats, back to the first when it is closed."""
    run: list[Vector] = []
    for place in candidate.run:
        if not run or distance(run[-1], place) > _JOIN_MM:
            run.append(place)
    if candidate.closed and len(run) > 2 and distance(run[0], run[-1]) > _JOIN_MM:
        run.append(run[0])
    return run


def _walls(some: Sequence[Candidate], piers: Sequence[Vector]) -> Iterable[Wall]:
    n = 0
    for candidate in some:
        run = _run(candidate)
        if len(run) >= 2:
            n += 1
            # Walked with the house on the left, so that stations of a baseline along it grow to the right.
            points = tuple(run) if _house_side(run, piers) == "left" else tuple(reversed(run))
            yield Wall(id=f"W{n}", points=points, house_side="left")


def _house_side(run: Sequence[Vector], piers: Sequence[Vector]) -> Side:
    """Return the side of a run on which most piers do not lie; without piers the inside of its bend."""
    left = 0
    for pier in piers:
        left += 1 if _left_of(pier, run) > 0 else -1
    if left == 0:
        bend = sum(cross(minus(b, a), minus(c, b)) for a, b, c in zip(run, run[1:], run[2:], strict=False))
        return "right" if bend < 0 else "left"
    return "right" if left > 0 else "left"


def _left_of(place: Vector, run: Sequence[Vector]) -> float:
    """Return more than 0 when a place lies to the left of a run, seen from the side of it that is nearest."""
    best, side = math.inf, 0.0
    for a, b in pairwise(run):
        far = distance(place, nearest_on_segment(place, a, b))
        # At a corner two sides are as near; the one that the place lies squarest from decides.
        beside = cross(minus(b, a), minus(place, a)) / distance(a, b)
        if far < best - 1e-6 or (far < best + 1e-6 and abs(beside) > abs(side)):
            best, side = min(far, best), beside
    return side


def _lines(some: Sequence[Candidate], attachments: Sequence[Attachment]) -> Iterable[BeamLine]:
    n = 0
    for candidate in some:
        if len(candidate.run) < 2 or distance(candidate.run[0], candidate.run[-1]) <= _JOIN_MM:
            continue
        n += 1
        start, end = candidate.run[0], candidate.run[-1]
        held = min(
            ((distance(a.at, nearest_on_segment(a.at, start, end)), k) for k, a in enumerate(attachments)),
            default=(math.inf, -1),
        )
        far = min(
            (
                (_reach(a.at, start, end), k)
                for k, a in enumerate(attachments)
                if _beyond(a.at, start, end) <= _MEETS_MM
            ),
            default=(math.inf, -1),
        )
        k = held[1] if held[0] <= _MEETS_MM else far[1] if far[0] <= 500.0 else -1
        if k >= 0 and distance(attachments[k].at, end) < distance(attachments[k].at, start):
            start, end = end, start
        yield BeamLine(id=f"L{n}", start=start, end=end, attachment=attachments[k].id if k >= 0 else None)


def _beyond(place: Vector, a: Vector, b: Vector) -> float:
    """Return how far a place lies beside the endless line."""
    return abs(cross(minus(b, a), minus(place, a))) / distance(a, b)


def _reach(place: Vector, a: Vector, b: Vector) -> float:
    """Return how far a place lies from the nearer end."""
    return min(distance(place, a), distance(place, b))


def _details(piers: Sequence[Candidate]) -> tuple[tuple[Detail, ...], dict[int, str]]:
    """Return a detail for each size, its depth not known yet, and which pier has which."""
    names: dict[float, str] = {}
    of: dict[int, str] = {}
    for n, pier in enumerate(piers):
        size = round(pier.size, 3)
        if size > 0 and wrong_number(size) is None:
            of[n] = names.setdefault(size, f"D{len(names) + 1}")
    return tuple(Detail(id=name, profile=((0.0, size),)) for size, name in names.items()), of


def _piers(some: Sequence[Candidate], lines: Sequence[BeamLine], details: dict[int, str]) -> Iterable[Pier]:
    """Yield the piers; one whose mark is like an id, and no other's, has it as its id."""
    marks = [c.mark.strip() if wrong_name(c.mark.strip()) is None else "" for c in some]
    often = Counter(marks)
    own = [mark if re.fullmatch(r"P[1-9]\d{0,5}", mark) and often[mark] == 1 else "" for mark in marks]
    taken = set(own)
    number = 0
    near = _nearest_lines([c.centre for c in some], [max(c.size, 1.0) for c in some], lines)
    for n, candidate in enumerate(some):
        name = own[n]
        while not name:
            number += 1
            name = "" if f"P{number}" in taken else f"P{number}"
        yield Pier(
            id=name,
            at=candidate.centre,
            line=near[n],
            detail=details.get(n),
            mark=marks[n] if marks[n] != name else "",
        )


def _spots(some: Sequence[Candidate]) -> Iterable[SpotHeight]:
    """Yield the spots; one whose mark is like an id, and no other's, has it as its id."""
    marks = [c.mark.strip() for c in some]
    often = Counter(marks)
    own = [mark if re.fullmatch(r"G[1-9]\d{0,5}", mark) and often[mark] == 1 else "" for mark in marks]
    taken = set(own)
    free = (name for name in map("G{}".format, count(1)) if name not in taken)
    for name, candidate in zip(own, some, strict=True):
        yield SpotHeight(id=name or next(free), at=candidate.centre, elevation=candidate.height)


def _ground(some: Sequence[Candidate], piers: Sequence[Pier]) -> Iterable[PierHeights]:
    """Yield the ground at the piers of which a table says it."""
    for candidate, pier in zip(some, piers, strict=True):
        if candidate.height is not None:
            yield PierHeights(pier=pier.id, ground=candidate.height)


def _nearest_lines(at: Sequence[Vector], size: Sequence[float], lines: Sequence[BeamLine]) -> list[str | None]:
    """Return the beam line of each pier: the nearest that passes over it, the one with more piers when two do."""
    if not at or not lines:
        return [None] * len(at)
    import numpy as np

    places, sizes = np.array(at), np.array(size)
    held = []
    for line in lines:
        a, way = np.array(line.start), np.array(minus(line.end, line.start))
        long = float(np.hypot(*way))
        off = places - a
        forth = off @ way / long
        beside = np.abs(off[:, 0] * way[1] - off[:, 1] * way[0]) / long
        over = np.maximum(np.maximum(-forth, forth - long), 0.0)
        held.append(
            np.where((beside <= np.maximum(_ON_LINE_MM, 0.3 * sizes)) & (over <= 0.6 * sizes), beside, np.inf)
        )
    table = np.array(held)
    count = np.isfinite(table).sum(axis=1)
    order = np.argsort(-count, kind="stable")
    best = order[np.argmin(np.round(table[order], 1), axis=0)]
    return [lines[k].id if np.isfinite(table[k, n]) else None for n, k in enumerate(best.tolist())]


def _worth(a: Vector, b: Vector, piers: Sequence[Vector]) -> float:
    """Return how good a face is to measure from: its length, more when piers stand squarely before it."""
    size = distance(a, b)
    before = sum(0 <= dot(minus(p, a), minus(b, a)) <= size * size for p in piers)
    return size * (0.5 + before / max(len(piers), 1))


def _baseline(walls: Sequence[Wall], piers: Sequence[Vector]) -> Baseline | None:
    """Return the baseline along the longest face, the yard where the piers are."""
    faces = [(a, b, wall) for wall in walls for a, b in pairwise(wall.points)]
    if not faces:
        return None
    a, b, wall = max(faces, key=lambda face: round(_worth(face[0], face[1], piers), 3))
    left = sum(1 if cross(minus(b, a), minus(p, a)) > 0 else -1 for p in piers)
    yard: Side = "left" if left > 0 or (left == 0 and wall.house_side == "right") else "right"
    return Baseline(origin=a, toward=b, yard_side=yard)


def _controls(some: Sequence[Candidate], walls: Sequence[Wall]) -> Iterable[Control]:
    """Yield the control points that were chosen, and one at each end of each wall."""
    ends = [p for wall in walls for p in (wall.points[0], wall.points[-1])]
    for n, at in enumerate(_apart([*(c.centre for c in some), *ends]), 1):
        yield Control(id=f"C{n}", at=at)


def _rings(some: Sequence[Candidate]) -> Iterable[tuple[Vector, ...]]:
    """Yield the outlines that enclose anything."""
    for candidate in some:
        run = _run(candidate)
        if len(run) > 1 and distance(run[0], run[-1]) <= _JOIN_MM:
            run.pop()
        if len(run) >= 3 and abs(sum(cross(minus(a, run[0]), minus(b, run[0])) for a, b in pairwise(run))) > 1.0:
            yield tuple(run)


def _keepouts(some: Sequence[Candidate]) -> Iterable[Keepout]:
    n = 0
    for candidate in some:
        for ring in _rings([candidate]):
            n += 1
            yield Keepout(id=f"K{n}", outline=ring, kind=_kind(candidate))


def _kind(candidate: Candidate) -> KeepoutKind:
    match candidate.mark:
        case "tree" | "air conditioner" | "utility" as kind:
            return kind
        case _:
            return "other"


def _written(some: Sequence[Written]) -> Iterable[Written]:
    """Yield the written dimensions that a plan can hold, named."""
    n = 0
    for written in some:
        if (
            wrong_place(written.start)
            or wrong_place(written.end)
            or wrong_number(written.value)
            or written.value <= 0
        ):
            continue
        n += 1
        yield replace(written, id=f"N{n}", text=_text(written.text), start_on=None, end_on=None)


def _chains(some: Sequence[Chain]) -> Iterable[Chain]:
    n = 0
    for chain in some:
        if wrong_chain(chain.parts, chain.overall) or any(
            p is not None and wrong_place(p) for p in (chain.start, chain.end)
        ):
            continue
        n += 1
        yield replace(chain, id=f"H{n}", text=_text(chain.text), about=())
