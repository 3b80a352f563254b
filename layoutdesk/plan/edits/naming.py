"""Ids and marks: the next free one, and renaming."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TypeVar

from layoutdesk.errors import EditError
from layoutdesk.plan.edits import checks
from layoutdesk.plan.edits.levels_names import booked_names, line_renamed, renamed
from layoutdesk.plan.model import Bay, Detail, Piece, Plan

Named = TypeVar("Named", bound="Piece | Detail | Bay")


def ids_of_things(plan: Plan) -> set[str]:
    """Return the ids of pieces, details and bays: of all that can be renamed and deleted."""
    ids = {piece.id for piece in plan.pieces()}
    ids.update([detail.id for detail in plan.details])
    ids.update([bay.id for bay in plan.bays])
    return ids


def ids_of_records(plan: Plan) -> set[str]:
    """Return the ids of what came with a drawing: written dimensions, chains and what lies under the sheet."""
    return {record.id for records in (plan.written, plan.chains, plan.underlays) for record in records}


def all_ids(plan: Plan) -> set[str]:
    """Return every id in use, those of benchmarks too."""
    return ids_of_things(plan) | ids_of_records(plan) | {mark.id for mark in plan.levels.benchmarks}


def new_ids(plan: Plan, prefix: str) -> Iterator[str]:
    """Yield free ids without end: numbers above the highest in use, so that no old stake is mistaken for a new.

    The marks of piers count as in use, and so does what the level book names.
    """
    taken = all_ids(plan) | booked_names(plan)
    taken.update([pier.mark for pier in plan.piers if pier.mark])
    size = len(prefix)
    numbers = [used[size:] for used in taken if used.startswith(prefix) and len(used) <= size + 9]
    highest = max((int(number) for number in numbers if number.isdecimal()), default=0)
    while True:
        highest += 1
        yield f"{prefix}{highest}"


def new_id(plan: Plan, prefix: str) -> str:
    """Return the next free id, such as ``P7``.

    Args:
        plan: where it must be free.
        prefix: W wall, A attachment, C control point, L beam line, P pier, D detail, S slab, K keep-out, B bay,
            G spot, N written dimension, H chain, U underlay.
    """
    return next(new_ids(plan, prefix))


def added(before: Plan, after: Plan) -> tuple[str, ...]:
    """Return the ids of the pieces that only the later plan has, in drawing order: what to select after a copy."""
    had = {piece.id for piece in before.pieces()}
    return tuple([piece.id for piece in after.pieces() if piece.id not in had])


def rename(plan: Plan, piece_id: str, mark: str) -> Plan:
    """Call a piece, detail, bay or benchmark something else.

    A pier keeps its id and gets a mark; its own id or nothing as the mark takes the mark away. Everything
    else changes its id, and with it every reference to it.

    Raises:
        EditError: when there is no such piece, when the new name is empty, too long or cannot be printed, or
            when something else has that id already, in the plan or in the level book.
    """
    for pier in plan.piers:
        if pier.id == piece_id:
            clean = checks.name(mark, "the mark") if mark.strip() else ""
            clean = "" if clean == pier.id else clean
            if clean == pier.mark:
                return plan
            renamed = replace(pier, mark=clean)
            return plan.with_(piers=tuple([renamed if p is pier else p for p in plan.piers]))
    new = checks.name(mark, "the name")
    if piece_id not in ids_of_things(plan) and all(mark.id != piece_id for mark in plan.levels.benchmarks):
        raise EditError(f"there is no {piece_id} in this plan")
    if new == piece_id:
        return plan
    if new in all_ids(plan):
        raise EditError(f"there is already a {new} in this plan")
    if new in booked_names(plan):
        raise EditError(f"the level book has readings on another point called {new}")
    return _renamed_everywhere(plan, piece_id, new)


def _renamed_everywhere(plan: Plan, old: str, new: str) -> Plan:
    """Return the plan with an id, which is no pier's, changed wherever it stands."""

    def fresh(things: tuple[Named, ...]) -> tuple[Named, ...]:
        if not any(thing.id == old for thing in things):
            return things
        return tuple([replace(thing, id=new) if thing.id == old else thing for thing in things])

    changes: dict[str, object] = {
        "walls": fresh(plan.walls),
        "slabs": fresh(plan.slabs),
        "keepouts": fresh(plan.keepouts),
        "controls": fresh(plan.controls),
        "attachments": fresh(plan.attachments),
        "lines": tuple(
            [replace(line, attachment=new) if line.attachment == old else line for line in fresh(plan.lines)]
        ),
        "spots": fresh(plan.spots),
        "details": fresh(plan.details),
        "bays": fresh(plan.bays),
    }
    if any(old in chain.about for chain in plan.chains):
        changes["chains"] = tuple(
            [
                replace(c, about=tuple([new if name == old else name for name in c.about])) if old in c.about else c
                for c in plan.chains
            ]
        )
    if any(line.id == old for line in plan.lines):
        changes["piers"] = tuple([replace(p, line=new) if p.line == old else p for p in plan.piers])
        changes["levels"] = line_renamed(plan.levels, old, new)
    elif any(detail.id == old for detail in plan.details):
        changes["piers"] = tuple([replace(p, detail=new) if p.detail == old else p for p in plan.piers])
    elif any(p.id == old for kind in (plan.controls, plan.attachments) for p in kind):
        changes.update(_point_renamed(plan, old, new))
    elif any(spot.id == old for spot in plan.spots) or old not in ids_of_things(plan):
        changes["levels"] = renamed(plan.levels, old, new)
    return plan.with_(**changes)


def _point_renamed(plan: Plan, old: str, new: str) -> dict[str, object]:
    """Return bays, tapes, proof, written dimensions and level book with a point called by its new name."""

    def now(point: str) -> str:
        return new if point == old else point

    return {
        "bays": tuple(
            [
                replace(
                    bay,
                    corners=(now(bay.corners[0]), now(bay.corners[1]), now(bay.corners[2]), now(bay.corners[3])),
                )
                for bay in plan.bays
            ]
        ),
        "tapes": tuple(
            [replace(t, start=now(t.start), end=now(t.end), third=t.third and now(t.third)) for t in plan.tapes]
        ),
        "proof": replace(
            plan.proof, held_attachment=plan.proof.held_attachment and now(plan.proof.held_attachment)
        ),
        "levels": renamed(plan.levels, old, new),
        "written": tuple(
            [
                replace(w, start_on=w.start_on and now(w.start_on), end_on=w.end_on and now(w.end_on))
                for w in plan.written
            ]
        ),
    }
