"""Moving, turning, mirroring and copying what is on the sheet."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from layoutdesk.errors import EditError
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, distance, foot, minus, mirrored, plus, turned
from layoutdesk.plan.edits import checks
from layoutdesk.plan.edits.baseline_ends import with_ends_carried
from layoutdesk.plan.edits.naming import new_ids
from layoutdesk.plan.edits.pieces import FIELDS, PREFIXES, find, find_one, put_back, put_on
from layoutdesk.plan.edits.standing import STANDS_MM, at_corner, with_standing
from layoutdesk.plan.model import BeamLine, Piece, Pier, Plan, SpotHeight, Wall, places_of, with_places

ON_LINE_MM = 0.01
"""A copied pier that lies this near to its line still belongs to it."""


def taken_along(plan: Plan, pieces: Mapping[str, Piece]) -> dict[str, Piece]:
    """Return the pieces and all that a move of them takes along, each once: piers of lines, points on walls."""
    return carried(plan, with_standing(plan, pieces))


def carried(plan: Plan, pieces: Mapping[str, Piece]) -> dict[str, Piece]:
    """Return the pieces and the piers that their beam lines carry along, each once."""
    lines = {piece.id for piece in pieces.values() if isinstance(piece, BeamLine)}
    if not lines:
        return dict(pieces)
    return {**pieces, **{pier.id: pier for pier in plan.piers if pier.line in lines}}


def shifted(piece: Piece, by: Vector) -> Piece:
    """Return a piece moved by so much.

    Raises:
        EditError: when it would lie more than 10 km away.
    """
    return checks.sound(with_places(piece, tuple([plus(at, by) for at in places_of(piece)])))


def move(plan: Plan, ids: Iterable[str], by: Vector) -> Plan:
    """Move pieces by so much, in millimetres of the plan's axes.

    A beam line carries its piers; its attachment stays unless it is among the pieces. A wall carries the
    attachments and control points that stand on it and on no wall that stays. A wall or control point carries
    the ends of the baseline that stand on it and on nothing else. Each piece moves once, however often it is
    named.

    Raises:
        EditError: when a piece is unknown, or when the way is not finite.
    """
    way = checks.place(by)
    if way == (0.0, 0.0):
        return plan
    pieces = taken_along(plan, find(plan, ids)).values()
    after = put_back(plan, [shifted(piece, way) for piece in pieces])
    return with_ends_carried(plan, after, pieces, lambda at: plus(at, way))


def move_place(plan: Plan, piece_id: str, index: int, to: Vector) -> Plan:
    """Move one place of a piece: an end of a line, a corner of an outline, a point of a wall.

    ``index`` counts from 0 in the order of the piece's places. Piers of a beam line stay. What stands on that
    very place goes with it: an end of the baseline, and at a corner of a wall the attachments and control points
    that stand on no other wall.

    Raises:
        EditError: when there is no such piece or place, when the place is not finite, or when the piece would
            lose its length or its area.
    """
    piece = find_one(plan, piece_id)
    places = places_of(piece)
    if not 0 <= index < len(places):
        raise EditError(f"{piece_id} has no place number {index + 1}")
    here, there = places[index], checks.place(to)
    new = (*places[:index], there, *places[index + 1 :])
    standing = at_corner(plan, piece, here) if isinstance(piece, Wall) else []
    after = put_back(plan, [checks.sound(with_places(piece, new)), *(replace(p, at=there) for p in standing)])
    return with_ends_carried(
        plan, after, [piece, *standing], lambda at: there if distance(at, here) <= STANDS_MM else at
    )


def turn(plan: Plan, ids: Iterable[str], about: Vector, degrees: float) -> Plan:
    """Turn pieces about a place, to the left when ``degrees`` is positive; what they carry goes along.

    Raises:
        EditError: when a piece is unknown, or when the angle is not between -360 and 360 degrees.
    """
    centre = checks.place(about)
    if not -360 <= degrees <= 360:
        raise EditError("the angle must be between -360 and 360 degrees")
    if degrees in {-360.0, 0.0, 360.0}:
        return plan

    def about_centre(p: Vector) -> Vector:
        return plus(centre, turned(minus(p, centre), degrees))

    pieces = taken_along(plan, find(plan, ids)).values()
    after = put_back(plan, [_reshaped(piece, about_centre) for piece in pieces])
    return with_ends_carried(plan, after, pieces, about_centre)


def mirror(plan: Plan, ids: Iterable[str], a: Vector, b: Vector, *, keep: bool) -> Plan:
    """Mirror pieces in the straight line a-b; a beam line carries its piers.

    With ``keep`` the pieces stay and mirrored copies are added, as in :func:`copy`; without, they move, with
    what they carry. The house side of a wall turns over with it, so that the house stays on the same face.

    Raises:
        EditError: when a piece is unknown, or when a and b are the same place.
    """
    first, second = checks.place(a), checks.place(b)
    checks.direction(first, second, "the line to mirror in")

    def across(p: Vector) -> Vector:
        return mirrored(p, first, second)

    def over(piece: Piece) -> Piece:
        new = _reshaped(piece, across)
        if isinstance(new, Wall):
            return replace(new, house_side="right" if new.house_side == "left" else "left")
        return new

    chosen = find(plan, ids)
    if keep:
        return _copied(plan, [over(piece) for piece in carried(plan, chosen).values()])
    pieces = taken_along(plan, chosen).values()
    after = put_back(plan, [over(piece) for piece in pieces])
    return with_ends_carried(plan, after, pieces, across, over=True)


def copy(plan: Plan, ids: Iterable[str], by: Vector) -> Plan:
    """Add copies of pieces, moved by so much; :func:`layoutdesk.plan.edits.added` tells which.

    A beam line is copied with its piers, and with its attachment when that is copied too. A pier copied
    without its line belongs to that line if it still lies on it, and otherwise to none. Marks are not copied, nor
    is the height of a spot: it is that of its place.

    Raises:
        EditError: when a piece is unknown, when the way is not finite, or when more than 10 000 piers come of it.
    """
    way = checks.place(by)
    return _copied(plan, [shifted(piece, way) for piece in carried(plan, find(plan, ids)).values()])


def _copied(plan: Plan, pieces: list[Piece]) -> Plan:
    """Return the plan with pieces added under new ids that refer to each other as the old ones did."""
    if sum(isinstance(piece, Pier) for piece in pieces) > checks.MOST_PIERS:
        raise EditError("that is more than 10 000 piers; one edit adds at most 10 000")
    free = {kind: new_ids(plan, PREFIXES[FIELDS[kind]]) for kind in {type(piece) for piece in pieces}}
    new = {piece.id: next(free[type(piece)]) for piece in pieces}
    lines = {line.id: line for line in plan.lines}

    def line_for(pier: Pier) -> str | None:
        if pier.line in new:
            return new[pier.line]
        line = lines.get(pier.line or "")
        if line is None or distance(line.start, line.end) <= SAME_MM:
            return None
        return line.id if distance(pier.at, foot(pier.at, line.start, line.end)) <= ON_LINE_MM else None

    copies: list[Piece] = []
    for piece in pieces:
        match piece:
            case Pier():
                copies.append(replace(piece, id=new[piece.id], line=line_for(piece), mark=""))
            case BeamLine():
                copies.append(replace(piece, id=new[piece.id], attachment=new.get(piece.attachment or "")))
            case SpotHeight():
                copies.append(replace(piece, id=new[piece.id], elevation=None))
            case _:
                copies.append(replace(piece, id=new[piece.id]))
    return put_on(plan, copies)


def _reshaped(piece: Piece, change: Callable[[Vector], Vector]) -> Piece:
    """Return a piece with every place changed."""
    return checks.sound(with_places(piece, tuple([change(at) for at in places_of(piece)])))
