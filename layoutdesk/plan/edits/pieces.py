"""Finding and putting back pieces: what every edit on the sheet begins and ends with."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final, TypeAlias

from layoutdesk.errors import EditError
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.edits.dug import with_dug_kept
from layoutdesk.plan.model import (
    Attachment,
    BeamLine,
    Control,
    Keepout,
    Piece,
    Pier,
    Plan,
    Slab,
    SpotHeight,
    Wall,
    places_of,
)

PointPiece: TypeAlias = Attachment | Control | Pier
"""A piece of the stake-out that is a single point."""

FIELDS: Final[Mapping[type[Piece], str]] = {
    Slab: "slabs",
    Wall: "walls",
    Keepout: "keepouts",
    BeamLine: "lines",
    Attachment: "attachments",
    Control: "controls",
    SpotHeight: "spots",
    Pier: "piers",
}
"""Where the plan keeps each kind of piece."""

PREFIXES: Final[Mapping[str, str]] = {
    "walls": "W",
    "attachments": "A",
    "controls": "C",
    "lines": "L",
    "details": "D",
    "slabs": "S",
    "keepouts": "K",
    "bays": "B",
    "written": "N",
    "chains": "H",
    "underlays": "U",
    "spots": "G",
    "piers": "P",
}
"""The lists of a plan whose entries have ids of one stock, and how a new id of each begins."""


def find(plan: Plan, ids: Iterable[str]) -> dict[str, Piece]:
    """Return pieces by id, in the order asked for, each once.

    Raises:
        EditError: when one of them does not lie on the sheet.
    """
    wanted = dict.fromkeys(ids)
    found = {piece.id: piece for piece in plan.pieces() if piece.id in wanted}
    for piece_id in wanted:
        if piece_id not in found:
            raise EditError(f"there is no {piece_id} on the sheet")
    return {piece_id: found[piece_id] for piece_id in wanted}


def find_one(plan: Plan, piece_id: str) -> Piece:
    """Return a piece by id.

    Raises:
        EditError: when it does not lie on the sheet.
    """
    return find(plan, (piece_id,))[piece_id]


def find_line(plan: Plan, line_id: str | None) -> BeamLine | None:
    """Return a beam line by id, or None for None.

    Raises:
        EditError: when there is no such beam line.
    """
    line = next((line for line in plan.lines if line.id == line_id), None)
    if line is None and line_id is not None:
        raise EditError(f"there is no beam line {line_id}")
    return line


def find_attachment(plan: Plan, attachment_id: str | None) -> Attachment | None:
    """Return an attachment by id, or None for None.

    Raises:
        EditError: when there is no such attachment.
    """
    attachment = next((a for a in plan.attachments if a.id == attachment_id), None)
    if attachment is None and attachment_id is not None:
        raise EditError(f"there is no attachment {attachment_id}")
    return attachment


def find_piers(plan: Plan, ids: Iterable[str]) -> list[Pier]:
    """Return piers by id.

    Raises:
        EditError: when one of them is no pier of this plan.
    """
    found: list[Pier] = []
    for piece in find(plan, ids).values():
        if not isinstance(piece, Pier):
            raise EditError(f"{piece.id} is no pier")
        found.append(piece)
    return found


def check_detail(plan: Plan, detail_id: str | None) -> None:
    """Make sure that a detail exists; None is no detail, and allowed.

    Raises:
        EditError: when there is no such detail.
    """
    if detail_id is not None and plan.detail(detail_id) is None:
        raise EditError(f"there is no detail {detail_id}")


def put_back(plan: Plan, pieces: Iterable[Piece]) -> Plan:
    """Return the plan with pieces in place of those with the same ids; the very plan when nothing differs.

    What was dug for piers that moved stays where it is.
    """
    by_kind: dict[type[Piece], dict[str, Piece]] = {}
    for piece in pieces:
        by_kind.setdefault(type(piece), {})[piece.id] = piece
    changes: dict[str, object] = {}
    for kind, new in by_kind.items():
        field = FIELDS[kind]
        before: tuple[Piece, ...] = getattr(plan, field)
        after = tuple([new.get(piece.id, piece) for piece in before])
        if after != before:
            changes[field] = after
    return with_dug_kept(plan, plan.with_(**changes)) if changes else plan


def put_on(plan: Plan, pieces: Iterable[Piece]) -> Plan:
    """Return the plan with new pieces after those it has."""
    new: dict[str, list[Piece]] = {}
    for piece in pieces:
        new.setdefault(FIELDS[type(piece)], []).append(piece)
    return plan.with_(**{field: (*getattr(plan, field), *added) for field, added in new.items()})


def anchor(piece: Piece) -> Vector:
    """Return the place that stands for a piece: a point itself, or else its first place."""
    return places_of(piece)[0]


def point_pieces(plan: Plan, ids: Iterable[str]) -> list[PointPiece]:
    """Return those of the pieces that are points, in the order given."""
    return [piece for piece in find(plan, ids).values() if isinstance(piece, PointPiece)]
