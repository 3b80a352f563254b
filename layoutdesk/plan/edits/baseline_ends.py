"""The ends of the baseline go with what they stand on: a wall, its corner, or a control point."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import replace

from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.edits import checks
from layoutdesk.plan.edits.dug import with_dug_kept
from layoutdesk.plan.edits.standing import stands_on
from layoutdesk.plan.model import Control, Piece, Plan, Side, Wall


def with_ends_carried(
    before: Plan, after: Plan, moved: Collection[Piece], change: Callable[[Vector], Vector], *, over: bool = False
) -> Plan:
    """Return ``after`` with those ends of the baseline moved that stood on what has moved.

    Both ends go when both stood on what has moved. One end alone goes only when no other wall or control point
    still holds it: when the nail beside a house corner is corrected, the wall keeps the baseline.

    Args:
        before: the plan before the move; says where the ends stood.
        after: the plan with its pieces moved.
        moved: the pieces that moved, as they were before.
        change: how their places moved.
        over: whether they were turned over, as in a mirror; a baseline whose two ends went along then has its
            yard on the other side.

    Raises:
        EditError: when the baseline would lose its length or lie too far away.
    """
    base = before.baseline
    holders = [piece for piece in moved if isinstance(piece, Wall | Control)]
    if base is None or not holders:
        return after
    ends = (base.origin, base.toward)
    carried = [any(stands_on(end, piece) for piece in holders) for end in ends]
    if not all(carried):
        gone = {piece.id for piece in holders}
        anchors: list[Piece] = [*before.walls, *before.controls]
        staying = [piece for piece in anchors if piece.id not in gone]
        held = [any(stands_on(end, piece) for piece in staying) for end in ends]
        carried = [goes and not stays for goes, stays in zip(carried, held, strict=True)]
    if not any(carried):
        return after
    origin = checks.place(change(base.origin)) if carried[0] else base.origin
    toward = checks.place(change(base.toward)) if carried[1] else base.toward
    checks.direction(origin, toward, "the baseline")
    side: Side = base.yard_side
    if over and all(carried):
        side = "right" if side == "left" else "left"
    new = replace(base, origin=origin, toward=toward, yard_side=side)
    return with_dug_kept(before, after.with_(baseline=new, holes=before.holes))
