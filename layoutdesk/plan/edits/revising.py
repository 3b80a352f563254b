"""Taking what a newer issue of the drawing changes over into a plan that stands already."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final, Literal

from layoutdesk.errors import EditError
from layoutdesk.geometry.vector import Vector, distance
from layoutdesk.plan.edits import checks
from layoutdesk.plan.edits.naming import ids_of_things
from layoutdesk.plan.edits.pieces import FIELDS, put_back
from layoutdesk.plan.edits.removing import delete
from layoutdesk.plan.model import (
    Attachment,
    BeamLine,
    Chain,
    Detail,
    Keepout,
    Piece,
    Pier,
    Plan,
    Slab,
    Wall,
    Written,
    places_of,
    with_places,
)

What = Literal["pier", "beam line", "wall", "attachment", "slab", "keep-out", "dimensions"]
ChangeKind = Literal["moved", "appeared", "vanished", "detail", "mark", "shape", "written"]
WHATS: Final[tuple[What, ...]] = ("pier", "beam line", "wall", "attachment", "slab", "keep-out", "dimensions")

SAME_PLACE_MM: Final = 0.1
"""Two issues of a drawing that say the same agree so well: files carry a few decimals of an inch."""
MOST_TOLERANCE_MM: Final = 5.0

_KINDS: Final[Mapping[type[Piece], What]] = {
    Pier: "pier",
    BeamLine: "beam line",
    Wall: "wall",
    Attachment: "attachment",
    Slab: "slab",
    Keepout: "keep-out",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One thing that a newer issue says otherwise.

    ``piece`` is the id of the piece in the plan, or the one that it will have when it appeared; empty for the
    dimensions as a whole. ``before`` and ``after`` are its places then and now, empty where it is not. ``by`` is
    how far it moved along the baseline, away from the house, and in all (in x, y and in all without a baseline).
    ``sentence`` says it in the units of the plan.
    """

    id: str
    what: What
    kind: ChangeKind
    piece: str
    before: tuple[Vector, ...] = ()
    after: tuple[Vector, ...] = ()
    by: tuple[float, float, float] = (0.0, 0.0, 0.0)
    sentence: str = ""


def kind_of_piece(piece: Piece) -> What | None:
    """Return what a piece is called in a change; None for a control point, which no drawing changes."""
    return _KINDS.get(type(piece))


def tolerance_of(plan: Plan) -> float:
    """Return below which distance two places are the same: half the step that the plan shows, at least 0.1 mm.

    What moved by less would be shown as moved by nothing.
    """
    return min(MOST_TOLERANCE_MM, max(SAME_PLACE_MM, plan.rounding / 2))


def revise(plan: Plan, newer: Plan, changes: Iterable[Change]) -> Plan:
    """Take some of the changes of a newer issue over; everything else stays as it is.

    Piers keep their ids, and with them tapes, levels and every other record; baseline and control points stay. A
    beam line goes along as soon as all piers on it stand where the newer issue has them. In which order and how
    many at a time changes are taken makes no difference.

    Args:
        plan: the plan as it stands.
        newer: the newer issue laid over it, its pieces by the plan's ids, as a comparison returns it.
        changes: those that were picked.

    Raises:
        EditError: when a change speaks of what is not there any more, or a piece would lie too far away.
    """
    picked = list(dict.fromkeys(changes))
    if not picked:
        return plan
    news = {piece.id: piece for piece in newer.pieces()}
    there = ids_of_things(plan)
    after = delete(plan, [c.piece for c in picked if c.kind == "vanished" and c.piece in there])
    after = _with_new(after, newer, [_found(news, c, "the newer issue") for c in picked if c.kind == "appeared"])
    after = _changed(after, newer, news, [c for c in picked if c.kind in {"moved", "shape", "detail", "mark"}])
    if any(c.kind == "written" for c in picked):
        after = _with_written(after, newer)
    placed = {c.piece for c in picked if c.kind in {"moved", "shape", "appeared", "vanished"}}
    after = _lines_along(after, newer, placed, _lines_of(plan, newer, placed))
    after = _belongings(after, newer, placed)
    after = _ends_of_written(after, newer)
    return plan if after == plan else after


def _found(pieces: Mapping[str, Piece], change: Change, where: str) -> Piece:
    """Return the piece that a change is about.

    Raises:
        EditError: when it is not there, or is of another kind than was compared.
    """
    piece = pieces.get(change.piece)
    if piece is None or kind_of_piece(piece) != change.what:
        raise EditError(f"there is no {change.what} {change.piece} in {where} any more; compare again")
    return piece


def _changed(plan: Plan, newer: Plan, news: Mapping[str, Piece], changes: Sequence[Change]) -> Plan:
    """Return the plan with places, details and marks of pieces as in the newer issue."""
    for change in changes:
        if change.kind == "detail" and isinstance(new := news.get(change.piece), Pier):
            plan = _with_its_detail(plan, newer, new.detail)
    details = {detail.id for detail in plan.details}
    now = {piece.id: piece for piece in plan.pieces()}
    for change in changes:
        new, old = _found(news, change, "the newer issue"), _found(now, change, "this plan")
        if change.kind in {"moved", "shape"}:
            now[old.id] = checks.sound(with_places(old, places_of(new)))
            continue
        assert isinstance(old, Pier)
        assert isinstance(new, Pier)
        if change.kind == "detail":
            now[old.id] = replace(old, detail=new.detail if new.detail in details else old.detail)
        else:
            now[old.id] = replace(old, mark="" if new.label == old.id else new.label)
    return put_back(plan, [now[c.piece] for c in changes])


def _with_new(plan: Plan, newer: Plan, pieces: Sequence[Piece]) -> Plan:
    """Return the plan with pieces that appeared, without references to what may not be there."""
    there = ids_of_things(plan)
    now = {piece.id: piece for piece in plan.pieces()}
    added: dict[str, tuple[Any, ...]] = {}
    for new in pieces:
        piece = checks.sound(new)
        if piece.id in there:
            if type(now.get(piece.id)) is type(piece):
                continue  # it was taken before
            raise EditError(f"there is already a {piece.id} in this plan; compare again")
        if isinstance(piece, Pier):
            plan = _with_its_detail(plan, newer, piece.detail)
            piece = replace(piece, line=None, detail=piece.detail if plan.detail(piece.detail) else None)
        if isinstance(piece, BeamLine):
            piece = replace(piece, attachment=None)
        field = FIELDS[type(piece)]
        added[field] = _put_in(added.get(field, getattr(plan, field)), piece)
    return plan.with_(**added) if added else plan


def _put_in(things: Sequence[Any], new: Any) -> tuple[Any, ...]:
    """Return things with a new one: at the end, but before those that have higher numbers from the same stock."""
    at = len(things)
    while at and _later(things[at - 1].id, new.id):
        at -= 1
    return (*things[:at], new, *things[at:])


def _later(one: str, other: str) -> bool:
    """Return whether an id has the same letters and a higher number than another."""
    a, b = one.rstrip("0123456789"), other.rstrip("0123456789")
    return a == b and (len(one), one) > (len(other), other)


def _with_its_detail(plan: Plan, newer: Plan, name: str | None) -> Plan:
    """Return the plan with a detail of the newer issue, when it has none of that name."""
    detail = newer.detail(name)
    if detail is None or plan.detail(name) is not None or detail.id in ids_of_things(plan):
        return plan
    return plan.with_(details=_put_in(plan.details, detail))


def _with_written(plan: Plan, newer: Plan) -> Plan:
    """Return the plan with what the newer issue writes; chains that were typed by hand stay."""
    changes: dict[str, object] = {}
    if newer.written:
        changes["written"] = newer.written
    if newer.chains:
        changes["chains"] = (*(c for c in plan.chains if is_typed(c)), *newer.chains)
    return plan.with_(**changes) if changes else plan


def is_typed(chain: Chain) -> bool:
    """Return whether a chain was typed by hand: it lies nowhere on the drawing, or pieces were laid out by it."""
    return chain.start is None or bool(chain.about)


def _lines_of(plan: Plan, newer: Plan, touched: Collection[str]) -> set[str]:
    """Return the beam lines that some of the pieces stand on, before or after."""
    return {p.line for p in (*plan.piers, *newer.piers) if p.id in touched and p.line is not None}


def _lines_along(plan: Plan, newer: Plan, touched: Collection[str], lines: Collection[str]) -> Plan:
    """Return the plan with those beam lines laid as in the newer issue whose piers all stand as there."""
    now = {line.id: line for line in plan.lines}
    at = {pier.id: pier.at for pier in plan.piers}
    tolerance = tolerance_of(plan)
    stand: dict[str, bool] = {}
    for pier in newer.piers:
        if pier.line is not None and pier.line in lines:
            there = pier.id in at and distance(at[pier.id], pier.at) <= tolerance
            stand[pier.line] = stand.get(pier.line, True) and there
    return put_back(
        plan,
        [
            checks.sound(replace(now[new.id], start=new.start, end=new.end))
            for new in newer.lines
            if new.id in now and new.id not in touched and stand.get(new.id, False)
        ],
    )


def _belongings(plan: Plan, newer: Plan, touched: Collection[str]) -> Plan:
    """Return the plan with touched piers on the newer issue's beam lines, and lines at its attachments."""
    lines = {line.id: line for line in plan.lines}
    attachments = {a.id for a in plan.attachments}
    back: list[Piece] = []
    news = {pier.id: pier for pier in newer.piers}
    tolerance = tolerance_of(plan)
    for pier in plan.piers:
        new = news.get(pier.id)
        if new is None or new.line not in lines or new.line == pier.line:
            continue
        if (pier.id in touched or new.line in touched) and distance(pier.at, new.at) <= tolerance:
            back.append(replace(pier, line=new.line))
    for new_line in newer.lines:
        line = lines.get(new_line.id)
        if line is None or new_line.attachment not in attachments or line.attachment is not None:
            continue
        if line.id in touched or new_line.attachment in touched:
            back.append(replace(line, attachment=new_line.attachment))
    return put_back(plan, back)


def _ends_of_written(plan: Plan, newer: Plan) -> Plan:
    """Return the plan with the newer issue's dimensions measuring to those of its points that are there."""
    said = {written.id: written for written in newer.written}
    points = {p.id for kind in (plan.piers, plan.attachments, plan.controls) for p in kind}

    def held(written: Written) -> Written:
        new = said.get(written.id)
        if new is None or (new.start, new.end, new.value) != (written.start, written.end, written.value):
            return written
        ends = (name if name in points else None for name in (new.start_on, new.end_on))
        return replace(written, start_on=next(ends), end_on=next(ends))

    after = tuple([held(written) for written in plan.written])
    return plan if after == plan.written else plan.with_(written=after)


def same_hole(old: Detail | None, new: Detail | None, tolerance: float) -> bool:
    """Return whether a pier's detail is what a newer issue draws.

    A drawing seen from above gives a diameter and no depth: it agrees with any detail that has this diameter
    somewhere. One that gives depths must agree in all of them.
    """
    if new is None:
        return True
    if old is None:
        return False
    if len(new.profile) == 1:
        return any(abs(width - new.profile[0][1]) <= tolerance for _, width in old.profile)
    return len(old.profile) == len(new.profile) and all(
        abs(a - b) <= tolerance
        for one, other in zip(old.profile, new.profile, strict=True)
        for a, b in zip(one, other, strict=True)
    )
