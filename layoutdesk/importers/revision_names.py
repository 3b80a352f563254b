"""The names that the pieces of a newer drawing have in the plan: those of the same pieces there, or fresh ones."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from layoutdesk.geometry.vector import distance
from layoutdesk.importers.revision_match import (
    Pairs,
    in_step,
    paired_lines,
    paired_piers,
    paired_points,
    paired_runs,
)
from layoutdesk.plan.edits.naming import all_ids, new_ids
from layoutdesk.plan.edits.revising import is_typed, same_hole
from layoutdesk.plan.model import Detail, Keepout, Pier, Plan, Slab, Wall


@dataclass(slots=True)
class Names:
    """What each id of the newer drawing is called in the plan; those in ``fresh`` are new there."""

    of: dict[str, str] = field(default_factory=dict)
    fresh: set[str] = field(default_factory=set)


def named(plan: Plan, newer: Plan, *, nameless: Collection[str], tolerance: float) -> tuple[Plan, Names]:
    """Return the newer drawing with the plan's ids, and which of them are new.

    Args:
        plan: the plan as it stands.
        newer: the newer drawing, laid over it.
        nameless: the piers of the newer drawing beside which it writes nothing, by id.
        tolerance: below which distance places are the same, in mm.
    """
    names = Names()
    taken = all_ids(plan) | {p.label for p in plan.piers}
    fresh: dict[str, Iterator[str]] = {}

    def give(pairs: Pairs, old: Sequence[Any], new: Sequence[Any], prefix: str, *, own: bool) -> None:
        here = {j: old[i].id for i, j in pairs}
        for j, piece in enumerate(new):
            if j in here:
                names.of[piece.id] = here[j]
                continue
            name = (
                piece.id
                if own
                and piece.id not in taken
                and piece.id not in nameless
                and re.fullmatch(rf"{prefix}\d+", piece.id)
                else ""
            )
            stock = fresh.setdefault(prefix, new_ids(plan, prefix))
            name = name or next(n for n in stock if n not in taken and n not in written_there)
            taken.add(name)
            names.of[piece.id] = name
            names.fresh.add(name)

    written_there = {p.label for p in newer.piers if p.id not in nameless}
    piers = paired_piers(plan.piers, newer.piers, nameless=nameless, tolerance=tolerance)
    give(piers, plan.piers, newer.piers, "P", own=True)
    points = paired_points([a.at for a in plan.attachments], [a.at for a in newer.attachments])
    give(points, plan.attachments, newer.attachments, "A", own=False)
    give(paired_lines(plan, newer, names.of), plan.lines, newer.lines, "L", own=False)
    walls = paired_runs([w.points for w in plan.walls], [w.points for w in newer.walls])
    give(walls, plan.walls, newer.walls, "W", own=False)
    slabs = paired_runs([s.outline for s in plan.slabs], [s.outline for s in newer.slabs])
    give(slabs, plan.slabs, newer.slabs, "S", own=False)
    keepouts = paired_runs([k.outline for k in plan.keepouts], [k.outline for k in newer.keepouts])
    give(keepouts, plan.keepouts, newer.keepouts, "K", own=False)
    for control in newer.controls:
        near = min(plan.controls, key=lambda c: distance(c.at, control.at), default=None)
        if near is not None and distance(near.at, control.at) <= tolerance:
            names.of[control.id] = near.id
    of, details = _details(plan, newer, names, taken, tolerance)
    return _renamed(plan, newer, names, of, details, nameless=nameless), names


def _details(
    plan: Plan, newer: Plan, names: Names, taken: set[str], tolerance: float
) -> tuple[Callable[[Pier], str | None], tuple[Detail, ...]]:
    """Return which detail of the plan each newer pier has, and those that the plan has to get.

    A pier keeps its detail as long as that agrees with what is drawn.
    """
    old = {p.id: p for p in plan.piers}
    known = {d.id: d for d in plan.details}
    drawn = {d.id: d for d in newer.details}
    use = {d.id: sum(p.detail == d.id for p in plan.piers) for d in plan.details} if newer.details else {}
    stock = new_ids(plan, "D")
    meant: dict[str, str] = {}
    new: list[Detail] = []
    for detail in newer.details:
        fit = [d for d in plan.details if same_hole(d, detail, tolerance)]
        if fit:
            meant[detail.id] = max(fit, key=lambda d: use[d.id]).id
            continue
        name = next(n for n in stock if n not in taken)
        taken.add(name)
        meant[detail.id] = name
        new.append(replace(detail, id=name))

    def of(pier: Pier) -> str | None:
        was = old.get(names.of[pier.id])
        detail = drawn.get(pier.detail or "")
        if was is not None and (detail is None or same_hole(known.get(was.detail or ""), detail, tolerance)):
            return was.detail
        return None if detail is None else meant[detail.id]

    return of, tuple(new)


def _renamed(
    plan: Plan,
    newer: Plan,
    names: Names,
    detail_of: Callable[[Pier], str | None],
    details: tuple[Detail, ...],
    *,
    nameless: Collection[str],
) -> Plan:
    of = names.of
    was = {piece.id: piece for piece in plan.pieces()}

    def label(pier: Pier) -> str:
        name, old = of[pier.id], was.get(of[pier.id])
        if pier.id in nameless:
            return old.mark if isinstance(old, Pier) else ""
        return "" if pier.label == name else pier.label

    def run(piece: Wall | Slab | Keepout) -> Any:
        old = was.get(of[piece.id])
        if isinstance(piece, Wall):
            if not isinstance(old, Wall):
                return replace(piece, id=of[piece.id])
            points = in_step(old.points, piece.points, closed=False)
            return replace(piece, id=old.id, points=points, house_side=old.house_side)
        if not isinstance(old, Slab | Keepout):
            return replace(piece, id=of[piece.id])
        return replace(piece, id=old.id, outline=in_step(old.outline, piece.outline, closed=True))

    lines = []
    for line in newer.lines:
        name = of[line.id]
        old = next((o for o in plan.lines if o.id == name), None)
        ends = (
            (line.start, line.end)
            if old is None
            else in_step((old.start, old.end), (line.start, line.end), closed=False)
        )
        lines.append(
            replace(
                line, id=name, start=ends[0], end=ends[1], attachment=line.attachment and of.get(line.attachment)
            )
        )
    bare = plan.with_(written=(), chains=tuple(c for c in plan.chains if is_typed(c)))
    stocks = {prefix: (n for n in new_ids(bare, prefix) if n not in names.fresh) for prefix in "NH"}
    return newer.with_(
        piers=tuple(
            replace(p, id=of[p.id], mark=label(p), line=p.line and of.get(p.line), detail=detail_of(p))
            for p in newer.piers
        ),
        lines=tuple(lines),
        attachments=tuple(replace(a, id=of[a.id]) for a in newer.attachments),
        walls=tuple(run(w) for w in newer.walls),
        slabs=tuple(run(s) for s in newer.slabs),
        keepouts=tuple(run(k) for k in newer.keepouts),
        controls=(),
        details=details,
        written=tuple(
            replace(
                w,
                id=next(stocks["N"]),
                start_on=w.start_on and of.get(w.start_on),
                end_on=w.end_on and of.get(w.end_on),
            )
            for w in newer.written
        ),
        chains=tuple(replace(c, id=next(stocks["H"]), about=()) for c in newer.chains),
        baseline=None,
        bays=(),
        tapes=(),
        underlays=(),
    )
