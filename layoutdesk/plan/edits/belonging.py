"""What pieces are, and what they belong to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from layoutdesk.errors import EditError
from layoutdesk.plan.edits import checks
from layoutdesk.plan.edits.pieces import find_attachment, find_line, find_one, find_piers, put_back
from layoutdesk.plan.model import (
    ATTACHMENT_KINDS,
    KEEPOUT_KINDS,
    SIDES,
    Attachment,
    AttachmentKind,
    Keepout,
    KeepoutKind,
    Plan,
    Side,
    Slab,
    Wall,
)


def assign_line(plan: Plan, pier_ids: Iterable[str], line_id: str | None) -> Plan:
    """Put piers on a beam line, or on none; they stay where they stand.

    Raises:
        EditError: when a pier or the beam line is unknown.
    """
    find_line(plan, line_id)
    return put_back(plan, [replace(pier, line=line_id) for pier in find_piers(plan, pier_ids)])


def attach_line(plan: Plan, line_id: str, attachment_id: str | None) -> Plan:
    """Let a beam line meet the house at an attachment, or nowhere.

    Raises:
        EditError: when the beam line or the attachment is unknown.
    """
    find_attachment(plan, attachment_id)
    line = find_line(plan, line_id)
    assert line is not None
    return put_back(plan, [replace(line, attachment=attachment_id)])


def set_attachment_kind(plan: Plan, attachment_id: str, kind: AttachmentKind) -> Plan:
    """Say how a beam meets the house.

    Raises:
        EditError: when there is no such attachment or kind.
    """
    piece = find_one(plan, attachment_id)
    if not isinstance(piece, Attachment):
        raise EditError(f"{attachment_id} is no attachment")
    return put_back(plan, [replace(piece, kind=checks.one_of(kind, ATTACHMENT_KINDS, "the kind of attachment"))])


def set_keepout_kind(plan: Plan, keepout_id: str, kind: KeepoutKind) -> Plan:
    """Say what a keep-out is.

    Raises:
        EditError: when there is no such keep-out or kind.
    """
    piece = find_one(plan, keepout_id)
    if not isinstance(piece, Keepout):
        raise EditError(f"{keepout_id} is no keep-out")
    return put_back(plan, [replace(piece, kind=checks.one_of(kind, KEEPOUT_KINDS, "the kind of keep-out"))])


def set_thickness(plan: Plan, slab_id: str, thickness: float) -> Plan:
    """Say how thick existing concrete is, in millimetres.

    Raises:
        EditError: when there is no such slab, or when the thickness is not positive.
    """
    piece = find_one(plan, slab_id)
    if not isinstance(piece, Slab):
        raise EditError(f"{slab_id} is no slab")
    return put_back(plan, [replace(piece, thickness=checks.positive(thickness, "the thickness"))])


def set_house_side(plan: Plan, wall_id: str, side: Side) -> Plan:
    """Say on which side of a wall the house is, as one walks along it.

    Raises:
        EditError: when there is no such wall or side.
    """
    piece = find_one(plan, wall_id)
    if not isinstance(piece, Wall):
        raise EditError(f"{wall_id} is no wall")
    return put_back(plan, [replace(piece, house_side=checks.one_of(side, SIDES, "the house side"))])
