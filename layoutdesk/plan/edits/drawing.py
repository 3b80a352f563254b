"""Drawing single pieces: each edit adds one, with the next free id."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from layoutdesk.errors import EditError
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.edits import checks
from layoutdesk.plan.edits.naming import new_id
from layoutdesk.plan.edits.pieces import check_detail, find_attachment, find_line
from layoutdesk.plan.model import (
    ATTACHMENT_KINDS,
    KEEPOUT_KINDS,
    SIDES,
    Attachment,
    AttachmentKind,
    Bay,
    BeamLine,
    Control,
    Keepout,
    KeepoutKind,
    Pier,
    Plan,
    Side,
    Slab,
    Wall,
)
from layoutdesk.plan.rules import path_length


def add_wall(plan: Plan, points: Iterable[Vector], *, house_side: Side = "left") -> Plan:
    """Draw a face of the house through points; a point that repeats the one before is left out.

    Raises:
        EditError: when the wall has no length or a point is not finite.
    """
    way = checks.path(points)
    if path_length(way) <= SAME_MM:
        raise EditError("a wall needs two different points")
    side = checks.one_of(house_side, SIDES, "the house side")
    return plan.with_(walls=(*plan.walls, Wall(id=new_id(plan, "W"), points=way, house_side=side)))


def add_attachment(plan: Plan, at: Vector, *, kind: AttachmentKind = "ledger") -> Plan:
    """Mark where a beam meets the house.

    Raises:
        EditError: when the place is not finite or the kind is unknown.
    """
    kind = checks.one_of(kind, ATTACHMENT_KINDS, "the kind of attachment")
    new = Attachment(id=new_id(plan, "A"), at=checks.place(at), kind=kind)
    return plan.with_(attachments=(*plan.attachments, new))


def add_control(plan: Plan, at: Vector) -> Plan:
    """Mark a point that can be found again and taped from.

    Raises:
        EditError: when the place is not finite.
    """
    return plan.with_(controls=(*plan.controls, Control(id=new_id(plan, "C"), at=checks.place(at))))


def add_line(plan: Plan, start: Vector, end: Vector, *, attachment: str | None = None) -> Plan:
    """Draw a beam line.

    Raises:
        EditError: when it has no length, a place is not finite, or the attachment is unknown.
    """
    find_attachment(plan, attachment)
    a, b = checks.place(start), checks.place(end)
    checks.direction(a, b, "the beam line")
    new = BeamLine(id=new_id(plan, "L"), start=a, end=b, attachment=attachment)
    return plan.with_(lines=(*plan.lines, new))


def add_pier(plan: Plan, at: Vector, *, line: str | None = None, detail: str | None = None) -> Plan:
    """Set one pier.

    Raises:
        EditError: when the place is not finite, or the line or the detail unknown.
    """
    find_line(plan, line)
    check_detail(plan, detail)
    new = Pier(id=new_id(plan, "P"), at=checks.place(at), line=line, detail=detail)
    return plan.with_(piers=(*plan.piers, new))


def add_slab(plan: Plan, outline: Iterable[Vector], *, thickness: float = 100.0) -> Plan:
    """Draw existing concrete, ``thickness`` in millimetres.

    Raises:
        EditError: when fewer than 3 corners are given, when they enclose nothing, or when it has no thickness.
    """
    ring = checks.outline(outline)
    new = Slab(id=new_id(plan, "S"), outline=ring, thickness=checks.positive(thickness, "the thickness"))
    return plan.with_(slabs=(*plan.slabs, new))


def add_keepout(plan: Plan, outline: Iterable[Vector], *, kind: KeepoutKind = "other") -> Plan:
    """Draw what neither auger nor tape may cross.

    Raises:
        EditError: when fewer than 3 corners are given, when they enclose nothing, or when the kind is unknown.
    """
    kind = checks.one_of(kind, KEEPOUT_KINDS, "the kind of keep-out")
    new = Keepout(id=new_id(plan, "K"), outline=checks.outline(outline), kind=kind)
    return plan.with_(keepouts=(*plan.keepouts, new))


def add_bay(plan: Plan, corners: Sequence[str]) -> Plan:
    """Name four piers or attachments, in order round the bay, whose two diagonals are to be checked.

    Raises:
        EditError: when they are not four different piers or attachments.
    """
    if len(corners) != 4 or len(set(corners)) != 4:
        raise EditError("a bay needs four different corners")
    points = {pier.id for pier in plan.piers} | {attachment.id for attachment in plan.attachments}
    for corner in corners:
        if corner not in points:
            raise EditError(f"{corner} is no pier and no attachment, so it cannot be the corner of a bay")
    first, second, third, fourth = corners
    new = Bay(id=new_id(plan, "B"), corners=(first, second, third, fourth))
    return plan.with_(bays=(*plan.bays, new))
