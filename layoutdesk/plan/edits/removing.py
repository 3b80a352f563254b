"""Taking pieces away, with every reference to them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from layoutdesk.errors import EditError
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.edits.levels_names import without
from layoutdesk.plan.edits.naming import ids_of_records, ids_of_things
from layoutdesk.plan.edits.pieces import PointPiece
from layoutdesk.plan.edits.tapes import let_go
from layoutdesk.plan.model import Holes, Plan, SpotHeight


def delete(plan: Plan, ids: Iterable[str]) -> Plan:
    """Take away pieces, details, bays, and what came with a drawing.

    Nothing is left pointing at what is gone: piers lose a deleted beam line or detail, beam lines a deleted
    attachment, written dimensions the point that they measured to, chains the pieces that were laid out by them;
    bays with a deleted corner and tapes with a deleted point go too; without its attachment that is held the
    proof holds the design. Booked levels stay: they are a record; the heights of a beam line or a
    pier go with it, and so does what was logged of its hole. Piers stay when their line goes.

    Raises:
        EditError: when one of the ids is unknown.
    """
    gone = set(ids)
    if not gone:
        return plan
    if unknown := sorted(gone - ids_of_things(plan) - ids_of_records(plan)):
        raise EditError(f"there is no {unknown[0]} in this plan")
    return plan.with_(
        walls=tuple([w for w in plan.walls if w.id not in gone]),
        slabs=tuple([s for s in plan.slabs if s.id not in gone]),
        keepouts=tuple([k for k in plan.keepouts if k.id not in gone]),
        controls=tuple([c for c in plan.controls if c.id not in gone]),
        attachments=tuple([a for a in plan.attachments if a.id not in gone]),
        spots=tuple([s for s in plan.spots if s.id not in gone]),
        details=tuple([d for d in plan.details if d.id not in gone]),
        lines=tuple(
            [
                replace(line, attachment=None) if line.attachment in gone else line
                for line in plan.lines
                if line.id not in gone
            ]
        ),
        piers=tuple(
            [
                replace(
                    pier,
                    line=None if pier.line in gone else pier.line,
                    detail=None if pier.detail in gone else pier.detail,
                )
                if pier.line in gone or pier.detail in gone
                else pier
                for pier in plan.piers
                if pier.id not in gone
            ]
        ),
        bays=tuple([b for b in plan.bays if b.id not in gone and gone.isdisjoint(b.corners)]),
        tapes=tuple([t for t in plan.tapes if gone.isdisjoint((t.start, t.end, t.third))]),
        written=tuple(
            [
                replace(w, start_on=_unless(w.start_on, gone), end_on=_unless(w.end_on, gone))
                if w.start_on in gone or w.end_on in gone
                else w
                for w in plan.written
                if w.id not in gone
            ]
        ),
        chains=tuple(
            [
                chain if gone.isdisjoint(chain.about) else replace(chain, about=_left(chain.about, gone))
                for chain in plan.chains
                if chain.id not in gone
            ]
        ),
        underlays=tuple([u for u in plan.underlays if u.id not in gone]),
        proof=let_go(plan.proof, gone),
        levels=without(plan.levels, gone, lambda name: _point_at(plan, name)),
        holes=_without_logs(plan.holes, gone),
    )


def _without_logs(holes: Holes, gone: set[str]) -> Holes:
    """Return the holes without what was logged of piers that are gone."""
    left = tuple([hole for hole in holes.log if hole.pier not in gone])
    return holes if len(left) == len(holes.log) else replace(holes, log=left)


def _point_at(plan: Plan, name: str) -> Vector | None:
    """Return the place of a piece that is a point."""
    piece = plan.piece(name)
    return piece.at if isinstance(piece, PointPiece | SpotHeight) else None


def _left(names: tuple[str, ...], gone: set[str]) -> tuple[str, ...]:
    return tuple([name for name in names if name not in gone])


def _unless(name: str | None, gone: set[str]) -> str | None:
    return None if name in gone else name
