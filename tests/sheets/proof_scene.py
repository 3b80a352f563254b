"""Proofs made by hand, to try pages and drawings with: a layout that has them in place of its own."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any, cast

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import Layout
from layoutdesk.engine.proof.entries import (
    BayVerdict,
    HouseFound,
    Loose,
    Proof,
    ProofPoint,
    ProofTape,
    Suspect,
    TapingPlan,
    Verdict,
    WallFound,
)
from layoutdesk.plan.model import Attachment, Control, Pier, Plan, Tape

if TYPE_CHECKING:
    from layoutdesk.engine.proof.entries import TapeNext

MOVED, WITHIN, LOST = 2, 4, 7
"""Which piers are to be moved, are out by less than the tapes can tell, and are not determined."""


class ProvedLayout:
    """A layout whose proof is given."""

    def __init__(
        self, layout: Layout, proof: Proof | None, taping: TapingPlan | None, house: HouseFound | None = None
    ) -> None:
        self._layout = layout
        self.proof = proof
        self.taping_plan = taping
        self.house_found = house
        self.tape_next: TapeNext | None = None
        self.on_site = self

    def __getattr__(self, name: str) -> Any:
        return getattr(self._layout, name)


def proved(plan: Plan, *, measured: bool = True, pulls: int = 4) -> Layout:
    """Return the layout of a plan with a taping plan and, if wanted, a proof with one of everything."""
    plan = replace(plan, tapes=_tapes(plan, pulls)) if measured else plan
    layout = derive(plan)
    taping = TapingPlan(
        pulls=tuple((t.start, t.end, _between(layout, t.start, t.end)) for t in _tapes(plan, pulls)),
        reaches=5.1,
        proves=True,
        says="These tapes prove every stake to 1/4 in, inside the tolerance of 1/2 in.",
    )
    house = HouseFound(
        corners=("C1", "C2"),
        shift=(3.0, -2.0),
        turn=0.04,
        left_over=(("C1", (0.5, 0.2)), ("C2", (-0.5, -0.2))),
        walls=(WallFound("W1", 0, ("C1", "C2"), (2.0, -4.5), 0.09),),
        says="The house stands turned by 0.04° against the drawing; no corner is off by more than 3/16 in then.",
    )
    proof = _proof(layout) if measured else None
    return cast("Layout", ProvedLayout(layout, proof, taping, house if measured else None))


def proof_of(layout: Layout) -> Proof:
    """Return the proof of a layout that has one."""
    assert layout.proof is not None
    return layout.proof


def taping_of(layout: Layout) -> TapingPlan:
    """Return the taping plan of a layout that has one."""
    assert layout.taping_plan is not None
    return layout.taping_plan


def _tapes(plan: Plan, pulls: int) -> tuple[Tape, ...]:
    """Return tapes from control points to each pier, as many as are wanted for one, and from pier to pier."""
    ids = [c.id for c in plan.controls]
    tapes = [
        Tape(start=ids[(i + k) % len(ids)], end=pier.id, distance=_far(plan, ids[(i + k) % len(ids)], pier.id))
        for i, pier in enumerate(plan.piers)
        for k in range(min(pulls, len(ids)))
    ]
    if len(plan.piers) > 1:
        a, b = plan.piers[0].id, plan.piers[1].id
        tapes += [
            Tape(start=a, end=b, distance=0.0, kind="string", third=ids[0]),
            Tape(start=a, end=b, distance=90.0, kind="right angle", third=ids[0], legs=(914.4, 1219.2)),
            Tape(start=ids[0], end=a, distance=700.0, tape_class="H44", kind="square", third=ids[1]),
        ]
    return tuple(tapes)


def _far(plan: Plan, a: str, b: str) -> float:
    pieces: tuple[Control | Attachment | Pier, ...] = (*plan.controls, *plan.attachments, *plan.piers)
    places = {piece.id: piece.at for piece in pieces}
    return math.dist(places[a], places[b])


def _between(layout: Layout, a: str, b: str) -> float:
    return _far(layout.plan, a, b)


def _proof(layout: Layout) -> Proof:
    plan = layout.plan
    tapes = tuple(
        ProofTape(
            index=i,
            start=t.start,
            end=t.end,
            third=t.third,
            kind=t.kind,
            read=t.distance,
            reduced=t.distance - 0.4,
            adjusted=t.distance - 0.4 + (i % 5 - 2) * 0.9 + (304.8 if i == 3 else 0.0),
            residual=(i % 5 - 2) * 0.9 + (304.8 if i == 3 else 0.0),
            deviation=1.0,
            redundancy=0.05 + 0.1 * (i % 9),
            w=88.2 if i == 3 else 0.7,
            limit=3.29,
            suspect=i == 3,
        )
        for i, t in enumerate(plan.tapes)
    )
    return Proof(
        control=plan.proof.control,
        points=tuple(_points(layout)),
        tapes=tapes,
        suspects=(
            Suspect(3, 88.2, 304.8, "whole feet", 5000.0, (), "The tape C4 to P1 looks read one foot too long."),
        ),
        loose=(Loose(("P8",), "P8 is not determined: only one tape reaches it. Tape it from C2 as well."),),
        bays=tuple(
            BayVerdict(bay.id, 4.0, 3.0, i != 1, f"{' '.join(bay.labels)} is square within 3/16 in.")
            for i, bay in enumerate(layout.bays)
        ),
        degrees=21,
        weighted=7801.2,
        low=10.3,
        high=35.5,
        passes=False,
        passes_without=True,
        trouble=((5, "A distance of zero says nothing."),),
        swapped=(Loose(("P2", "P3"), "P2 and P3 seem to have changed places."),),
        says="Move P3; one tape is likely misread, and P8 is not determined.",
    )


def _points(layout: Layout) -> list[ProofPoint]:
    points = []
    first = layout.points.first_pier
    for i, row in enumerate(layout.points):
        n = i - first
        held = row.kind != "pier"
        along, away, verdict = (
            (-38.1, 19.05, "move")
            if n == MOVED
            else (0.0, 14.0, "within the tapes")
            if n == WITHIN
            else (1.0, -1.2, "leave")
        )
        if held:
            along = away = 0.0
        x, y = row.at
        lost = n == LOST
        points.append(
            ProofPoint(
                id=row.id,
                label=row.label,
                kind=row.kind,
                planned=row.at,
                found=None if lost else (x - along, y + away),
                held=held,
                along=along,
                away=away,
                out=math.hypot(along, away),
                semi_major=0.0 if held else 6.5 if n == WITHIN else 3.1,
                semi_minor=0.0 if held else 2.2,
                turn=25.0 * n,
                verdict=cast("Verdict", "not determined" if lost else verdict),
                says="Only one tape reaches it." if lost else f"Move {row.label}.",
            )
        )
    return points
