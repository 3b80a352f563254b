"""Laying out by a chain of dimensions as a paper plan writes it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate
from typing import Final, Literal

from layoutdesk.errors import EditError
from layoutdesk.geometry.vector import Vector, plus, times
from layoutdesk.plan.edits import checks
from layoutdesk.plan.edits.drawing import add_attachment, add_control, add_line, add_wall
from layoutdesk.plan.edits.incoming import add_chain
from layoutdesk.plan.edits.naming import added
from layoutdesk.plan.edits.rows import add_row
from layoutdesk.plan.model import AttachmentKind, Plan, Side

LaidOut = Literal["row of piers", "rows", "wall", "attachments", "control points", "numbers only"]
LAID_OUT: Final[tuple[LaidOut, ...]] = (
    "row of piers",
    "rows",
    "wall",
    "attachments",
    "control points",
    "numbers only",
)


def lay_out_chain(
    plan: Plan,
    start: Vector,
    toward: Vector,
    parts: Sequence[float],
    *,
    overall: float | None = None,
    makes: LaidOut = "row of piers",
    at_start: bool = True,
    aside: Vector = (0.0, 0.0),
    house_side: Side = "left",
    detail: str | None = None,
    attachment: str | None = None,
    attached: AttachmentKind | None = None,
    text: str = "",
) -> Plan:
    """Lay out pieces at the places of a chain, and keep the chain so that it can be checked.

    The chain begins at ``start``; a place lies at the end of each part, and one at the start itself.

    Args:
        plan: where it is laid out.
        start: where the chain begins.
        toward: gives its direction only.
        parts: its parts in order, in mm, more than 0.
        overall: the overall dimension written beside it, in mm.
        makes: a row of piers on one beam line; rows (a beam line from each place, as long as ``aside``); one wall
            with a corner at each place; attachments; control points; or nothing but the numbers.
        at_start: whether there is a piece at the start, too; a wall always begins there.
        aside: from each place to the end of its beam line, in mm.
        house_side: of a wall.
        detail: of the piers.
        attachment: that the row of piers begins at.
        attached: where rows begin at the house, the kind of attachment that each gets.
        text: the chain as it was typed.

    Raises:
        EditError: when a part is not more than 0, ``toward`` gives no direction, or rows have no length.
    """
    steps = tuple(parts)
    noted = add_chain(plan, steps, overall=overall, text=text)  # refuses wrong numbers before anything is laid out
    origin = checks.place(start)
    way = checks.direction(origin, checks.place(toward), "the chain")
    places = tuple(plus(origin, times(way, run)) for run in accumulate(steps, initial=0.0))
    shown = places if at_start else places[1:]
    after = plan
    match checks.one_of(makes, LAID_OUT, "what a chain lays out"):
        case "row of piers":
            gaps = (0.0, *steps) if at_start else steps
            after = add_row(plan, origin, plus(origin, way), gaps, detail=detail, attachment=attachment)
        case "rows":
            if aside == (0.0, 0.0):
                raise EditError("the rows have no length; type how long they are")
            for at in shown:
                mark = None
                if attached is not None:
                    after = add_attachment(after, at, kind=attached)
                    mark = after.attachments[-1].id
                after = add_line(after, at, plus(at, aside), attachment=mark)
        case "wall":
            after = add_wall(plan, places, house_side=house_side)
        case "attachments":
            for at in shown:
                after = add_attachment(after, at)
        case "control points":
            for at in shown:
                after = add_control(after, at)
        case "numbers only":
            pass
    about = added(plan, after)
    return add_chain(
        after, steps, overall=overall, start=places[0], end=places[-1], about=about, text=noted.chains[-1].text
    )
