"""Taking in what came with a drawing: a whole other plan, or what it writes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from math import cos, radians, sin
from typing import Any, Final

from layoutdesk.errors import EditError
from layoutdesk.geometry.vector import Vector, distance, dot, minus
from layoutdesk.plan.edits import checks
from layoutdesk.plan.edits.dug import with_dug_kept
from layoutdesk.plan.edits.naming import all_ids, new_ids
from layoutdesk.plan.edits.pieces import PREFIXES
from layoutdesk.plan.edits.settings import set_units
from layoutdesk.plan.model import Chain, Pier, Plan
from layoutdesk.plan.rules import MOST_TEXT, wrong_chain

MEASURED_TO_MM: Final = 0.1
"""A dimension measures to a point that lies so near to its end: files carry a few decimals of an inch."""


def take_in(plan: Plan, other: Plan) -> Plan:
    """Lay everything of another plan beside what this one has, as one edit.

    Ids that are taken here are given anew, with every reference to them; marks stay, for they stand on the
    drawing. Title, units, baseline, control points and level book of this plan stay; heights of the other's beam
    lines and piers come along, and what was logged of their holes. What this plan has not yet, it takes from the
    other: a plan without pieces takes title, units and rounding, one without a baseline takes the baseline and the
    control points.

    Raises:
        EditError: when together there would be too many piers.
    """
    if len(plan.piers) + len(other.piers) > 2 * checks.MOST_PIERS:
        raise EditError(f"together that would be more than {2 * checks.MOST_PIERS} piers")
    empty = next(plan.pieces(), None) is None
    if plan.baseline is not None:
        left = {control.id for control in other.controls}
        tapes = tuple(t for t in other.tapes if left.isdisjoint((t.start, t.end, t.third)))
        here_read = with_dug_kept(other, other.with_(baseline=plan.baseline))
        other = here_read.with_(baseline=None, controls=(), tapes=tapes)
    now = _names_here(plan, other)
    changes: dict[str, object] = {
        key: (*getattr(plan, key), *(_renamed(entry, now) for entry in getattr(other, key))) for key in PREFIXES
    }
    changes["tapes"] = (
        *plan.tapes,
        *(
            replace(t, start=now[t.start], end=now[t.end], third=None if t.third is None else now[t.third])
            for t in other.tapes
        ),
    )
    # A drawing says nothing of tape, paper and rules: those of the sheet go with the new units.
    here = set_units(plan, other.units) if empty else plan
    changes["levels"], changes["holes"] = here.levels, here.holes
    if other.levels.piers or other.levels.lines:
        changes["levels"] = replace(
            here.levels,
            lines=(*plan.levels.lines, *(replace(h, line=now[h.line]) for h in other.levels.lines)),
            piers=(*plan.levels.piers, *(replace(h, pier=now[h.pier]) for h in other.levels.piers)),
        )
    if other.holes.log:
        logged = (replace(hole, pier=now[hole.pier]) for hole in other.holes.log)
        changes["holes"] = replace(here.holes, log=(*plan.holes.log, *logged))
    if plan.baseline is None:
        changes["baseline"] = other.baseline
    if empty:
        changes.update(units=other.units, rounding=other.rounding, tape_at_hand=here.tape_at_hand, paper=here.paper)
        if plan.title == Plan().title:
            changes["title"] = other.title
    after = plan.with_(**changes)
    return plan if after == plan else after


def add_chain(
    plan: Plan,
    parts: Iterable[float],
    *,
    overall: float | None = None,
    start: Vector | None = None,
    end: Vector | None = None,
    about: Sequence[str] = (),
    text: str = "",
) -> Plan:
    """Write down a chain of dimensions; whether it adds up to its overall dimension is for the flags to say.

    Raises:
        EditError: when it has no parts, or one of them is no length of more than nothing.
    """
    steps = tuple(float(part) for part in parts)
    if trouble := wrong_chain(steps, overall):
        raise EditError(f"the chain {trouble}")
    known = all_ids(plan)
    if unknown := [name for name in about if name not in known]:
        raise EditError(f"there is no {unknown[0]} in this plan")
    chain = Chain(
        id=next(new_ids(plan, PREFIXES["chains"])),
        parts=steps,
        overall=None if overall is None else float(overall),
        start=None if start is None else checks.place(start),
        end=None if end is None else checks.place(end),
        about=tuple(about),
        text=checks.line_of_text(text[:MOST_TEXT], "the chain"),
    )
    return plan.with_(chains=(*plan.chains, chain))


def attach_written(plan: Plan) -> Plan:
    """Find the pier, attachment or control point that each end of a written dimension measures to.

    A straight dimension measures to the point at its end; one in a direction to the point nearest to its end
    among those that lie level with it, square from that direction. Ends that are attached already stay so.
    """
    points = [(point.id, point.at) for kind in (plan.piers, plan.attachments, plan.controls) for point in kind]
    if not points or not plan.written:
        return plan
    found = tuple(
        replace(
            written,
            start_on=written.start_on or _measured_to(points, written.start, written.along),
            end_on=written.end_on or _measured_to(points, written.end, written.along),
        )
        if written.kind in {"distance", "ordinate"}
        else written
        for written in plan.written
    )
    return plan if found == plan.written else plan.with_(written=found)


def _measured_to(points: Sequence[tuple[str, Vector]], end: Vector, along: float | None) -> str | None:
    """Return the id of the point that a dimension measures to, or None."""
    way = (cos(radians(along)), sin(radians(along))) if along is not None else None
    level = [
        (distance(at, end), name)
        for name, at in points
        if (distance(at, end) if way is None else abs(dot(minus(at, end), way))) <= MEASURED_TO_MM
    ]
    return min(level)[1] if level else None


def _names_here(plan: Plan, other: Plan) -> dict[str, str]:
    """Return what each id of the other plan is called in this one: the same where that is free."""
    taken = all_ids(plan)
    # What is free here and in both: a name given anew must not meet one that comes along.
    both = all_ids(other)
    fresh: dict[str, Iterator[str]] = {}
    now: dict[str, str] = {}
    for key, prefix in PREFIXES.items():
        for entry in getattr(other, key):
            if entry.id not in taken:
                now[entry.id] = entry.id
                continue
            names = fresh.setdefault(prefix, new_ids(plan, prefix))
            now[entry.id] = next(name for name in names if name not in both)
    return now


def _renamed(entry: Any, now: Mapping[str, str]) -> Any:
    """Return an entry of the other plan with its id and every id that it names as they are here."""
    changes: dict[str, object] = {"id": now[entry.id]} if now[entry.id] != entry.id else {}
    for field in ("attachment", "line", "detail", "start_on", "end_on"):
        named = getattr(entry, field, None)
        if named is not None and now.get(named) != named:
            changes[field] = now.get(named)  # None: a control point that stays out, and the end is a bare place
    for field in ("corners", "about"):
        names = getattr(entry, field, ())
        if any(now.get(name) != name for name in names):
            changes[field] = tuple(now[name] for name in names if name in now)  # without those that stay out
    if isinstance(entry, Pier) and entry.mark == now[entry.id]:
        changes["mark"] = ""  # its mark became its id
    return replace(entry, **changes) if changes else entry
