"""Retyping a dimension: moving what it ends at until it says what was typed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import Final, Literal

from layoutdesk.errors import EditError
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, distance, dot, foot, minus, nearest_on_segment, plus, times, unit
from layoutdesk.plan.edits import checks
from layoutdesk.plan.edits.moving import shifted
from layoutdesk.plan.edits.pieces import anchor, find_attachment, find_line, find_one, put_back
from layoutdesk.plan.model import Attachment, BeamLine, Piece, Pier, Plan, Wall, with_places

Sets = Literal["spacing", "row", "overall", "from wall", "from baseline", "side"]
SETS: Final[tuple[Sets, ...]] = ("spacing", "row", "overall", "from wall", "from baseline", "side")


def set_distance(
    plan: Plan,
    first: str,
    second: str,
    value: float,
    *,
    sets: Sets,
    places: tuple[Vector, Vector] | None = None,
) -> Plan:
    """Make a dimension exactly ``value`` millimetres by moving its second end straight away from its first.

    What moves with the second end:

    - ``spacing``, ``from wall``: a point that belongs to a beam line takes along every pier beyond it on that
      line, and the end of the line when that lies beyond too, so that the spacings after it stay. The
      attachment stays, and so does the end of the line that meets it; when ``second`` is the attachment,
      ``first`` moves instead, with what lies beyond it.
    - ``row``, ``side``: the whole row: the beam line, its piers, and its attachment when no other line meets
      it. A pier named in place of its line stands for its row.
    - ``from baseline``: the whole row likewise, square to the baseline, which stays.
    - ``overall``: the far piece alone when it is a point, so that the last spacing takes up the change; the
      far row when it is a beam line.

    A beam line moves as a whole row in every case.

    Args:
        plan: where the dimension is.
        first: the piece that it starts at; not looked at in a dimension from the baseline.
        second: the piece that it ends at.
        value: what was typed, in millimetres; more than 0.
        sets: which kind of dimension it is.
        places: the two places measured, as the dimension shows them. When left out they are the places of the
            two pieces; from a beam line and from the baseline the point square from ``second``, from a wall its
            nearest point.

    Raises:
        EditError: when a piece is unknown, when the value is not positive, when both ends are one place so that
            there is no direction to move in, when nothing that may move is left, or when there is no baseline
            to measure from.
    """
    wanted = checks.positive(value, "the distance")
    sets = checks.one_of(sets, SETS, "what the dimension sets")
    if sets == "from baseline":
        return _set_from_baseline(plan, find_one(plan, second), wanted, places)
    fixed, moving = find_one(plan, first), find_one(plan, second)
    if fixed.id == moving.id:
        raise EditError("a dimension needs two different pieces")
    start, end = places or _measured(plan, fixed, moving)
    start, end = checks.place(start), checks.place(end)
    if isinstance(moving, Attachment) and sets in {"spacing", "overall"}:
        if isinstance(fixed, Attachment):
            raise EditError("both ends are attachments, which stay at the house; move one of them by hand")
        fixed, moving, start, end = moving, fixed, end, start
    way = _way(plan, start, end, moving)
    by = times(way, wanted - distance(start, end))
    if abs(wanted - distance(start, end)) <= SAME_MM / 10:
        return plan
    return put_back(plan, _pieces_to_move(plan, moving, way, by, sets).values())


def _set_from_baseline(plan: Plan, moving: Piece, wanted: float, places: tuple[Vector, Vector] | None) -> Plan:
    """Move a row, or a piece in no row, until its place is so far from the baseline."""
    if plan.baseline is None:
        raise EditError("the plan has no baseline to measure from")
    origin, toward = plan.baseline.origin, plan.baseline.toward
    checks.direction(origin, toward, "the baseline")
    end = checks.place(places[1]) if places else _row_place(plan, moving)
    start = foot(end, origin, toward)
    if distance(start, end) <= SAME_MM:
        raise EditError("it lies on the baseline, so there is no direction to move in")
    by = times(unit(minus(end, start)), wanted - distance(start, end))
    if abs(wanted - distance(start, end)) <= SAME_MM / 10:
        return plan
    return put_back(plan, _pieces_to_move(plan, moving, by, by, "from baseline").values())


def set_equal_distances(
    plan: Plan,
    ends: Sequence[tuple[str, str]],
    value: float,
    *,
    sets: Literal["spacing", "row"],
    places: Sequence[tuple[Vector, Vector]] | None = None,
    beyond: Iterable[str] = (),
) -> Plan:
    """Make every dimension of a chain exactly ``value`` millimetres; what lies before the chain stays.

    Spacings are set one after the other as by :func:`set_distance`, so that the piers beyond the chain on its
    beam line move along. Rows move as whole rows, each by what all rows before it have moved as well, and the
    rows ``beyond`` as far as the last of the chain.

    Args:
        plan: where the dimensions are.
        ends: the pieces that each dimension starts and ends at, in order along the chain.
        value: what was typed, in millimetres; more than 0.
        sets: which kind of dimension they are.
        places: the two places that each dimension measures, as in :func:`set_distance`; for rows only.
        beyond: beam lines beyond the chain.

    Raises:
        EditError: when a piece is unknown or no beam line where one is needed, when the value is not positive,
            or when both ends of a dimension are one place.
    """
    wanted = checks.positive(value, "the distance")
    if sets == "spacing":
        for first, second in ends:
            plan = set_distance(plan, first, second, wanted, sets=sets)
        return plan
    total: Vector = (0.0, 0.0)
    moved: dict[str, Piece] = {}
    for k, (first, second) in enumerate(ends):
        moving = find_one(plan, second)
        start, end = places[k] if places is not None else _measured(plan, find_one(plan, first), moving)
        start, end = checks.place(start), checks.place(end)
        way = _way(plan, start, end, moving)
        total = plus(total, times(way, wanted - distance(start, end)))
        moved |= _pieces_to_move(plan, moving, way, total, sets)
    for piece_id in beyond:
        row = find_line(plan, piece_id)
        assert row is not None
        moved |= _row_moved(plan, row, total)
    return put_back(plan, moved.values())


def _measured(plan: Plan, fixed: Piece, moving: Piece) -> tuple[Vector, Vector]:
    """Return the two places of a dimension between two pieces."""
    end = _row_place(plan, moving)
    if isinstance(fixed, BeamLine):
        checks.direction(fixed.start, fixed.end, f"beam line {fixed.id}")
        return foot(end, fixed.start, fixed.end), end
    if isinstance(fixed, Wall):
        near = [nearest_on_segment(end, a, b) for a, b in pairwise(fixed.points)]
        return min(near, key=lambda at: distance(at, end)), end
    return anchor(fixed), end


def _row_place(plan: Plan, piece: Piece) -> Vector:
    """Return the place that stands for a piece; for a beam line its pier nearest to the line's start."""
    if isinstance(piece, BeamLine):
        piers = [pier.at for pier in plan.piers if pier.line == piece.id]
        return min(piers, key=lambda at: distance(at, piece.start), default=piece.start)
    return anchor(piece)


def _way(plan: Plan, start: Vector, end: Vector, moving: Piece) -> Vector:
    """Return the direction from start to end; along the beam line when both are one place."""
    if distance(start, end) > SAME_MM:
        return unit(minus(end, start))
    line = find_line(plan, moving.line) if isinstance(moving, Pier) else None
    if line is None:
        raise EditError("both ends of the dimension are at one place, so there is no direction to move in")
    return checks.direction(line.start, line.end, f"beam line {line.id}")


def _pieces_to_move(plan: Plan, moving: Piece, way: Vector, by: Vector, sets: Sets) -> Mapping[str, Piece]:
    """Return the pieces that move, moved, by id."""
    if isinstance(moving, Pier) and moving.line is not None and sets in {"row", "side", "from baseline"}:
        row = find_line(plan, moving.line)
        assert row is not None
        return _row_moved(plan, row, by)
    if isinstance(moving, BeamLine):
        return _row_moved(plan, moving, by)
    if isinstance(moving, Pier) and moving.line is not None and sets in {"spacing", "from wall"}:
        return _tail_moved(plan, moving, way, by)
    return {moving.id: shifted(moving, by)}


def _row_moved(plan: Plan, line: BeamLine, by: Vector) -> dict[str, Piece]:
    """Return a beam line, its piers, and its attachment when no other line meets it, all moved."""
    row: list[Piece] = [line, *(pier for pier in plan.piers if pier.line == line.id)]
    if line.attachment is not None and sum(other.attachment == line.attachment for other in plan.lines) == 1:
        row += [a for a in plan.attachments if a.id == line.attachment]
    return {piece.id: shifted(piece, by) for piece in row}


def _tail_moved(plan: Plan, pier: Pier, way: Vector, by: Vector) -> dict[str, Piece]:
    """Return a pier and all that lies beyond it on its beam line, moved: piers, and the line's end."""
    here = dot(pier.at, way) - SAME_MM
    tail: dict[str, Piece] = {
        other.id: shifted(other, by)
        for other in plan.piers
        if other.line == pier.line and dot(other.at, way) >= here
    }
    line = find_line(plan, pier.line)
    assert line is not None
    far_is_end = dot(line.end, way) >= dot(line.start, way)
    far = line.end if far_is_end else line.start
    if dot(far, way) >= here and far != _attached_end(plan, line):
        places = (line.start, plus(far, by)) if far_is_end else (plus(far, by), line.end)
        tail[line.id] = checks.sound(with_places(line, places))
    return tail


def _attached_end(plan: Plan, line: BeamLine) -> Vector | None:
    """Return the end of a beam line that meets the house, or None."""
    attachment = find_attachment(plan, line.attachment)
    if attachment is None:
        return None
    return min((line.start, line.end), key=lambda end: distance(end, attachment.at))
